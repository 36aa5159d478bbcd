"""A pin or a cavity in its circuit: the part's trace, cut down to what passes there."""

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.trace import trace_in
from circuitmap.circuit.trace_at import trace_at
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.parts import Terminal

TWO_CAVITIES = """
naming X* connector, G* ground
battery BAT
fuse F1 10A, F2 20A
lamp L1
lamp L2
module M supply 1, 2 ground 3
sheet "1"
BAT.+ -> F1 -> X1.1 -> L1 -> X1.3 -> G1
BAT.+ -> F2 -> X1.2 -> L2 -> G1
X1.2 -> ? "goes on"
F1 -> M.1
F2 -> M.2
M.3 -> G1
BAT.- -> G1
"""
FEEDING = feeding_of(circuit_of(platform_of([read_text(SourceFile("a.circuit", TWO_CAVITIES))[0]])), {})


def test_a_cavity_shows_only_its_own_circuit() -> None:
    traced = trace_at(FEEDING, Terminal("X1", "1", "a"))
    assert {path.fuses for path in traced.supply} == {("F1",)}
    assert traced.loads == ("L1",)
    assert [branch.start.pin for branch in traced.branches] == ["1"]
    assert not traced.open_ends


def test_an_open_end_behind_a_cavity_belongs_to_it() -> None:
    assert [entry.name for entry in trace_at(FEEDING, Terminal("X1", "2", "a")).open_ends] == ["X1.2"]


def test_a_cavity_on_the_ground_side() -> None:
    traced = trace_at(FEEDING, Terminal("X1", "3", "a"))
    assert not traced.loads
    assert [str(terminal) for terminal, _ in traced.grounded_here] == ["L1.2"]


def test_a_pin_of_a_module_has_its_own_feed() -> None:
    assert {path.fuses for path in trace_at(FEEDING, Terminal("M", "2")).supply} == {("F2",)}
    assert {path.fuses for path in trace_in(FEEDING, "M").supply} == {("F1",), ("F2",)}


def test_all_pins_together_are_the_part() -> None:
    whole = trace_in(FEEDING, "X1")
    pins = {pin.terminal.pin for pin in whole.pins}
    single = [trace_at(FEEDING, Terminal("X1", pin)) for pin in pins]
    assert {load for traced in single for load in traced.loads} == set(whole.loads)
    assert sorted(str(path) for traced in single for path in traced.supply) == sorted(map(str, whole.supply))
