"""Wires in the older form: read as before, and rewritten by `tidy` without a change of meaning."""

import pytest

from circuitmap.notation.older_wires import as_now_written
from circuitmap.notation.reading import read_text
from circuitmap.notation.tidy import tidy
from circuitmap.source import SourceFile
from tests.wiring.written import platform_from

HEAD = "naming SP* splice, X* connector, G* ground\nfuse F1 10A\nlamp L1\nmodule M supply 1, 2 ground 3\n"

OLDER = [
    ("F1 -> L1 : RD", "F1 -> L1 in RD"),
    ("F1 -> X1.2 -> L1 : RD/BK 1mm2", "F1 -> X1.2 -> L1 in RD/BK 1mm2"),
    ("F1 -[RD]-> X1.2 -> L1", "F1 -> X1.2 in RD -> L1 in ?"),
    ("F1 -> X1.2 -[RD]-> L1", "F1 -> X1.2 in ? -> L1 in RD"),
    ("F1 -[RD 1mm2]-> X1.2 -> L1 : GN", "F1 -> X1.2 in RD 1mm2 -> L1 in GN"),
    ("F1 -[RD]-> X1.2 -> L1 : GN 0.75mm2", "F1 -> X1.2 in RD 0.75mm2 -> L1 in GN 0.75mm2"),
    ("F1 -[RD 1mm2]-> X1.2 -[RD 1mm2]-> L1", "F1 -> X1.2 -> L1 in RD 1mm2"),
    ('F1 -> ? "to the rear" : BU named second code "H5"', 'F1 -> ? "to the rear" in BU named second code "H5"'),
    ("SP1, SP2 -> M.1, M.2 : RD if TOW # as printed", "SP1, SP2 -> M.1, M.2 in RD if TOW # as printed"),
    ("F1 -> X1.2\n    -> L1 : RD", "F1 -> X1.2\n    -> L1 in RD"),
]


def turned(text: str) -> str:
    for start, end, new in reversed(as_now_written(text)):
        text = text[:start] + new + text[end:]
    return text


@pytest.mark.parametrize(("older", "now"), OLDER)
def test_a_wire_of_the_older_form_is_turned(older: str, now: str) -> None:
    assert turned(older) == now
    assert as_now_written(now) == [], "and stays from there on"


@pytest.mark.parametrize(("older", "now"), OLDER)
def test_both_say_the_same(older: str, now: str) -> None:
    head = HEAD + "option TOW\n"
    wires = [
        [
            (wire.a, wire.b, wire.colour, wire.size, wire.name, wire.code)
            for wire in platform_from(head + text + "\n").wires
        ]
        for text in (older, now)
    ]
    assert wires[0] == wires[1] and wires[0]


@pytest.mark.parametrize(
    "text", ["LOCK:7 -> L1", 'sheet "10: power"', "F1 -[RD -> L1", "F1 -> L1 : RD : GN", "F1 -> L1"]
)
def test_what_is_no_such_wire_is_left_alone(text: str) -> None:
    assert as_now_written(text) == []


def test_they_are_told_once_in_a_file_and_tidy_turns_them() -> None:
    text = HEAD + "F1 -> X1.2 -> L1 : RD\nF1 -[GN]-> M.1   # a remark\n"
    notation, problems = read_text(SourceFile("a.circuit", text))
    assert [problem.code for problem in problems] == ["older-wires"]
    assert problems[0].headline.startswith("2 wires are written in the older form")
    assert len(notation.statements) == 6
    tidied = tidy(SourceFile("a.circuit", text))
    assert tidied.endswith("F1 -> X1.2 -> L1 in RD\nF1 -> M.1 in GN   # a remark\n")
    assert read_text(SourceFile("a.circuit", tidied))[1] == ()
