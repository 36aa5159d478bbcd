"""What a written name means as the end of a wire."""

import pytest

from circuitmap.wiring.parts import Ground, Joint, OpenEnd, Terminal, Undeclared
from tests.wiring.written import platform_from, told, wires

NAMES = "naming SP* splice, X* connector, G* ground\nbox CAB\nfuse CAB.F22 20A mini\n"


def test_two_terminal_parts_take_an_arriving_wire_on_their_first_side_and_a_leaving_one_on_their_second() -> None:
    platform = platform_from(NAMES + "battery BAT\nlamp DOME\nBAT.+ -> CAB.F22 -> DOME -> G1\n")
    assert wires(platform) == ["BAT.+ - CAB.F22.1", "CAB.F22.2 - DOME.1", "DOME.2 - G1"]
    assert platform.parts["DOME"].roles == {"1": "supply", "2": "ground"}  # type: ignore[attr-defined]
    assert told(platform) == []


def test_a_cavity_has_an_arriving_and_a_leaving_half() -> None:
    platform = platform_from(NAMES + "lamp DOME\nCAB.F22 -> X14.3 -> DOME.58\n")
    assert wires(platform) == ["CAB.F22.2 - X14.3<", "X14.3> - DOME.58"]


def test_a_connector_with_one_cavity_may_be_named_without_it() -> None:
    platform = platform_from(NAMES + "lamp DOME\nCAB.F22 -> X14 -> DOME.58\n")
    assert wires(platform) == ["CAB.F22.2 - X14<", "X14> - DOME.58"]


def test_the_longest_declared_name_is_the_part_and_the_rest_its_pin() -> None:
    platform = platform_from(
        NAMES + "module BCM supply A.12\nrelay CAB.K4 make\nCAB.F22 -> BCM.A.12\nCAB.K4.87 -> SP1\nSP1 -> ?\n"
    )
    assert [wire.b for wire in platform.wires] == [Terminal("BCM", "A.12"), Terminal("SP1"), Terminal("?SP1")]
    assert platform.wires[1].a == Terminal("CAB.K4", "87")


def test_naming_patterns_make_joints_of_names_that_nobody_declared() -> None:
    platform = platform_from(NAMES + "lamp L\nCAB.F22 -> SP1 -> X3.1 -> L -> G7\nSP1 -> ?\n")
    kinds = {name: (type(part), part.kind) for name, part in platform.parts.items()}
    assert kinds["SP1"] == (Joint, "splice")
    assert kinds["X3"] == (Joint, "connector")
    assert kinds["G7"] == (Ground, "ground")
    assert told(platform, "open-end") == []


def test_the_longer_pattern_is_asked_first_and_a_declaration_before_any() -> None:
    text = "naming S* splice, SG* ground\nlamp SIDE\nbattery B\nB.+ -> SIDE -> SG1\nB.+ -> S1 -> SIDE\n"
    platform = platform_from(text)
    assert (platform.parts["SG1"].kind, platform.parts["S1"].kind, platform.parts["SIDE"].kind) == (
        "ground",
        "splice",
        "lamp",
    )


def test_case_is_the_body() -> None:
    platform = platform_from(NAMES + "lamp DOME\nCAB.F22 -> DOME -> case\n")
    assert isinstance(platform.parts["case"], Ground)
    assert wires(platform)[-1] == "DOME.2 - case"


def test_an_undeclared_name_is_kept_and_told_once() -> None:
    platform = platform_from(NAMES + "CAB.F22 -> DOORLOCK.7\nDOORLOCK.8 -> G1\nCAB.F22 -> DOORLOCK.9\n")
    assert isinstance(platform.parts["DOORLOCK"], Undeclared)
    assert told(platform) == ["warning 4:12 unknown-name"]
    assert len(platform.wires) == 3


def test_an_undeclared_name_in_a_box_is_one_part_of_it() -> None:
    platform = platform_from(NAMES + "CAB.K9.87 -> G1\n")
    assert "CAB.K9" in platform.parts
    assert platform.wires[0].a == Terminal("CAB.K9", "87")


