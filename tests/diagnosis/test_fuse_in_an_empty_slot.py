"""A fuse where the sheets have none for this vehicle: a bar is fed backwards through it."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.empty_slots import fuses_where_none_belongs
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.numbers import explain_text
from circuitmap.reports.suspects.suspects_json import suspects_json
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
    assert "Then leave it out, mark the slot, and log a night." in text and "Its inputs" not in text
    assert not found.misfits and "unexplained" not in text


def test_the_hands_in_it_make_it_likelier_and_so_does_the_word(pickup: Circuit) -> None:
    unread = told(pickup, *READ, WITHOUT)[0]
    chance = {part.part: part.probability for part in unread.parts}["CAB.F7"]
    for entry in ("fitted: [F7]", "in-slot: {F7: 20A mini}", "read: {F7: draws}"):
        found = told(pickup, *READ, WITHOUT, f"at: 09:48, {entry}")[0]
        assert {part.part: part.probability for part in found.parts}["CAB.F7"] > max(0.5, chance)


def test_a_relay_that_the_bar_is_fed_past_looks_closed(pickup: Circuit) -> None:
    assert extra(pickup, HOOK=False)["CAB.F7"].fed_past == {"CAB.K2"}
    found, _ = told(pickup, *READ, WITHOUT, BOTH, "at: 09:55, relays: {K2: stuck}")
    assert leading(found) == ("extra-fuse", "CAB.F7") and found.parts[0].probability > 0.9


def test_where_equipment_decides_which_of_the_two_it_is_that_is_asked(pickup: Circuit) -> None:
    out = ("at: 09:50, out: [K2]", "at: 10:05, read: {BAT: 0.47A}", "at: 10:06, back: [K2]")
    found, _ = told(pickup, *READ, *out, "at: 10:20, read: {BAT: 0.47A}")
    assert {world.subject.about for world in found.worlds} == {"CAB.F6", "CAB.F7"}
    assert "SAY FIRST Is HOOK (towing pack) fitted?" in " ".join(suspects_text(pickup.platform, found).split())


def test_what_is_normal_is_told_of_the_battery_as_it_was_read() -> None:
    """With the pack a second battery stands beside the first, and both are one place: read was the first alone."""
    two = TOWS.replace("battery BAT 70Ah", "battery BAT 70Ah\nbattery TRAIL 50Ah if HOOK\nfuse LINK 60A if HOOK")
    its = circuit_from(f"{two}BAT.+ -> LINK -> TRAIL.+ if HOOK\nTRAIL.- -> case if HOOK\n")
    out = ("at: 09:50, out: [K2]", "at: 10:05, read: {BAT: 0.47A}", "at: 10:06, back: [K2]")
    found, _ = told(its, *READ, *out, "at: 10:20, read: {BAT: 0.47A}")
    assert found.worlds and set(found.tests.normal_at) == {"BAT"}
    assert "SAY FIRST" in suspects_text(its.platform, found)


NO_SLOT = "\n".join(line for line in TOWS.splitlines() if not line.startswith("fuse CAB.F7"))
NO_SLOT = NO_SLOT.replace(" feeds CAB.F7, CAB.K2.30", " feeds CAB.K2.30").replace(
    "CAB.F6, CAB.F7 -> SP1", "CAB.F6 -> SP1"
)
NO_SLOT = NO_SLOT.replace("CAB.F6, CAB.K2.87\n", "CAB.F6\n").replace(
    "CAB.K2.85 ->", "CAB.K2.87 -> CAB.B2\nCAB.K2.85 ->"
)
NO_SLOT = NO_SLOT.replace("fuse CAB.F6 empty if HOOK\n", "").replace(" if not HOOK", "")


@pytest.mark.parametrize("more", [(), ("at: 10:06, back: [K2]", "at: 10:20, read: {BAT: 0.47A}")])
def test_a_relay_that_a_try_cleared_leads_no_more_whatever_its_volts_said(more: tuple[str, ...]) -> None:
    """Two loads at what they take awake, on one bar that should be dead, have one cause: something feeds the bar."""
    its = circuit_from(f"{NO_SLOT}\n")
    stuck = (*READ, "at: 09:47, relays: {K2: stuck}")
    assert leading(told(its, *stuck)[0]) == ("contact", "CAB.K2")
    found, _ = told(its, *stuck, "at: 09:50, out: [K2]", "at: 10:05, read: {BAT: 0.47A}", *more)
    assert leading(found)[1].startswith("wire at CAB.B2")
    assert {part.part: part.probability for part in found.parts}["CAB.K2"] < 0.2
    assert not any(fault.part.startswith("wire at CAB.B2") for fault in told(its, *stuck)[0].faults)


def test_an_empty_socket_on_that_bar_speaks_against_nothing() -> None:
    its = circuit_from(f"{NO_SLOT}\n")
    found, _ = told(its, *READ, "at: 09:46, read: {F6: 0.00A}")
    assert leading(found) == ("contact", "CAB.K2") and found.parts[0].probability > 0.5


@pytest.mark.parametrize(("f6", "f7"), [("0.47A", "0.47A"), ("0.48A", "0.46A"), ("0.46A", "0.48A")])
def test_two_readings_in_a_row_on_one_way_are_not_added_up(pickup: Circuit, f6: str, f7: str) -> None:
    found, _ = told(pickup, *READ, WITHOUT, f"at: 09:50, read: {{F6: {f6}, F7: {f7}}}")
    assert not found.contradictions and found.netted.loose["CAB.F6"] == "CAB.F7"
    assert found.netted.loose["CAB.F1"] == found.netted.loose["CAB.F2"] == "CAB.F6"
    assert found.account is not None and abs(found.account.left) < 0.02


def test_a_sign_is_typed_where_the_meter_shows_it_the_other_way_round(pickup: Circuit) -> None:
    """F6 feeds the bar through F7: minus at the bar's side. With no fault that does so it is a reading to look into."""
    found, _ = told(pickup, *READ, WITHOUT, "at: 09:50, read: {F6: -0.47A, F7: 0.47A}")
    assert leading(found) == ("extra-fuse", "CAB.F7") and not found.contradictions
    assert found.netted.readings["CAB.F6"].amps == 0.47
    sound = circuit_from(f"{NO_SLOT}\n")
    turned, _ = told(sound, *READ, "at: 09:50, read: {F6: -0.47A}")
    assert [clash.place for clash in turned.contradictions] == ["CAB.F6"]


