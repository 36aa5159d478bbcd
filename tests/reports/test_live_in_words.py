"""What `live` says of a state: what a load takes by the pins that are live, what no longer draws, what only may wake."""

from circuitmap.circuit.links import Circuit
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.reports.live.live_text import live_text
from circuitmap.wiring.fitting import Answer
from tests.circuit.told import circuit

TEXT = """
battery BAT
fuse F1 10A, F2 10A, F3 10A, F4 10A
naming G* ground
switch S1 positions off, on closes 1 to case in on
key IGN positions off, run closes 30 to 15 in run
BAT.- -> G1
BAT.+ -> F1 -> A.1
BAT.+ -> F2 -> A.2
BAT.+ -> F3 -> B.1
BAT.+ -> F4 -> IGN.30
IGN.15 -> C.3
module A supply 1, 2 ground 3 wake 4 by ground asleep 2mA on 1, 1mA on 2 awake 200mA on 1, 5mA on 2
module B supply 1 ground 2 wake 3 by ground asleep 1mA awake 50mA
module C supply 1 ground 2 wake 3 by plus
output C.5 grounds "radio key, 1 s"
BAT.+ -> F3 -> C.1
A.3 -> G1
C.2 -> G1
B.2 -> G2
A.4 -> S1.1
C.5 -> B.3
network W wake members C (5) drives, B (3) listens
"""


def test_equipment_that_was_said_is_not_said_again() -> None:
    text = "option O1\nbattery BAT\nfuse F1 5A\nlamp L1 running 1A if O1\nground G1\nBAT.+ -> F1 -> L1 -> G1\nBAT.- -> G1\n"
    its = circuit(text)
    for fitting, told in (({}, True), ({"O1": True}, False)):
        powered = evaluate(its, VehicleState(fitting=fitting))
        (row,) = (line for line in live_text(powered, classes_of(its, {})).splitlines() if line.startswith(" L1"))
        assert ("if O1" in row) == told


def said(**state: object) -> str:
    its: Circuit = circuit(TEXT)
    powered = evaluate(its, VehicleState(**state))  # type: ignore[arg-type]
    return " ".join(live_text(powered, classes_of(its, {})).split())


def test_a_module_takes_what_its_live_pins_take() -> None:
    assert "A awake 205 mA; through F1 and F2" in said(switches={"S1": "on"})
    assert "A awake 5 mA; through F2" in said(switches={"S1": "on"}, pulled=frozenset({"F1"}))


def test_what_no_longer_draws_is_named_with_what_it_lacks() -> None:
    assert "STOPPED" not in said() and "STOPPED" not in said(key="run")
    assert "DEAD 1: fed, but without what they need B" in said(unplugged=frozenset({"G2"}))
    assert "STOPPED" not in said(unplugged=frozenset({"G2"}))  # told once
    assert "no feed B and C" in said(pulled=frozenset({"F3"}))
    assert "unplugged B" in said(unplugged=frozenset({"B"}))


def test_a_wake_line_that_is_driven_at_times_only_may_be_awake() -> None:
    """C is awake in run; its output gives a pulse when it likes, so nobody can say that the line is live."""
    its = circuit(TEXT)
    in_run = evaluate(its, VehicleState(key="run"))
    assert in_run.awake["C"] == Answer.YES
    assert (in_run.networks["W"], in_run.awake["B"]) == (Answer.MAY_BE, Answer.MAY_BE)
    steady = circuit(TEXT.replace('grounds "radio key, 1 s"', "grounds while awake"))
    assert evaluate(steady, VehicleState(key="run")).networks["W"] == Answer.YES


def test_which_bars_are_live_is_told_where_there_are_several() -> None:
    bars = "fuse F5 10A, F6 10A\nbar B1 feeds F5\nbar B2 feeds F6\nBAT.+ -> B1\nIGN.15 -> B2\n"
    its = circuit(TEXT + bars)

    def text(**state: object) -> str:
        powered = evaluate(its, VehicleState(**state))  # type: ignore[arg-type]
        return " ".join(live_text(powered, classes_of(its, {})).split())

    assert "bars live B1; dead B2" in text()
    assert "bars live B1, B2" in text(key="run")
    assert "bars" not in said()
