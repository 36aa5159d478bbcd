"""What the answer names by the circuit alone: who can hold a network, what is plugged in at a socket, what is left once a
part of the draw is settled; and what card and answer say of a try that was read at once."""

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.flows.job import next_steps
from circuitmap.jobs.job import job_on
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.suspects.step_in_words import action_words
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

AWAKE = """\
platform "Small truck" sleep 10min..25min limit 50mA
battery BAT 100Ah
fuse F1 10A mini, F2 10A mini, F3 10A mini
module LIFT "tail lift" supply 1 ground 2 {pins} asleep 1mA awake 200mA
module LAMPS "rear lamps" supply 1 ground 2 asleep 1mA awake 200mA
module GATE "gateway" supply 1 ground 2 asleep 1mA awake 200mA
{switches}
ground G1
network NET can members LIFT (8, 9), LAMPS (8, 9), GATE (8, 9)
BAT.- -> G1
BAT.+ -> F1, F2, F3 in RD 16
F1 -> LIFT.1 in RD 1
F2 -> LAMPS.1 in RD 1
F3 -> GATE.1 in RD 1
LIFT.2, LAMPS.2, GATE.2 -> G1 in BN 1
{wires}
"""
ALL_DRAW = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.60A, F1: 0.20A, F2: 0.20A, F3: 0.20A}")


def awake(switches: int) -> tuple[Diagnosis, str]:
    pins = f"wake {', '.join(str(n + 11) for n in range(switches))} by ground" if switches else ""
    names = "\n".join(f"switch S{n} positions shut, open closes 1 to 2 in open" for n in range(switches))
    wires = "\n".join(f"LIFT.{n + 11} -> S{n}.1 in GY 0.5\nS{n}.2 -> G1 in BN 0.5" for n in range(switches))
    its = circuit_from(AWAKE.format(pins=pins, switches=names, wires=wires))
    found, _ = told(its, *ALL_DRAW)
    return found, suspects_text(its.platform, found)


@pytest.mark.parametrize("switches", [1, 2, 5])
def test_every_switch_that_can_hold_the_network_is_named(switches: int) -> None:
    _, text = awake(switches)
    answer = text[text.index("MAY BE") : text.index("BY SHEETS")]
    assert all(answer.count(f"S{n}") == 1 for n in range(switches))
    assert "wire" in answer and "LIFT" in answer


def test_where_the_sheet_shows_no_such_thing_nothing_is_named() -> None:
    _, text = awake(0)
    assert "LOOK AT    the network NET" in text and "HELD BY" not in text


SOCKET = """\
platform "Small truck" sleep 10min..25min limit 50mA
battery BAT 100Ah
fuse F1 20A, F2 10A
connector X51 "cab - body" at "behind the cab"
socket X40 "trailer socket" supply 9 ground 13 at "rear"
ground G1
BAT.- -> G1
BAT.+ -> F1, F2 in RD 16
F1 -> X51.1 -> X40.9 in RD 2.5
X40.13 -> G1 in BN 2.5
"""


def test_what_is_plugged_in_at_a_socket_is_unplugged_before_a_plug_on_the_way_is_parted() -> None:
    its = circuit_from(SOCKET)
    found, _ = told(its, "at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.50A, F1: 0.48A, F2: 0A}")
    first = next(test.action for test in found.tests.choices if test.action.takes_out)
    assert (first.doing, first.parts) == ("unplug", ("X40",))
    assert "what is plugged in at X40" in action_words(its.platform, first)


TWO = """\
platform "Small van" sleep 5min..10min limit 30mA
battery BAT 95Ah
fuse F1 10A mini, F2 10A mini, F3 10A mini
alternator REG "regulator"
heater HEAT "heater" running 1A
module CTRL "controller" supply 1 ground 2 wake 5 by ground asleep 1mA awake 300mA
switch DOOR positions shut, open closes 1 to 2 in open
ground G1
BAT.- -> G1
BAT.+ -> F1, F2, F3, REG.B in RD 6
F1 -> HEAT -> G1 in GN 1
F2 -> CTRL.1 in RD 1
CTRL.2 -> G1 in BN 1
CTRL.5 -> DOOR.1 in GY 0.5
DOOR.2 -> G1 in BN 0.5
"""


