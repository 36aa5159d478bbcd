"""Wires, bars and charts; the same wire on two sheets; the same path drawn twice."""

import pytest

from tests.wiring.written import platform_from, told, wires

HEAD = "naming SP* splice, X* connector, G* ground\nbox CAB\nfuse CAB.F22 20A mini\nmodule M supply A1 ground A2\n"


def test_the_look_at_an_arrow_goes_before_the_look_at_the_end_of_the_line() -> None:
    platform = platform_from(HEAD + "CAB.F22 -> SP1 in RD 0.75mm2 -> M.A1, X1.2 in OG/BK 0.75mm2\n")
    assert wires(platform) == [
        "CAB.F22.2 - SP1 RD 0.75mm2",
        "SP1 - M.A1 OG/BK 0.75mm2",
        "SP1 - X1.2< OG/BK 0.75mm2",
    ]


def test_copper_and_charts() -> None:
    text = (
        HEAD + "horn HORN\nmodule N\nrelay CAB.K4 make\nbar CAB.B1 feeds CAB.F22, CAB.K4.30\nCAB.F22 feeds M, N, HORN\n"
    )
    assert wires(platform_from(text)) == [
        "CAB.B1 - CAB.F22.1 copper",
        "CAB.B1 - CAB.K4.30 copper",
        "CAB.F22.2 - HORN.1 chart",
        "CAB.F22.2 - M.A1 chart",
        "CAB.F22.2 - N.?CAB/F22 chart",
    ]


def test_the_same_wire_on_two_sheets_is_one_and_fills_in() -> None:
    platform = platform_from(
        HEAD, 'sheet "1"\nCAB.F22 -> M.A1 in RD\n', 'sheet "2"\nCAB.F22 -> M.A1 in 0.75mm2 code "Z12"\n'
    )
    (wire,) = platform.wires
    assert (wire.colour, wire.size, wire.code, wire.sheets) == (("RD",), 0.75, "Z12", ("1", "2"))
    assert told(platform, "load-no-ground") == []


def test_the_same_wire_on_two_sheets_disagreeing_is_shown_at_both_places() -> None:
    platform = platform_from(
        HEAD, 'sheet "1"\nCAB.F22 -> M.A1 in RD 1mm2\n', 'sheet "2"\nM.A1 -> CAB.F22.2 in BU 1mm2\n'
    )
    assert told(platform, "load-no-ground") == ["warning 3.circuit:2:22 wire-disagrees"]
    (problem,) = (p for p in platform.problems if p.code == "wire-disagrees")
    assert problem.span.text == "BU"
    assert problem.related[0].span.text == "RD"
    assert wires(platform) == ["CAB.F22.2 - M.A1 RD 1mm2"]


def test_a_gauge_and_its_usual_metric_equivalent_agree() -> None:
    platform = platform_from(HEAD, 'sheet "1"\nCAB.F22 -> M.A1 in 18awg\n', 'sheet "2"\nCAB.F22 -> M.A1 in 0.75mm2\n')
    assert told(platform, "load-no-ground") == []


def test_the_opposite_direction_on_another_sheet_is_the_same_wire() -> None:
    platform = platform_from(
        HEAD, 'sheet "1"\nCAB.F22 -> X1.2 -> M.A1 in RD\n', 'sheet "2"\nM.A1 -> X1.2 -> CAB.F22 in 1mm2\n'
    )
    assert wires(platform) == ["CAB.F22.2 - X1.2< RD 1mm2", "X1.2> - M.A1 RD 1mm2"]


def test_what_a_chain_meets_across_a_cavity_is_on_its_other_half() -> None:
    """The second sheet was read towards the supply: SP1 is on the half where the fuse is not."""
    platform = platform_from(HEAD, 'sheet "1"\nCAB.F22 -> X1.2\n', 'sheet "2"\nSP1 -> X1.2 -> CAB.F22\nSP1 -> M.A1\n')
    assert wires(platform) == ["CAB.F22.2 - X1.2<", "SP1 - M.A1", "SP1 - X1.2>"]


def test_a_diode_drawn_the_other_way_round_is_a_problem() -> None:
    head = HEAD + "diode D1\n"
    platform = platform_from(head, 'sheet "1"\nSP1 -> D1 -> SP2\n', 'sheet "2"\nSP2 -> D1 -> SP1\n')
    assert told(platform, "splice-one-wire") == ["error 3.circuit:2:8 diode-turned"]


def test_wires_side_by_side_have_names() -> None:
    text = HEAD + "CAB.F22 -> M.A1 in RD named a\nCAB.F22 -> M.A1 in BU named b\n"
    assert wires(platform_from(text)) == ["CAB.F22.2 - M.A1 RD named a", "CAB.F22.2 - M.A1 BU named b"]
    one_name = platform_from(HEAD, 'sheet "1"\nCAB.F22 -> M.A1 in RD named a\n', 'sheet "2"\nCAB.F22 -> M.A1 in 1mm2\n')
    assert wires(one_name) == ["CAB.F22.2 - M.A1 RD 1mm2 named a"]
    unclear = platform_from(text + "CAB.F22 -> M.A1 in GN\n")
    assert told(unclear, "load-no-ground") == ["warning 7:1 which-wire"]


