"""A pasted table: its cells, what its rows become, and that nothing is taken which nobody confirmed."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.failures import LimitReached, WrongUse
from circuitmap.source import SourceFile
from circuitmap.transcribing.columns import SURE, columns_guessed, kind_with
from circuitmap.transcribing.grid import MOST_COLUMNS, MOST_ROWS, grid_of
from circuitmap.transcribing.pin_words import pin_meant
from circuitmap.transcribing.table_rows import TableLayout
from circuitmap.transcribing.tables import table_text
from circuitmap.transcribing.typed_lines import TypedText
from tests.cli.conftest import Run
from tests.transcribing.conftest import AtTerminal
from tests.transcribing.random_tables import guessed, is_right
from tests.transcribing.test_lines_command import text
from tests.transcribing.test_short_lines import known

TABLE = "transcribe", "table"


@pytest.mark.parametrize(
    ("table", "rows"),
    [
        ("a\tb\n1\t\n", [["a", "b"], ["1", ""]]),
        ("| a | b |\n|---|:--|\n| 1 | x, y |\n", [["a", "b"], ["1", "x, y"]]),
        ("a | b\n1 | 2", [["a", "b"], ["1", "2"]]),
        ('a;b\n"x;y";"say ""no"""\n', [["a", "b"], ["x;y", 'say "no"']]),
        ("F1,7.5A,horn\nF2,5A,lamp", [["F1", "7.5A", "horn"], ["F2", "5A", "lamp"]]),
        ("Slot  A    What\nF1    20   horn, two\nF2         lamp\n", [["Slot", "A", "What"], ["F1", "20", "horn, two"], ["F2", "", "lamp"]]),
        ("F1 \u00a0 20A   horn\n\nF2   5A   lamp", [["F1", "20A", "horn"], ["F2", "5A", "lamp"]]),
        ("101   A1   0,75\n102   SP61   0,5", [["101", "A1", "0,75"], ["102", "SP61", "0,5"]]),
        ("1,2\n3,4", [["1", "2"], ["3", "4"]]),
        ("a;b;c\n1;2\n3;4;5", [["a", "b", "c"], ["1", "2", ""], ["3", "4", "5"]]),
        ("**F1**;`20 A`", [["F1", "20 A"]]),
        ("one\ntwo", [["one"], ["two"]]),
        ("", []),
    ],
)  # fmt: skip
def test_cells(table: str, rows: list[list[str]]) -> None:
    grid = grid_of(SourceFile("table", table))
    assert [[cell.text for cell in row] for row in grid.rows] == rows
    for row in grid.rows:
        for cell in row:
            assert [c for c in cell.span.text if c.isalnum()] == [c for c in cell.text if c.isalnum()]


@settings(deadline=None)
@given(st.text(alphabet='ab1 \t;|,"\n-²', max_size=80))
def test_any_text_is_a_grid(table: str) -> None:
    grid = grid_of(SourceFile("table", table))
    assert len({len(row) for row in grid.rows}) <= 1
    if grid.width:
        guess = columns_guessed(grid, known())
        assert len(guess.columns) == len(guess.leads) == grid.width


@pytest.mark.parametrize(("rows", "columns", "too_many"), [(MOST_ROWS, 2, False), (MOST_ROWS + 1, 2, True), (2, MOST_COLUMNS, False), (2, MOST_COLUMNS + 1, True)])  # fmt: skip
def test_limits(rows: int, columns: int, too_many: bool) -> None:
    source = SourceFile("table", "\n".join(["x;" * (columns - 1) + "x"] * rows))
    if too_many:
        with pytest.raises(LimitReached):
            grid_of(source)
    else:
        assert grid_of(source).width == columns


# ---- what the rows become ----


DOES = ("supply", "ground", "wake", "sense", "control", "signal", "feeds", "grounds", "free")
"""What a pin may do, each with the same number in every question of a list."""


def lines(table: str, columns: str, **wishes: object) -> TypedText:
    names = tuple(columns.split())
    layout = TableLayout(kind_with(names, len(names)), names, False, "chart", **wishes)  # type: ignore[arg-type]
    return table_text(grid_of(SourceFile("table", table)), layout, known())


