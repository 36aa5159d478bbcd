"""What the drawing for a question holds: everything from supply to ground that joins the parts asked for, the rest as
stubs."""

from pathlib import Path

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.drawings.scene import gathering
from circuitmap.drawings.scene.scene import DrawnFeed, Kind, Mark, Nature, Scene, slips_in
from circuitmap.drawings.scene.subset import subset_scene
from circuitmap.drawings.scene.wanted import MOST_PARTS, Wanted
from circuitmap.failures import WrongUse
from circuitmap.flows.drawing import DrawingAsked, diagram, with_notes
from circuitmap.flows.questions import open_bench
from circuitmap.wiring.parts import Battery, Fuse, Load, Relay, Switch
from tests.drawings.pages import drawn
from tests.drawings.picture_checks import defects
from tests.wiring.written import platform_from
from tests.work_done import calls_of

VAN = """
platform "Marlow Linnet 2.2 van" supply 12V return body
option TOW "towing socket"
naming SP* splice, X* connector, G* ground
battery BAT 72Ah
box CAB "Cab fuse box"
key IGN "Ignition switch" positions off, run
    closes 30 to 15 in run
relay CAB.K4 "Run relay" make
fuse ENG.F1 150A bolted, CAB.F22 20A mini "cab heating", CAB.F31 10A mini, CAB.F40 30A maxi, CAB.F41 5A mini
bar CAB.B1 feeds CAB.F22, CAB.F40, CAB.F41, CAB.K4.30
module HEATER "Auxiliary heater" supply A1 ground A12 at "under the passenger seat"
module DOORLOCK "Door locking" supply 7 ground 3
module BCM "Body computer" supply A1 ground A8 sense B4
module SUSP "Air suspension" supply 1 ground 2
lamp DOME
switch DRFL "Driver's door" positions shut, open closes 1 to case in open
output BCM.C3 grounds while awake
network CHASSIS can "chassis network" members HEATER (7, 8), DOORLOCK, SUSP, BCM (D1)
stated CAB.F41 always
sheet "21-04" "Power distribution"
BAT.+ -> ENG.F1 -> CAB.B1 in RD 25mm2
BAT.+ -> IGN.30 in RD 4mm2
IGN.15 -> CAB.K4.86 in BK/YE 0.5mm2
CAB.K4.85 -> BCM.C3 in GN 0.5mm2
CAB.K4.87 -> CAB.F31
CAB.F31 -> BCM.B4 in VT/WH 0.5mm2
CAB.F41 -> SUSP.1, BCM.A1 in GY 1mm2
SUSP.2 -> G3 in BK
BCM.A8 -> G5 in BN 1mm2
sheet "40-02" "Cab heating"
CAB.F22 -> X14.14 -> SP5 -> HEATER.A1, DOORLOCK.7 in OG/BK 0.75mm2
SP5 -> ? "goes on to sheet 41-01" in RD/WH 0.5mm2
HEATER.A12 -> G7 in BK
DOORLOCK.3 -> G7 in BK
CAB.F40 -> DOME -> DRFL.1 in BU 0.5mm2
"""


def scene_for(wanted: Wanted, text: str = VAN, **fitting: bool) -> Scene:
    circuit = circuit_of(platform_from(text))
    scene = with_notes(subset_scene(feeding_of(circuit, fitting), wanted))
    assert slips_in(scene) == []
    layout, picture = drawn(scene)
    assert defects(scene, layout, picture) == []
    return scene


def names(scene: Scene, *kinds: Kind) -> list[str]:
    return [part.name for part in scene.parts if part.kind in kinds or not kinds]


def wires(scene: Scene, nature: Nature = Nature.WIRE) -> list[str]:
    ends = [(wire, wire.start, wire.finish) for wire in scene.wires if wire.nature is nature]
    return [
        f"{start.owner}.{start.pin} {finish.owner}.{finish.pin}".replace(". ", " ").rstrip(".")
        for _, start, finish in ends
    ]


