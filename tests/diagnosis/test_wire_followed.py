"""The wire behind a fuse can be followed, and is then told; a count more than before is no change."""

import numpy as np
import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.weighing.outcomes import chance_of_what_is_left
from circuitmap.diagnosis.weighing.sightings import Outcome
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from


@pytest.mark.parametrize("now", (0.20, 0.21, 0.22))
def test_a_count_more_than_before_says_no_change_as_well_as_a_count_less(now: float) -> None:
    """What is left of a fault that goes on is as likely as it was; of one that would have ended it is next to nothing,
    whichever way the last digit fell."""
    outcome = Outcome("stays", 0.21, 0.06, 0.01, 0.003, now=now, off=0.01)
    goes_on, ends = chance_of_what_is_left(
        (np.array([0.21, 0.001]), np.array([0.001, 1e-6])), (np.array([0.001, 0.21]), np.array([1e-6, 0.001])), outcome
    )
    assert goes_on > 50.0 * ends


TEXT = """platform "P" supply 12V return body
box CAB "cab box"
battery BAT 95Ah
fuse CAB.F1 15A mini
fuse CAB.F2 15A mini
module RAD supply 1 ground 2 asleep 1mA reach 15min
module CAM supply 1 ground 2 asleep 1mA reach 15min
sheet "1" "all"
BAT.+ -> CAB.F1 -> RAD.1
BAT.+ -> CAB.F2 -> CAM.1
RAD.2, CAM.2 -> case
BAT.- -> case
"""


def found_with(*found: str) -> Diagnosis:
    its = circuit_from(TEXT)
    typed = TypedEvidence(readings=("BAT=0.45A", "F1=2.0mV", "F2=0.0mV"), meter="clamp", found=found)
    return diagnose(its, evidence_typed(its.platform, typed))


def chance_behind(found: Diagnosis, fuse: str) -> float:
    return next(its.probability for its in found.subjects if its.about == fuse)


def test_a_wire_that_was_followed_is_not_followed_again_and_speaks_against_what_hangs_there() -> None:
    before, after = found_with(), found_with("F1=sound")
    assert ("follow", ("CAB.F1",)) in [(t.action.doing, t.action.parts) for t in before.tests.choices]
    assert "follow" not in [t.action.doing for t in after.tests.choices]
    assert chance_behind(after, "CAB.F1") < 0.5 * chance_behind(before, "CAB.F1")
    assert after.parts[0].part == "RAD"
    assert "Follow the wire behind CAB.F1, cab box" in suspects_text(before.hands_off.platform, before)