def asked(table: str, columns: str, **wishes: object) -> tuple[str, str, tuple[str, ...]]:
    found = lines(table, columns, **wishes)
    assert len(found.questions) == 1
    question = found.questions[0]
    return question.headline, question.span.text, question.choices


@pytest.mark.parametrize(
    ("table", "columns", "wishes", "became"),
    [
        ("F8;20 A;pump", "slot rating what", {}, ['fuse F8 20A "pump"']),
        ("8;7,5;say \"x\"", "slot rating what", {"box": "CAB"}, ['fuse CAB.F8 7.5A "say \\"x\\""']),
        ("F8;-;EMPTY", "slot rating what", {}, ["fuse F8 empty"]),
        ("F8;spare;x", "slot rating what", {}, ['fuse F8 empty "x"']),
        ("Q1 (breaker);80;winch", "slot rating what", {}, ['breaker Q1 80A "winch"']),
        ("F8;5;maxi;left;tow;15", "slot rating style place option bar", {"box": "CAB"},
         ['fuse CAB.F8 5A maxi at "left" if TOW', "bar CAB.15 feeds CAB.F8"]),
        ("F8;5\nF9;10", "slot rating", {"box": "NEW"}, ["box NEW", "fuse NEW.F8 5A", "fuse NEW.F9 10A"]),
        ("f1;lift.a1;rd-bu;4 mm²", "from to colour size", {}, ["CAB.F1 -> LIFT.A1 in RD/BU 4"]),
        ("CAB.F1:out;LIFT/A1;red;0,75", "from to colour size", {}, ["CAB.F1.2 -> LIFT.A1 in RD 0.75"]),
        ("F7:b;F7.a;x;", "from to remark -", {"sides": ("a", "b")}, ["F7.2 -> F7.1"]),
        ("12;L1;X3/4, X9/1;G1;BN;18 AWG;seen", "code from via to colour size remark", {},
         ['L1 -> X3.4 -> X9.1 -> G1 in BN 18awg code "12"']),
        ("BAT;-;G1;–;BK", "from from-pin to to-pin colour", {}, ["BAT.- -> G1 in BK"]),
        ("LIFT;A2;L1;-;", "from from-pin to to-pin colour", {}, ["LIFT.A2 -> L1"]),
        ("L1;N99.X1/4;tow", "from to option", {}, ["L1 -> N99.X1.4 if TOW"]),
        ("1;supply plus\n2;Masse\n3;réveil porte\n4;not used\n5;CAN high\n6;output HS lamp", "pin what", {"part": "N1"},
         ["module N1 supply 1 ground 2 wake 3 signal 5", 'output N1.6 feeds "output HS lamp"', "# N1.1: supply plus"]),
        ("wiper;7;supply", "part pin what", {}, ["motor WIPER supply 7", "# WIPER.7: supply"]),
        ("1;supply plus;fused 20 A;x\n2;ground;-;x", "pin what remark -", {"part": "N1"},
         ["module N1 supply 1 ground 2", "# N1.1: supply plus; fused 20 A", "# N1.2: ground"]),
        ("6;output HS lamp;left only", "pin what remark", {"part": "N1"},
         ["module N1", 'output N1.6 feeds "output HS lamp"', "# N1.6: output HS lamp; left only"]),
    ],
)  # fmt: skip
def test_a_row_becomes(table: str, columns: str, wishes: dict[str, object], became: list[str]) -> None:
    found = lines(table, columns, **wishes)
    assert not found.questions
    said = [line.replace(' copied "chart"', "").partition("  #")[0] for line in found.lines]
    assert said[: len(became)] == became
    assert all(' copied "chart"' in line for line in found.lines if not line.startswith("#"))


