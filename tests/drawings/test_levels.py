"""The current-path layout: supply above, loads at one level, what switches them to ground and the grounds below."""

from circuitmap.drawings.scene.scene import Kind, Rail
from circuitmap.drawings.shapes.levels import levels_of
from tests.drawings.random_scenes import random_scene
from tests.drawings.scenes import Sketch, sheet, van, worst


def test_loads_stand_at_one_level() -> None:
    scene = van()
    levels = levels_of(scene).of
    loads = {levels[part.key] for part in scene.parts if part.kind is Kind.MODULE}
    assert len(loads) == 1
    assert all(levels[p.key] < min(loads) for p in scene.parts if p.kind in (Kind.FUSE, Kind.BAR, Kind.RELAY))
    assert {levels[p.key] for p in scene.parts if p.kind is Kind.GROUND} == {min(loads) + 1}


def test_a_ground_side_switch_stands_below_its_lamp() -> None:
    levels = levels_of(worst()).of
    assert levels["LAMP3"] < levels["SW3"] == levels["SW0"]


def test_fuses_of_one_bar_stand_side_by_side() -> None:
    levels = levels_of(worst()).of
    assert len({levels[f"CAB.F{number}"] for number in range(10, 20)}) == 1


def test_a_relay_that_a_module_drives_and_is_fed_through_does_not_upset_the_order() -> None:
    s = Sketch("circle")
    s.rails.append(Rail("30", "30", "constant"))
    s.relay("K1").part(Kind.MODULE, "BCM", "A1", "C1", "31")
    s.wire("30", "K1:30").wire("K1:87", "BCM:A1").wire("BCM:C1", "K1:86").ground("K1:85", "G1").ground("BCM:31", "G1")
    levels = levels_of(s.scene()).of
    assert levels["K1"] < levels["BCM"]


def test_wires_lead_downwards_wherever_they_can() -> None:
    scene = sheet()
    levels = levels_of(scene).of
    up = [w for w in scene.wires if levels.get(w.start.owner, 0) > levels.get(w.finish.owner, 0)]
    assert [(w.start.owner, w.finish.owner) for w in up] in ([], [("WIPER", "STALK")])


def test_every_part_has_a_level_whatever_the_circuit() -> None:
    for seed in range(60):
        scene = random_scene(seed)
        levels = levels_of(scene)
        assert levels.of.keys() == {part.key for part in scene.parts}
        assert all(1 <= level < levels.last for level in levels.of.values())