def test_a_fuse_that_draws_is_shown_from_the_battery_to_the_grounds_of_its_loads() -> None:
    scene = scene_for(Wanted(drawing=("CAB.F22",)))
    assert {"ENG.F1", "CAB.B1", "CAB.F22", "X14.14", "SP5", "HEATER", "DOORLOCK"} <= set(names(scene))
    assert names(scene, Kind.GROUND) == ["G7", "G7"], "a ground is repeated at each use"
    assert [(rail.terminal, rail.words) for rail in scene.rails] == [("30", "constant, BAT.+")]
    assert {part.name: part.mark for part in scene.parts if part.mark} == {"CAB.F22": Mark.DRAWING}
    assert next(part for part in scene.parts if part.name == "CAB.F22").rating == "20 A mini"


def test_the_way_of_the_current_is_marked_and_the_rest_is_not() -> None:
    scene = scene_for(Wanted(drawing=("CAB.F22",)))
    marked = {(wire.start.owner, wire.finish.owner) for wire in scene.wires if wire.mark is Mark.DRAWING}
    assert ("CAB.B1", "CAB.F22") in marked and ("SP5", "HEATER") in marked and ("ENG.F1", "CAB.B1") in marked
    assert not any(wire.mark for wire in scene.wires if wire.finish.owner.startswith("ground"))


def test_what_is_left_out_at_a_drawn_part_is_a_stub_and_an_open_end_is_shown() -> None:
    scene = scene_for(Wanted(drawing=("CAB.F22",)))
    stubs = {part.description for part in scene.parts if part.kind is Kind.MORE}
    assert any("CAB.F40" in stub or "CAB.B1" in stub for stub in stubs)
    assert [part.description for part in scene.parts if part.kind is Kind.OPEN_END] == ["goes on to sheet 41-01"]
    assert scene.notes == ("SP5 goes on, not on the drawings yet (goes on to sheet 41-01).",)


def test_fuses_that_share_a_network_are_drawn_with_its_members_on_no_drawing_fuse() -> None:
    scene = scene_for(Wanted(drawing=("CAB.F22", "CAB.F41")))
    (network,) = scene.networks
    assert {tap.part for tap in network.taps} == {"HEATER", "DOORLOCK", "SUSP", "BCM"}
    assert network.words == "network (CAN)"
    assert {tap.pin for tap in network.taps} == {"7, 8", "D1", "~CHASSIS"}


def test_a_part_asked_for_brings_its_coil_its_contact_and_its_loads() -> None:
    scene = scene_for(Wanted(named=("CAB.K4",)))
    relay = next(part for part in scene.parts if part.name == "CAB.K4")
    assert relay.named and relay.coils and relay.contacts[0][:2] == ("30", "87")
    assert "CAB.K4.85 BCM.C3" in wires(scene) and "CAB.F31.2 BCM.B4" in wires(scene)


def test_a_contact_of_the_key_is_a_switched_rail_unless_the_key_is_asked_about() -> None:
    scene = scene_for(Wanted(named=("CAB.K4",)))
    assert ("15", "run (IGN)", DrawnFeed.SWITCHED) in [(rail.terminal, rail.words, rail.feed) for rail in scene.rails]
    assert "IGN" not in names(scene)
    assert "IGN" in names(scene_for(Wanted(named=("CAB.K4", "IGN"))))


def test_a_ground_side_switch_and_its_housing_are_drawn() -> None:
    scene = scene_for(Wanted(named=("DOME",)))
    switch = next(part for part in scene.parts if part.name == "DRFL")
    assert switch.contacts[0].words == "open"
    assert wires(scene, Nature.LEAD)[-1].startswith("DRFL.case ground")
    assert "body" in names(scene, Kind.GROUND)


def test_quiet_and_suspect_parts_are_in_the_drawing_with_their_marks() -> None:
    scene = scene_for(Wanted(drawing=("CAB.F22",), quiet=("CAB.F40",), unread=("CAB.F41",), suspect=("SUSP",)))
    marks = {part.name: part.mark for part in scene.parts if part.mark}
    assert marks == {
        "CAB.F22": Mark.DRAWING,
        "CAB.F40": Mark.QUIET,
        "CAB.F41": Mark.UNREAD,
        "SUSP": Mark.SUSPECT,
    }