def test_wires_of_equipment_that_excludes_each_other_stay_apart() -> None:
    head = HEAD + "option TOW\n"
    platform = platform_from(head + "CAB.F22 -> M.A1 in RD if TOW\nCAB.F22 -> M.A1 in BU if not TOW\n")
    assert wires(platform) == ["CAB.F22.2 - M.A1 BU", "CAB.F22.2 - M.A1 RD"]
    assert told(platform, "load-no-ground") == []


def test_what_one_sheet_shows_for_every_vehicle_is_in_every_vehicle() -> None:
    head = HEAD + "option TOW\n"
    platform = platform_from(head, 'sheet "1" if TOW\nCAB.F22 -> M.A1 in RD\n', 'sheet "2"\nCAB.F22 -> M.A1 in 1mm2\n')
    (wire,) = platform.wires
    assert (wire.condition, wire.colour, wire.size) == ((), ("RD",), 1.0)


def test_a_sheet_and_a_statement_ask_for_equipment_together() -> None:
    platform = platform_from(HEAD + 'option TOW\noption ALARM\nsheet "1" if TOW\nCAB.F22 -> M.A1 if not ALARM\n')
    assert platform.wires[0].condition == (("ALARM", False), ("TOW", True))


def test_a_direct_line_gives_way_to_the_chain_of_another_sheet() -> None:
    chain = 'sheet "2"\nCAB.F22 -> X1.2 -> SP1 -> M.A1 in RD\nSP1 -> ?\n'
    platform = platform_from(HEAD, 'sheet "1"\nCAB.F22 -> M.A1 in RD\n', chain)
    assert wires(platform) == ["CAB.F22.2 - X1.2< RD", "SP1 - ?SP1", "SP1 - M.A1 RD", "X1.2> - SP1 RD"]
    assert "wire-disagrees" not in {p.code for p in platform.problems}
    other_colour = platform_from(HEAD, 'sheet "1"\nCAB.F22 -> M.A1 in BU\n', chain)
    assert told(other_colour, "load-no-ground", "open-end") == ["warning 2.circuit:2:1 wire-disagrees"]


def test_a_direct_line_on_the_same_sheet_is_a_wire_of_its_own() -> None:
    platform = platform_from(HEAD, 'sheet "1"\nCAB.F22 -> M.A1 in RD\nCAB.F22 -> SP1 -> M.A1 in RD\n')
    assert len(platform.wires) == 3


def test_a_chain_through_a_pin_is_not_the_same_path() -> None:
    """N.B7 is a pin, not a splice: the line from the fuse to the module is another wire."""
    platform = platform_from(
        HEAD + "module N\n", 'sheet "1"\nCAB.F22 -> M.A1\n', 'sheet "2"\nCAB.F22 -> N.B7 -> M.A1\n'
    )
    assert len(platform.wires) == 3


def test_a_chart_row_gives_way_to_the_drawn_path() -> None:
    chart = HEAD + "lamp L, L2\n".replace(", L2", "") + "lamp L2\nCAB.F22 feeds L, L2\n"
    platform = platform_from(chart + "CAB.F22 -> X1.2 -> SP1 -> L -> G1\nSP1 -> ?\n")
    assert [row for row in wires(platform) if "chart" in row] == ["CAB.F22.2 - L2.1 chart"]


def test_a_chart_row_gives_way_to_a_path_through_a_relay_a_switch_or_an_output() -> None:
    """If it were kept beside the wire, the row would say that the lamp is fed at all times."""
    head = HEAD + "lamp L\nCAB.F22 feeds L\n"
    relay = "relay CAB.K1 make\nCAB.F22 -> CAB.K1.30\nCAB.K1.87 -> L -> G1\n"
    switch = "switch S positions off, on closes 1 to 2 in on\nCAB.F22 -> S.1\nS.2 -> L -> G1\n"
    output = "output M.C1 feeds from A1\nCAB.F22 -> M.A1\nM.C1 -> L -> G1\n"
    for between in (relay, switch, output):
        platform = platform_from(head + between)
        assert not [row for row in wires(platform) if "chart" in row]
    through_a_fuse = "fuse CAB.F1 5A\nCAB.F22 -> CAB.F1 -> L -> G1\n"
    assert [row for row in wires(platform_from(head + through_a_fuse)) if "chart" in row]


def test_a_path_that_only_some_vehicles_have_leaves_the_chart_row() -> None:
    text = HEAD + "option TOW\nlamp L\nCAB.F22 feeds L\nCAB.F22 -> L if TOW\n"
    assert len([row for row in wires(platform_from(text)) if "chart" in row]) == 1


