"""What was fitted to this car, and nobody has read yet: a reading at its cable or its fuse takes some minutes, and
comes before anything that wakes the car or takes something out."""

from collections.abc import Callable, Collection, Iterable, Sequence

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.handling import Action, Handling
from circuitmap.diagnosis.next_test.planned import PlannedTest
from circuitmap.wiring.parts import Fuse


def added_and_unread(
    faults: Iterable[Fault], measured: Collection[str], was_out: Callable[[str], bool]
) -> dict[str, str]:
    """What the card says was fitted to this car, each with the place that feeds it, as long as neither was read and it
    was not out by itself."""
    its = fitted_to_it(faults, was_out)
    return {part: place for part, place in its.items() if not {part, place} & set(measured)}


def fitted_to_it(faults: Iterable[Fault], was_out: Callable[[str], bool]) -> dict[str, str]:
    """The same, read or not."""
    on_card = (fault for fault in faults if fault.kind == "added" and fault.about == fault.part != fault.place)
    return {fault.part: fault.place for fault in on_card if not was_out(fault.part)}


def added_first(
    choices: Sequence[PlannedTest],
    steps: Iterable[Action],
    unread: dict[str, str],
    planned: Callable[[Action], PlannedTest],
    most: int,
) -> list[PlannedTest]:
    """The steps with the reading of one such thing before the first that wakes the car or takes something out; as they
    are where it is among those before, or nothing of the kind is among them."""
    at = next((n for n, its in enumerate(choices) if its.action.is_invasive), None)
    if at is None or not unread:
        return list(choices)
    places = {*unread, *unread.values()}
    reading = [its for its in steps if its.tells == "what flows there" and its.parts[0] in places]
    if not reading or any(places & set(its.action.parts) for its in choices[:at]):
        return list(choices)
    first = min(reading, key=lambda its: (its.minutes, its.parts))
    others = [its for its in choices if its.action != first]
    at = next(n for n, its in enumerate(others) if its.action.is_invasive)
    return [*others[:at], planned(first), *others[at:]][:most]


def only_crossing(faults: Iterable[Fault], hand: Handling) -> tuple[str, ...]:
    """The fuses beside a contact by which something joins two batteries, in which nothing else flows: what one of them
    shows says whether one draw is behind both."""
    beside: dict[str, None] = {}
    for flow in (its for fault in faults for its in fault.brings if its.joins_batteries):
        fuses = (place for place in flow.way.places if isinstance(hand.platform.parts.get(place), Fuse))
        nearest = next(fuses, "")
        if nearest and not hand.behind(nearest):
            beside[nearest] = None
    return tuple(beside)


def what_crosses(crossing: Collection[str], hand: Handling, measured: Collection[str]) -> Action | None:
    """The quickest reading at one of these fuses; none where one was read, or none can be."""
    if not set(crossing).isdisjoint(measured):
        return None
    steps = [hand.action(hand.reads(fuse), (fuse,)) for fuse in crossing if hand.may_read(fuse)]
    return min(steps, key=lambda its: (its.minutes, its.parts), default=None)


def with_what_crosses(
    choices: Sequence[PlannedTest], its: PlannedTest, fitted: Collection[str], most: int
) -> list[PlannedTest]:
    """The steps with that reading right behind those that read what was `fitted`, or the place that feeds it."""
    others = [test for test in choices if test.action != its.action]
    at = next((n for n, test in enumerate(others) if not set(fitted) & set(test.action.parts)), len(others))
    return [*others[:at], its, *others[at:]][:most]
