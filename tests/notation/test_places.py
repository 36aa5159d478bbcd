"""Columns count characters, whatever stands before: tabs, wide characters, another kind of line end."""

import pytest

from circuitmap.notation.folder import read_folder
from circuitmap.notation.reading import read_text
from circuitmap.reports.problems.problems_text import problem_text
from circuitmap.source import SourceFile


@pytest.mark.parametrize(
    ("text", "line", "column", "marked"),
    [
        ("fuse CAB.F1 2OA\n", 1, 13, "2OA"),
        ("box CAB\r\nfuse CAB.F1 2OA\r\n", 2, 13, "2OA"),
        ("module HEATER\n\tawake 3OmA\n", 2, 8, "3OmA"),
        ('box CAB "熱" reach 3x\n', 1, 19, "3x"),
        ('box CAB "🚐 e\u0301" reach 3x\n', 1, 22, "3x"),
        ("box CAB # ü\n\n# 熱\nbox ENG reach 3x", 4, 15, "3x"),
    ],
)
def test_line_and_column(text, line, column, marked):
    _, (problem,) = read_text(SourceFile("a.circuit", text))
    assert (problem.span.line, problem.span.column, problem.span.text) == (line, column, marked)
    assert problem.span.end_column == column + len(marked)


def test_a_byte_order_mark_moves_nothing(tmp_path):
    (tmp_path / "a.circuit").write_bytes("\ufefffuse CAB.F1 2OA".encode())
    (source,), _ = read_folder(tmp_path)
    _, (problem,) = read_text(source)
    assert problem.span.place() == "a.circuit:1:13"


def test_carets_stand_below_the_word_in_a_terminal():
    _, (problem,) = read_text(SourceFile("a.circuit", 'module HEATER\n\tat "熱e\u0301" reach 3x\n'))
    assert problem_text(problem).splitlines()[1:3] == [
        '    \tat "熱e\u0301" reach 3x',
        "    \t               ^^",
    ]


def test_a_long_line_is_cut_around_the_fault():
    text = f'box CAB "{"long " * 40}" reach 3x at "{"far " * 40}"'
    _, (problem,) = read_text(SourceFile("a.circuit", text))
    _, line, carets, *_ = problem_text(problem).splitlines()
    assert len(line) < 115
    assert line[carets.index("^") : carets.rindex("^") + 1] == "3x"
    assert line.startswith("    ...") and line.endswith("...")


def test_nothing_in_a_file_can_steer_the_screen():
    _, problems = read_text(SourceFile("a.circuit", "box \x1b[31mCAB \u202e\n"))
    shown = "".join(problem_text(problem) for problem in problems)
    assert "\x1b" not in shown and "\u202e" not in shown
