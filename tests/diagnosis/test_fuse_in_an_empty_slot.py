"""A fuse where the sheets have none for this vehicle: a bar is fed backwards through it."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.empty_slots import fuses_where_none_belongs
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told
from tests.power.test_parted_by_equipment import TOWS

READ = (
    "at: 09:00, state: locked",
    "at: 09:40, read: {BAT: 0.47A, MAIN: 0.47A}, steady: yes",
    "at: 09:45, read: {F1: 0.31A, F2: 0.16A}",
)
WITHOUT = "at: 09:46, absent: [HOOK]"
BOTH = "at: 09:50, read: {F6: 0.47A, F7: 0.47A}"


@pytest.fixture(scope="module")
def pickup() -> Circuit:
    return circuit_from(TOWS)


def extra(its: Circuit, **fitted: bool) -> dict[str, Fault]:
    return {one.fault.part: one.fault for one in fuses_where_none_belongs(Parked(its, fitted))}


def leading(found: Diagnosis) -> tuple[str, str]:
    fault = found.rows[0].faults[0][0]
    return fault.kind, fault.part


def test_it_feeds_the_bar_backwards_through_the_fuse_that_belongs_there(pickup: Circuit) -> None:
    fault = extra(pickup, HOOK=False)["CAB.F7"]
    of = {flow.owner: flow.way.places for flow in fault.brings}
    assert of["HEATC"] == ("CAB.F1", "CAB.F6", "CAB.F7", "CAB", "MAIN", "BAT")
    assert extra(pickup, HOOK=True)["CAB.F6"].owners == {"HEATC", "COOLC"}
    assert "CAB.F6" not in extra(pickup, HOOK=False)


def test_with_equipment_that_nobody_mentioned_either_may_be_the_one_too_many(pickup: Circuit) -> None:
    found = extra(pickup)
    assert {name: (one.others, one.perhaps) for name, one in found.items()} == {
        "CAB.F6": (("CAB.F7",), True), "CAB.F7": (("CAB.F6",), True),
    }  # fmt: skip


def test_a_spare_slot_from_which_nothing_leads_is_none() -> None:
    alone = circuit_from(TOWS.replace("CAB.F6, CAB.F7 -> SP1", "CAB.F6 -> SP1"))
    assert extra(alone, HOOK=False) == {}


def test_a_current_over_it_is_explained_by_it(pickup: Circuit) -> None:
    found, _ = told(pickup, *READ, WITHOUT, BOTH)
    assert leading(found) == ("extra-fuse", "CAB.F7") and found.parts[0].probability > 0.9
    text = " ".join(suspects_text(pickup.platform, found).split())
    assert "CAB.F7, trailer socket, permanent: a fuse where the sheet has none for this vehicle" in text
    assert not found.misfits and "unexplained" not in text


def test_the_hands_in_it_make_it_likelier_and_so_does_the_word(pickup: Circuit) -> None:
    unread = told(pickup, *READ, WITHOUT)[0]
    chance = {part.part: part.probability for part in unread.parts}["CAB.F7"]
    for entry in ("at: 09:48, fitted: [F7]", "at: 09:48, read: {F7: draws}"):
        found = told(pickup, *READ, WITHOUT, entry)[0]
        assert {part.part: part.probability for part in found.parts}["CAB.F7"] > max(0.5, chance)
