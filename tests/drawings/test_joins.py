"""What a drawn picture joins is what the circuit joins: every sheet of every sample and paper, read back from its ink."""

from pathlib import Path

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.drawings.draw import scene_of
from circuitmap.drawings.files.sheets import fits_a_page
from circuitmap.drawings.inking.ink import Disc, DrawnText, Picture, Role, Stroke
from circuitmap.drawings.placing.layout import Layout
from circuitmap.drawings.scene.scene import CoilLook, Kind, Scene
from circuitmap.drawings.scene.wanted import Wanted
from circuitmap.flows.questions import Bench, open_bench
from tests.drawings.joins import PLATFORMS, compared, fuses_compared, nets_of_scene, nets_on_sheet, sheets_compared
from tests.drawings.pages import drawn, sheets
from tests.drawings.picture_checks import defects
from tests.drawings.random_scenes import random_scene
from tests.drawings.scenes import ALL
from tests.wiring.written import platform_from

GEAR = """
platform "Gear"
battery B1 90Ah
fuse F1 20A, F2 10A, F3 15A, F4 10A, F5 5A
module ECU supply 1 ground 2 signal 6, 7, 8
sensor POT supply 1 ground 3 signal 2
connector X5, X9
ground G1
relay K1 make with diode holds 10min..15min
relay K2 latching coil 1 to 2 reset 3 to 2 contact 30 to 87
relay FL flasher
motor MW
lamp L1, L2, L3
lamp E12 supply 3 ground 2
switch E12S inside E12 positions off, on closes 1 to 3 in on
sensor S1 joins 1 to 2 supply 3
key IGN positions off, run closes 30 to 15 in run
switch SW positions rest, up, down closes A to 31 in rest, down closes A to 30 in up
    closes B to 31 in rest, up closes B to 30 in down
switch TP positions rest, on, off closes 1 to 2 in on closes 1 to 3 in off
switch MANY positions a, b, c closes 1 to 2 in a closes 2 to 3 in b closes 1 to 3 in c closes 4 to 1 in b
sheet "1" "Pedal" whole
B1.+ -> F1 -> ECU.1 in RD 1
ECU.2 -> G1 in BN 1
ECU.7 -> POT.1 in RD 0.5
POT.2 -> X5.12 -> ECU.6 in GN 0.5
POT.3 -> ECU.8 in BN 0.5
sheet "2" "Window" whole
B1.+ -> F2 -> SW.30 in RD 1
SW.31 -> G1 in BN 1
SW.A -> X9.1 -> MW.1 in GN 1
SW.B -> X9.2 -> MW.2 in WH 1
B1.- -> S1.1 in BK 50
S1.2 -> G1 in BK 50
F2 -> S1.3 in RD 0.5
sheet "3" "Relays" whole
B1.+ -> F3 -> K1.30, K2.30 in RD 1
K1.87 -> L1 -> G1 in BK 1
K1.85 -> G1
F4 -> TP.1 in RD 1
TP.2 -> K2.1
TP.3 -> K2.3
K2.2 -> G1
K2.87 -> L2 -> G1
B1.+ -> IGN.30, F4 in RD 1
F4 -> E12.1
E12.2 -> G1
sheet "4" "Flasher"
IGN.15 -> K1.86, FL.49 in BK 1
FL.49a -> L3 -> G1
F5 -> MANY.1
MANY.2 -> L3.1
MANY.3 -> L1.1
MANY.4 -> X9.3
"""


@pytest.fixture(scope="module")
def gear() -> Bench:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "gear.circuit").write_text(GEAR, "utf-8")
        return open_bench(Path(folder))


@pytest.mark.parametrize("platform", PLATFORMS)
def test_every_sheet_joins_what_the_circuit_joins(platform: str) -> None:
    found = {name: its.all for name, its in sheets_compared(open_bench(PLATFORMS[platform]))}
    assert found and not {name: its for name, its in found.items() if its}


@pytest.mark.slow
@pytest.mark.parametrize("platform", PLATFORMS)
def test_every_drawing_of_a_fuse_joins_what_its_wires_join(platform: str) -> None:
    bench = open_bench(PLATFORMS[platform])
    found = {name: its.all for name, its in fuses_compared(bench) if bench.platform.wires_at.get(name)}
    assert not {name: its for name, its in found.items() if its}