def test_places_are_shown_only_for_what_was_asked_about() -> None:
    assert "under the passenger seat" in {part.place for part in scene_for(Wanted(named=("HEATER",))).parts}
    assert {part.place for part in scene_for(Wanted(drawing=("CAB.F22",))).parts} == {""}


def test_a_fuse_without_a_feed_has_a_question_mark_above_it() -> None:
    text = 'battery BAT\nfuse F9 10A\nlamp L\nsheet "1"\nF9 -> L -> G1 in RD\nground G1\n'
    scene = scene_for(Wanted(named=("F9",)), text)
    (stub,) = [part for part in scene.parts if part.kind is Kind.OPEN_END]
    assert stub.description == "feed not typed in"
    assert any(wire.start.owner == stub.key and wire.finish == ("F9", "1") for wire in scene.wires)


def test_a_fuse_chart_is_dotted_and_said() -> None:
    text = 'battery BAT\nfuse F9 10A\nlamp L\nbar B feeds F9\nsheet "1"\nBAT.+ -> B in RD\nF9 feeds L\n'
    scene = scene_for(Wanted(drawing=("F9",)), text)
    assert wires(scene, Nature.CHART) == ["F9.2 L.?"] or wires(scene, Nature.CHART)[0].startswith("F9.2 L")
    assert "F9: known from the fuse chart only, wires not typed in." in scene.notes


def test_options_not_said_are_written_on_part_and_wire_and_fitted_ones_are_not() -> None:
    text = (
        'option TOW "towing socket"\nbattery BAT\nfuse F9 10A\nsocket T if TOW\nground G1\n'
        'sheet "1"\nBAT.+ -> F9 -> T.1 in RD if TOW\nT.2 -> G1 in BN if TOW\n'
    )
    scene = scene_for(Wanted(named=("F9",)), text)
    assert next(part for part in scene.parts if part.name == "T").note == "if TOW"
    assert {wire.note for wire in scene.wires if wire.nature is Nature.WIRE} == {"if TOW"}
    assert "Not said whether it is fitted: TOW." in scene.notes
    fitted = scene_for(Wanted(named=("F9",)), text, TOW=True)
    assert {part.note for part in fitted.parts} == {""}
    assert "T" not in names(scene_for(Wanted(named=("F9",)), text, TOW=False))


def many_loads(count: int) -> str:
    loads = "\n".join(f"lamp L{number}" for number in range(count))
    lines = "\n".join(f"F1 -> L{number} -> G1 in RD" for number in range(count))
    return f'battery BAT\nground G1\nfuse F1 10A\n{loads}\nsheet "1"\nBAT.+ -> F1 in RD\n{lines}\n'


def test_no_more_parts_than_the_limit_are_drawn_unless_all_are_wanted() -> None:
    for count in (MOST_PARTS - 2, MOST_PARTS - 1, MOST_PARTS, MOST_PARTS + 30):
        scene = scene_for(Wanted(named=tuple(f"L{number}" for number in range(count))), many_loads(count))
        assert len([p for p in scene.parts if p.kind in (Kind.FUSE, Kind.LAMP)]) == count + 1, "what is named is drawn"
    scene = scene_for(Wanted(drawing=("F1",)), many_loads(MOST_PARTS + 30))
    shown = [p for p in scene.parts if p.kind in (Kind.FUSE, Kind.LAMP)]
    assert len(shown) < MOST_PARTS
    (stub,) = [part for part in scene.parts if part.kind is Kind.MORE]
    assert stub.name == f"+{MOST_PARTS + 30 - (len(shown) - 1)} more"
    assert any(note.startswith("Left out for room: ") for note in scene.notes)
    everything = scene_for(Wanted(drawing=("F1",), everything=True), many_loads(MOST_PARTS + 30))
    assert len(names(everything, Kind.LAMP)) == MOST_PARTS + 30
    assert not names(everything, Kind.MORE)