@pytest.mark.parametrize(
    ("written", "meant"),
    [("HAETER.A1", "HEATER"), ("HEATR.A1", "HEATER"), ("HEATERR.A1", "HEATER"), ("HEATEP.A1", "HEATER")],
)
def test_a_misspelt_name_gives_one_message_with_the_name_that_was_meant(written: str, meant: str) -> None:
    platform = platform_from(
        NAMES + f'module HEATER supply A1 ground A12\nsheet "1" whole\nCAB.F22 -> {written}\nHEATER.A12 -> G1\n'
    )
    assert told(platform) == ["warning 6:12 unknown-name"]
    problem = next(p for p in platform.problems if p.code == "unknown-name")
    assert problem.suggestion == meant
    assert problem.span.text == written.partition(".")[0]


def test_another_number_is_not_suggested() -> None:
    platform = platform_from(NAMES + "lamp L\nCAB.F23 -> L -> G1\n")
    (problem,) = (p for p in platform.problems if p.code == "unknown-name")
    assert problem.suggestion == ""


def test_a_row_of_undeclared_names_is_one_message() -> None:
    platform = platform_from("box CAB\nbar CAB.B1 feeds CAB.F50..F59\n")
    assert told(platform) == ["warning 2:18 unknown-name"]
    assert len(platform.wires) == 10


@pytest.mark.parametrize(
    ("line", "place", "code", "suggestion"),
    [
        ("CAB.F22 -> CAB.K4", "6:12", "pin-needed", ""),
        ("CAB.F22 -> CAB.K4.88", "6:12", "no-such-pin", ""),
        ("CAB.F22 -> CAB.K4.86a", "6:12", "no-such-pin", "CAB.K4.86"),
        ("CAB.F22 -> IGN.16", "6:12", "no-such-pin", ""),
        ("CAB.F22 -> HEATER", "6:12", "pin-needed", ""),
        ("CAB.F22.3 -> G1", "6:1", "no-such-pin", ""),
        ("BAT -> CAB.F22", "6:1", "pin-needed", ""),
        ("CAB.F22 -> CAB", "6:12", "box-in-wire", ""),
        ("CAB.F22 -> CAB.F22", "6:1", "wire-to-itself", ""),
        ("? -> ?", "6:1", "wire-to-nowhere", ""),
        ("SP1 -> CAB.F22 -> SP1", "6:8", "bridged", ""),
        ("CAB.F22 -> SP.4", "6:12", "unknown-name", ""),
    ],
)
def test_ends_that_cannot_be_give_one_error(line: str, place: str, code: str, suggestion: str) -> None:
    head = NAMES + "battery BAT\nkey IGN positions off, on closes 30 to 15 in on\n"
    platform = platform_from(head + line + "\nrelay CAB.K4 make\nmodule HEATER supply A1\n")
    severity = "warning" if code == "unknown-name" else "error"
    assert told(platform, "fuse-no-load") == [f"{severity} {place} {code}"]
    (problem,) = (p for p in platform.problems if p.code == code)
    assert problem.suggestion == suggestion


def test_open_ends_are_named_after_where_they_go_on_from() -> None:
    text = NAMES + 'module M supply A1\nSP5 -> ? "to sheet 2"\nSP5 -> ? "to sheet 3"\n? -> M.A1\n'
    platform = platform_from(text)
    ends = {p.name: (p.description, p.from_supply) for p in platform.parts.values() if isinstance(p, OpenEnd)}
    assert ends == {"?SP5": ("to sheet 2", False), "?SP5+2": ("to sheet 3", False), "?M.A1": ("", True)}


def test_the_same_open_end_on_two_sheets_is_one_but_two_on_one_sheet() -> None:
    one = platform_from(NAMES, 'sheet "1"\nSP5 -> ? "on"\n', 'sheet "2"\nSP5 -> ? "on"\n')
    assert wires(one) == ["SP5 - ?SP5"]
    assert one.wires[0].sheets == ("1", "2")
    two = platform_from(NAMES, 'sheet "1"\nSP5 -> ?, ?\n')
    assert wires(two) == ["SP5 - ?SP5", "SP5 - ?SP5+2"]


