"""Millivolts across a fuse that is large, bolted or of unknown make: a rough figure, and never a nothing that speaks
against what is so."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

BARGE = """
platform "Ostrel Haul 40" sleep 5min..10min limit 50mA
battery BAT 180Ah
fuse FM 100A bolted, FH 100A bolted, F1 10A mini, F2 10A mini
alternator GEN supply B+
module CLK "clock" supply 1 ground 2 asleep 5mA
module HEAT "engine heater" supply 1 ground 2 asleep 4mA
module LIFT "tail lift" supply 1 ground 2 asleep 2mA
terminal BA, BC, BH
ground GND
BAT.+ -> BA
BA -> FM -> BC
BA -> FH -> BH
BA -> GEN.B+
BC -> F1 -> CLK.1
CLK.2 -> GND
BC -> F2 -> HEAT.1
HEAT.2 -> GND
BH -> LIFT.1
LIFT.2 -> GND
BAT.- -> GND
"""
"""0.46 A flow at the battery. Behind FM 0.45 A make 0.2 mV across it."""


@pytest.fixture(scope="module")
def barge() -> Circuit:
    return circuit_from(BARGE)


def asked(its: Circuit, *words: str) -> Diagnosis:
    typed = TypedEvidence(readings=words, meter="clamp", resolution="10mA")
    return diagnose(its, evidence_typed(its.platform, typed), {})


def behind(found: Diagnosis, *names: str) -> float:
    return sum(its.probability for its in found.parts if any(name in its.part for name in names))


def test_the_last_digit_alone_does_not_speak_against_what_hangs_there(barge: Circuit) -> None:
    before, after = asked(barge, "BAT=0.46A"), asked(barge, "BAT=0.46A", "FM=0.2mV")
    its = ("CLK", "HEAT", "F1", "F2", "FM")
    assert behind(after, *its) >= 0.9 * behind(before, *its) > 0.0
    text = " ".join(suspects_text(barge.platform, after).split())
    assert "FM shows the last digit alone: anything up to 0.83 A may flow in it." in text
    assert "FM shows nothing" not in text
    kinds = {its["kind"]: its for its in suspects_json(barge.platform, after, 5)["incomplete"]}
    assert "FM" in str(kinds["last digit"])


def test_three_digits_are_a_figure_and_point_there(barge: Circuit) -> None:
    found = asked(barge, "BAT=0.46A", "FM=0.3mV", "FH=0.0mV")
    assert behind(found, "CLK", "HEAT", "F1", "F2", "FM") > 0.8 > 0.2 > behind(found, "LIFT", "FH")
    text = " ".join(suspects_text(barge.platform, found).split())
    assert "0.62 A" in text and "goes by the fuse's rating alone" in text and "READ AGAIN" not in text


def test_nothing_at_a_hundred_amps_hides_what_it_hides(barge: Circuit) -> None:
    text = " ".join(suspects_text(barge.platform, asked(barge, "BAT=0.46A", "FM=0.0mV")).split())
    assert "up to 0.42 A can hide in it: not cleared" in text and "0.15 A" not in text


def test_a_try_is_not_held_against_what_a_large_fuse_may_hide(barge: Circuit) -> None:
    """The clock out, and the draw gone: 0.2 mV at the fuse before it were its 0.45 A, and nothing was overlooked."""
    typed = TypedEvidence(
        readings=("BAT=0.46A", "FM=0.2mV"), meter="clamp", resolution="10mA", unplugged=("CLK@BAT=0.01A",)
    )
    found = diagnose(barge, evidence_typed(barge.platform, typed), {})
    assert found.tests.choices == () or all(test.action.doing != "read-again" for test in found.tests.choices)
    assert found.misfits == () and behind(found, "CLK") > 0.5
