"""What hangs on a battery's post before any fuse is looked at, and clamped, in one go: each lead there by itself."""

from collections.abc import Collection, Sequence

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.handling import Handling
from circuitmap.wiring.parts import FIRST, Terminal

WORTH_LOOKING_AT_THE_POST, WORTH_LOOKING_AGAIN = 0.35, 0.6
"""Below this probability of something at a battery, or in a cable that begins there without a fuse, nobody clamps each
cable at its post; below the second not where a fuse there was not read yet, which is read sooner, nor where something
was found there already (judgement)."""
WORTH_CLAMPING = 0.05
"""A cable below this probability is not named for it (judgement)."""


def posts_to_look_at(
    weights: Sequence[float], faults: Sequence[Fault], hand: Handling, known: Collection[str]
) -> list[tuple[str, ...]]:
    """The batteries at whose posts something is likely enough, each with the cables that begin there without a fuse, go
    to a part of their own, and were not read yet. One such cable alone is clamped by itself. So is what was found there
    and is on the card: nobody looks for it, and as long as it is likelier than all the rest there, nobody looks there
    once more; once anything was found there, only for more than before. `weights` are the probabilities of the faults,
    `known` the places that were read."""
    at_post: dict[str, float] = {}
    found_there: dict[str, float] = {}
    cables: dict[str, dict[str, float]] = {}
    for fault, its in zip(faults, weights, strict=True):
        if its <= 0.0:
            continue
        if fault.has("its-place") and hand.is_battery(fault.about):
            at_post[fault.about] = at_post.get(fault.about, 0.0) + its
        elif (battery := _post_of(fault, hand)) and fault.part not in known and hand.may_read(fault.part):
            if fault.part in hand.added:
                found_there[battery] = found_there.get(battery, 0.0) + its
                continue
            own = cables.setdefault(battery, {})
            own[fault.part] = own.get(fault.part, 0.0) + its
    found = []
    for battery in sorted({*at_post, *cables}):
        its_own, leads = at_post.get(battery, 0.0), cables.get(battery, {})
        named = sorted(name for name, its in leads.items() if its >= WORTH_CLAMPING)
        several = len(named) + (its_own >= WORTH_CLAMPING) > 1
        rest = its_own + sum(leads[name] for name in named)
        was_found = any(feed == battery for feed in hand.added.values())
        missing_there = not was_found and _all_fuses_read(battery, hand, known)
        least = WORTH_LOOKING_AT_THE_POST if missing_there else WORTH_LOOKING_AGAIN
        enough = rest >= least and rest >= found_there.get(battery, 0.0)
        if enough and (several or its_own >= least) and hand.hands_off.may_touch(battery):
            found.append((battery, *named))
    return found


def _all_fuses_read(battery: str, hand: Handling, known: Collection[str]) -> bool:
    """Whether each fuse that the battery feeds with no other before it was read: what is not found behind them flows in
    a cable without one, or is on no sheet."""
    ways = ((fuse.name, hand.parked.ways.to(Terminal(fuse.name, FIRST))) for fuse in hand.platform.fuses)
    first = {name for name, way in ways if way is not None and way.places[:1] == (battery,)}
    return bool(first) and first <= set(known)


def _post_of(fault: Fault, hand: Handling) -> str:
    """The battery at whose post, or on a stud that it goes on to, the cable of what is at fault begins with no fuse and
    no box before it: an alternator's may begin at the starter. Empty where there is none. What is on no sheet begins
    where it was found to be fed."""
    if fault.part in hand.added:
        feed = hand.added[fault.part]
        return feed if hand.is_battery(feed) else ""
    ways = {flow.way.places for flow in fault.brings} if fault.has("own-cable") else set()
    places = next(iter(ways)) if len(ways) == 1 else ()
    if len(places) < 2 or not hand.is_battery(places[-1]) or not all(map(hand.is_unfused, places[:-1])):
        return ""
    return places[-1]
