"""What a step costs that takes the ground lead off: with it on again all modules start anew."""

from collections.abc import Iterator

from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.wiring.parts import UNFUSED_KINDS
from circuitmap.wiring.platform import Platform


def starts_anew(platform: Platform, action: Action) -> Iterator[str]:
    """That what hung may be gone by that alone; nothing where no cable is parted, or nothing has to fall asleep."""
    kinds = (its.kind for part in action.parts if (its := platform.parts.get(part)) is not None)
    if action.takes_out and action.wait and any(kind in UNFUSED_KINDS for kind in kinds):
        yield (
            "With the ground lead on again all modules start anew: wait until they sleep before it is read. What hung "
            "may be gone by that alone; put back, the draw must come again."
        )