def card(*entries: str) -> str:
    text = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    its = circuit_from(TWO)
    job = job_on(its.platform, *read_card(SourceFile("job.yaml", text)), its)
    return " ".join(" ".join(job_text(job, next_steps(job).lines)).split())


READ = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 1.50A, F1: 0A, F2: 0.30A, F3: 1.20A}")


@pytest.mark.parametrize("minutes", [0, 1, 3])
def test_what_only_takes_current_is_cleared_at_once_and_what_may_keep_others_awake_is_not(minutes: int) -> None:
    at = f"at: 09:{20 + minutes}, read: {{BAT: 1.50A}}"
    assert "CLEARED: REG" in card(*READ, "at: 09:20, out: [REG]", at)
    text = card(*READ, "at: 09:20, out: [DOOR]", at)
    assert "TOO EARLY: DOOR" in text and "CLEARED: DOOR" not in text


def test_once_a_part_of_the_draw_is_settled_the_answer_is_about_the_rest() -> None:
    text = card(*READ, "at: 09:20, out: [F3]", "at: 10:00, read: {BAT: 0.30A}")
    assert "LOOK AT what still draws" in text or "LOOK AT two things at once" in text
    assert "SETTLED" in text and "1.20 A of 1.50 A went" in text


def test_a_draw_that_did_not_come_back_is_not_said_to_draw() -> None:
    back = ("at: 09:20, out: [F3]", "at: 10:00, read: {BAT: 0.01A}", "at: 10:10, back: [F3]")
    assert "GONE FOR NOW, NOT REPAIRED: it draws 0.01 A" in card(*READ, *back, "at: 11:00, read: {BAT: 0.01A}")
    assert "GONE FOR NOW" not in card(*READ, *back, "at: 11:00, read: {BAT: 1.50A}")


@pytest.mark.parametrize(("total", "meter", "shows"), [("0.05A", "clamp", False), ("0.20A", "clamp", True),
                                                       ("0.050A", "low-current clamp", True)])  # fmt: skip
def test_nothing_is_taken_out_where_the_meter_could_not_show_that_it_goes(total: str, meter: str, shows: bool) -> None:
    """The limit is 0.03 A, and a clamp's zero may be off as much: what too little goes by is not worth taking out, and
    of what was, and went on, little is learnt."""
    its = circuit_from(TWO)
    found, _ = told(its, f"at: 08:00, state: locked, meter: {meter}", f"at: 09:00, read: {{BAT: {total}}}")
    assert any(test.action.takes_out for test in found.tests.choices) <= shows
    pulled, _ = told(its, f"at: 08:00, state: locked, meter: {meter}", f"at: 09:00, read: {{BAT: {total}}}",
                     "at: 09:10, out: [F1]", f"at: 10:00, read: {{BAT: {total}}}")  # fmt: skip
    moved = max(abs(after.probability - before.probability) for before in found.parts for after in pulled.parts
                if after.part == before.part)  # fmt: skip
    assert moved > 0.01 if shows else moved < 0.05


@pytest.mark.parametrize(("out", "left", "behind"), [("F1", "0.02A", True), ("F1", "0.07A", False)])
def test_how_much_went_is_known_although_the_zero_is_not(out: str, left: str, behind: bool) -> None:
    """A clamp of 10 mA whose zero is off by 30 mA or so: 0.02 and 0.07 A may both be normal. Yet what went, 0.05 A
    or nothing, it shows to a hundredth, as its zero is in both."""
    its = circuit_from(TWO)
    read = ("at: 08:00, state: locked, meter: clamp, resolution: 10mA", "at: 09:00, read: {BAT: 0.07A}")
    found, _ = told(its, *read, f"at: 09:10, out: [{out}]", f"at: 10:00, read: {{BAT: {left}}}")
    chance = sum(part.probability for part in found.parts if "HEAT" in part.part or "F1" in part.part)
    assert (chance > 0.95) if behind else (chance < 0.05)
    assert not behind or found.something_wrong > 0.8
