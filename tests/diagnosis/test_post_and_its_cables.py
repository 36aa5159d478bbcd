"""What is missing before all fuses is sought at the post, with each cable that begins there, in one step; and before a
box behind whose feeder less is missing."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.doing import Doing
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest, cable_tells_more
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import asked, circuit_from
from tests.diagnosis.test_steps_worth_doing import steps

DRESSER = """\
platform "Redwing Dresser 3" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 90Ah reach 3min
box CAB "cab panel" reach 2min
fuse M1 60A bolted "cab panel", M2 40A bolted "crane"
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini
bar CAB.B1 feeds CAB.F1..F4
module VCM "vehicle control" supply 1 ground 2 asleep 2mA awake 180mA reach 12min
lamp CABL "cab lamp" running 450mA
switch LSW "cab lamp switch" positions off, on closes 1 to 2 in on reach 3min
heater WARM "seat heater" running 3A
switch WSW "seat heater switch" positions off, on closes 1 to 2 in on reach 3min
alternator ALT "alternator, 60 A" supply B+ ground 31 reach 9min
starter STA "starter motor" supply 30 ground 31 reach 12min
sheet "1"
BAT.+ -> M1 -> CAB.B1
BAT.+ -> M2 -> WSW.1
BAT.+ -> STA.30
BAT.+ -> ALT.B+
WSW.2 -> WARM -> case
CAB.F1 -> VCM.1
CAB.F2 -> LSW.1
LSW.2 -> CABL -> case
VCM.2, ALT.31, STA.31 -> case
BAT.- -> case
"""
ROW = ("read-box", ("CAB.F1", "CAB.F2", "CAB.F3", "CAB.F4"))


@pytest.fixture(scope="module")
def dresser() -> Circuit:
    return circuit_from(DRESSER)


def post_of(found: Diagnosis) -> tuple[str, ...]:
    return next((parts for doing, parts in steps(found) if doing == "at-the-post"), ())


def test_more_missing_before_the_box_than_behind_it_is_sought_first(dresser: Circuit) -> None:
    found = asked(dresser, "BAT=0.20A", "M1=0.07A", "M2=0A")
    assert steps(found)[0][0] != "read-box" and ROW in steps(found)
    behind = asked(dresser, "BAT=0.20A", "M1=0.20A", "M2=0A")
    assert steps(behind)[0] == ROW


def test_the_post_and_its_cables_are_one_step(dresser: Circuit) -> None:
    found = asked(dresser, "BAT=0.20A", "M1=0.07A", "M2=0A")
    assert steps(found)[0] == ("at-the-post", ("BAT", "ALT", "STA"))
    assert not any(doing == "clamp" and set(parts) <= {"ALT", "STA"} for doing, parts in steps(found))
    first = found.tests.choices[0]
    assert first.branches[0].outcome == "found" and first.branches[0].probability >= 0.6
    assert first.action.minutes < 15.0  # by hand: 8 to look, 3 to get there, half a minute each cable
    said = " ".join(suspects_text(dresser.platform, found).split())
    assert "Clamp each cable by itself, those of ALT and STA among them." in said
    assert "What each of those carries: ALT=..A STA=..A." in said and "STA warm" not in said


def test_a_cable_that_begins_at_another_is_one_of_them() -> None:
    chained = circuit_from(DRESSER.replace("BAT.+ -> ALT.B+", "STA.30 -> ALT.B+"))
    found = asked(chained, "BAT=0.20A", "M1=0.07A", "M2=0A")
    assert steps(found)[0] == ("at-the-post", ("BAT", "ALT", "STA"))


def test_a_cable_that_was_read_is_not_named_again(dresser: Circuit) -> None:
    assert "STA" not in post_of(asked(dresser, "BAT=0.20A", "M1=0.07A", "M2=0A", "STA=0A"))


def test_what_is_found_there_ends_it(dresser: Circuit) -> None:
    found = asked(dresser, "BAT=0.20A", "M1=0.07A", "M2=0A", "STA=0A", "ALT=0.13A")
    assert not post_of(found) and max(found.parts, key=lambda its: its.probability).part == "ALT"


def test_a_cable_behind_a_fuse_is_none_of_the_posts() -> None:
    fused = circuit_from(DRESSER.replace("BAT.+ -> ALT.B+", "M2.2 -> ALT.B+"))
    assert "ALT" not in post_of(asked(fused, "BAT=0.20A", "M1=0.07A", "M2=0A"))


def planned(doing: Doing, *branches: tuple[str, float, str, float]) -> PlannedTest:
    told = tuple(OutcomeBranch(outcome, its, part, then) for outcome, its, part, then in branches)
    return PlannedTest(Action(doing, ("X",), 5.0, 5.0, 0.0), 0.1, told)


def test_a_row_that_changes_nothing_comes_after_the_cable_that_does() -> None:
    same = planned("read-box", ("none draws", 0.8, "STA", 0.42), ("only F1", 0.2, "STA", 0.41))
    parts = planned("read-box", ("none draws", 0.8, "STA", 0.42), ("only F1", 0.2, "VCM", 0.9))
    cable = planned("clamp", ("quiet", 0.6, "ALT", 0.5), ("most", 0.4, "STA", 0.9))
    idle = planned("clamp", ("quiet", 0.6, "STA", 0.42), ("most", 0.4, "STA", 0.41))
    pulled = planned("pull-fuses", ("normal", 0.6, "ALT", 0.5), ("stays", 0.4, "STA", 0.9))
    assert cable_tells_more(same, [cable])
    assert not any((cable_tells_more(parts, [cable]), cable_tells_more(same, [idle]), cable_tells_more(same, [pulled])))
    assert not cable_tells_more(same, [])
