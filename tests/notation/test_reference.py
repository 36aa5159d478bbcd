"""The reference: every example is read without a problem, every word of the notation is in it, its limits are true."""

import re

import pytest

from circuitmap.flows.questions import check
from circuitmap.notation import folder, lines, mending, names, reading, rows
from circuitmap.notation.manual import manual_folder
from circuitmap.notation.parser import plain_tokens, table
from circuitmap.notation.reading import read_text
from circuitmap.notation.tidy import tidy
from circuitmap.problems import Severity
from circuitmap.source import SourceFile
from circuitmap.wiring.colours import NAME_OF
from circuitmap.wiring.declare import platform_of

PAGE = (manual_folder() / "notation_reference.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```circuit.*?\n(.*?)```", PAGE, re.DOTALL)
FIRST = re.search(r"```circuit first\n(.*?)```", PAGE, re.DOTALL)[1]


@pytest.mark.parametrize("text", EXAMPLES)
def test_an_example_is_read_without_a_problem_and_is_tidy(text):
    source = SourceFile("example.circuit", text)
    notation, problems = read_text(source)
    assert problems == ()
    assert tidy(source) == text
    errors = [p.headline for p in platform_of([notation], [source]).problems if p.severity is Severity.ERROR]
    assert errors == []


def test_the_first_circuit_has_no_slips_and_is_open_where_it_says_so(tmp_path):
    (tmp_path / "cab.circuit").write_text(FIRST, encoding="utf-8")
    platform = check(tmp_path)
    assert [p.headline for p in platform.problems if p.severity > Severity.NOTE] == []
    assert [p.code for p in platform.problems] == ["no-key", "open-end"]


def test_every_word_of_the_notation_is_in_an_example():
    used = {token.text for example in EXAMPLES for token in plain_tokens(example)}
    assert set(table().literals) - used == set()


def test_every_colour_is_named():
    assert set(re.findall(r"`([A-Z]{2,4})` [a-z]", PAGE)) == set(NAME_OF)


@pytest.mark.parametrize(
    "limit",
    [
        f"files in one folder | {folder.MOST_FILES}",
        f"one file | {folder.LARGEST_FILE:,} bytes",
        f"all files of a folder together | {folder.LARGEST_PLATFORM:,} bytes",
        f"one statement | {lines.LONGEST_STATEMENT:,} characters",
        f"one name | {names.LONGEST_NAME} characters, {names.DEEPEST_NAME} levels",
        f"one row of names | {rows.LONGEST_ROW} names",
        f"statements of one file whose faults are told | {reading.MOST_UNREADABLE}",
        f"faults told in one statement | {mending.MOST_FAULTS}",
    ],
)
def test_the_limits_are_those_of_the_program(limit):
    assert f"| {limit} |" in PAGE
