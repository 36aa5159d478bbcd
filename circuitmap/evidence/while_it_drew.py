"""What was seen of relays, inputs, networks and pins while the draw was away: it is of another state of the vehicle.

With something out the draw goes, and what it held lets go with it; and after that it may stay away. Nothing of that
says that a relay was open, or an input right, while current flowed. That its contact is stuck it says all the same: a
contact that is closed with no volts at its coil, be it in the hand, is closed whatever draws. The same holds of what
comes and goes by itself, measured at the floor.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal, Protocol, TypeVar, assert_never

from circuitmap.evidence.checks_at_parts import InputSeen, PinVolts, RelayVolts
from circuitmap.evidence.evidence import Evidence, Gone
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.tries import LEAST_GONE, Try
from circuitmap.source import Span


class _Seen(Protocol):
    @property
    def without(self) -> tuple[str, ...]: ...
    @property
    def span(self) -> Span | None: ...


_Told = TypeVar("_Told", bound=_Seen)
WhyLeft = Literal["while away", "quiet-phase"]


def while_it_drew(evidence: Evidence) -> Evidence:
    """The evidence without what was seen of relays and inputs with the draw gone, and of networks and pins with
    everything in and the draw not back yet; of what comes and goes without what was measured while it was down."""
    evidence = _without_the_floor(evidence)
    with_it_out = [frozenset(one.out) for one in evidence.tries if _draw_went(one)]
    if not with_it_out and not evidence.gone:
        return evidence
    return replace(
        evidence,
        relays=tuple(
            one for one in evidence.relays if one.state == "stuck" or _kept((one,), evidence.gone, with_it_out)
        ),
        inputs=_kept(evidence.inputs, evidence.gone, with_it_out),
        lines=_kept(evidence.lines, evidence.gone),
        volts=_kept(evidence.volts, evidence.gone),
    )


def _without_the_floor(evidence: Evidence) -> Evidence:
    """While what comes and goes is down, all is as it is on a sound vehicle, whatever drives it later."""
    logged = next((r.log for r in reversed(evidence.readings) if r.log is not None and not r.without), None)
    checks: list[RelayVolts | PinVolts | NetworkLine] = [*evidence.relays, *evidence.volts, *evidence.lines]
    if logged is None or not logged.comes_and_goes or all(one.during != "floor" for one in checks):
        return evidence
    return replace(
        evidence,
        relays=tuple(one for one in evidence.relays if one.state == "stuck" or one.during != "floor"),
        volts=tuple(one for one in evidence.volts if one.during != "floor"),
        lines=tuple(one for one in evidence.lines if one.during != "floor"),
    )


def seen_while_away(evidence: Evidence, kept: Evidence) -> tuple[tuple[str, WhyLeft], ...]:
    """The relays, inputs, networks and pins of which something is left out of the evidence that is `kept`, and why;
    of what was measured at the floor only those that were not measured again."""
    pairs = ((evidence.relays, kept.relays), (evidence.inputs, kept.inputs), (evidence.lines, kept.lines),
             (evidence.volts, kept.volts))  # fmt: skip
    left = [one for all_of_it, its in pairs for one in all_of_it if not any(one is other for other in its)]
    again = {_name(one) for _, its in pairs for one in its}
    told = ((_name(one), _at_the_floor(one)) for one in left)
    return tuple(
        dict.fromkeys(
            (name, "quiet-phase" if floor else "while away") for name, floor in told if not floor or name not in again
        )
    )


def _at_the_floor(one: RelayVolts | InputSeen | NetworkLine | PinVolts) -> bool:
    return not isinstance(one, InputSeen) and one.during == "floor"


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


def _kept(told: Iterable[_Told], gone: Sequence[Gone], with_it_out: Sequence[frozenset[str]] = ()) -> tuple[_Told, ...]:
    return tuple(
        one
        for one in told
        if not any(its.covers(one.span) for its in gone)
        and not any(one.without and out <= set(one.without) for out in with_it_out)
    )


def _draw_went(attempt: Try) -> bool:
    before, after = attempt.before, attempt.after
    if before is None or before.amps is None or after.amps is None:
        return False
    return before.amps - after.amps >= LEAST_GONE * before.amps
