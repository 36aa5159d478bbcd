"""Several lines for one pin of a module: it is on by one or the other (the reference of the notation, Outputs).

Source: none from outside; on random platforms the slow evaluator, which looks at each line by itself.
"""

from collections.abc import Sequence

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.path import Path
from circuitmap.circuit.trace import trace
from circuitmap.dead.may_matter import MayMatter
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.feeds import feeds_of
from circuitmap.power.how_long import how_long
from circuitmap.power.plan import plan_of
from circuitmap.power.survey import StateChange, survey_of
from circuitmap.power.taken_away import taken_away
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Terminal
from tests.power.random_platforms import platform_from, random_circuit, random_state, random_text
from tests.power.slow_evaluator import SlowEvaluator
from tests.power.test_against_slow_evaluator import both_sides, claims
from tests.power.vehicle import NO, YES, drawing, live, vehicle

TEXT = """
battery G
naming E* ground
key IGN positions off, run closes 30 to 15 in run
fuse F1 15A, F2 5A
switch HATCH positions shut, open closes 1 to case in open
switch RAMP positions up, down closes 1 to case in down
switch STEP positions off, on closes 1 to 2 in on
module U supply 1, 2 ground 31 wake 7 by ground wake 8 by ground sense 9 sense 10 asleep 3mA
output U.A feeds from 1 while 7 for 5min "loading lamps"
output U.A feeds from 1 while 8 and not 10 for 30min "loading lamps"
output U.A feeds from 1 while 9
output U.B grounds while 7
output U.B grounds in run
relay KW make
motor WINCH running 12A
lamp LOAD running 2A
G.- -> E1
G.+ -> F1, F2, IGN.30
F1 -> U.1, KW.30
F2 -> U.2, STEP.1, KW.86
U.31 -> E1
HATCH.1 -> U.7
RAMP.1 -> U.8
STEP.2 -> U.9
IGN.15 -> U.10
U.A -> LOAD -> E1
KW.85 -> U.B
KW.87 -> WINCH -> E1
"""
CIRCUIT = vehicle(TEXT)


@pytest.mark.parametrize(
    ("switches", "key", "lamp", "winch"),
    [
        ({}, "", NO, NO),
        ({"HATCH": "open"}, "", YES, YES),
        ({"RAMP": "down"}, "", YES, NO),
        ({"RAMP": "down"}, "run", NO, YES),
        ({"RAMP": "down", "STEP": "on"}, "run", YES, YES),
        ({"HATCH": "open", "RAMP": "down"}, "", YES, YES),
    ],
)
def test_any_of_its_lines_turns_it_on(switches: dict[str, str], key: str, lamp: object, winch: object) -> None:
    powered = live(CIRCUIT, switches=switches, key=key)
    assert (powered.loads["LOAD"].draws, powered.loads["WINCH"].draws) == (lamp, winch)


def test_all_its_lines_are_told() -> None:
    lamp = classes_of(CIRCUIT, {})["LOAD"]
    assert {tuple(map(str, changes)) for changes in lamp.drawn_in} == {("HATCH=open",), ("RAMP=down",), ("STEP=on",)}
    winch = {tuple(map(str, changes)) for changes in classes_of(CIRCUIT, {})["WINCH"].drawn_in}
    assert winch == {("HATCH=open",), ("IGN=run",)}


def outputs_said(paths: Sequence[Path]) -> set[tuple[str, ...]]:
    return {link.output.inputs for path in paths for link in path.contacts if link.output is not None}


def test_the_trace_has_a_way_and_a_word_for_each_line() -> None:
    traced = trace(CIRCUIT, "LOAD")
    assert outputs_said(traced.supply) == {("7",), ("8",), ("9",)}
    said = next(its for its in traced.worked if its.part == "U")
    assert {pin.terminal.pin for pin in said.pins} >= {"7", "8", "9"}
    assert [output.inputs for output in said.outputs] == [("7",), ("8",)], "those of which the sheet says something"


def test_how_long_it_is_on_goes_by_the_line_that_has_it_on() -> None:
    def on(**switches: str) -> list[Band]:
        return [its.minutes for its in how_long(live(CIRCUIT, switches=switches)) if its.name == "U.A"]

    assert on(HATCH="open") == [Band(5.0, 5.0)]
    assert on(HATCH="open", RAMP="down") == [Band(30.0, 30.0)]
    assert not on(HATCH="open", STEP="on"), "the third line has no end"


def test_what_takes_it_away_is_asked_of_the_line_that_is_on() -> None:
    lamp, ramp = Terminal("LOAD", "1"), (StateChange("switch", "RAMP", "down"),)
    found = taken_away(survey_of(CIRCUIT, {}), lamp, [ramp])
    assert found.always == ((StateChange("key", "IGN", "run"),),)
    assert feeds_of(CIRCUIT, {}, [lamp])[lamp].kind == "in"


def test_each_lines_input_may_matter_to_what_is_dead() -> None:
    """Only the wire to the input that has it on: both are asked for while both are."""
    links = {str(link.a): i for i, link in enumerate(CIRCUIT.links) if link.wire and link.b.part == "U"}
    hatch = MayMatter(live(CIRCUIT, switches={"HATCH": "open"}), ["LOAD"])
    ramp = MayMatter(live(CIRCUIT, switches={"RAMP": "down"}), ["LOAD"])
    assert hatch.may([links["HATCH.1"]]) and ramp.may([links["RAMP.1"]])
    assert not ramp.may([links["HATCH.1"]])


def test_one_of_the_lines_of_a_driver_may_drive_a_wake_line() -> None:
    text = """
battery G
fuse F1 10A
module U supply 1 ground 31
module V supply 1 ground 31 wake 4
G.-, U.31, V.31 -> case
G.+ -> F1 -> U.1, V.1
U.8 -> V.4
network LINE wake members U (8) drives, V (4) listens
output U.8 feeds while awake
output U.8 feeds in zone
"""
    circuit = vehicle(text)
    assert [its.when for its in plan_of(circuit).driven_lines["LINE"]] == ["awake"]
    assert not plan_of(vehicle(text.replace("output U.8 feeds while awake\n", ""))).driven_lines


def test_each_line_by_itself_on_random_platforms() -> None:
    """Source: the slow evaluator."""
    compared = 0
    for seed in range(30):
        text = random_text(seed) + (
            "switch SOR positions off, on closes 1 to 2 in on\nF1 -> SOR.1\nSOR.2 -> M1.9\n"
            "output M1.7 feeds while 9\noutput M1.8 grounds while 9\noutput M1.8 grounds in acc\n"
            "lamp LOR\nground GOR\nM1.7 -> LOR -> GOR\n"
        )
        circuit = circuit_of(platform_from(text))
        state = random_state(circuit, seed)
        slow = SlowEvaluator(circuit, state)
        slow.settle()
        said, expected = claims(evaluate(circuit, state)), both_sides(slow, circuit)
        different = {what: (said[what], expected[what]) for what in expected if said[what] != expected[what]}
        assert not different, (seed, different)
        compared += said != claims(evaluate(random_circuit(seed), state)) and bool(drawing(evaluate(circuit, state)))
    assert compared > 25
