"""The fuse of a wire that is followed next, out once as proof that all of the excess is behind it."""

from collections.abc import Sequence

from circuitmap.diagnosis.next_test.actions import Actions
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import PlannedTest


def fuse_of_a_wire(choices: Sequence[PlannedTest], actions: Actions) -> Action | None:
    """Pulling the fuse behind which a wire would be followed first; None where something was out already (what went
    with it, or did not, tells more), where it may not be pulled, is among the steps already, or takes as long."""
    first = choices[0].action if choices else None
    if first is None or first.doing != "follow" or actions.done.tried:
        return None
    if not actions.hand.may_pull(first.parts[0]) or any(its.action.parts == first.parts for its in choices[1:]):
        return None
    pulled = actions.hand.action("pull-fuses", first.parts)
    return pulled if pulled.hands_and_reach < first.hands_and_reach else None
