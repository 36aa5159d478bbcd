"""Of a draw by two faults: what went with what is out, or was turned, and stays away. The rest is hunted without it."""

from collections.abc import Callable, Collection, Container, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Out
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.evidence.tries import LEAST_PART, has_fallen, is_left_too_early
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of


class SettledPart(NamedTuple):
    """`tried` is the try that showed it, from `was` to `left` in A; `faults` are the faults, by number, that have ended
    with it."""

    tried: Tried
    was: float
    left: float
    faults: frozenset[int]


def settled_by(
    tried: Sequence[Tried],
    place: str,
    out: Sequence[str],
    faults: Sequence[Fault],
    platform: Platform,
    own_battery: Container[str],
    stops_at_once: Callable[[Collection[str]], bool],
) -> SettledPart | None:
    """What is settled with all that is `out` now, by what `place` showed; None where nothing went, or all, or where
    what is left may still fall asleep."""
    here = [t for t in tried if t.attempt.after.place == place and not t.why_not]
    its = [t for t in here if set(t.attempt.out) == set(out)]
    if not out or not its or is_left_too_early(its[-1].attempt, limit_of(platform), stops_at_once(tuple(out))):
        return None
    took = its[-1]
    if took.outcome == "stays":  # held against what less that is out had left: that took it, and is still out
        took = next((t for t in reversed(here) if t.outcome == "down" and set(t.attempt.out) < set(out)), took)
    if took.outcome != "down":
        return None
    took = _those_that_took(took, here)
    before, after = took.attempt.before, its[-1].attempt.after
    if before is None or before.amps is None or after.amps is None:
        return None
    return SettledPart(took, before.amps, after.amps, ended_with(took.attempt.out, faults, platform, own_battery))


def _those_that_took(all_out: Tried, tried: Iterable[Tried]) -> Tried:
    """Of all that is out the least that took as much away; what was out for nothing is left out of it."""
    out, left = set(all_out.attempt.out), all_out.attempt.after
    for_nothing: set[str] = set()
    for one in sorted(tried, key=lambda its: len(its.attempt.out)):
        if not set(one.attempt.out) < out:
            continue
        if one.outcome == "took over":
            continue
        if one.outcome == "stays":
            for_nothing.update(one.attempt.out)
        elif not has_fallen(one.attempt.after, left, LEAST_PART):
            return one
    its = tuple(name for name in all_out.attempt.out if name not in for_nothing)
    if not for_nothing or not its:
        return all_out
    turned = tuple(at for at in all_out.attempt.turned if at[0] in its)
    return all_out._replace(attempt=replace(all_out.attempt, out=its, turned=turned))


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
