"""`X1.1` and `X1/1`: what a newcomer declares one way and a table or a short line writes the other is one pin."""

from pathlib import Path

import pytest

from circuitmap.source import SourceFile
from circuitmap.transcribing.columns import kind_with
from circuitmap.transcribing.grid import grid_of
from circuitmap.transcribing.table_rows import TableLayout
from circuitmap.transcribing.tables import table_text
from tests.cli.conftest import Run
from tests.transcribing.conftest import AtTerminal
from tests.transcribing.test_short_lines import known, typed

DECLARED = """\
naming X* connector
box CAB
fuse CAB.F1 10A
module BCM supply A/1 ground A/2
module HCU supply B.1 ground B.2
lamp L1
"""


@pytest.mark.parametrize(
    ("line", "became"),
    [
        ("f1 bcm.a.1 rd", "CAB.F1 -> BCM.A/1 in RD"),
        ("f1 bcm.a/1 rd", "CAB.F1 -> BCM.A/1 in RD"),
        ("f1 hcu.b/1 rd", "CAB.F1 -> HCU.B.1 in RD"),
        ("f1 bcm/a.1 rd", "CAB.F1 -> BCM.A/1 in RD"),
        ("f1 x1/1 l1 rd", "CAB.F1 -> X1.1 -> L1 in RD"),
        ("f1 x1/1 x1.+ l1 rd", "CAB.F1 -> X1.1 -> X1.2 -> L1 in RD"),
        ("f1 bcm.a/1 | l1 .a.2 bn", "L1 -> BCM.A/2 in BN"),
    ],
)
def test_a_short_line_writes_the_pin_as_it_is_declared(line: str, became: str) -> None:
    found = typed(*line.split(" | "), text=DECLARED)
    assert (found.questions, found.lines[-1]) == ((), became)


@pytest.mark.parametrize(
    ("row", "became"),
    [
        ("BCM.A.1;L1", "BCM.A/1 -> L1"),
        ("BCM/A/1;L1", "BCM.A/1 -> L1"),
        ("HCU:B/1;L1", "HCU.B.1 -> L1"),
        ("X1/1;L1", "X1.1 -> L1"),
    ],
)
def test_a_wire_list_does_too(row: str, became: str) -> None:
    layout = TableLayout(kind_with(("from", "to"), 2), ("from", "to"), False, "list")
    found = table_text(grid_of(SourceFile("table", row)), layout, known(DECLARED))
    assert [line.partition(" copied")[0] for line in found.lines] == [became]


def test_a_pin_list_does_too() -> None:
    """A pin that is declared is found; the one behind it is of the same plug."""
    names = ("part", "pin", "what")
    layout = TableLayout(kind_with(names, 3), names, False, "list")
    table = "BCM;A.1;supply plus\nHCU;B/2;masse\nHCU;B/3;sensor signal"
    found = table_text(grid_of(SourceFile("table", table)), layout, known(DECLARED))
    assert [row.says for row in found.standing] == ["module BCM supply A/1", "module HCU ground B.2"]
    assert found.lines[0] == 'module HCU signal B.3 copied "list"'


def test_the_newcomers_two_tables_meet_at_one_cavity(van: Path, piped: AtTerminal, circuitmap: Run) -> None:
    """Typed with strokes, then pasted with points."""
    lines = piped("transcribe", "lines", van, "--sheet", "1", text="f3 x1/1 rd 1\n")
    assert lines.code == 0, lines
    words = "--sheet", "1", "--no-head", "--columns", "from,to,colour,size"
    table = piped("transcribe", "table", van, *words, text="X1.1;RADIO.9;RD;1\n")
    assert table.code == 0, table
    found = circuitmap("trace", van, "RADIO.9").out
    assert "CAB.F3" in found and "X1.1" in found and "X1/1" not in found


# ---- `.2` below a line in which a pin stands behind a stroke ----


@pytest.mark.parametrize(
    ("above", "line", "became"),
    [
        ("L1.1 -> BCM/A.1 in RD", "f1 .a.2", "CAB.F1 -> BCM.A/2"),  # not L1.2
        ("L1.1 -> HCU.B/1 in RD", "f1 .b.2", "CAB.F1 -> HCU.B.2"),
        ("L1.1 -> X1/1 in RD", "f1 .2", "CAB.F1 -> X1.2"),
        ("L1.1 -> X1/1 in RD", "f1 .+", "CAB.F1 -> X1.2"),
        ("L1.1 -> X1/1 in RD", "f1 x1.+ l1", "CAB.F1 -> X1.2 -> L1"),
        ("l1/1 x1/1 rd", ".2 case", "L1.2 -> case"),
        ("BCM.A/1 -> L1.1", ".a.2 case", "BCM.A/2 -> case"),
        ("f1 x1/1", ".2 l1", "X1.2 -> L1"),
        ("X18/1.4 -> L1.1", ".5 l1", "X18/1.5 -> L1"),
    ],
)
def test_a_terminal_alone_is_of_the_part_that_was_meant(above: str, line: str, became: str) -> None:
    found = typed(above, line, text=DECLARED)
    assert (found.questions, found.lines[-1]) == ((), became)


@pytest.mark.parametrize("above", ["L1.1 -> Q7/1 in RD", "L1.1 -> Q7.1 in RD", "L1.1 -> CAB.Q7/1 in RD"])
def test_below_a_part_that_nobody_knows_it_is_asked_and_never_another_parts(above: str) -> None:
    found = typed(above, "f1 .2", text=DECLARED)
    assert [q.span.text for q in found.questions] == [".2"] and len(found.lines) == 1


def test_a_new_fuse_in_a_box_has_no_terminal_of_the_box() -> None:
    found = typed("L1.1 -> CAB.F9 in RD", "f1 .2", text=DECLARED)
    assert (found.questions, found.lines[-1]) == ((), "CAB.F1 -> L1.2")
