"""What COUNT and its neighbours say: one zero of one clamp, what was read again, what went, what a sum accounts for, and
member lists that nobody checked. Source: the readings themselves; that a clamp's zero wanders is common practice."""

import json
from pathlib import Path

import pytest

from circuitmap.circuit.common import in_common
from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.shared_zero import shared_zero
from circuitmap.flows.questions import open_platform
from circuitmap.reports.suspects.count import seen_so_far
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

BOARD = """\
platform "Small van" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3, CAB.F4
module HEAT "heater" supply 1 ground 2 asleep 2mA awake 300mA
module RADIO "radio" supply 1 ground 2 asleep 2mA awake 150mA
module CLOCK "clock" supply 1 ground 2 asleep 2mA awake 90mA
module ALARM "alarm" supply 1 ground 2 asleep 2mA awake 90mA
ground G1
network NET can members HEAT (7, 8), RADIO (7, 8){copied}
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> HEAT.1 in RD 1
CAB.F2 -> RADIO.1 in RD 1
CAB.F3 -> CLOCK.1 in RD 1
CAB.F4 -> ALARM.1 in RD 1
HEAT.2, RADIO.2, CLOCK.2, ALARM.2 -> G1 in BN 1
HEAT.7 -> RADIO.7 in YE 0.35
HEAT.8 -> RADIO.8 in GN 0.35
"""
CLAMP = "at: 08:00, state: locked, meter: clamp, resolution: 10mA"


def answer(*entries: str, copied: str = "") -> tuple[Diagnosis, str]:
    its = circuit_from(BOARD.replace("{copied}", copied))
    found = told(its, CLAMP, *entries)[0]
    return found, " ".join(suspects_text(its.platform, found).split())


def test_three_places_with_the_same_small_current_are_the_zero_of_the_clamp() -> None:
    found, text = answer("at: 09:00, read: {BAT: 0.41A, F1: 0.06A, F2: 0.06A, F3: 0.09A, F4: 0.06A}")
    zero = shared_zero(found.netted)
    assert zero is not None and zero.amps == pytest.approx(0.06)
    assert zero.places == ("CAB.F1", "CAB.F2", "CAB.F4")
    assert seen_so_far(found).endswith(
        "CAB.F1, CAB.F2 and CAB.F4 show 0.06 A, which may be the zero of the clamp: see COUNT."
    )
    assert "Then it is 0.03 A of 0.35 A. Zero the clamp and read them again, the total too." in text
    assert suspects_json(found.hands_off.platform, found, 3)["shared_zero"]["places"] == list(zero.places)
    assert json.dumps(suspects_json(found.hands_off.platform, found, 3))


@pytest.mark.parametrize(
    "read",
    [
        "BAT: 0.41A, F1: 0.06A, F2: 0.06A, F3: 0.30A, F4: 0.00A",  # one of them shows nothing
        "BAT: 0.41A, F1: 0.02A, F2: 0.06A, F3: 0.09A, F4: 0.20A",  # they differ
        "BAT: 0.75A, F1: 0.25A, F2: 0.25A, F3: 0.25A, F4: 0.00A",  # too much for a zero
        "BAT: 0.41A, F1: 0.01A, F2: 0.01A, F3: 0.01A, F4: 0.38A",  # the last digit
    ],
)
def test_other_readings_are_no_zero(read: str) -> None:
    found, text = answer(f"at: 09:00, read: {{{read}}}")
    assert shared_zero(found.netted) is None and "the zero of the clamp" not in text


def test_millivolts_share_no_zero() -> None:
    assert shared_zero(answer("at: 09:00, read: {BAT: 0.41A, F1: 0.4mV, F2: 0.4mV, F3: 0.4mV}")[0].netted) is None


def test_what_was_read_again_at_this_total_is_not_asked_for_again() -> None:
    before = "at: 09:00, total: 0.60A, read: {F1: 0.30A, F2: 0.15A}"
    _, once = answer(before, "at: 09:20, total: 0.35A")
    assert "CAB.F1 and CAB.F2 belong to another state" in once
    _, again = answer(before, "at: 09:20, total: 0.35A, read: {F1: 0.10A}")
    assert "CAB.F2 belongs to another state" in again and "CAB.F1 belong" not in again


def test_what_went_with_something_out_is_found() -> None:
    added = "at: 09:10, added: {tool charger: BAT}"
    read = "at: 09:00, read: {BAT: 0.35A, F1: 0.00A, F2: 0.00A, F3: 0.00A, F4: 0.00A}"
    _, before = answer(read, added)
    assert "Not found yet 0.35 A" in before
    _, since = answer(read, added, "at: 09:20, out: [tool charger]", "at: 10:00, total: 0.01A")
    assert "Not found yet" not in since and "0.34 A went with tool charger out" in since
    _, nothing = answer(read, added, "at: 09:20, out: [CLOCK]", "at: 10:00, total: 0.35A")
    assert "Not found yet 0.35 A" in nothing


def test_a_zero_hides_no_more_than_the_sum_leaves() -> None:
    living = Path(__file__).parents[2] / "sample_vehicles" / "motorhome"
    its = circuit_of(open_platform(living))
    start = ("at: 09:00, state: locked, stands: {LIVSW: on}, meter: low current clamp, resolution: 10mA, zeroed: yes",)
    fuses = "F3: 0.0mV, F5: 0.9mV, F8: 0.0mV, F9: 2.0mV, F12: 1.3mV, F13: 0.0mV, FM1: 0.05A"
    gaps = {}
    for carries in ("0.31A", "0.40A"):
        found = told(its, *start, f"at: 09:50, read: {{LEIS: 0.45A, CBL: {carries}, {fuses}}}")[0]
        gaps[carries] = {name for gap in found.incomplete if gap.kind == "hides" for name in gap.names}
    assert not gaps["0.31A"], "found to the last digit"
    assert gaps["0.40A"] == {"LIV.F3", "LIV.F8"}, "0.09 A are missing there"


def test_a_member_list_that_nobody_checked_is_named_where_the_answer_rests_on_it() -> None:
    read = "at: 09:00, read: {BAT: 0.45A, F1: 0.30A, F2: 0.15A}"
    plain, copied = answer(read), answer(read, copied=' copied "the year before"')
    assert "copied from" not in plain[1] and "NET is copied from the year before" in copied[1]
    quiet = answer("at: 09:00, read: {BAT: 0.45A, F1: 0.00A, F2: 0.00A, F3: 0.45A}", copied=' copied "the year before"')
    assert "copied from" not in quiet[1], "nothing of the answer rests on it"
    common = in_common(circuit_from(BOARD.replace("{copied}", ' copied "the year before"')), ("CAB.F1", "CAB.F2"))
    assert [gap.name for gap in common.incomplete if gap.kind == "copied"] == ["NET"]
