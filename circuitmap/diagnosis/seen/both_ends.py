"""What is fed from both ends: two batteries are joined, and what one gives goes on to what hangs on the other.

As drawn, a place behind one battery carries what hangs there. With the batteries joined it carries that less what comes
across, and may even run backwards into its battery. What comes across was read on the other battery's side; it is added
to the place, and to all that was read from there up to its battery, and counts once. It is known to come across where
more hangs on the place than it shows, and where just as much was read on both sides of the way, and is all that the one
battery gives.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import hypot
from typing import NamedTuple

from circuitmap.evidence.readings import Reading

Chains = Sequence[tuple[tuple[str, ...], tuple[str, ...]]]
"""For each way in which two batteries may be joined, the places from there to the one battery and to the other."""

ITS_OWN = 0.1
"""Of what crosses, the share that a battery which gives it may give to what hangs on its own side besides: what sleeps
there (judgement)."""


class BothEnds(NamedTuple):
    """A place that is fed from both ends: `reading` is what was read on the other side, and `amps` how much of it comes
    across, in A; `through` is a place that it passes on this side, where one was read. Where only that was read of the
    way between the two, `reading` is what it showed, and `giver` the battery at the other end. `above` are the places
    that were read between it and its own battery, and that battery: they carry as much less."""

    place: str
    reading: Reading
    amps: float
    through: str = ""
    giver: str = ""
    above: tuple[str, ...] = ()


def fed_from_both_ends(
    amounts: Mapping[str, Reading],
    charging: Mapping[str, Reading],
    children: Mapping[str, Iterable[str]],
    joins: Chains,
) -> tuple[BothEnds, ...]:
    """Places behind which more was found than they show, where just that comes from the other battery."""
    found: dict[str, BothEnds] = {}
    for one, other in joins:
        for giving, taking in ((one, other), (other, one)):
            its = _across(amounts, charging, children, giving, taking)
            if its is not None:
                found.setdefault(its.place, its)
    for one, other in joins:
        for giving, taking in ((one, other), (other, one)):
            its = _over_the_cable(amounts, children, giving, taking)
            if its is not None:
                found.setdefault(its.place, its)
    return tuple(found.values())


def _over_the_cable(
    amounts: Mapping[str, Reading], children: Mapping[str, Iterable[str]], giving: Sequence[str], taking: Sequence[str]
) -> BothEnds | None:
    """What comes across where of all the way between the batteries only the cable on this side was read: a clamp says
    how much, and not from where. It comes in if just that much more hangs on this side than its battery gives, and the
    other battery, where it was read, gives enough."""
    on_its_way = [name for name in taking if name in amounts]
    if len(on_its_way) < 2 or any(name in amounts for name in giving[:-1]) or giving[-1] in taking:
        return None
    (through, place), above = on_its_way[:2], tuple(on_its_way[2:])
    cable = amounts[through]
    hang = [amounts[name] for name in children.get(place, ()) if name != through]
    if not cable.shows_current or through not in children.get(place, ()) or not hang:
        return None
    crosses = cable.amps or 0.0
    more = sum(branch.amps or 0.0 for branch in hang) - (amounts[place].amps or 0.0)
    off = _off(amounts[place], cable, *hang)
    gives = amounts.get(giving[-1])
    if more <= off or abs(more - crosses) > off:
        return None
    if gives is not None and (gives.amps or 0.0) < crosses - _off(gives, cable):
        return None
    return BothEnds(place, cable, crosses, through, giving[-1], above)


def _across(
    amounts: Mapping[str, Reading],
    charging: Mapping[str, Reading],
    children: Mapping[str, Iterable[str]],
    giving: Sequence[str],
    taking: Sequence[str],
) -> BothEnds | None:
    source = next((place for place in giving if place in amounts), None)
    on_its_way = [place for place in taking if place in amounts]
    if source is None or source in taking:
        return None
    branches = [amounts[name] for name in children.get(source, ())]
    crosses = (amounts[source].amps or 0.0) - sum(branch.amps or 0.0 for branch in branches)
    off = _off(amounts[source], *branches)
    if crosses <= off:
        return None
    # What was read of it on this side, before anything hangs on it, shows the same; a last digit alone shows nothing.
    through = next((name for name in on_its_way if name != taking[-1]), "")
    if (
        not through
        or not amounts[through].shows_current
        or abs((amounts[through].amps or 0.0) - crosses) > off + _off(amounts[through])
    ):
        through = ""
    place = next((place for place in on_its_way if place != through), None)
    if place is None:
        return None
    hang = [amounts[name] for name in children.get(place, ()) if name != through]
    more = sum(branch.amps or 0.0 for branch in hang) - (amounts[place].amps or 0.0)
    off = hypot(off, _off(amounts[place], *hang))
    backwards = (amounts[place].amps or 0.0) < -_off(amounts[place]) and not charging.keys().isdisjoint(taking)
    short = more > off and bool(hang)
    handed_on = (
        bool(through) and _gives_no_more(amounts, giving, crosses) and not _gives_no_more(amounts, taking, crosses)
    )
    known = short or backwards or handed_on
    giver = source if through and source == giving[-1] else ""
    if not known or more > crosses + off:
        return None
    above = tuple(on_its_way[on_its_way.index(place) + 1 :])
    return BothEnds(place, amounts[source], crosses, through, giver, above)


def _gives_no_more(amounts: Mapping[str, Reading], side: Sequence[str], crosses: float) -> bool:
    """Whether the battery at the end of a side gives what crosses and next to nothing besides; then it does not take
    what crosses, which would have to flow there on top of what it gives."""
    battery = amounts.get(side[-1])
    if battery is None:
        return False
    more = (battery.amps or 0.0) - crosses
    return abs(more) <= _off(battery) + ITS_OWN * crosses


def _off(*readings: Reading) -> float:
    """Two standard deviations of every error but the last digit's, plus that digit, in A."""
    return hypot(*(r.half_step + 2.0 * hypot(r.zero, r.relative * (r.amps or 0.0)) for r in readings))
