"""The rows of fuses that are worth reading in one go, and which dead fuses belong to them."""

from collections.abc import Container, Iterable

from circuitmap.diagnosis.next_test.handling import Action, Handling

FED_ENOUGH = 0.05
"""Below this probability of a current there a fuse that is dead when parked is left out of the row that is read of its
box (judgement)."""


def rows_worth_reading(
    hand: Handling, fuses: Iterable[str], known: Container[str], fed: Container[str]
) -> list[Action]:
    """The rest of each box in which several fuses are worth reading: one step, not one for each fuse."""
    worth: dict[str, int] = {}
    for fuse in fuses:
        box = hand.platform.box_of(fuse)
        if box is not None and fuse not in known:
            worth[box.name] = worth.get(box.name, 0) + 1
    rests = (hand.rest_of_box(box, known, fed) for box, count in worth.items() if count > 1)
    return [hand.action("read-box", rest) for rest in rests if len(rest) > 1]
