"""A module that takes much awake, by one typed figure, may hang between asleep and awake: what is read there is no proof
that it is not the one."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

CART = """
platform "Ostrel Cart" sleep 5min..10min limit 50mA
battery BAT 90Ah
fuse F1 30A regular, F2 10A mini
module CHG "trailer charger (converter)" supply 1 ground 2 asleep 3mA AWAKE
heater LOAD "step heater" running 2A
switch S positions off, on closes 1 to 2 in on
module CLK "clock" supply 1 ground 2 asleep 5mA awake 120mA
ground GND
BAT.+ -> F1 -> CHG.1
F1 -> S.1
S.2 -> LOAD.1
LOAD.2 -> GND
CHG.2 -> GND
BAT.+ -> F2 -> CLK.1
CLK.2 -> GND
BAT.- -> GND
"""


def asked(awake: str) -> tuple[Diagnosis, str, str]:
    its = circuit_from(CART.replace("AWAKE", awake))
    typed = TypedEvidence(readings=("BAT=0.63A", "F1=0.62A", "F2=0.01A"), meter="clamp", resolution="10mA")
    found = diagnose(its, evidence_typed(its.platform, typed), {})
    return found, suspects_text(its.platform, found), str(suspects_json(its.platform, found, 20)["classes"])


def chance_of(found: Diagnosis, part: str) -> float:
    return sum(its.probability for its in found.parts if its.part == part)


def test_of_one_figure_awake_it_may_hang_in_between() -> None:
    found, text, data = asked("awake 15A")
    half = [fault for fault in found.faults if fault.half_awake]
    assert [fault.part for fault in half] == ["CHG"]
    assert chance_of(found, "CHG") > 0.01 and "NOT CHG" not in text
    assert "hangs between asleep and awake" in data and "'half_awake': True" in data


@pytest.mark.parametrize("awake", ["awake 5A..15A", "awake 300mA", ""])
def test_a_range_a_small_figure_or_none_needs_no_more(awake: str) -> None:
    found, _, _ = asked(awake)
    assert not any(fault.half_awake for fault in found.faults)


def test_it_is_rarer_than_what_is_on_no_sheet() -> None:
    found, _, _ = asked("awake 15A")
    assert chance_of(found, "CHG") < chance_of(found, "something on F1")


def test_the_two_ways_in_which_it_hangs_share_its_odds() -> None:
    one, other = asked("awake 15A")[0], asked("awake 5A..15A")[0]
    odds = [sum(f.odds for f in its.faults if f.kind == "by-itself" and f.part == "CHG") for its in (one, other)]
    assert odds[0] == pytest.approx(odds[1])
