"""Of a draw by two faults: what went with what is out, or was turned, and stays away. The rest is hunted without it."""

from collections.abc import Container, Iterable, Sequence
from typing import NamedTuple

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Out
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.wiring.platform import Platform


class SettledPart(NamedTuple):
    """`tried` is the try that showed it, from `was` to `left` in A; `faults` are the faults, by number, that have ended
    with it."""

    tried: Tried
    was: float
    left: float
    faults: frozenset[int]


def settled_by(
    tried: Iterable[Tried],
    place: str,
    out: Sequence[str],
    faults: Sequence[Fault],
    platform: Platform,
    own_battery: Container[str],
) -> SettledPart | None:
    """What is settled with all that is `out` now, by what `place` showed; None where nothing went, or all."""
    its = [t for t in tried if set(t.attempt.out) == set(out) and t.attempt.after.place == place and not t.why_not]
    if not out or not its or its[-1].outcome != "down":
        return None
    before, after = its[-1].attempt.before, its[-1].attempt.after
    if before is None or before.amps is None or after.amps is None:
        return None
    return SettledPart(its[-1], before.amps, after.amps, ended_with(out, faults, platform, own_battery))


def ended_with(
    out: Iterable[str], faults: Sequence[Fault], platform: Platform, own_battery: Container[str]
) -> frozenset[int]:
    """The faults, by number, that are known and have ended once all that is `out` is out."""
    gone = Out(platform, out, own_battery)
    return frozenset(
        n
        for n, fault in enumerate(faults)
        if fault.kind != "none-of-these" and fault.brings and (gone.ends(fault) or not gone.kept(fault.brings))
    )