def test_a_part_called_like_an_open_end_does_not_get_in_its_way() -> None:
    platform = platform_from("splice SP5, SP5+2\nSP5 -> ?\nSP5 -> ? in RD\nSP5+2 -> ?\nSP5 -> SP5+2\n")
    assert len([p for p in platform.parts.values() if isinstance(p, OpenEnd)]) == 3


def test_roles_follow_the_reading_direction_where_nobody_said_them() -> None:
    text = NAMES + "module M supply A1\nlamp L\nrelay CAB.K4 make\n"
    text += (
        "CAB.F22 -> M.A1, M.A2, L.58\nM.A12 -> SP9 -> X1.4 -> G1\nL.31 -> M.C1\nM.C7 -> CAB.K4.86\nCAB.K4.85 -> M.C8\n"
    )
    platform = platform_from(text)
    module, lamp = platform.parts["M"], platform.parts["L"]
    assert module.roles == {  # type: ignore[attr-defined]
        "A1": "supply", "A2": "sense", "A12": "ground", "C1": "output", "C7": "output", "C8": "output",
    }  # fmt: skip
    assert module.assumed_roles == {"A2", "A12", "C1", "C7", "C8"}  # type: ignore[attr-defined]
    assert lamp.roles == {"58": "supply", "31": "ground"}  # type: ignore[attr-defined]
    found = {(o.pin, o.action, o.when, o.assumed) for o in platform.outputs}
    assert found == {
        ("C1", "grounds", "request", True),
        ("C7", "feeds", "request", True),
        ("C8", "grounds", "request", True),
    }


def test_a_wire_written_from_the_ground_to_the_load_is_still_its_ground() -> None:
    platform = platform_from(NAMES + "module M supply A1\nG1 -> M.A12\n")
    assert platform.parts["M"].roles["A12"] == "ground"  # type: ignore[attr-defined]


def test_naming_does_not_hide_a_slip() -> None:
    text = NAMES + "lamp L\nlamp N\nCAB.F22 -> L, N\nL -> G11\nN -> {}\n"
    assert told(platform_from(text.format("G11"))) == []
    assert told(platform_from(text.format("G12"))) == []
    assert told(platform_from(text.format("GA"))) == []
    slip = platform_from(text.format("GG11"))
    assert told(slip) == ["warning 8:6 unknown-name"]
    assert slip.parts["GG11"].kind == "ground"


def test_a_misspelt_splice_is_near_to_one_that_was_never_declared_either() -> None:
    platform = platform_from(NAMES + "lamp L\nCAB.F22 -> SP51 -> L -> G1\nSSP51 -> ?\n")
    assert told(platform) == ["warning 6:1 unknown-name"]
    assert [p.suggestion for p in platform.problems if p.code == "unknown-name"] == ["SP51"]


def test_of_two_near_names_the_one_with_this_pin_is_meant() -> None:
    head = NAMES + "module HEATER supply A1 ground A12\nmodule HEATEX supply B1\n"
    for line, suggestion in (("CAB.F22 -> HEATE.A1\n", "HEATER"), ("CAB.F22 -> HEATE.C1\n", "HEATER or HEATEX")):
        platform = platform_from(head + line + "HEATER.A12 -> G1\n")
        assert told(platform) == ["warning 6:12 unknown-name"]
        assert [p.suggestion for p in platform.problems if p.code == "unknown-name"] == [suggestion]


def test_a_wire_to_a_module_is_an_input_if_it_comes_from_a_sensor_or_the_supply_was_said() -> None:
    platform = platform_from(NAMES + "module M supply A1\nsensor LEVEL\nLEVEL.1 -> X1.1 -> M.B4\nX2.3 -> M.B5\n")
    assert platform.parts["M"].roles == {"A1": "supply", "B4": "sense", "B5": "sense"}  # type: ignore[attr-defined]
    platform = platform_from(NAMES + "module M\nsensor LEVEL\nLEVEL.1 -> X1.1 -> M.B4\nX2.3 -> M.B5\n")
    assert platform.parts["M"].roles == {"B4": "sense", "B5": "supply"}  # type: ignore[attr-defined]