def test_the_order_of_statements_does_not_change_what_is_drawn() -> None:
    head, *sheets = VAN.split("\nsheet ")
    turned = head + "".join(f"\nsheet {sheet}" for sheet in reversed(sheets))
    one, two = scene_for(Wanted(drawing=("CAB.F22",))), scene_for(Wanted(drawing=("CAB.F22",)), turned)
    assert sorted(names(one)) == sorted(names(two))
    assert sorted(wires(one, Nature.COPPER)) == sorted(wires(two, Nature.COPPER))


def test_what_a_drawing_fuse_feeds_behind_an_output_comes_before_what_hangs_on_a_relay_asked_for() -> None:
    lamps = "\n".join(f"lamp L{n}\nSP1 -> L{n} -> G1" for n in range(MOST_PARTS))
    text = f"""
battery BAT
ground G1
fuse F1 10A, F2 10A
relay K make
module HEAT supply 1 ground 2
solenoid FROST
splice SP1
sheet "1"
BAT.+ -> F1 -> HEAT.1
BAT.+ -> F2
HEAT.2 -> G1
HEAT.7 -> FROST -> G1
output HEAT.7 feeds
BAT.+ -> K.30, K.86
K.85 -> G1
K.87 -> SP1
{lamps}
"""
    scene = scene_for(Wanted(named=("K",), drawing=("F1", "F2")), text)
    assert "FROST" in names(scene, Kind.LOAD, Kind.SOLENOID)
    assert any(note.startswith("Left out for room: ") for note in scene.notes)


WIRED_RETURN = """
battery BAT
ground E1 wired
fuse F1 10A
lamp L
sheet "1"
BAT.- -> E1 in BK
BAT.+ -> F1 -> L -> E1 in RD
"""


def test_the_cable_from_a_ground_point_to_the_minus_is_no_loop_by_itself() -> None:
    scene = scene_for(Wanted(drawing=("F1",)), WIRED_RETURN)
    assert names(scene, Kind.GROUND) == ["E1"]
    assert "BAT.-" in names(scene_for(Wanted(named=("E1",)), WIRED_RETURN), Kind.GROUND), "unless it was asked for"


SPLIT = """
platform "Two batteries" supply 12V return body
battery BAT 90Ah
battery LEIS 110Ah
option MORE
relay KSPLIT make
switch MAIN positions off, on closes 1 to 2 in on
fuse FS 50A, F1 10A, F2 10A, F3 10A
bar B1 feeds F1, F2
bar B0 feeds FS, F3
key IGN positions off, run closes 30 to 15 in run
module BCM
lamp L1
lamp L2
lamp L3
network CAN can members BCM, M1, M2
module M1 supply 1 ground 2
module M2 supply 1 ground 2
fuse F9 5A
lamp L9
ground G1
BAT.+ -> B0
FS -> KSPLIT.30
KSPLIT.87 -> B1
LEIS.+ -> MAIN.1
MAIN.2 -> B1
F1 -> L1 -> G1
F2 -> M1.1
M1.2 -> G1
F3 -> L3 -> G1
F3 -> M2.1
M2.2 -> G1
IGN.15 -> KSPLIT.86
KSPLIT.85 -> BCM.C1
output BCM.C1 grounds while awake
F9 feeds L9
"""


def marked(scene: Scene) -> set[str]:
    return {
        owner for wire in scene.wires if wire.mark is Mark.DRAWING for owner in (wire.start.owner, wire.finish.owner)
    }


def test_the_way_that_is_marked_passes_what_was_asked_for() -> None:
    scene = scene_for(Wanted(drawing=("F1", "F2"), named=("KSPLIT",)), SPLIT)
    assert {"FS", "KSPLIT"} <= marked(scene) and "MAIN" not in marked(scene)
    other = scene_for(Wanted(drawing=("F1", "F2"), named=("MAIN",)), SPLIT)
    assert "MAIN" in marked(other) and "KSPLIT" not in marked(other)


def test_of_several_ways_the_one_that_conducts_when_parked_is_drawn() -> None:
    its = SPLIT.replace("MAIN positions off, on closes 1 to 2 in on", "MAIN positions on, off closes 1 to 2 in on")
    assert "MAIN" in marked(scene_for(Wanted(drawing=("F1",)), its))
    lamp = scene_for(Wanted(drawing=("F3",)), its)
    assert "KSPLIT" not in names(lamp), "the other battery does not drive it"


