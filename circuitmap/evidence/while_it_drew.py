"""What was seen of relays, inputs, networks and pins while the draw was away: it is of another state of the vehicle.

With something out the draw goes, and what it held lets go with it; and after that it may stay away. Nothing of that
says that a relay was open, or an input right, while current flowed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple, Protocol, TypeVar, assert_never

from circuitmap.evidence.checks_at_parts import InputSeen, PinVolts, RelayVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import BACK_SHARE, Try
from circuitmap.source import Span

LEAST_GONE = 0.5
"""Share of the current from which on it is the draw itself that went with something out (judgement)."""


class _Seen(Protocol):
    @property
    def without(self) -> tuple[str, ...]: ...
    @property
    def span(self) -> Span | None: ...


_Told = TypeVar("_Told", bound=_Seen)


class _Away(NamedTuple):
    """The draw was away with this `out`; and, where it stayed away with everything in again, from one line of the card
    (None: it came back) to another (None: to the end)."""

    out: frozenset[str]
    since: int | None = None
    until: int | None = None


def while_it_drew(evidence: Evidence) -> Evidence:
    """The evidence without what was seen of relays and inputs with the draw gone, and of networks and pins with
    everything in and the draw not back yet."""
    away = [its for one in evidence.tries if (its := _away(one, evidence.readings)) is not None]
    if not away:
        return evidence
    return replace(
        evidence,
        relays=_kept(evidence.relays, away, with_it_out=True),
        inputs=_kept(evidence.inputs, away, with_it_out=True),
        lines=_kept(evidence.lines, away),
        volts=_kept(evidence.volts, away),
    )


def seen_while_away(evidence: Evidence, kept: Evidence) -> tuple[str, ...]:
    """The relays, inputs, networks and pins of which something is left out of the evidence that is `kept`."""
    pairs = ((evidence.relays, kept.relays), (evidence.inputs, kept.inputs), (evidence.lines, kept.lines),
             (evidence.volts, kept.volts))  # fmt: skip
    left = [one for all_of_it, its in pairs for one in all_of_it if not any(one is other for other in its)]
    return tuple(dict.fromkeys(_name(one) for one in left))


def _name(one: RelayVolts | InputSeen | NetworkLine | PinVolts) -> str:
    match one:
        case RelayVolts():
            return one.relay
        case InputSeen():
            return one.part
        case NetworkLine():
            return one.network
        case PinVolts():
            return str(one.pin)
        case _:
            assert_never(one)


def _kept(told: Iterable[_Told], away: Sequence[_Away], *, with_it_out: bool = False) -> tuple[_Told, ...]:
    return tuple(one for one in told if not any(_is_of(one, its, with_it_out) for its in away))


def _is_of(one: _Seen, away: _Away, with_it_out: bool) -> bool:
    if one.without:
        return with_it_out and away.out <= set(one.without)
    line = _line(one.span)
    return (
        line is not None and away.since is not None and away.since <= line and (away.until is None or line < away.until)
    )


def _away(attempt: Try, readings: Sequence[Reading]) -> _Away | None:
    """When the draw was away by a try; with everything in, from what was read with it out until it was seen back, if
    it was seen to stay away."""
    before, after = attempt.before, attempt.after
    if before is None or before.amps is None or after.amps is None:
        return None
    gone = before.amps - after.amps
    if gone < LEAST_GONE * before.amps:
        return None
    out, since = frozenset(attempt.out), _line(after.span)
    if attempt.back is None or attempt.came_back is not False or since is None:
        return _Away(out)
    later = (r for r in readings if r.place == after.place and not r.without and (_line(r.span) or 0) > since)
    back = (_line(r.span) for r in later if (r.amps or 0.0) - after.amps >= BACK_SHARE * gone)
    return _Away(out, since + 1, next(back, None))


def _line(span: Span | None) -> int | None:
    return span.line if span is not None else None