@pytest.mark.parametrize("sheet", ("1", "2", "3", "4"))
def test_every_kind_of_switchgear_joins_what_the_circuit_joins(gear: Bench, sheet: str) -> None:
    scene = scene_of(gear.feeding, Wanted(sheet=sheet))
    layout, picture = drawn(scene)
    assert compared(scene, layout, picture, nets_on_sheet(gear.platform, sheet, scene)).all == []
    assert defects(scene, layout, picture) == []


def test_scenes_written_by_hand_and_by_lot_join_what_their_wires_join() -> None:
    for scene in (*(make() for make in ALL.values()), *(random_scene(seed) for seed in range(40))):
        assert compared(scene, *drawn(scene), nets_of_scene(scene)).all == [], scene.title


def test_special_relays_and_parts_with_contacts_look_like_what_they_are(gear: Bench) -> None:
    parts = {p.key: p for sheet in "234" for p in scene_of(gear.feeding, Wanted(sheet=sheet)).parts}
    assert [coil.look for coil in parts["K2"].coils] == [CoilLook.SET, CoilLook.RESET]
    assert [coil.look for coil in parts["FL"].coils] == [CoilLook.FLASHES]
    assert [coil.look for coil in parts["K1"].coils] == [CoilLook.HOLDS]
    assert parts["K1"].within == (("85", "86", Kind.DIODE),) and parts["K1"].rating == "holds 10 to 15 min"
    assert parts["E12"].contacts[0][:2] == ("1", "3") and parts["E12"].within == (("3", "2", Kind.LAMP),)
    assert parts["S1"].joined == (("1", "2"),)


def test_a_switch_inside_a_part_is_asked_for_as_that_part(gear: Bench) -> None:
    scene = scene_of(gear.feeding, Wanted(named=("E12S",)))
    assert [part.key for part in scene.parts if part.named] == ["E12"]


def test_a_coil_without_any_wire_has_a_question_mark() -> None:
    text = 'battery B\nrelay K make\nlamp L\nground G\nsheet "1"\nB.+ -> K.30\nK.87 -> L -> G\n'
    scene = scene_of(feeding_of(circuit_of(platform_from(text))), Wanted(sheet="1"))
    asked = {end.pin for wire in scene.wires for end in (wire.start, wire.finish) if wire.nature == "chart"}
    assert {"86", "85"} <= asked


def test_a_rectifier_is_no_generator() -> None:
    bench = open_bench(PLATFORMS["motorcycle"])
    scene = scene_of(bench.feeding, Wanted(named=("REG",)))
    assert [part.kind for part in scene.parts if part.key == "REG"] == [Kind.RECTIFIER]


def test_another_feed_is_drawn_to_its_supply() -> None:
    text = (
        "battery B\nbattery C\nfuse F1 5A, F2 5A\ndiode D1, D2\nsplice SP\nlamp L\nground G\n"
        "B.+ -> F1 -> D1 -> SP\nC.+ -> F2 -> D2 -> SP\nSP -> L -> G\n"
    )
    scene = scene_of(feeding_of(circuit_of(platform_from(text))), Wanted(named=("L",)))
    assert {"F1", "F2", "D2"} <= {part.key for part in scene.parts}
    assert len(scene.rails) == 2


def test_a_connector_asked_for_does_not_float_beside_its_cavities(gear: Bench) -> None:
    scene = scene_of(gear.feeding, Wanted(named=("X9",)))
    assert "X9" not in {part.key for part in scene.parts}


def test_a_tag_names_another_sheet_by_its_own_number() -> None:
    scene = scene_of(open_bench(PLATFORMS["minibus"]).feeding, Wanted(sheet="5"))
    _, picture = drawn(scene)
    texts = {ink.text for ink in picture.ink if isinstance(ink, DrawnText) and ink.role is Role.TAG}
    assert "4" in texts and "5" not in texts, "its own sheet need not be said on every wire"


def test_a_sheet_is_printed_on_one_or_two_pages() -> None:
    bench = open_bench(PLATFORMS["minibus"])
    for name in ("4", "7"):
        pages = sheets(scene_of(bench.feeding, Wanted(sheet=name)))
        assert len(pages) <= 2 and all(fits_a_page(page) for page in pages)


@pytest.fixture(scope="module")
def window(gear: Bench) -> tuple[Scene, Layout, Picture, Bench]:
    scene = scene_of(gear.feeding, Wanted(sheet="2"))
    return scene, *drawn(scene), gear


def told(window: tuple[Scene, Layout, Picture, Bench], picture: Picture) -> str:
    scene, layout, _, bench = window
    return " / ".join(compared(scene, layout, picture, nets_on_sheet(bench.platform, "2", scene)).all)


