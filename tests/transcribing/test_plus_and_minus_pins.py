"""Two-wire papers print `+` and `-`, also behind letters: such a pin is the same one wherever it is written."""

import pytest

from circuitmap.notation.tidy import tidy
from circuitmap.source import SourceFile
from circuitmap.transcribing.columns import kind_with
from circuitmap.transcribing.grid import grid_of
from circuitmap.transcribing.table_rows import TableLayout
from circuitmap.transcribing.tables import table_text
from circuitmap.wiring.parts import Load
from tests.transcribing.test_short_lines import known, typed
from tests.wiring.written import platform_from, told

PAIRS = [("+", "-"), ("B+", "B-"), ("1+", "1-"), ("PV+", "PV-"), ("C.B+", "C.B-"), ("X-B+", "X-B-")]


def _declared(plus: str, minus: str) -> str:
    return (
        "naming G* ground, X* connector\nbattery BAT\nfuse F1 5A\n"
        f"lamp E12 supply {plus} ground {minus} running 4W on {plus}\n"
        f"module M1 supply {plus} ground {minus}\n"
    )


def _rows(table: str, columns: str, text: str, part: str = "") -> tuple[str, ...]:
    names = tuple(columns.split())
    layout = TableLayout(kind_with(names, len(names)), names, False, "chart", part=part)
    return table_text(grid_of(SourceFile("table", table)), layout, known(text)).lines


@pytest.mark.parametrize(("plus", "minus"), PAIRS)
def test_a_pin_that_was_declared_is_that_of_the_wire(plus: str, minus: str) -> None:
    wires = f"BAT.+ -> F1 -> E12.{plus}, M1.{plus} in RD\nE12.{minus}, M1.{minus} -> G1\nBAT.- -> G1\n"
    platform = platform_from(_declared(plus, minus) + wires)
    assert told(platform) == []
    for name in ("E12", "M1"):
        part = platform.parts[name]
        assert isinstance(part, Load) and part.roles == {plus: "supply", minus: "ground"}
        ends = {end.pin for wire in platform.wires for end in (wire.a, wire.b) if end.part == name}
        assert ends == {plus, minus}


@pytest.mark.parametrize(("plus", "minus"), PAIRS)
def test_short_lines_take_it(plus: str, minus: str) -> None:
    here = _declared(plus, minus)
    assert typed(f"f1 e12.{plus.lower()} rd", text=here).lines == (f"F1 -> E12.{plus} in RD",)
    assert typed(f"e12.{minus.lower()} g1 bk 1", text=here).lines == (f"E12.{minus} -> G1 in BK 1",)
    assert typed(f"m1.{minus.lower()} g1 | .{minus.lower()} g2".replace(" | ", "\n"), text=here).lines == (
        f"M1.{minus} -> G1", f"M1.{minus} -> G2",
    )  # fmt: skip


@pytest.mark.parametrize(("plus", "minus"), PAIRS)
def test_tables_take_it(plus: str, minus: str) -> None:
    """Of a part that is there, and of one that nobody declared. A minus alone in a column of pins may also say that none
    is printed: there the part must have one."""
    here = _declared(plus, minus)
    for part in ("E12", "E99"):
        if part == "E12" or minus != "-":
            (line,) = _rows(f"{part};{minus};G1", "from from-pin to", here)
            assert line.startswith(f"{part}.{minus} -> G1")
        (line,) = _rows(f"{part}.{minus};G1", "from to", here)
        assert line.startswith(f"{part}.{minus} -> G1")
    found = _rows(f"{plus};supply plus\n{minus};ground", "pin what", here, "N1")
    assert found[0].startswith(f"module N1 supply {plus} ground {minus} ")


def test_an_arrow_needs_no_blank_before_it() -> None:
    platform = platform_from(_declared("B+", "B-") + "E12.B-->G1\nE12.B+->F1\nM1.B- -> G1\n")
    (wrong,) = (p for p in platform.problems if p.severity.word == "error")
    assert (wrong.code, wrong.suggestion) == ("bad-arrow", "->"), "two minuses before the sign are no arrow"


@pytest.mark.parametrize(
    ("written", "suggestion"),
    [("BAT- -> G1", "BAT.-"), ("BAT - -> G1", "BAT.-"), ("BAT+ -> F1", "BAT.+"), ("E12- -> G1", "E12.-")],
)
def test_a_post_stands_behind_a_point_in_a_wire(written: str, suggestion: str) -> None:
    (wrong,) = (p for p in platform_from(_declared("+", "-") + written + "\n").problems if p.severity.word == "error")
    assert wrong.suggestion == suggestion


def test_a_pin_written_apart_is_put_together() -> None:
    platform = platform_from("lamp E1 supply B + ground B -\n")
    assert [p.suggestion for p in platform.problems if p.severity.word == "error"] == ["B+", "B-"]


def test_no_part_is_called_minus() -> None:
    (wrong,) = (p for p in platform_from("lamp E1-\n").problems if p.severity.word == "error")
    assert wrong.code == "bad-name"


def test_tidy_keeps_it() -> None:
    text = _declared("B+", "-")
    assert tidy(SourceFile("a", text)) == text
