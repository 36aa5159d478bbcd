"""One fault in a small circuit that is otherwise without a problem: one message, at its place."""

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path

import pytest

from circuitmap.wiring.platform import Platform
from tests.wiring.written import platform_from

SOUND = """\
platform "Marlow Linnet" supply 12V return body
naming SP* splice, X* connector, G* ground
option TOW
battery BAT 72Ah
box CAB
key IGN positions off, run closes 30 to 15 in run
relay CAB.K4 make
bar CAB.B1 feeds CAB.F22, CAB.F23, CAB.F24
fuse CAB.F22 20A mini, CAB.F23 10A mini, CAB.F24 5A mini
module HEATER supply A1 ground A12
module BCM supply 1 ground 2 sense 3
lamp TOWLAMP if TOW
network BODY can members HEATER, BCM
sheet "1" "Power" whole
BAT.+ -> CAB.B1 in RD 25mm2
BAT.- -> G1 in BK
CAB.F22 -> X1.1 -> SP1 -> HEATER.A1, BCM.1 in RD 2.5mm2
HEATER.A12 -> G2 in BK
BCM.2 -> G2 in BK
CAB.F23 -> IGN.30 in RD
IGN.15 -> CAB.K4.86 in GY
CAB.K4.85 -> G1 in BK
CAB.F24 -> CAB.K4.30 in RD
CAB.K4.87 -> TOWLAMP -> G1 in GY if TOW
"""


def changed(old: str, new: str) -> Platform:
    assert old in SOUND
    return platform_from(SOUND.replace(old, new))


def all_told(platform: Platform) -> list[str]:
    return [f"{p.severity.word} {p.span.line}:{p.span.column} {p.code}: {p.headline}" for p in platform.problems]


def test_the_sound_circuit_has_no_problem() -> None:
    assert all_told(platform_from(SOUND)) == []


def _faults() -> Iterator[tuple[str, str, str]]:
    """What is replaced, by what, and the one message, from `one_fault.txt`."""
    text = (Path(__file__).parent / "one_fault.txt").read_text(encoding="utf-8")
    for block in text.split("\n\n")[1:]:
        lines = {mark: [line[2:] for line in block.splitlines() if line[0] == mark] for mark in "-+="}
        (message,) = lines["="]
        yield "".join(f"{line}\n" for line in lines["-"]), "".join(f"{line}\n" for line in lines["+"]), message


@pytest.mark.parametrize(("old", "new", "message"), [pytest.param(*fault, id=fault[2][:60]) for fault in _faults()])
def test_one_fault_gives_one_message(old: str, new: str, message: str) -> None:
    assert all_told(changed(old, new)) == [message]


UNREADABLE = """\
fuse CAB.F22 2OA mini, CAB.F23 10A mini, CAB.F24 5A mini
battery BAT 72Amph
naming SP+ splice, X* connector, G* ground
key IGN positons off, run closes 30 to 15 in run
relay CAB.K4 maek
box CAB CAB
option TOW TOW
module HEATER suply A1 ground A12
network BODY cam members HEATER, BCM
HEATER.A12 - G2 : BK
CAB.F22 -> X1.1 --> SP1 -> HEATER.A1, BCM.1 in RD 2.5mm2
CAB.K4.85 -> G1 in BK BK BK,
lamp TOWLAMP iff TOW
"""


@pytest.mark.parametrize("broken", UNREADABLE.splitlines())
def test_a_line_that_cannot_be_read_gives_no_message_but_its_own(broken: str) -> None:
    """The faulty line takes the place of the sound line that is most like it."""
    lines = SOUND.splitlines()
    (sound,) = get_close_matches(broken, lines, n=1)
    number = lines.index(sound)
    lines[number] = broken
    platform = platform_from("\n".join(lines) + "\n")
    assert {problem.span.line for problem in platform.problems} == {number + 1}, all_told(platform)


def test_a_missing_side_is_a_note_where_the_sheet_is_not_whole() -> None:
    text = SOUND.replace(' "Power" whole', "").replace("HEATER.A12 -> G2 in BK\n", "")
    assert all_told(platform_from(text)) == [
        "note 17:20 load-no-ground: HEATER has a supply and no ground is typed in."
    ]


def test_many_notes_of_a_sheet_are_one() -> None:
    text = "naming SP* splice\nbattery BAT\nkey IGN positions off, run\n" + 'sheet "7"\n'
    text += "".join(f"lamp L{n}\nBAT.+ -> L{n}\n" for n in range(12))
    assert all_told(platform_from(text)) == [
        "note 6:1 load-no-ground: No ground is typed in for L0, L1, L2, L3, L4, L5, L6 and 5 more on sheet 7."
    ]


def test_wires_of_equipment_that_excludes_each_other_make_no_short_circuit() -> None:
    head = "splice SP1\nground G1\noption TOW\nbattery BAT\nkey IGN positions off, run\n"
    exclusive = platform_from(head + "BAT.+ -> SP1 if TOW\nSP1 -> G1 if not TOW\nSP1 -> ?\n")
    assert "plus-to-minus" not in {p.code for p in exclusive.problems}
    together = platform_from(head + "BAT.+ -> SP1 if TOW\nSP1 -> G1 if TOW\nSP1 -> ?\n")
    assert "plus-to-minus" in {p.code for p in together.problems}


def test_wires_side_by_side_share_the_current() -> None:
    head = "battery BAT\nkey IGN positions off, run\nfuse F1 80A\nbar B1\nBAT.+ -> F1\n"
    assert "wire-too-thin" in {p.code for p in platform_from(head + "F1 -> B1 in 4mm2\n").problems}
    two = platform_from(head + "F1 -> B1 in 4mm2 named a\nF1 -> B1 in 4mm2 named b\n")
    assert "wire-too-thin" not in {p.code for p in two.problems}


def test_a_wire_thinner_than_the_table_gets_no_verdict() -> None:
    head = "battery BAT\nkey IGN positions off, run\nfuse F1 80A\nbar B1\nBAT.+ -> F1\n"
    assert "wire-too-thin" not in {p.code for p in platform_from(head + "F1 -> B1 in 0.5mm2\n").problems}
