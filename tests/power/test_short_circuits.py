"""A contact that joins plus to ground: reported in the state where it does so, and by the check."""

from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.power.checks import problems_of
from circuitmap.power.short_circuits import shorts_in, touching_shorts, unsure_touches
from circuitmap.wiring.parts import Terminal

from .vehicle import live, vehicle

HEAD = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery BAT 70Ah
fuse F1 10A
key IGN positions off, run closes 30 to 15 in run
switch S positions off, on closes 1 to 2 in on closes 1 to 3 in off
lamp L
BAT.- -> G1
BAT.+ -> F1 -> IGN.30
L.2 -> G1
"""


def test_a_switch_to_the_body_without_a_load_is_a_short_circuit_once_it_is_closed() -> None:
    circuit = vehicle(HEAD + "F1 -> S.1\nS.2 -> G2\nS.3 -> L.1\n")
    assert shorts_in(live(circuit)) == ()
    assert shorts_in(live(circuit, switches={"S": "on"})) == (("S.2", "F1"),)
    assert shorts_in(live(circuit, switches={"S": "on"}, pulled=frozenset({"F1"}))) == ()
    assert [p.headline for p in problems_of(circuit) if p.code == "contact-shorts"] == [
        "S.2 joins plus to ground with no load in between, with S in on: F1 would blow."
    ]


def test_on_a_whole_sheet_a_wired_fuse_that_nothing_feeds_is_told() -> None:
    text = HEAD + 'fuse F9 5A\nsheet "1" "Lamp"{}\nF9 -> L.1\n'
    for whole, expected in ((" whole", ["Nothing is typed in that feeds F9."]), ("", [])):
        platform = vehicle(text.format(whole)).platform
        assert [p.headline for p in platform.problems if p.code == "fuse-no-feed"] == expected


def test_of_a_chain_the_contact_next_to_ground_is_told() -> None:
    circuit = vehicle(HEAD + "IGN.15 -> S.1\nS.3 -> G2\nIGN.15 -> L.1\n")
    assert shorts_in(live(circuit)) == ()
    assert shorts_in(live(circuit, key="run")) == (("S.3", "F1"),)
    assert shorts_in(live(circuit, key="run", switches={"S": "on"})) == ()


def test_a_contact_inside_another_part_is_told_where_it_is_declared() -> None:
    """No wire ends at such a switch: its terminals are those of the part."""
    inside = "motor M supply 53 ground 31\nswitch M.PARK inside M positions parked, wiping closes 53 to 31 in parked\n"
    circuit = vehicle(HEAD + inside + "F1 -> M.53\nM.31 -> G1\n")
    told = [problem for problem in problems_of(circuit) if problem.code == "contact-shorts"]
    assert [(problem.severity.word, problem.span.text) for problem in told] == [("warning", "M.PARK")]


def test_a_load_or_a_resistor_in_between_is_none() -> None:
    for between in ("F1 -> L.1\nL.2 -> S.1\nS.2 -> G1", "resistor R 1kohm\nF1 -> R -> S.1\nS.2 -> G1"):
        circuit = vehicle(HEAD.replace("L.2 -> G1\n", "") + between + "\n")
        assert shorts_in(live(circuit, switches={"S": "on"})) == ()
        assert "contact-shorts" not in {problem.code for problem in problems_of(circuit)}


TOUCHING = """
battery A
battery B
naming W* ground, SP* splice
fuse F1 50A, F2 10A, F3 1A, F4 20A
breaker CB1 5A
module M supply 1, 2 ground 3
A.-, B.- -> W1
A.+ -> F1 -> F2 -> M.1
F1 -> CB1 -> SP1
B.+ -> F4 -> SP1
SP1 -> F3 -> M.2
M.3 -> W1
terminal T1
A.+ -> T1
"""


def touched(one: str, other: str, **state: object) -> list[tuple[tuple[str, ...], bool]]:
    points = tuple(Terminal(*its.split(".")) for its in (one, other))
    powered = live(vehicle(TOUCHING), bridged=frozenset({points}), **state)
    return [(its.fuses, its.unfused) for its in touching_shorts(powered)]


def test_where_plus_touches_ground_the_smallest_fuse_of_each_way_blows_until_no_current_is_left() -> None:
    assert touched("M.1", "case") == [(("F2",), False)]
    assert touched("case", "M.1") == [(("F2",), False)]
    assert touched("M.2", "M.3") == [(("F3",), False)]
    assert touched("SP1", "case") in ([(("CB1", "F4"), False)], [(("F4", "CB1"), False)])
    assert touched("T1", "W1") == [((), True)]


def test_what_touches_without_plus_or_without_ground_blows_nothing() -> None:
    assert touched("M.1", "M.2") == []
    assert touched("M.3", "case") == []
    assert touched("M.1", "case", pulled=frozenset({"F2"})) == []


def test_the_words_of_what_blows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.circuit").write_text(TOUCHING, "utf-8")
    assert end_of(program, ["live", str(tmp_path), "--touch", "SP1=case"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "SP1 touching case joins plus to ground:" in said and "CB1 would trip" in said and "F4 would blow" in said
    assert end_of(program, ["live", str(tmp_path), "--touch", "SP1"]) == 2
    assert "POINT=POINT" in capsys.readouterr().err


def test_where_nobody_typed_how_the_body_is_grounded_it_is_said_that_a_short_is_not_known() -> None:
    text = HEAD.replace("BAT.- -> G1\n", "ground GM wired\nBAT.- -> GM\nM.3 -> case\nmodule M supply 1 ground 2, 3\n")
    circuit = vehicle(text + "F1 -> M.1\nM.2 -> GM\n")
    touching = live(circuit, bridged=frozenset({(Terminal("F1", "2"), Terminal("case"))}))
    assert unsure_touches(touching) == ((Terminal("F1", "2"), Terminal("case")),)
    sure = live(circuit, bridged=frozenset({(Terminal("F1", "2"), Terminal("GM"))}))
    assert unsure_touches(sure) == () and [its.fuses for its in touching_shorts(sure)] == [("F1",)]
