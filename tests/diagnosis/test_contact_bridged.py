"""A contact that is wrong by being open is bridged: a step of its own, with what was found by it weighed."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.switched import switching_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.planned import PlannedTest
from circuitmap.reports.bay.steps import take_out, tap_of
from circuitmap.reports.suspects.proving import to_mend
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import cautions_of
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_opening_contact import READ, cabin
from tests.diagnosis.test_wires_that_are_left import chances, told

SEEN = "at: 09:05, volts: {DOORC.5: 11.9V}"
BAD, FINE = "at: 09:30, tested: {DOOR: bad}", "at: 09:30, tested: {DOOR: fine}"


@pytest.fixture(scope="module")
def opens() -> Circuit:
    return cabin(" by opening", "shut")


def diagnosed(its: Circuit, *entries: str) -> Diagnosis:
    return told(its, *READ, *entries)[0]


def bridging(found: Diagnosis) -> list[PlannedTest]:
    return [test for test in found.tests.choices if test.action.doing == "bridge"]


def test_it_is_offered_where_the_contact_may_be_open_with_its_pins_minutes_and_cautions(opens: Circuit) -> None:
    found = diagnosed(opens)
    [test] = bridging(found)
    assert test.action.parts == ("DOOR",)
    assert {branch.outcome: branch.part for branch in test.branches}["goes"] == "DOOR"
    codes = {told.code for told in cautions_of(opens.platform, switching_of(opens), test.action)}
    assert {"jumper", "before-parting"} <= codes
    said = " ".join(suspects_text(opens.platform, found).split())
    assert (
        "Part the plug of DOOR, door contact, and bridge 1 and 2 in the half with the wires, fused jumper only. 14 min"
        in said
    )


def test_a_tap_writes_what_was_seen_and_not_that_it_is_out(opens: Circuit) -> None:
    [test] = bridging(diagnosed(opens))
    assert tap_of(test, "goes").lines == ("tested DOOR bad",)
    assert tap_of(test, "stays with it").lines == ("tested DOOR fine",)
    assert take_out(test.action) == ""


def test_it_is_offered_for_no_contact_that_is_wrong_by_being_closed() -> None:
    assert not bridging(diagnosed(cabin("", "open"), "at: 09:05, volts: {DOORC.5: 0.0V}"))


def test_once_bridged_the_contact_or_its_wire_is_left(opens: Circuit) -> None:
    before, bad, fine = (chances(diagnosed(opens, SEEN, *more)) for more in ((), (BAD,), (FINE,)))
    assert bad["DOOR"] > before["DOOR"] and fine.get("DOOR", 0.0) < 0.3 * before["DOOR"]
    wire = [sum(its for name, its in one.items() if name.startswith("wire DOOR")) for one in (fine, bad)]
    assert wire[0] > 5.0 * wire[1]
    assert not bridging(diagnosed(opens, FINE)), "it was done"


def test_its_proof_bridges_it_and_never_takes_it_out(opens: Circuit) -> None:
    said = to_mend(opens.platform, diagnosed(opens, SEEN, BAD), "DOOR")
    assert "1 and 2 bridged in the half with the wires, the draw is gone" in said and "is it really at" not in said
    closes = cabin("", "open")
    assert "is it really at shut" in to_mend(closes.platform, diagnosed(closes), "DOOR")


def test_a_contact_to_the_body_is_bridged_to_ground() -> None:
    its = circuit_from(BODY)
    entries = (
        "at: 08:00, state: locked",
        "at: 09:00, read: {BAT: 0.30A, F1: 0.30A}",
        "at: 09:05, out: [M]",
        "at: 09:30, total: 0.00A",
    )
    found = told(its, *entries)[0]
    [test] = bridging(found)
    said = " ".join(suspects_text(its.platform, found).split())
    assert test.action.parts == ("HOOD",) and "bridge 1 to ground in the half with the wires" in said


BODY = """\
platform "Harvester" sleep 5min..10min limit 30mA
battery BAT 95Ah
fuse F1 10A mini
module M "alarm" supply 1 ground 2 wake 3 by opening asleep 2mA awake 300mA
switch HOOD "hood contact" positions shut, open closes 1 to case in shut
BAT.+ -> F1 -> M.1
M.2 -> case
BAT.- -> case
HOOD.1 -> M.3
"""
