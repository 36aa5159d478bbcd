"""Wires of two and three colours: what is drawn of them, and how they are tagged."""

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.drawings.draw import draw
from circuitmap.drawings.inking.wires_ink import layers_of
from circuitmap.drawings.scene.palette import WIRE_COLOURS, base_and_tracers
from circuitmap.drawings.scene.subset import subset_scene
from circuitmap.drawings.scene.wanted import Wanted
from tests.drawings.pages import graphviz
from tests.wiring.written import platform_from

THREE_COLOURS = """
battery BAT
ground G1
fuse F1 10A
lamp L
sheet "1"
BAT.+ -> F1 in RD
F1 -> L in BK/WH/GN 1mm2
L -> G1 in BN/YE
"""


def test_a_wire_of_three_colours_is_tagged_whole_and_drawn_with_both_tracers() -> None:
    feeding = feeding_of(circuit_of(platform_from(THREE_COLOURS)), {})
    scene = subset_scene(feeding, Wanted(drawing=("F1",)))
    (wire,) = (wire for wire in scene.wires if wire.colour == "BK")
    assert wire.tracer == "WH/GN"
    (_, _, dash), *tracers = layers_of(wire)
    assert dash == ()
    assert [colour for colour, _, _ in tracers] == [WIRE_COLOURS["GN"], WIRE_COLOURS["WH"]]
    lower, upper = (dash for _, _, dash in tracers)
    assert sum(upper) == 2 * sum(lower) and upper[0] == lower[0], "the upper one leaves every other dash to the lower"
    svg = draw(lambda: scene, "svg", graphviz=graphviz()).decode()
    assert "BK/WH/GN" in svg
    assert f"{WIRE_COLOURS['BK']}:{WIRE_COLOURS['WH']}:{WIRE_COLOURS['GN']}" in draw(lambda: scene, "dot").decode()


def test_base_and_tracers() -> None:
    assert base_and_tracers("RD", "") == (WIRE_COLOURS["RD"], ())
    assert base_and_tracers("GNYE", "") == (WIRE_COLOURS["GN"], (WIRE_COLOURS["YE"],))
    assert len(base_and_tracers("BK", "WH/GN/RD")[1]) == 2
