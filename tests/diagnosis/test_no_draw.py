"""When nothing draws too much: the limit that the total was held to, whether the meter could tell, and no more
hunting."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.circuit.told import circuit as made_up
from tests.diagnosis.cards import after, circuit

CAR = """
battery BAT 60Ah
box CAB
bar CAB.B feeds CAB.F1, CAB.F2
fuse CAB.F1 10A mini, CAB.F2 10A mini
module ONE supply 1 ground 2 asleep 2mA awake 0.4A
BAT.+ -> CAB.B
CAB.F1 -> ONE.1
ONE.2 -> BODY
"""
HUNTING = ("Look round", "Clamp the feed", "Read CAB", "keep the total on the clamp")


def asked(its: Circuit, total: str, meter: str) -> Diagnosis:
    return diagnose(its, Evidence(readings=(written_reading(its.platform, f"BAT={total}", meter_named(meter)),)))


def said(its: Circuit, total: str, meter: str = "low-current-clamp") -> str:
    return " ".join(suspects_text(its.platform, asked(its, total, meter)).split())


def test_the_limit_is_named_and_there_is_no_more_hunting() -> None:
    van = said(circuit("van"), "0.030A")
    assert "NO DRAW FOUND while we watched: 30 mA, and the limit is 50 mA (this platform's)." in van
    assert "NEXT (to show that nothing draws) 1 Log the total overnight" in van
    assert "mean 50 mA or less no draw" in van
    assert not any(word in van for word in HUNTING)
    assert "a finer" not in van and "low-current clamp" not in van


def test_a_platform_without_a_limit_is_held_to_a_usual_one() -> None:
    assert "the limit is 50 mA (a usual one, not this vehicle's own)." in said(made_up(CAR), "0.010A")


def test_a_meter_that_cannot_tell_the_limit_is_said_to_be_too_coarse() -> None:
    van = said(circuit("van"), "0.03A", "clamp")
    assert "not shown yet: 0.03 A, and the limit is 0.05 A (this platform's); this meter can be off 0.07 A." in van
    assert "1 Read the total again with a low-current clamp (to 1 mA), or with a meter in series" in van
    step = van[van.index("1 Read the total again") : van.index(" 2 ", van.index("1 Read the total again"))]
    assert step.count("Zero just before and after moving") == 1, "the longer of two cautions says it all"
    assert "jaws clean and closed" in step
    assert "Meter in series: 10 A range, never mA" in van.partition(" 2 ")[0]
    assert "When no draw is shown: charge the battery full" in van
    assert not any(word in van for word in HUNTING)


def test_several_turns_are_asked_for_where_no_clamp_can_tell_the_limit() -> None:
    assert "several turns of the cable through its jaws" in said(circuit("motorcycle"), "0.002A")
    assert "several turns" not in said(circuit("van"), "0.03A", "clamp")


def test_the_battery_is_tested_by_volts_with_a_limit_and_its_leads_stay_on_until_then() -> None:
    van = said(circuit("van"), "0.030A")
    assert "12.5 V or more, at most 0.1 V lost it holds its charge" in van
    assert "near 10.5 V a shorted cell" in van
    assert "(common practice, no source)" in van
    assert "13.8 to 14.8 V it is charged" in van
    assert "Its leads stay on until no draw is shown" in van
    assert "Do not disconnect it first" not in van
    truck = said(circuit("truck"), "0.010A")
    assert "27.6 to 29.6 V it is charged" in truck and "over 0.2 V between two in series" in truck
    assert "over 0.2 V" not in van.partition("Engine running")[0]


def test_after_a_night_of_log_none_is_asked_for() -> None:
    its = after("van/jobs/0420")
    text = " ".join(suspects_text(circuit("van").platform, its).split())
    assert "NO DRAW FOUND while we watched (14 hours): 31 mA" in text
    assert "overnight" not in text


def test_after_a_look_round_that_found_nothing_there_is_still_no_hunting() -> None:
    its = after("van/jobs/0420", 3)
    text = suspects_text(circuit("van").platform, its)
    assert "NO DRAW FOUND while we watched: 31 mA" in text
    assert not any(word in text for word in HUNTING)


@pytest.mark.parametrize(
    ("total", "meter", "shown"), [("0.030A", "low-current-clamp", True), ("0.03A", "clamp", False)]
)
def test_programs_are_told_the_same(total: str, meter: str, shown: bool) -> None:
    its = circuit("van")
    answer = suspects_json(its.platform, asked(its, total, meter), 5)
    assert answer["no_draw"]["limit"] == 0.05 and answer["no_draw"]["limit_is_usual"] is False
    assert answer["no_draw"]["shown"] is shown
    assert answer["tests"] == []


def test_where_something_draws_nothing_is_said_of_a_limit() -> None:
    its = circuit("van")
    answer = suspects_json(its.platform, asked(its, "0.90A", "clamp"), 5)
    assert answer["no_draw"] is None and answer["tests"]