@pytest.mark.parametrize(
    ("table", "columns", "headline", "cell", "choices"),
    [
        ("F1;5\nF8;zz\nF9;3", "slot rating", "zz is not a rating.", "zz", ()),
        ("F8;5\nF8;10", "slot rating", "F8 stands further up already.", "F8", ()),
        ("CAB.F1;5", "slot rating", "CAB.F1 is declared already: it is left as it is.", "CAB.F1", ()),
        (";5;x", "slot rating what", "Nothing is not the name of a fuse.", "", ()),
        ("F8;L1", "slot bar", "L1 is not a bar, but a lamp.", "L1", ()),
        ("f2;L1", "from to", "f2 may be several: which?", "f2", ("CAB.F2", "REAR.F2")),
        ("L1;CAB.K4", "from to", "Which terminal of CAB.K4?", "CAB.K4", ("CAB.K4.86", "CAB.K4.85", "CAB.K4.30", "CAB.K4.87")),
        ("L1;F7:b", "from to", "F7:b: F7 has no terminal b.", "F7:b", ("F7.1", "F7.2")),
        ("L1;BAR A30", "from to", "BAR A30 is not the name of an end.", "BAR A30", ()),
        ("L1;", "from to", "An end of this wire is missing.", "", ()),
        ("L1;L1", "from to", "This wire begins and ends at L1.", "L1", ()),
        ("L1;G1;gnye", "from to colour", "gnye may be several colours: which?", "gnye", ("GN/YE", "GNYE")),
        ("L1;G1;by housing", "from to colour", "by housing is no colour.", "by housing", ()),
        ("L1;G1;thick", "from to size", "thick is no size of a wire.", "thick", ()),
        ("L1;G1;xx", "from to option", "xx is not an equipment option of this platform.", "xx", ("a remark",)),
        ("1;output to lamp", "pin what", "What does pin 1 do: output to lamp? It may be feeds or grounds.", "output to lamp", DOES),
        ("1;thing", "pin what", "What does pin 1 do: thing?", "thing", DOES),
        ("CAB.F1;1;plus", "part pin what", "CAB.F1 is a fuse: its terminals are known.", "1", ()),
    ],
)  # fmt: skip
def test_a_cell_that_is_not_clear_is_asked(
    table: str, columns: str, headline: str, cell: str, choices: tuple[str, ...]
) -> None:
    table = table.removeprefix("F1;5\n")
    assert asked(table, columns, part="N1") == (headline, cell, choices)


def test_the_other_rows_go_on() -> None:
    found = lines("F8;5\nF9;zz\nF10;10", "slot rating")
    assert len(found.lines) == 2 and len(found.questions) == 1


def test_an_input_to_wake_is_a_wake_pin_and_what_may_be_two_things_is_both() -> None:
    assert pin_meant("wake input 15") == ("wake",)
    assert pin_meant("sensor supply 5 V") == ("signal",)
    assert set(pin_meant("input, supply 15")) == {"supply", "sense"}
    assert pin_meant("something") == ()


@pytest.mark.parametrize(
    ("columns", "says"),
    [
        ("slot rating", "The table has 3 columns"),
        ("slot rating colours", "There is no column colours."),
        ("slot rating rating", "Two columns are called rating."),
        ("slot from to", "These are not the columns of one table."),
        ("rating what -", "These are not the columns of one table."),
        ("from to from-pin", "The column from-pin stands right behind from."),
    ],
)
def test_columns_that_cannot_be(columns: str, says: str) -> None:
    with pytest.raises(WrongUse, match=says):
        kind_with(columns.split(), 3)


# ---- the guess ----


def _right_of_sure(numbers: range) -> tuple[int, int, int]:
    """How many were sure, how many of them right, and how many of all."""
    sure = right = of_all = 0
    for number in numbers:
        table, guess = guessed(number)
        of_all += is_right(table, guess)
        if guess.lead >= SURE:
            sure += 1
            right += is_right(table, guess)
    return sure, right, of_all


def test_what_is_sure_is_right() -> None:
    sure, right, of_all = _right_of_sure(range(5000, 5080))
    assert sure > 30 and right == sure and of_all > 64


@pytest.mark.slow
@pytest.mark.on_demand
def test_of_a_thousand_tables_at_random_what_is_sure_is_right_in_99_of_100() -> None:
    """Seeds that nothing was adjusted to; see `random_tables.py` for how they are laid out."""
    sure, right, of_all = _right_of_sure(range(10_000, 11_000))
    assert sure > 450 and right >= 0.99 * sure and of_all > 850


# ---- the command ----

