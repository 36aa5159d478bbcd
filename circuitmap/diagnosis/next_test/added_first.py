"""What was fitted to this car, and nobody has read yet: a reading at its cable or its fuse takes some minutes, and
comes before anything that wakes the car or takes something out."""

from collections.abc import Callable, Collection, Iterable, Sequence

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import PlannedTest


def added_and_unread(
    faults: Iterable[Fault], measured: Collection[str], was_out: Callable[[str], bool]
) -> dict[str, str]:
    """What the card says was fitted to this car, each with the place that feeds it, as long as neither was read and it
    was not out by itself."""
    on_card = (fault for fault in faults if fault.kind == "added" and fault.about == fault.part != fault.place)
    return {
        fault.part: fault.place
        for fault in on_card
        if not {fault.part, fault.place} & set(measured) and not was_out(fault.part)
    }


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