def test_a_battery_is_not_hung_below_the_other_one() -> None:
    scene = scene_for(Wanted(named=("BAT",), everything=True), SPLIT)
    assert not any(wire.finish.owner == "BAT" for wire in scene.wires)
    assert {"FS", "KSPLIT"} <= set(names(scene)), "what lies between it and the other battery"
    assert [network.name for network in scene.networks] == ["CAN"]


def test_feeds_that_nobody_typed_in_are_said() -> None:
    (said,) = [note for note in scene_for(Wanted(named=("KSPLIT",)), SPLIT).notes if note.startswith("What feeds")]
    assert said == "What feeds BCM, IGN.30 is not typed in."
    assert "F9" in " ".join(scene_for(Wanted(named=("F9",)), SPLIT).notes)
    assert not any("What feeds" in note for note in scene_for(Wanted(named=("L3",)), SPLIT).notes)


def test_all_without_a_part_is_the_whole_vehicle(tmp_path: Path) -> None:
    (tmp_path / "split.circuit").write_text(SPLIT, "utf-8")
    bench = open_bench(tmp_path)
    drawn_whole = diagram(bench, DrawingAsked(everything=True), "dot")
    kinds = (Battery, Fuse, Load, Relay, Switch)
    wanted = {part.name for part in bench.platform.parts.values() if isinstance(part, kinds)}
    assert wanted <= set(drawn_whole.parts)
    assert drawn_whole.title == "The whole vehicle, as far as it was typed in"
    with pytest.raises(WrongUse):
        diagram(bench, DrawingAsked(), "dot")


def fuses_in_rows(rows: int, length: int) -> str:
    """Rows of fuses, each behind the one before with a lamp of its own, below one splice."""
    lines = [
        "naming SP* splice, G* ground",
        "battery BAT 90Ah",
        "BAT.- -> G1",
        "fuse MAIN 100A",
        "BAT.+ -> MAIN -> SP0",
    ]
    for row in range(rows):
        above = "SP0"
        for n in range(length):
            here = f"{row}_{n}"
            lines += [f"fuse F{here} 10A", f"lamp L{here}", f"{above} -> F{here} -> SP{here} -> L{here} -> G1"]
            above = f"SP{here}"
    return "\n".join(lines) + "\n"


def test_ways_beyond_a_counted_number_of_steps_are_not_followed_and_that_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Counted at n, 2n and 4n: no more ways are followed, and the drawing says that there are more."""

    def counted(text: str) -> tuple[Scene, int]:
        feeding = feeding_of(circuit_of(platform_from(text)), {})
        assert feeding.takings and feeding.ground_paths  # the ways themselves are counted elsewhere
        found: list[Scene] = []
        wanted = Wanted(everything=True, named=("BAT",))
        followed = calls_of(gathering._Gathering._from_rail, lambda: found.append(subset_scene(feeding, wanted)))
        return found[0], followed

    scene, all_of_them = counted(fuses_in_rows(2, 6))
    assert not any(gap.kind == "cut off" for gap in scene.unknown)
    monkeypatch.setattr(gathering, "MOST_FOLLOWED", 60)
    (scene, few), (_, more), (_, most) = (counted(fuses_in_rows(2, 6 * times)) for times in (1, 2, 4))
    assert any(gap.kind == "cut off" for gap in scene.unknown)
    assert all_of_them > few >= more >= most, (all_of_them, few, more, most)


def test_beside_a_fuse_on_a_page_only_so_much_is_looked_at() -> None:
    feeding = feeding_of(circuit_of(platform_from(fuses_in_rows(60, 1))), {})
    whole = subset_scene(feeding, Wanted(named=("F0_0",)))
    less = subset_scene(feeding, Wanted(named=("F0_0",), most_beside=50))
    assert not any(gap.kind == "cut off" for gap in whole.unknown)
    assert any(gap.kind == "cut off" for gap in less.unknown)
    wired = [sum(part.name.startswith("F") for part in scene.parts) for scene in (less, whole)]
    assert 1 <= wired[0] < wired[1], wired