# ---- a stroke and a point in front of a pin or inside of it ----

SLASHED = NAMES + "naming S* splice\nbattery BAT\nlamp DOME\n"


@pytest.mark.parametrize("turned", [False, True])
def test_a_cavity_is_the_same_with_a_stroke_as_with_a_point(turned: bool) -> None:
    """In any order, and with no declaration of the connector but its beginning."""
    lines = ["CAB.F22 -> X1.1", "X1/1 -> DOME.58"]
    platform = platform_from(SLASHED + "\n".join(lines[::-1] if turned else lines) + "\n")
    assert wires(platform) == ["CAB.F22.2 - X1.1<", "X1.1> - DOME.58"]
    assert "X1/1" not in platform.parts and "unknown-name" not in {p.code for p in platform.problems}


def test_a_connector_whose_name_has_a_stroke_keeps_it_before_its_cavity() -> None:
    platform = platform_from(SLASHED + "connector X7/2\nCAB.F22 -> X18/1.4 -> X7/2 -> DOME.58\n")
    assert {"X18/1", "X7/2"} <= set(platform.parts) and not {"X18", "X7"} & set(platform.parts)


@pytest.mark.parametrize(("declared", "written"), [("A.1", "A/1"), ("A/1", "A.1")])
def test_a_declared_pin_is_meant_however_its_plug_stands_apart(declared: str, written: str) -> None:
    platform = platform_from(f"{SLASHED}module BCM supply {declared} ground 2\nCAB.F22 -> BCM.{written}\n")
    assert wires(platform) == [f"CAB.F22.2 - BCM.{declared}"]
    assert set(platform.parts["BCM"].roles) == {declared, "2"}  # type: ignore[attr-defined]


def test_a_pin_that_nobody_declared_is_one_pin_too() -> None:
    text = SLASHED + "module BCM\nCAB.F22 -> BCM.A/1\nX3.1 -> BCM.A.1\n"
    assert wires(platform_from(text)) == ["CAB.F22.2 - BCM.A.1", "X3.1> - BCM.A.1"]


def test_a_pin_of_a_switch_or_a_network_is_too() -> None:
    text = SLASHED + "switch S9Q positions off, on closes A/1 to A/2 in on\nmodule BCM supply 1 signal B/7\n"
    platform = platform_from(text + "network BODY can members BCM (B.7)\nCAB.F22 -> S9Q.A.1\nS9Q.A.2 -> DOME\n")
    assert wires(platform) == ["CAB.F22.2 - S9Q.A/1", "S9Q.A/2 - DOME.1"]
    assert platform.networks["BODY"].members[0].pins == ("B/7",)


def test_two_declared_pins_that_only_the_stroke_tells_apart_are_asked_about() -> None:
    platform = platform_from(SLASHED + "module BCM supply A.1, A/1 ground 2\n")
    assert [(p.headline, p.suggestion) for p in platform.problems if p.code == "look-alike-names"] == [
        ("BCM.A/1 and BCM.A.1 look alike: are they two pins?", "BCM.A.1")
    ]


def test_a_name_with_a_stroke_whose_beginning_is_a_part_is_asked_about() -> None:
    """Splices have no pins, so SP1/2 is a name of its own; whether it was meant so is told."""
    platform = platform_from(SLASHED + "CAB.F22 -> SP1/2 -> DOME\nSP1 -> ?\n")
    assert [p.headline for p in platform.problems if p.code == "look-alike-names"] == [
        "SP1/2 and SP1 look alike: are they two parts?"
    ]


def test_what_nobody_declared_is_offered_with_the_point_that_the_other_wire_has() -> None:
    platform = platform_from(SLASHED + "CAB.F22 -> Q1.1\nQ1/1 -> DOME\n")
    assert [(p.headline, p.suggestion) for p in platform.problems if p.code == "unknown-name"] == [
        ("Q1 is not declared.", ""),
        ("Q1/1 is not declared.", "Q1.1"),
    ]
    turned = platform_from(SLASHED + "Q1/1 -> DOME\nCAB.F22 -> Q1.1\n")
    assert set(turned.parts) == set(platform.parts)
