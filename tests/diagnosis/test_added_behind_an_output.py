"""What is on no sheet, plugged in behind an output that is off by the sheets: that it was out says something."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

LOADER = """\
platform "Orvane Crake" supply 24V sleep 10min
battery BAT 24V
fuse F1 10A "key switch", CB1 25A "converter", F31 15A "radio, 12 V socket", F2 15A "horn"
key S2 "key switch" positions 0, P closes 30 to 75 in P
module CONV "converter 24 to 12 V" supply IN ground 31 sense EN asleep 6mA
output CONV.OUT feeds 12V from IN while EN
load RADIO "radio" supply 1 ground 2
socket X12 "radio socket"
horn H2
ground GND
BAT.+ -> F1 -> S2.30
S2.75 -> CONV.EN
BAT.+ -> CB1 -> CONV.IN
BAT.+ -> F2 -> H2.1
CONV.OUT -> F31 -> RADIO.1
F31 -> X12.1
RADIO.2 -> CONV.31
X12.2 -> CONV.31
CONV.31 -> GND
H2.2 -> GND
BAT.- -> GND
"""
READ = ("CB1=1.54A", "F31=3.00A")


def found(*unplugged: str) -> tuple[Diagnosis, str]:
    read, problems = read_text(SourceFile("l.circuit", LOADER))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    platform = platform_of([read])
    typed = TypedEvidence(readings=READ, total="1.56A", unplugged=unplugged, fitted=("cool box from F31",))
    answer = diagnose(circuit_of(platform), evidence_typed(platform, typed))
    return answer, " ".join(suspects_text(platform, answer).split())


@pytest.mark.parametrize(("left", "outcome"), [("0.01A", "normal"), ("0.35A", "down")])
def test_its_try_is_weighed_and_it_is_not_to_be_unplugged_again(left: str, outcome: str) -> None:
    """What feeds the place that should be dead stays accused; that it was plugged in there is no step any more."""
    before, said_before = found()
    assert "what is plugged in at X12 may take that; unplug it first" in said_before
    after, said = found(f"cool box={left}")
    assert [(t.outcome, t.why_not) for t in after.tried] == [(outcome, "")]
    assert "unplug it first" not in said
    assert ("with cool box out: back to normal" in said) == (outcome == "normal")
    assert {after.subjects[0].about, before.subjects[0].about} <= {"S2", "CONV"}

    def share_of_all_else(answer: Diagnosis) -> float:
        through = [
            any("F31" in flow.way.places for fault in row.faults[0] for flow in fault.brings) for row in answer.rows
        ]
        rows = list(zip(answer.rows, through, strict=True))
        return sum(row.probability for row, its in rows if not its) / sum(row.probability for row, _ in rows)

    assert share_of_all_else(after) <= share_of_all_else(before)


def test_a_try_that_changes_nothing_speaks_against_what_was_plugged_in() -> None:
    _, said = found("cool box=1.56A")
    assert "unplug it first" not in said
