"""What holds a network: pins that wake before pins that are only read; an open wire as the open switch; what was out
for nothing is out of it."""

from itertools import permutations
from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.questions import open_platform
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_volts_anywhere import WAKE_LINE
from tests.diagnosis.test_wires_that_are_left import chances, told

CAB = """\
platform "Small loader" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3
key IGN positions off, run closes 30 to 15 in run
module CTRL "cab controller" supply 1 ground 2 {pins} asleep 2mA awake 300mA
module HYD "hydraulics" supply 1 ground 2 wake 4 by plus sense 15 asleep 2mA awake 150mA
switch DOOR "door contact" positions shut, open closes 1 to 2 in open
switch WIPE "wiper switch" positions off, on closes 1 to 2 in on
switch SEAT "seat switch" positions empty, occupied closes 1 to 2 in occupied
horn HORN running 4A
switch HORNSW positions rest, pressed closes 1 to 2 in pressed
ground G1
network NET can members CTRL (8, 9), HYD (8, 9) listens
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.B1 -> IGN.30 in RD 2
CAB.F1 -> CTRL.1 in RD 1
CAB.F2 -> HYD.1 in RD 1
CAB.F3 -> HORN -> HORNSW.1 in RD 1
HORNSW.2 -> G1 in BN 1
IGN.15 -> HYD.4 in BK 1
DOOR.1 -> CTRL.5 in GY 0.5
WIPE.1 -> CTRL.14 in GN 0.5
SEAT.1 -> HYD.15 in WH 0.5
DOOR.2, WIPE.2, SEAT.2, CTRL.2, HYD.2 -> G1 in BN 1
CTRL.8 -> HYD.8 in YE 0.35
CTRL.9 -> HYD.9 in GN 0.35
"""
PAPERS = Path(__file__).parents[1] / "papers"
LOCKED = "at: 08:00, state: locked"


def asked(pins: str, *entries: str) -> Diagnosis:
    return told(circuit_from(CAB.replace("{pins}", pins)), LOCKED, *entries)[0]


def test_an_input_that_wakes_nothing_by_the_sheet_is_never_level_with_one_that_does() -> None:
    read = "at: 09:00, read: {BAT: 0.45A, F1: 0.30A, F2: 0.15A, F3: 0A}"
    named = chances(asked("wake 5 by ground sense 14", read))
    silent = chances(asked("sense 5, 14", read))
    assert named["WIPE"] < 0.05 * named["DOOR"] and named["WIPE"] < 0.05 * named["CTRL"]
    assert silent["WIPE"] == pytest.approx(silent["DOOR"])  # where no pin is named, nobody knows


def test_a_module_that_is_awake_alone_stands_before_what_it_only_reads() -> None:
    read = "at: 09:00, read: {BAT: 0.152A, F1: 0A, F2: 0.15A, F3: 0A}"
    out = ("at: 09:10, out: [F2]", "at: 09:40, read: {BAT: 2mA}")
    back = ("at: 09:45, back: [F2]", "at: 10:20, read: {BAT: 4mA}")
    for entries in ((read,), (read, *out), (read, *out, *back)):
        its = chances(asked("wake 5 by ground sense 14", *entries))
        assert its["HYD"] > 3.0 * its.get("SEAT", 0.0)


def test_what_the_live_data_show_wrong_is_wrong_whatever_a_sheet_says_of_its_pin() -> None:
    read = "at: 09:00, read: {BAT: 0.45A, F1: 0.30A, F2: 0.15A, F3: 0A}"
    its = chances(asked("wake 5 by ground sense 14", read, "at: 09:05, inputs: {WIPE: wrong}"))
    assert its["WIPE"] > its["DOOR"]


def test_an_open_wire_shows_at_its_pin_what_the_open_switch_shows() -> None:
    its = circuit_from(WAKE_LINE)
    read = (LOCKED, "at: 09:00, read: {BAT: 0.602A, F1: 0.12A, F2: 0.18A, F3: 0.30A, F4: 0A}")
    seen = (*read, "at: 09:05, inputs: {HATCHSW: wrong}")
    wire = "wire HATCHSW.1 to HATCH.6"
    before = chances(told(its, *seen)[0])
    found = told(its, *seen, "at: 09:08, volts: {HATCH.6: 11.8V}")[0]
    after = chances(found)
    assert after[wire] / after["HATCHSW"] == pytest.approx(before[wire] / before["HATCHSW"])
    answer = " ".join(suspects_text(its.platform, found).split())
    assert f"NOT {wire}" not in answer and wire in answer


@pytest.mark.parametrize("order", list(permutations(("DOOR", "HORNSW"))))
def test_of_two_that_are_out_only_what_took_something_away_is_settled(order: tuple[str, str]) -> None:
    left = {("DOOR",): "0.10A", ("HORNSW",): "0.55A", ("DOOR", "HORNSW"): "0.10A"}
    entries = ["at: 09:00, read: {BAT: 0.55A, F1: 0.30A, F2: 0.15A, F3: 0.10A}"]
    out: tuple[str, ...] = ()
    for n, name in enumerate(order):
        out = tuple(sorted((*out, name)))
        entries += [f"at: 1{n}:00, out: [{name}]", f"at: 1{n}:50, read: {{BAT: {left[out]}}}"]
    found = asked("wake 5 by ground sense 14", *entries)
    assert found.settled is not None
    assert found.settled.tried.attempt.out == ("DOOR",)


def test_what_was_not_cleared_stays_named_as_what_holds_it() -> None:
    """Plus on a wake wire wakes the body network alone: it is named also while the network beside it leads."""
    text = (
        WAKE_LINE.replace("network BODY", "network DRIVE can members GATE (7, 8) listens, ENG (7, 8) drives\nnetwork BODY")
        .replace("ground G1\n", 'ground G1\nmodule ENG "engine control" supply 1 ground 2 asleep 1mA awake 1mA\n'
                 "gateway GATE joins DRIVE, BODY passes DRIVE to BODY\n", 1)
        + "CAB.F4 -> ENG.1\nENG.2 -> G1\nGATE.7 -> ENG.7\nGATE.8 -> ENG.8\n"
    )  # fmt: skip
    its = circuit_from(text)
    read = "at: 09:00, read: {BAT: 0.425A, F2: 0A}, steady: yes"
    found = told(its, LOCKED, read)[0]
    answer = " ".join(suspects_text(its.platform, found).split())
    assert "HELD BY" in answer and "foreign plus on the wake wire at GATE.12" in answer


def test_the_loader_s_inputs_that_wake_nothing_stand_behind_the_door() -> None:
    """Of a stranger's job: pins 4 and 5 wake the cab controller, its other inputs do not."""
    its = circuit_of(open_platform(PAPERS / "loader" / "text"))
    read = "at: 09:00, read: {G: 1.091A}, steady: yes"
    found = chances(told(its, LOCKED, read, B=False, T=False, H=False)[0])
    assert found["S6"] > 10.0 * max(found.get("S17", 0.0), found.get("S20", 0.0))