def lines_in(window: tuple[Scene, Layout, Picture, Bench], key: str) -> list[Stroke]:
    """The lines inside of a part, as they are in the picture."""
    _, layout, picture, _ = window
    placed = next(part for part in layout.parts if part.key == key)
    wire = next(ink for ink in picture.ink if isinstance(ink, Stroke) and ink.role is Role.WIRE)
    route = next(route for route in layout.routes if route.entry == wire.owner)
    dx, dy = wire.points[0][0] - route.points[0][0], wire.points[0][1] - route.points[0][1]
    assert placed.body.gear is not None
    wanted = {tuple((placed.x + x + dx, placed.y + y + dy) for x, y in line) for line in placed.body.gear.lines}
    return [ink for ink in picture.ink if isinstance(ink, Stroke) and ink.points in wanted]


def test_the_reader_sees_a_hop_that_is_missing(window: tuple[Scene, Layout, Picture, Bench]) -> None:
    picture = window[2]
    (hopping,) = [line for line in lines_in(window, "SW") if len(line.points) > 2]
    flat = hopping._replace(points=(hopping.points[0], hopping.points[-1]))
    spoilt = picture._replace(ink=tuple(flat if ink is hopping else ink for ink in picture.ink))
    assert "cross without a hop" in told(window, spoilt) and "should not be" in told(window, spoilt)


def test_the_reader_sees_a_line_that_is_missing(window: tuple[Scene, Layout, Picture, Bench]) -> None:
    picture = window[2]
    assert told(window, picture) == ""
    for line in lines_in(window, "SW"):
        assert told(window, picture._replace(ink=tuple(ink for ink in picture.ink if ink is not line)))


def test_the_reader_sees_a_wire_that_is_missing_or_one_too_many(window: tuple[Scene, Layout, Picture, Bench]) -> None:
    picture = window[2]
    wires = [ink for ink in picture.ink if isinstance(ink, Stroke) and ink.role is Role.WIRE]
    for owner in sorted({ink.owner for ink in wires})[:4]:
        rest = tuple(ink for ink in picture.ink if getattr(ink, "owner", "") != owner or not isinstance(ink, Stroke))
        assert told(window, picture._replace(ink=rest))
    one, two = wires[0], wires[-1]
    short = Stroke((one.points[0], two.points[-1]), "#000000", 2.0, role=Role.WIRE, owner="extra")
    level = Stroke((one.points[0], (two.points[-1][0], one.points[0][1]), two.points[-1]), *short[1:])
    assert told(window, picture._replace(ink=(*picture.ink, level)))


def test_the_reader_sees_a_number_that_is_missing(window: tuple[Scene, Layout, Picture, Bench]) -> None:
    picture = window[2]
    numbers = [ink for ink in picture.ink if getattr(ink, "owner", "") == "SW" and getattr(ink, "text", "") == "31"]
    assert len(numbers) == 1
    assert "without a number" in told(
        window, picture._replace(ink=tuple(i for i in picture.ink if i is not numbers[0]))
    )


def test_lines_inside_meet_in_a_dot(window: tuple[Scene, Layout, Picture, Bench]) -> None:
    assert sum(isinstance(ink, Disc) and ink.radius == 2.1 for ink in window[2].ink) >= 4


def test_a_converter_shows_what_it_makes() -> None:
    text = (
        'platform "x" supply 24V\n'
        "battery B\nfuse F1 5A\nmodule C supply 1 ground 2\nmodule M supply 1 ground 2\noutput C.3 feeds 12V from 1 always\n"
        "lamp L\nground G\nB.+ -> F1 -> C.1\nF1 -> M.1\nC.3 -> L -> C.2\nC.2, M.2 -> G\n"
    )
    scene = scene_of(feeding_of(circuit_of(platform_from(text))), Wanted(named=("C", "M")))
    parts = {part.key: part for part in scene.parts}
    assert parts["C"].kind is Kind.CONVERTER and parts["C"].rating == "makes 12 V"
    assert parts["M"].kind is Kind.MODULE and parts["M"].rating == ""
    controller = text.replace("lamp L\n", "output C.4 grounds\nlamp L\n")
    scene = scene_of(feeding_of(circuit_of(platform_from(controller))), Wanted(named=("C", "M")))
    assert {part.kind for part in scene.parts if part.key == "C"} == {Kind.MODULE}
