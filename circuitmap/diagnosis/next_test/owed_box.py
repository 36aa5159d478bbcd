"""The box whose fuses are owed a reading: one carries much, and nobody read yet where that goes on to."""

from collections.abc import Collection, Iterator
from typing import NamedTuple

from circuitmap.diagnosis.car.places import PlaceTree, nearest
from circuitmap.diagnosis.next_test.handling import Action, Handling
from circuitmap.diagnosis.seen.figures_that_fit import CLOSE, most_taken_at
from circuitmap.diagnosis.seen.missing_behind import MISSES, over_contacts
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.wiring.parts import Box

NEARLY_ALL_MISSING = 0.5
"""Where this share of what a feeder carries was not found behind it, what was not read comes first (judgement)."""

AS_WELL = 1.0 / 3.0
"""A second box is read as well where this share of what is missing at the first is missing there (judgement)."""
MOST_OWED = 2


class OwedBox(NamedTuple):
    """The step that reads what was not read of a box; `bare`: nothing was read behind what carries it. `first`: so much
    is missing there, and no more before it, that it comes before all else."""

    step: Action
    bare: bool
    first: bool


def owed_boxes(
    nets: Netted, tree: PlaceTree, hand: Handling, limit: float, fed: Collection[str] = ()
) -> tuple[OwedBox, ...]:
    """Behind the carrier at which most is missing, the box that was not read; and a second one, if nearly as much goes
    on to that. Nothing where it is less than is normal for the vehicle, `limit` in A, where nothing behind it can be
    read without pulling, or where one fuse behind it draws, nobody knows how much, and its own loads can take all of
    it. Of what is dead on a sound parked car only what is likely `fed` is part of a row."""
    found: list[tuple[float, OwedBox]] = []
    most = max((its.readings[0].amps or 0.0 for its in nets.segments), default=0.0)
    for segment in nets.segments:
        own = segment.readings[0]
        if segment.amps is None or tree.is_post(segment.place) or not own.shows_current:
            continue
        total, missing = own.amps or 0.0, segment.amps
        # Against the errors of a dozen readings in a row nothing is ever missing; reading on is what tells.
        if missing <= max(limit, own.half_step + 2.0 * own.zero, MISSES * most):
            continue
        if _can_be_taken(missing, segment.place, nets, tree):
            continue
        bare = len(segment.readings) == 1
        before = _missing_before(segment.place, nets, tree)
        for rest in _rests(segment.place, nets, tree, hand, fed):
            doing = hand.reads(rest[0]) if len(rest) == 1 else "read-box"
            first = (bare or missing >= NEARLY_ALL_MISSING * total) and before <= missing
            found.append((missing, OwedBox(hand.action(doing, rest), bare, first)))
    found.sort(key=lambda its: (round(its[0], 6), len(its[1].step.parts)), reverse=True)
    owed: list[tuple[float, OwedBox]] = []
    for missing, box in found:
        as_well = not owed or (box.first and owed[0][1].first and missing >= AS_WELL * owed[0][0])
        if as_well and len(owed) < MOST_OWED and not any(set(its.step.parts) & set(box.step.parts) for _, its in owed):
            owed.append((missing, box))
    return tuple(box for _, box in owed)


def _missing_before(place: str, nets: Netted, tree: PlaceTree) -> float:
    """In A the most that was not found behind one of the places that a place hangs on, a battery's post among them."""
    above = [name for name in tree.above(place) if name != place]
    return max((its.amps for its in nets.segments if its.place in above and its.amps is not None), default=0.0)


def _can_be_taken(missing: float, place: str, nets: Netted, tree: PlaceTree) -> bool:
    """Whether just one fuse right behind a place draws without a figure, and what is typed in of its loads comes to as
    much as is missing there."""
    without_figure = [
        name
        for name, reading in nets.readings.items()
        if reading.amps is None
        and reading.shows_current
        and nearest((its for its in tree.above(name) if its != name), nets.readings) == place
    ]
    if len(without_figure) != 1:
        return False
    parked = tree.parked
    return missing <= (1.0 + CLOSE) * most_taken_at(parked.circuit, without_figure[0], parked.fitting)


def _rests(
    place: str, nets: Netted, tree: PlaceTree, hand: Handling, fed: Collection[str]
) -> Iterator[tuple[str, ...]]:
    """For each box of which something that was not read hangs right behind a place, or behind a contact there: what is
    left of it to be read. A fuse that feeds others of its own box over a contact is no carrier of that box."""
    own = hand.platform.box_of(place) if place in hand.platform.parts else None
    over = {fuse for its in over_contacts(place, nets, tree) for fuse in its.to}
    boxes = (part.name for part in hand.platform.parts.values() if isinstance(part, Box))
    for box in (name for name in boxes if own is None or name != own.name):
        rest = hand.rest_of_box(box, nets.readings, over.union(fed))
        behind = {fuse for fuse in rest if nearest(tree.above(fuse), nets.readings) == place}
        if behind or over & set(rest):
            yield rest