def test_a_bar_that_is_fed_backwards_is_live_with_the_key_off(pickup: Circuit) -> None:
    found, _ = told(pickup, *READ, WITHOUT, BOTH)
    text = " ".join(suspects_text(pickup.platform, found).split())
    assert "live with the key off" in text
    other, _ = told(circuit_from(f"{NO_SLOT}\n"), *READ)
    assert "live with the key off" not in suspects_text(pickup.platform, other)


def test_the_caution_stands_at_each_step_on_that_bar_in_text_and_json(pickup: Circuit) -> None:
    found, _ = told(pickup, *READ, WITHOUT)
    steps = {its["action"]: its["cautions"] for its in suspects_json(pickup.platform, found, 5)["tests"]}
    at = {action for action, care in steps.items() if "fed-backwards" in {one["code"] for one in care}}
    assert at == steps.keys() - {"look"} and {"read-fuse", "relay-volts"} <= at
    assert suspects_text(pickup.platform, found).count("may be live with the key") == len(at)


def test_its_explanation_names_what_is_fed_by_it(pickup: Circuit) -> None:
    found, _ = told(pickup, *READ, WITHOUT, BOTH)
    said = " ".join(explain_text(pickup.platform, found, 1).split())
    assert "a fuse where the sheet has none for this vehicle; COOLC, HEATC and TSOCK are fed through it" in said
