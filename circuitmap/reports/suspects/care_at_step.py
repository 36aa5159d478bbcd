"""What to take care of at a step: by the parts it touches, and by what the diagnosis says of them."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.reports.suspects.fed_backwards import backwards_cautions
from circuitmap.reports.suspects.lets_go import lets_go
from circuitmap.reports.words.cautions import Told, cautions_of
from circuitmap.wiring.platform import Platform


def care_at_step(platform: Platform, diagnosis: Diagnosis, action: Action) -> tuple[Told, ...]:
    """The parts' own cautions, that something there may be live backwards, and that what holds itself lets go."""
    return (
        *cautions_of(platform, diagnosis.switching, action, diagnosis.fed_from),
        *backwards_cautions(platform, diagnosis, action.touches),
        *(lets_go(platform, diagnosis, action.parts) if action.takes_out else ()),
    )
