"""What keeps awake for some minutes only, by its sheet: it hardly holds a vehicle awake, but is just what draws again and
again; and then it is looked at like all others."""

from functools import cache

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

TRAILER = """\
platform "Box trailer" sleep 5min..10min limit 50mA
battery BAT 80Ah
box CAB "fuse box"
fuse CAB.F1 10A mini, CAB.F2 15A mini, CAB.F3 15A mini
module GATE "gate lock" supply 1 ground 2 wake 5 by ground for {long} asleep 3mA awake 200mA
module LIFT "tail lift" supply 1 ground 2 wake 5 by ground asleep 3mA awake 300mA
module FAN "cooling fan" supply 1 ground 2 asleep 3mA awake 600mA
switch TOUCH "touch handle" positions free, touched closes 1 to 2 in touched
switch FLAP "flap contact" positions shut, open closes 1 to 2 in open
network LIN can members GATE (10), LIFT (10), FAN (10) run-on 60s
ground G1
BAT.+ -> CAB.F1 -> GATE.1
BAT.+ -> CAB.F2 -> LIFT.1
BAT.+ -> CAB.F3 -> FAN.1
GATE.10 -> LIFT.10
LIFT.10 -> FAN.10
GATE.5 -> TOUCH.1
LIFT.5 -> FLAP.1
TOUCH.2, FLAP.2, GATE.2, LIFT.2, FAN.2 -> G1
BAT.- -> G1
"""
STEADY = "at: 09:00, total: 1.10A, steady: yes"
IN_TURN = "at: 20:00, log: {floor: 0.01A, mean: 0.45A, peak: 1.11A, period: 10min, for: 11h}"


@cache
def trailer(long: str = "3min") -> Circuit:
    read, problems = read_text(SourceFile("trailer.circuit", TRAILER.replace("{long}", long)))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return circuit_of(platform_of([read]))


def found(*entries: str, long: str = "3min") -> Diagnosis:
    text = "entries:\n" + "".join(f"- {{{entry}}}\n" for entry in ("at: 08:00, state: locked", *entries))
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(trailer(long).platform, card)
    assert (*problems, *more) == ()
    return diagnose(trailer(long), evidence)


def chance(its: Diagnosis, part: str) -> float:
    return next((one.probability for one in its.parts if one.part == part), 0.0)


def text_of(its: Diagnosis) -> str:
    return " ".join(suspects_text(trailer().platform, its).split())


def test_a_steady_draw_is_hardly_held_by_it() -> None:
    its = found(STEADY)
    assert chance(its, "TOUCH") < 0.3 * chance(its, "FLAP")
    assert "hardly TOUCH" in text_of(its)


def test_what_comes_again_and_again_is_just_that() -> None:
    its = found(IN_TURN)
    assert chance(its, "TOUCH") > chance(its, "FLAP")
    text = text_of(its)
    assert "hardly" not in text and "up 4 min each time, as what comes at GATE.5 wakes" in text


@pytest.mark.parametrize("word", ["TOUCH", "FLAP"])
def test_both_are_left_to_look_at(word: str) -> None:
    text = text_of(found(IN_TURN))
    assert word in text[text.index("Left to look at") :].partition(".")[0]


def test_awake_for_another_time_speaks_less_for_it() -> None:
    assert chance(found(IN_TURN, long="20min"), "TOUCH") < chance(found(IN_TURN), "TOUCH")
    assert "each time" not in text_of(found(IN_TURN, long="20min"))


def test_events_over_a_floor_that_is_the_draw_change_nothing() -> None:
    its = found("at: 20:00, log: {floor: 1.10A, mean: 1.12A, peak: 1.30A, period: 60min, for: 11h}")
    assert chance(its, "TOUCH") < 0.3 * chance(its, "FLAP")


def test_a_clock_of_its_own_that_is_too_slow_is_told_so() -> None:
    clock = TRAILER.replace("{long}", "3min").replace("awake 600mA", "awake 600mA wakes every 4h for 2min")
    read, problems = read_text(SourceFile("trailer.circuit", clock))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    platform = platform_of([read])
    card, _ = read_card(SourceFile("job.yaml", f"entries:\n- {{at: 08:00, state: locked}}\n- {{{IN_TURN}}}\n"))
    evidence, _ = evidence_on(platform, card)
    text = " ".join(suspects_text(platform, diagnose(circuit_of(platform), evidence)).split())
    assert "FAN wakes by itself every 4 h: of what comes here that is one in 24 at the most" in text
    assert "by that alone the mean would be 0.02 A at the most" in text


def wires(its: Diagnosis) -> dict[str, float]:
    return {one.part: one.probability for one in its.parts if one.part.startswith("wire ") and "GATE.5" in one.part}


SEEN_WRONG = "at: '20:02', inputs: {TOUCH: wrong, FLAP: right}"
CAME_WITHOUT = ("at: '20:05', out: [TOUCH]", "at: '20:30', total: 1.11A, during: event")


def test_the_wire_of_what_wakes_for_some_minutes_wakes_it_anew_too() -> None:
    """With the handle unplugged an event came: its wire, on ground now and then, does what the handle does."""
    its = found(IN_TURN, *CAME_WITHOUT)
    assert chance(its, "TOUCH") < 0.01
    (wire,) = wires(its).values()
    assert wire > 0.5 * chance(its, "FLAP")


def test_that_wire_comes_first_where_the_live_data_show_its_input_wrong() -> None:
    its = found(IN_TURN, SEEN_WRONG, *CAME_WITHOUT)
    (wire,) = wires(its).values()
    assert wire > max(chance(its, name) for name in ("TOUCH", "GATE", "FAN", "LIFT"))
    text = text_of(its)
    assert "wire TOUCH.1 to GATE.5" in text[text.index("MAY BE") : text.index("WHY")]


def test_a_steady_draw_is_hardly_held_by_that_wire() -> None:
    its = found(STEADY, "at: '09:05', out: [TOUCH]", "at: '09:40', total: 1.10A, steady: yes")
    brief = wires(its)
    lasting = {one.part: one.probability for one in its.parts if "LIFT.5" in one.part or one.part == "FLAP"}
    assert sum(brief.values()) < 0.3 * sum(lasting.values())
