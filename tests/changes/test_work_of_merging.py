"""How the work of merging grows with what is merged, and where it stops: counted, not timed."""

from collections.abc import Callable

import pytest

from circuitmap.changes.merge import merge_files
from circuitmap.changes.statement_keys import words_of
from circuitmap.failures import LimitReached
from circuitmap.notation.bounds import MOST_STATEMENTS
from circuitmap.notation.folder import LARGEST_FILE
from tests.work_done import steps_of

Texts = tuple[str, str, str]


def thrice(text: Callable[[int, str], str]) -> Callable[[int], Texts]:
    """The three texts of a merge, made from what differs between them."""

    def made(count: int) -> Texts:
        return text(count, "5"), text(count, "10"), text(count, "15")

    return made


def rows(count: int, rating: str) -> str:
    return "".join(f"fuse {', '.join(f'B{n}.F{i} {rating}A mini' for i in range(5))}\n" for n in range(count))


def one_fuse_of_each_row(count: int) -> Texts:
    base = rows(count, "5")
    return base, base.replace("F1 5A", "F1 10A"), base.replace("F3 5A", "F3 15A")


def comments(count: int, _: str) -> str:
    return "".join(f"# {n * int(_) % 7}\n" for n in range(count * 10))


ROWS_OF_TEXTS = {
    "rows of fuses, all changed by both": thrice(rows),
    "one fuse of each row by each": one_fuse_of_each_row,
    "wires of other names": thrice(lambda n, s: "".join(f"A{s}.{i} -> B\n" for i in range(n * 5))),
    "wires between two lists": thrice(
        lambda n, s: "".join(f"{', '.join(f'A{i}.{k}' for k in range(12))} -> B, C, D in {s}mm2\n" for i in range(n))
    ),
    "one thing said many times": thrice(lambda n, s: f"A -> B in {s}mm2\n" * n * 5),
    "one chain of shared names": thrice(
        lambda n, s: "".join(f"fuse F{i} {s}A, F{i + 1} 5A\n" for i in range(n * 3))
    ),
    "sheets, all renumbered": thrice(lambda n, s: "".join(f'sheet "{s}-{i}"\nA{i} -> B\n' for i in range(n * 3))),
    "one sheet many times": thrice(lambda n, s: f'sheet "1"\nA -> B in {s}mm2\n' * n * 3),
    "one sheet, more often each time": thrice(lambda n, s: f'sheet "1"\nA -> B in {s}mm2\n' * (n * 2 * int(s) // 5)),
    "numbers of sheets exchanged": thrice(
        lambda n, s: "".join(f'sheet "{i * int(s) % (n * 3)}"\nA{i} -> B\n' for i in range(n * 3))
    ),
    "lines that nobody can read": thrice(lambda n, s: "".join(f"bla {s} {i}\n" for i in range(n * 5))),
    "comments": thrice(comments),
    "comments between empty lines": thrice(lambda n, s: f"# {s}\n\n" * n * 10),
    "comments above statements": thrice(
        lambda n, s: "".join(f"# {i % 3}\n# {s}\nlamp L{i}\n" for i in range(n * 3))
    ),
    "one long statement": thrice(lambda n, s: "module M\n" + f"    supply {s}\n" * n * 10),
    "one line": thrice(lambda n, s: f"{s} " * n * 100),
}  # fmt: skip


@pytest.mark.parametrize("texts", ROWS_OF_TEXTS.values(), ids=list(ROWS_OF_TEXTS))
def test_twice_as_much_is_twice_the_work(texts: Callable[[int], Texts]):
    steps = {}
    for count in (2, 20, 40, 80):  # the first run is not counted: some things are made only once
        three = texts(count)
        words_of.cache_clear()
        steps[count] = steps_of(lambda three=three: merge_files(*three))
    assert steps[40] < 2.3 * steps[20] + 500
    assert steps[80] < 4.8 * steps[20] + 1000


@pytest.mark.parametrize("more", (0, 1))
def test_most_statements(more: int):
    base = "lamp L\n" * (MOST_STATEMENTS + more)
    try:
        merged = merge_files(base, base + "# a\n", "# b\n" + base)
    except LimitReached as limit:
        assert more and f"{MOST_STATEMENTS:,}" in limit.message
    else:
        assert not more and merged.text == f"# b\n{base}# a\n"


LARGEST = {
    "empty lines": thrice(lambda n, s: "\n" * (n - 2) + s),
    "comments": thrice(lambda n, s: f"#{s}\n" * (n // (len(s) + 2))),
    "comments between empty lines": thrice(lambda n, s: f"#{s}\n\n" * (n // (len(s) + 3))),
    "one line": thrice(lambda n, s: f"{s} " * (n // (len(s) + 1))),
    "one wire": thrice(lambda n, s: f"A{s} -> " * (n // (len(s) + 5))),
    "quotes": thrice(lambda n, s: '"' * (n - 2) + s),
    "lines that go on": thrice(lambda n, s: "module M\n" + f" {s}\n" * (n // (len(s) + 2) - 9)),
    "rows of fuses": thrice(lambda n, s: rows(n // 110, s)),
}


@pytest.mark.slow
@pytest.mark.parametrize("texts", LARGEST.values(), ids=list(LARGEST))
def test_large_files_are_merged_with_bounded_work(texts: Callable[[int], Texts]):
    """Each byte costs at most a fixed number of lines of Python, whatever the bytes are: a tenth of the largest file is
    enough to show it."""
    three = texts(LARGEST_FILE // 10)
    assert steps_of(lambda: merge_files(*three)) < 12 * sum(map(len, three))