CHART = "Slot;A;Circuit\nF8;5;horn\nF9;zz;lamp\nF10;10;pump\n"


def test_without_a_yes_nothing_is_written(van: Path, piped: AtTerminal) -> None:
    before = text(van)
    ran = piped(*TABLE, van, "--sheet", "1", text=CHART)
    assert ran.code == 1 and text(van) == before
    assert "A fuse chart, 3 rows, the first row is its head:" in ran.out
    assert "--head --columns slot,rating,what" in ran.out


def test_columns_that_were_named_are_confirmed(van: Path, piped: AtTerminal, circuitmap: Run) -> None:
    words = "--sheet", "1", "--box", "CAB", "--columns", "slot,rating,what"
    ran = piped(*TABLE, van, *words, text=CHART)
    assert ran.code == 1  # for the row that was not clear
    assert 'fuse CAB.F8 5A "horn" copied "standard input, 20' in text(van)
    assert 'fuse CAB.F10 10A "pump" copied' in text(van) and "F9" not in text(van)
    assert "standard input:3:4: zz is not a rating." in ran.err and "1 question: not written." in ran.err
    told = circuitmap("check", van).out
    assert (
        "2 parts are copied from standard input, 20" in told
        and "not yet checked against the sheet. [not-checked]" in told
    )
    assert "copied from standard input" in circuitmap("trace", van, "CAB.F8").out + circuitmap("list", van).out


def test_at_a_terminal_a_column_is_corrected_and_a_row_is_asked(van: Path, tmp_path: Path, typing: AtTerminal) -> None:
    (tmp_path / "chart.csv").write_text(CHART)
    answers = ("3=pl", "9=what", "nonsense", "3=what", "y", "15", "y")
    ran = typing(*TABLE, van, tmp_path / "chart.csv", "--sheet", "1", answers=answers)
    assert ran.code == 0, ran
    for line in ('fuse F8 5A "horn"', 'fuse F9 15A "lamp"', 'fuse F10 10A "pump"'):
        assert f'{line} copied "chart.csv, 20' in text(van)


@pytest.mark.parametrize("answers", [("",), ("n", ""), ("y", "", "n"), ("y", "", "")])
def test_no_yes_is_a_no(van: Path, tmp_path: Path, typing: AtTerminal, answers: tuple[str, ...]) -> None:
    before = text(van)
    (tmp_path / "chart.csv").write_text(CHART)
    ran = typing(*TABLE, van, tmp_path / "chart.csv", "--sheet", "1", answers=answers)
    assert ran.code == 130 and text(van) == before


def test_a_table_is_pasted_at_the_terminal(van: Path, typing: AtTerminal) -> None:
    pasted = CHART.replace(";", "\t").replace("zz", "3").splitlines()
    ran = typing(*TABLE, van, "--sheet", "1", answers=(*pasted, "", "h", "h", "y", "y"))
    assert ran.code == 0 and 'fuse F9 3A "lamp" copied "standard input, 20' in text(van)


def test_a_row_is_left_out(van: Path, tmp_path: Path, typing: AtTerminal) -> None:
    (tmp_path / "chart.csv").write_text(CHART)
    ran = typing(*TABLE, van, tmp_path / "chart.csv", "--sheet", "1", answers=("y", "", "y"))
    assert ran.code == 0 and "fuse F9" not in text(van) and "fuse F10" in text(van)


def test_a_text_without_columns_is_told(van: Path, piped: AtTerminal) -> None:
    ran = piped(*TABLE, van, "--sheet", "1", text="one\ntwo\n")
    assert ran.code == 2 and "There are no columns" in ran.err


def test_a_row_that_is_wrong_in_the_platform_is_not_written(van: Path, piped: AtTerminal) -> None:
    before = text(van)
    ran = piped(*TABLE, van, "--sheet", "1", "--no-head", "--columns", "from,to", text="RADIO;CAB\n")
    assert ran.code == 1 and text(van) == before


# ---- what a row says besides, and answers that are not lost ----


