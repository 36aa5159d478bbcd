"""Each published limit of reading, one below it, at it, and one above it."""

import pytest

from circuitmap.notation.lines import LONGEST_STATEMENT
from circuitmap.notation.mending import MOST_FAULTS
from circuitmap.notation.names import DEEPEST_NAME, LONGEST_NAME
from circuitmap.notation.reading import MOST_UNREADABLE, read_text
from circuitmap.notation.rows import LONGEST_ROW
from circuitmap.source import SourceFile
from tests.work_done import steps_of


def codes(text: str) -> list[str]:
    return [problem.code for problem in read_text(SourceFile("a.circuit", text))[1]]


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_longest_statement(more):
    text = 'box CAB "' + "x" * (LONGEST_STATEMENT - 10 + more) + '"'
    assert len(text) == LONGEST_STATEMENT + more
    assert codes(f"box ENG\n{text}\nbox FRM\n") == (["too-long"] if more > 0 else [])


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_longest_name(more):
    assert codes(f"box {'X' * (LONGEST_NAME + more)}") == (["bad-name"] if more > 0 else [])


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_deepest_name(more):
    assert codes(f"A -> {'.'.join(['X'] * (DEEPEST_NAME + more))}") == (["bad-name"] if more > 0 else [])


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_longest_row(more):
    assert codes(f"bar B1 feeds F1..F{LONGEST_ROW + more}") == (["bad-row"] if more > 0 else [])


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_most_unreadable_statements(more):
    found = codes("box A\n" + "x y\n" * (MOST_UNREADABLE + more))
    assert found.count("unknown-statement") == MOST_UNREADABLE + min(more, 0)
    assert found.count("too-many-faults") == (more > 0)


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_most_faults_of_one_statement(more):
    found = codes("network BODY can members " + " ".join(f"M{n}" for n in range(MOST_FAULTS + more)))
    assert set(found) <= {"missing-comma", "unexpected"}
    assert len(found) == min(MOST_FAULTS + more - 1, MOST_FAULTS)


@pytest.mark.parametrize("scrap", ['"', "#", "(", "-[", "->", "A-", "A.", "*", ",", "fuse A ", "é ", "1OA ", "“", "\\"])
def test_no_line_keeps_the_reader_busy(scrap):
    """Twice the line is about twice the work, up to the longest there can be."""
    texts = [scrap * (length // len(scrap)) for length in (100, LONGEST_STATEMENT // 2, LONGEST_STATEMENT)]
    least, half, whole = (steps_of(lambda text=text: codes(text)) for text in texts)
    assert whole < 2.5 * half + least
    assert len(codes(texts[-1])) <= 2 * MOST_FAULTS + 1
