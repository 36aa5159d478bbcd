"""What is left of a feeder for the one fuse behind it that nobody may read is told, with what takes just that."""

from functools import cache
from itertools import chain

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import asked, circuit_from

FLOAT = """\
platform "Linnet Float 2" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 90Ah
key IGN positions off, run closes 30 to 15 in run
box CAB "cab panel"
fuse M1 60A bolted, M2 40A bolted
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini
bar CAB.B1 feeds CAB.F1..F3
module VCM "vehicle control" supply 1 ground 2 asleep 2mA awake 180mA
module DISP "display" supply 1 ground 2 asleep 2mA awake 120mA
module SIDE "side control" supply 1 ground 2 asleep 1mA awake 110mA hands-off restraint
heater WARM running 3A
switch WSW positions off, on closes 1 to 2 in on
network BUS can members VCM (5, 6), DISP (5, 6), SIDE (5, 6)
sheet "1"
BAT.+ -> M1 -> CAB.B1
BAT.+ -> M2 -> WSW.1
M1.2 -> IGN.30
IGN.15 -> CAB.F4
WSW.2 -> WARM -> case
CAB.F1 -> VCM.1
CAB.F2 -> DISP.1
CAB.F3 -> SIDE.1
VCM.2, DISP.2, SIDE.2 -> case
BAT.- -> case
"""
ROW = {"F1": "0.18A", "F2": "0.12A"}


@cache
def floating(text: str = FLOAT) -> Circuit:
    return circuit_from(text)


def told(m1: str, its: Circuit | None = None, **row: str) -> Diagnosis:
    read = [f"CAB.{name}={amps}" for name, amps in {**ROW, **row}.items()]
    return asked(its or floating(), f"BAT={m1}", f"M1={m1}", "M2=0A", *read)


def sentence(found: Diagnosis, its: Circuit) -> str:
    lines = suspects_text(its.platform, found).split("\n")
    return next((line for line in chain(lines) if "is left for" in line), "")


def test_the_rest_is_told_with_what_takes_just_that() -> None:
    found = told("0.41A")
    assert [(one.place, one.feeder, [t.part for t in one.takers]) for one in found.left_for_one] == [
        ("CAB.F3", "M1", ["SIDE"])
    ]
    assert found.left_for_one[0].amps == pytest.approx(0.11)
    said = " ".join(suspects_text(floating().platform, found).split())
    assert (
        "About 0.11 A of M1 is left for CAB.F3, which is not read here: SIDE awake takes 0.11 A, as typed in." in said
    )
    its = suspects_json(floating().platform, found, 3)["left_for_one"]
    assert [(one["place"], one["takers"]) for one in its] == [("CAB.F3", [{"part": "SIDE", "takes": "awake"}])]


def test_what_nothing_takes_is_told_without_a_name() -> None:
    found = told("0.60A")
    assert [one.takers for one in found.left_for_one] == [()]
    assert "or hides where nothing showed" in " ".join(suspects_text(floating().platform, found).split())


def test_within_what_the_readings_are_off_nothing_is_left() -> None:
    assert told("0.33A").left_for_one == ()


def test_two_that_were_not_read_or_one_that_may_be_read_are_none() -> None:
    assert told("0.41A", floating(FLOAT.replace(" hands-off restraint", ""))).left_for_one == ()
    alone = asked(floating(), "BAT=0.41A", "M1=0.41A", "M2=0A", "CAB.F1=0.18A")
    assert alone.left_for_one == ()