def test_the_makers_colour_letters() -> None:
    platform = platform_from(HEAD + "colours sw BK, rt RD\nCAB.F22 -> M.A1 in rt/sw\nM.A2 -> G1 in BN\n")
    assert wires(platform) == ["CAB.F22.2 - M.A1 RD/BK", "M.A2 - G1 BN"]
    assert told(platform) == []


def test_a_colour_that_is_none() -> None:
    platform = platform_from(HEAD + "CAB.F22 -> M.A1 in RD/BLK\nM.A2 -> G1 in rd\n")
    assert told(platform) == ["error 5:23 unknown-colour", "error 6:15 unknown-colour"]
    assert [p.suggestion for p in platform.problems if p.code == "unknown-colour"] == ["BK", "RD"]


def test_fuses_keep_the_order_of_their_box() -> None:
    platform = platform_from("box A\nbox B\nfuse B.F2 5A, B.F10 5A, A.F9 5A\nfuse A.F1 5A\n")
    assert [(fuse.name, fuse.slot) for fuse in platform.fuses] == [("A.F9", 0), ("A.F1", 1), ("B.F2", 0), ("B.F10", 1)]


def test_the_sketch_of_a_van_has_no_surprises() -> None:
    platform = platform_from(
        'platform "Marlow Linnet 2.2 van" years 2016-2020 supply 12V return body\n    sleep 20min..40min limit 50mA\n'
        'option TOW "towing socket"\nnaming G* ground\n'
        "battery AUX 95Ah if TOW\nrelay ENG.K9 make if TOW\nbox ENG\nAUX.- -> G2\n"
    )
    assert (platform.name, platform.years, platform.supply_volts) == ("Marlow Linnet 2.2 van", "2016-2020", 12.0)
    assert (platform.sleep, platform.limit, platform.body_return) == ((20.0, 40.0), 0.05, True)
    assert platform.parts["AUX"].condition == (("TOW", True),)
    assert told(platform) == []


def test_a_chart_names_switches_relays_and_batteries_without_their_terminals() -> None:
    text = (
        HEAD + "battery BAT\nhorn HORN\nrelay CAB.K4 make\nrelay CAB.K5 changeover\n"
        "key IGN positions off, acc, run closes 30 to 15 in run closes 30 to 75 in acc, run\n"
        "switch S positions off, on closes 1 to 2 in on\n"
        "BAT feeds CAB.F22\nCAB.F22 feeds IGN, S, CAB.K4\nCAB.K4 feeds HORN\n"
    )
    assert wires(platform_from(text)) == [
        "BAT.+ - CAB.F22.1 chart",
        "CAB.F22.2 - CAB.K4.? chart",
        "CAB.F22.2 - IGN.30 chart",
        "CAB.F22.2 - S.? chart",
        "CAB.K4.87 - HORN.1 chart",
    ]
    assert told(platform_from(text)) == []
    assert told(platform_from(text + "CAB.K5 feeds M\n")) == ["error 14:1 pin-needed"]
    assert told(platform_from(text + "bar CAB.B1 feeds CAB.K4\n")) == ["error 14:18 pin-needed"]


def test_a_bare_load_takes_its_declared_pins() -> None:
    platform = platform_from(HEAD + "lamp L supply 58 ground 31\nCAB.F22 -> L -> G1\n")
    assert wires(platform) == ["CAB.F22.2 - L.58", "L.31 - G1"]


def test_the_parts_of_a_bar_come_together() -> None:
    for text in ('bar B1 feeds F1\nbar B1 "run" feeds F2\n', 'bar B1 "run" feeds F2\nbar B1 feeds F1\n'):
        platform = platform_from("fuse F1 5A empty, F2 5A empty\n" + text)
        assert platform.parts["B1"].description == "run"
        assert told(platform) == []


def test_what_a_copied_sheet_shows_is_checked_by_any_other() -> None:
    copied = 'sheet "1" copied "Linnet 2.0"\nCAB.F22 -> M.A1 in RD\n'
    assert platform_from(HEAD, copied).wires[0].copied == "Linnet 2.0"
    assert platform_from(HEAD, copied, 'sheet "2"\nCAB.F22 -> M.A1 in RD\n').wires[0].copied == ""


@pytest.mark.parametrize("lines", ["A -> L -> B\nB -> L -> A\n", "B -> L -> A\nA -> L -> B\n"])
def test_a_lamp_drawn_in_both_directions_on_one_sheet_takes_one_side_and_says_so(lines: str) -> None:
    platform = platform_from(f"splice A, B\nlamp L\n? -> A\nB -> ?\n{lines}")
    assert {"A - L.1", "B - L.2"} <= set(wires(platform))
    (note,) = (problem for problem in platform.problems if problem.code == "drawn-both-ways")
    assert note.headline == "L is drawn in both directions: A is taken for its supply side."
