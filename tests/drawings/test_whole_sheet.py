"""One sheet as it was typed, and the sample vehicles: every wire there, every drawing without defects."""

from collections import Counter
from pathlib import Path

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.drawings.draw import draw, scene_of
from circuitmap.drawings.scene.scene import Kind, Scene, slips_in
from circuitmap.drawings.scene.wanted import Wanted
from circuitmap.failures import WrongUse
from circuitmap.flows.drawing import with_notes
from circuitmap.flows.questions import Bench, open_bench
from tests.drawings.pages import drawn, graphviz
from tests.drawings.picture_checks import defects
from tests.drawings.test_subset import VAN
from tests.wiring.written import platform_from

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
VEHICLES = ("truck", "van", "motorhome", "motorcycle")


def sheet_of(text: str, name: str) -> Scene:
    scene = with_notes(scene_of(feeding_of(circuit_of(platform_from(text))), Wanted(sheet=name)))
    assert slips_in(scene) == []
    return scene


def test_every_wire_of_the_sheet_is_drawn_once_as_it_was_written() -> None:
    scene = sheet_of(VAN, "40-02")
    drawn_wires = Counter(
        (wire.start.owner, wire.finish.owner.split()[0]) for wire in scene.wires if "40-02" in wire.sheets
    )
    assert drawn_wires == Counter(
        [
            ("CAB.F22", "X14.14"),
            ("X14.14", "SP5"),
            ("SP5", "HEATER"),
            ("SP5", "DOORLOCK"),
            ("SP5", "?SP5"),
            ("HEATER", "ground"),
            ("DOORLOCK", "ground"),
            ("CAB.F40", "DOME"),
            ("DOME", "DRFL"),
        ]
    )
    assert scene.title == "Sheet 40-02 Cab heating"
    assert "This sheet is not said to be typed in whole." in scene.notes


def test_what_goes_on_elsewhere_is_marked_with_where() -> None:
    scene = sheet_of(VAN, "40-02")
    marks = {part.name for part in scene.parts if part.kind in (Kind.FROM_SHEET, Kind.TO_SHEET)}
    assert marks == {"CAB.B1"}


def test_a_battery_on_a_sheet_is_drawn_as_a_battery() -> None:
    scene = sheet_of(VAN, "21-04")
    assert [part.kind for part in scene.parts if part.name == "BAT"] == [Kind.BATTERY]
    assert not scene.rails


def test_an_unknown_sheet_is_wrong_use_and_lists_the_known_ones() -> None:
    with pytest.raises(WrongUse, match="no sheet 99") as caught:
        sheet_of(VAN, "99")
    assert "21-04" in caught.value.advice


@pytest.fixture(scope="module", params=VEHICLES)
def bench(request: pytest.FixtureRequest) -> Bench:
    return open_bench(SAMPLES / request.param)


def test_every_sheet_of_a_sample_vehicle_is_whole_and_without_defects(bench: Bench) -> None:
    for name in bench.platform.sheets:
        scene = with_notes(scene_of(bench.feeding, Wanted(sheet=name)))
        typed = [wire for wire in bench.platform.wires if name in wire.sheets]
        assert len([wire for wire in scene.wires if name in wire.sheets]) == len(typed)
        layout, picture = drawn(scene)
        assert defects(scene, layout, picture) == [], name


def test_every_fuse_of_a_sample_vehicle_draws_without_defects(bench: Bench) -> None:
    for fuse in bench.platform.fuses[::3]:
        scene = with_notes(scene_of(bench.feeding, Wanted(drawing=(fuse.name,))))
        assert slips_in(scene) == []
        layout, picture = drawn(scene)
        assert defects(scene, layout, picture) == [], fuse.name


STORIES = {
    "truck": Wanted(named=("LIFT",), drawing=("MAIN.F6", "CAB.F11", "CAB.F19", "CAB.F24", "CAB.F33")),
    "van": Wanted(named=("REAR.K2",), drawing=("REAR.F72", "REAR.F73", "CAB.F27")),
    "motorhome": Wanted(named=("KSPLIT", "FRIDGE"), drawing=("LIV.F3", "LIV.F12")),
}


@pytest.mark.parametrize("vehicle", STORIES)
def test_the_stories_are_drawn_in_every_format(vehicle: str) -> None:
    bench = open_bench(SAMPLES / vehicle)
    scene = with_notes(scene_of(bench.feeding, STORIES[vehicle]))
    layout, picture = drawn(scene)
    assert defects(scene, layout, picture) == []
    assert draw(lambda: scene, "svg", graphviz=graphviz()).startswith(b"<svg ")
    assert draw(lambda: scene, "pdf", graphviz=graphviz()).startswith(b"%PDF")
    assert draw(lambda: scene, "png", graphviz=graphviz()).startswith(b"\x89PNG")
    assert draw(lambda: scene, "svg", on_sheets=True, graphviz=graphviz()).count(b"print 1 of") == 1
    assert draw(lambda: scene, "dot").startswith(b"graph {")


def test_on_the_truck_all_members_of_the_chassis_network_are_in_the_picture() -> None:
    bench = open_bench(SAMPLES / "truck")
    scene = with_notes(scene_of(bench.feeding, Wanted(drawing=STORIES["truck"].drawing)))
    (network,) = scene.networks
    assert {"LIFT", "SUSP"} <= {tap.part for tap in network.taps}
    assert len(network.taps) == len(bench.platform.networks["CHASSIS"].members)


def test_nothing_asked_for_is_nothing_to_draw() -> None:
    with pytest.raises(WrongUse, match="Nothing to draw"):
        scene_of(feeding_of(circuit_of(platform_from(VAN))), Wanted())


SWITCH_ON_TWO_SHEETS = """
battery BAT
fuse F1 10A
lamp L
lamp M
ground G1
switch S positions off, side, head closes 1 to 2 in side closes 1 to 3 in head closes 1 to 4 in side
sheet "1"
BAT.+ -> F1 -> S.1
S.2 -> L -> G1
sheet "2"
S.3 -> M -> G1
"""


def test_a_switch_contact_that_goes_on_on_another_sheet_is_there_with_where() -> None:
    scene = sheet_of(SWITCH_ON_TWO_SHEETS, "1")
    (switch,) = (part for part in scene.parts if part.name == "S")
    assert {contact.other for contact in switch.contacts} == {"2", "3", "4"}
    assert [part.name for part in scene.parts if part.kind is Kind.TO_SHEET] == ["sheet 2"]
    layout, picture = drawn(scene)
    assert defects(scene, layout, picture) == []
