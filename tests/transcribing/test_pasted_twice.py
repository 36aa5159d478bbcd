"""A table that is pasted again: what stands there already is said, and left out."""

from pathlib import Path

from tests.cli.conftest import Run
from tests.transcribing.conftest import AtTerminal
from tests.transcribing.test_lines_command import text

TABLE = "transcribe", "table"
WIRES = "From;To;Colour;mm2\nCAB.F3;X14.3;RD/BU;0.5\nX14.3;DOORS.9;RD/BU;0.5\nCAB.F4;RADIO;GN;1\n"
ON_SHEET = "--sheet", "1", "--head"


def pasted(piped: AtTerminal, van: Path, table: str, columns: str, *more: str):  # type: ignore[no-untyped-def]
    return piped(*TABLE, van, *ON_SHEET, "--columns", columns, *more, text=table)


def test_a_wire_list_twice_is_the_wires_once(van: Path, piped: AtTerminal, circuitmap: Run) -> None:
    assert pasted(piped, van, WIRES, "from,to,colour,size").code == 0
    once = text(van)
    ran = pasted(piped, van, WIRES, "from,to,colour,size")
    assert ran.code == 0 and text(van) == once
    assert "3 rows stand there already, and are left out:" in ran.out
    assert "CAB.F4 -> RADIO in GN 1  (van.circuit:" in ran.out and "There is no line to write." in ran.err


def test_what_is_new_goes_on(van: Path, piped: AtTerminal) -> None:
    pasted(piped, van, WIRES, "from,to,colour,size")
    ran = pasted(piped, van, WIRES + "CAB.F2;X20.1;BK;1\n", "from,to,colour,size")
    assert ran.code == 0 and ran.out.count(" -> ") == 3 + 1
    assert text(van).count("CAB.F4 -> RADIO") == 1 and text(van).count("CAB.F2 -> X20.1") == 1


def test_it_is_the_same_wire_however_it_is_written(van: Path, piped: AtTerminal) -> None:
    """From the other end, with the side of a fuse, with a stroke for the point, in a line of several. What arrives at a
    connector and what leaves it are two wires: those are compared as they are read."""
    (van / "more.circuit").write_text("CAB.F3 -> X14.3 -> DOORS.9 in RD/BU 0.5\nCAB.F4 -> RADIO in GN 1\n")
    table = (
        "From;To;Colour;mm2\nCAB.F3:2;X14/3;RD/BU;0.5\nX14/3;DOORS.9;RD/BU;0.5\nCAB.F4.2;RADIO;GN;1\nG7;DOORS.3;BK;\n"
    )
    ran = pasted(piped, van, table, "from,to,colour,size", "--sides", "1,2")
    assert ran.code == 0 and "4 rows stand there already" in ran.out and "There is no line to write." in ran.err


def test_a_row_that_says_more_is_taken(van: Path, piped: AtTerminal) -> None:
    """The sheet gave no size; the list does."""
    (van / "more.circuit").write_text("CAB.F4 -> RADIO in GN\n")
    ran = pasted(piped, van, "From;To;Colour;mm2\nCAB.F4;RADIO;GN;1\n", "from,to,colour,size")
    assert ran.code == 0 and "CAB.F4 -> RADIO in GN 1 copied" in text(van) and "left out" not in ran.out


def test_a_row_that_says_otherwise_is_told(van: Path, piped: AtTerminal) -> None:
    (van / "more.circuit").write_text("CAB.F4 -> RADIO in GN 1\n")
    ran = pasted(piped, van, "From;To;Colour;mm2\nCAB.F4;RADIO;BU;1\n", "from,to,colour,size")
    assert "[wire-disagrees]" in ran.err and "left out" not in ran.out


def test_a_row_that_stands_in_the_table_twice_is_taken_once(van: Path, piped: AtTerminal) -> None:
    ran = pasted(piped, van, WIRES + "CAB.F4;RADIO;GN;1\n", "from,to,colour,size")
    assert ran.code == 0 and text(van).count("CAB.F4 -> RADIO") == 1
    assert "1 row stands there already, and is left out:" in ran.out and "(further up in this table)" in ran.out


def test_again_takes_them_all(van: Path, piped: AtTerminal) -> None:
    pasted(piped, van, WIRES, "from,to,colour,size")
    ran = pasted(piped, van, WIRES, "from,to,colour,size", "--again")
    assert ran.code == 0 and text(van).count("CAB.F4 -> RADIO") == 2


def test_a_fuse_chart_twice(van: Path, piped: AtTerminal) -> None:
    chart = "Slot;A;Circuit\nF8;5;horn left\nF9;10;pump of the washer\n"
    assert pasted(piped, van, chart, "slot,rating,what", "--box", "CAB").code == 0
    once = text(van)
    ran = pasted(piped, van, chart.replace("F9;10", "F9;15"), "slot,rating,what", "--box", "CAB")
    assert ran.code == 1 and text(van) == once
    assert "1 row stands there already" in ran.out and "CAB.F8 5A" in ran.out
    assert "CAB.F9 is declared already: it is left as it is." in ran.err, "it says another rating"


def test_a_pin_list_twice(van: Path, piped: AtTerminal) -> None:
    pins = "Pin;What\n1;supply plus\n2;ground\n3;wake input\n4;not used\n6;output HS lamp\n"
    assert pasted(piped, van, pins, "pin,what", "--part", "N1").code == 0
    once = text(van)
    ran = pasted(piped, van, pins.replace("3;wake", "3;sensor signal"), "pin,what", "--part", "N1")
    assert text(van) == once and ran.code == 1, ran
    assert "3 rows stand there already" in ran.out
    ran = pasted(piped, van, pins + "9;sensor signal\n", "pin,what", "--part", "N1")
    assert text(van).startswith(once[:40]) and "signal 9" in text(van) and text(van).count("supply 1 ") == 1


def test_json_lists_them(van: Path, piped: AtTerminal) -> None:
    pasted(piped, van, WIRES, "from,to,colour,size")
    ran = pasted(piped, van, WIRES, "from,to,colour,size", "--json")
    assert len(ran.json["there"]) == 3 and ran.json["lines"] == []
    assert ran.json["there"][2]["says"].startswith("CAB.F4 -> RADIO in GN 1")