@pytest.mark.parametrize(
    ("table", "columns", "became"),
    [
        ("F8 (TOW);15;pump", "slot rating what", 'fuse F8 15A "pump" if TOW copied "chart"'),
        ("F8 (tow);15;pump", "slot rating what", 'fuse F8 15A "pump" if TOW copied "chart"'),
        ("Q1 (breaker, TOW);15;pump", "slot rating what", 'breaker Q1 15A "pump" if TOW copied "chart"'),
        ("F8 (tow);15;TOW", "slot rating option", 'fuse F8 15A if TOW copied "chart"'),
        ("F8 (left row);15;pump", "slot rating what", 'fuse F8 15A "pump" copied "chart"  # left row'),
    ],
)
def test_what_stands_in_brackets_behind_a_fuse_is_not_lost(table: str, columns: str, became: str) -> None:
    found = lines(table, columns)
    assert found.lines == (became,) and not found.questions


@pytest.mark.parametrize(("head", "kind"), [("Breaker", "breaker"), ("circuit breaker", "breaker"), ("Fuse", "fuse"), ("Fuse/breaker", "fuse"), ("Slot", "fuse")])  # fmt: skip
def test_a_column_of_breakers_holds_breakers(head: str, kind: str) -> None:
    layout = TableLayout("fuses", ("slot", "rating", "what"), True, "chart")
    found = table_text(grid_of(SourceFile("table", f"{head};A;What\nQ1;15;pump\n")), layout, known())
    assert found.lines == (f'{kind} Q1 15A "pump" copied "chart"',)


@pytest.mark.parametrize(
    ("table", "columns", "became"),
    [
        ("F7;L1;fixed half of X6", "from to option", 'F7 -> L1 copied "chart"  # fixed half of X6'),
        ("F8;15;old type", "slot rating option", 'fuse F8 15A copied "chart"  # old type'),
    ],
)
def test_a_cell_that_is_no_option_may_be_a_remark(table: str, columns: str, became: str) -> None:
    headline, _, choices = asked(table, columns)
    assert "is not an equipment option" in headline and choices == ("a remark",)
    names = tuple(columns.split())
    layout = TableLayout(kind_with(names, len(names)), names, False, "chart")
    source = SourceFile("table", table)
    start = lines(table, columns).questions[0].span.start
    found = table_text(grid_of(source), layout, known(), {start: choices[0]})
    assert found.lines == (became,) and not found.questions


def test_enter_at_the_last_prompt_asks_once_more(van: Path, tmp_path: Path, typing: AtTerminal) -> None:
    (tmp_path / "chart.csv").write_text(CHART)
    ran = typing(*TABLE, van, tmp_path / "chart.csv", "--sheet", "1", answers=("y", "15", "", "", "y"))
    assert ran.code == 0 and "fuse F9 15A" in text(van), ran


@pytest.mark.parametrize("answers", [("y", "15", "n"), ("y", "15")])
def test_answers_about_a_table_are_kept(
    van: Path, tmp_path: Path, typing: AtTerminal, answers: tuple[str, ...]
) -> None:
    (tmp_path / "chart.csv").write_text(CHART)
    ran = typing(*TABLE, van, tmp_path / "chart.csv", "--sheet", "1", answers=answers)
    assert ran.code == 130 and "transcribe lines" in ran.err, ran
    assert 'fuse F9 15A "lamp" copied' in (van / "1.typed").read_text()
    again = typing("transcribe", "lines", van, "--sheet", "1", answers=("y", "", "y"))
    assert again.code == 0 and 'fuse F9 15A "lamp" copied' in text(van) and not (van / "1.typed").exists()


@pytest.mark.parametrize("answer", ["y", "n", "radio g2 bn"])
def test_what_is_no_name_is_not_taken_for_one(van: Path, tmp_path: Path, typing: AtTerminal, answer: str) -> None:
    """A yes to another question, or the next line of the paper, typed where an end is asked."""
    (tmp_path / "wires.csv").write_text("CAB.F3;DOORS.99 x;RD\n")
    words = "--sheet", "2", "--no-head", "--columns", "from,to,colour"
    ran = typing(*TABLE, van, tmp_path / "wires.csv", *words, answers=(answer, "DOORS.8", "y"))
    assert ran.code == 0 and "CAB.F3 -> DOORS.8 in RD copied" in text(van), ran
    assert f"-> {answer}" not in text(van)
