"""One fault in a small circuit that is otherwise without a problem: one message, at its place."""

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path

import pytest

from circuitmap.wiring.parts import Fuse
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


@pytest.mark.parametrize(
    ("fuse", "size", "is_told"),
    [(25, 0.22, True), (30, 0.35, True), (25, 0.5, True), (30, 0.75, True), (15, 0.5, False), (10, 0.35, False),
     (20, 0.75, False), (7.5, 0.22, False)],
)  # fmt: skip
def test_a_thin_wire_is_told_where_the_fuse_is_clearly_too_large(fuse: float, size: float, is_told: bool) -> None:
    """The limits: `wiring/ampacity.py`. Branches behind a splice are as much behind the fuse as the wire to it."""
    head = f"naming SP* splice\nbattery BAT\nkey IGN positions off, run\nfuse F1 {fuse:g}A\nlamp L1\nBAT.+ -> F1\n"
    for wires in (f"F1 -> L1 -> case in {size}mm2\n", f"F1 -> SP1 in 4mm2\nSP1 -> L1 -> case in {size}mm2\n"):
        assert ("wire-too-thin" in {p.code for p in platform_from(head + wires).problems}) is is_told


def test_what_hangs_on_a_battery_is_not_behind_a_chargers_fuse() -> None:
    text = "naming SP* splice\nbattery BAT\nkey IGN positions off, run\nfuse F1 60A, F2 5A\ncharger T supply OUT\n"
    text += "T.OUT -> F1 -> SP1 in 16mm2\nSP1 -> F2 in 1mm2\n"
    assert "wire-too-thin" in {p.code for p in platform_from(text).problems}
    assert "wire-too-thin" not in {p.code for p in platform_from(text + "BAT.+ -> SP1 in 25mm2\n").problems}


def test_a_fuse_in_a_ground_wire_is_no_plus() -> None:
    text = 'battery BAT\nkey IGN positions off, run closes 30 to 15 in run\nlink TL "thermal link"\nfuse F2 10A\n'
    text += "motor M supply 1 ground 2\nground W1\nBAT.+ -> IGN.30\nIGN.15 -> M.1\nBAT.- -> W1\n"
    for ground in ("M.2 -> TL -> W1\n", "M.2 -> TL -> F2 -> W1\n"):
        assert "pin-wrong-way-round" not in {p.code for p in platform_from(text + ground).problems}
    assert "pin-wrong-way-round" in {p.code for p in platform_from(text + "BAT.+ -> TL -> M.2\n").problems}


def test_a_slot_may_hold_a_fuse_with_some_equipment_and_be_empty_without_it() -> None:
    text = 'option TOW\nfuse F1 20A "towing" if TOW\nfuse F1 empty if not TOW\n'
    for lines in (text, "\n".join([*text.splitlines()[:1], *reversed(text.splitlines()[1:])]) + "\n"):
        platform = platform_from(lines)
        assert not [problem for problem in platform.problems if problem.code == "declared-twice"]
        fuse = platform.parts["F1"]
        assert isinstance(fuse, Fuse) and fuse.rating == 20.0 and fuse.else_empty and not fuse.empty
    for slip in (text.replace("if not TOW", "if TOW"), text.replace("empty", "10A"), text.replace(" if not TOW", "")):
        assert [problem for problem in platform_from(slip).problems if problem.code == "declared-twice"]
