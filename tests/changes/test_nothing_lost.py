"""Two people change a file: what each of them wrote is there afterwards, on its sheet, or it is a conflict.

A table written by hand: what two people at one file can do to each other. `together` is what must come out, word for
word (one of several where there is more than one right answer); None means that only a conflict is right, and ANY that
both a conflict and a merge will do, as long as nothing is lost. Comments are never in conflict by themselves: where
both sides changed one, both versions stand there.
"""

from typing import NamedTuple

import pytest

from circuitmap.changes.merge import merge_files
from circuitmap.failures import CannotRead
from tests.changes.laws_of_merging import broken_laws, broken_symmetry

ANY = ("",)
SHEETS = 'sheet "10"\nA -> B\nsheet "20"\nC -> D\n'


class Case(NamedTuple):
    what: str
    base: str
    ours: str
    theirs: str
    together: str | tuple[str, ...] | None
    kept: tuple[str, ...] = ()
    """Pieces that stand in the outcome, merged or in conflict."""


CASES = (
    # Texts without a line end.
    Case("a comment without a line end and a lamp", "lamp L1\n", "lamp L1\nlamp L2\n", "lamp L1\n# note", ("lamp L1\nlamp L2\n# note", "lamp L1\nlamp L2\n# note\n", "lamp L1\n# note\nlamp L2\n")),
    Case("two lamps without a line end", "lamp L1", "lamp L1\nlamp L2", "lamp L1\nlamp L3", ("lamp L1\nlamp L2\nlamp L3", "lamp L1\nlamp L3\nlamp L2")),
    Case("one side adds the line end, one a lamp", "lamp L1", "lamp L1\n", "lamp L1\nlamp L2", ("lamp L1\nlamp L2", "lamp L1\nlamp L2\n")),
    Case("a comment behind the last line, which has no end", "lamp L1", "lamp L1 # left", "lamp L0\nlamp L1", "lamp L0\nlamp L1 # left"),
    Case("a conflict in a file without a line end", "lamp L1", 'lamp L1 "left"', 'lamp L1 "right"', None, ('lamp L1 "left"', 'lamp L1 "right"')),
    Case("a line below and a line behind, no end", "module M", "module M\n    asleep 2mA", "module M\nlamp L1", "module M\n    asleep 2mA\nlamp L1"),
    Case("the last line goes, the one before had an end", "lamp L1\nlamp L2", "lamp L1\n", "lamp L0\nlamp L1\nlamp L2", ("lamp L0\nlamp L1\n", "lamp L0\nlamp L1")),
    Case("two comments without a line end", "lamp L1\n", "lamp L1\n# one", "lamp L1\n# two", ANY, ("# one", "# two")),
    Case("a comment without a line end moves up", "lamp L1\n# end", "# end\nlamp L1\n", "lamp L1\nlamp L2\n# end", ANY, ("# end", "lamp L2")),
    # Line ends and byte order marks.
    Case("both write CRLF", "lamp L1\r\n", "lamp L1\r\nlamp L2\r\n", "lamp L0\r\nlamp L1\r\n", "lamp L0\r\nlamp L1\r\nlamp L2\r\n"),
    Case("ours goes over to CRLF, theirs adds a lamp", "lamp L1\nlamp L2\n", "lamp L1\r\nlamp L2\r\n", "lamp L0\nlamp L1\nlamp L2\n", "lamp L0\r\nlamp L1\r\nlamp L2\r\n"),
    Case("theirs goes over to CRLF, ours adds a lamp", "lamp L1\nlamp L2\n", "lamp L0\nlamp L1\nlamp L2\n", "lamp L1\r\nlamp L2\r\n", "lamp L0\r\nlamp L1\r\nlamp L2\r\n"),
    Case("theirs goes back to LF, ours adds a lamp", "lamp L1\r\n", "lamp L1\r\nlamp L2\r\n", "lamp L1\n", "lamp L1\nlamp L2\n"),
    Case("a conflict in CRLF", "lamp L1\r\n", 'lamp L1 "left"\r\n', 'lamp L1 "right"\r\n', None, ('lamp L1 "left"\r\n', 'lamp L1 "right"\r\n')),
    Case("other line breaks in a comment are no line ends", "lamp L1\n", "lamp L1\n# a\x0cb\u2028lamp L9\n", "lamp L0\nlamp L1\n", "lamp L0\nlamp L1\n# a\x0cb\u2028lamp L9\n"),
    Case("a carriage return alone", "lamp L1\rlamp L2\n", "lamp L1\rlamp L2\nlamp L3\n", "lamp L0\nlamp L1\rlamp L2\n", "lamp L0\nlamp L1\rlamp L2\nlamp L3\n"),
    Case("a byte order mark that ours takes away", "\ufefflamp L1\n", "lamp L1\n", "\ufefflamp L1\nlamp L2\n", "lamp L1\nlamp L2\n"),
    Case("a byte order mark that theirs puts there", "lamp L1\n", "lamp L1\nlamp L2\n", "\ufefflamp L1\n", "\ufefflamp L1\nlamp L2\n"),
    Case("a byte order mark that all have", "\ufefflamp L1\n", "\ufefflamp L1\nlamp L2\n", "\ufefflamp L0\nlamp L1\n", "\ufefflamp L0\nlamp L1\nlamp L2\n"),
    # Comments.
    Case("a comment above a line that the other deletes", "lamp L1\nlamp L2\nlamp L3\n", "lamp L1\n# left side\nlamp L2\nlamp L3\n", "lamp L1\nlamp L3\n", ANY, ("# left side",)),
    Case("a comment behind a line that the other deletes", "lamp L1\nlamp L2\n", "lamp L1\nlamp L2 # seen broken\n", "lamp L1\n", None, ("# seen broken",)),
    Case("a comment at the head of a file that the other empties", "lamp L1\n", "# the van of Mr. Nobody\nlamp L1\n", "", ANY, ("# the van of Mr. Nobody",)),
    Case("a comment at the end of a file that the other empties", "lamp L1\n# end\n", "lamp L1\n# end\n# more\n", "", ANY, ("# more",)),
    Case("a comment in a file of comments that the other empties", "# a\n", "# a\n# b\n", "", ANY, ("# b",)),
    Case("different comments above one line", "lamp L1\n", "# one\nlamp L1\n", "# two\nlamp L1\n", ANY, ("# one", "# two")),
    Case("the same comment by both", "lamp L1\n", "# one\nlamp L1\n", "# one\nlamp L1\n", "# one\nlamp L1\n"),
    Case("a comment changed by both", "# a\nlamp L1\n", "# b\nlamp L1\n", "# c\nlamp L1\n", ("# b\n# c\nlamp L1\n", "# c\n# b\nlamp L1\n")),
    Case("a comment changed by one, its lamp by the other", "# a\nlamp L1\n", "# b\nlamp L1\n", '# a\nlamp L1 "left"\n', '# b\nlamp L1 "left"\n'),
    Case("a comment deleted by one, its lamp changed by the other", "# a\nlamp L1\n", "lamp L1\n", '# a\nlamp L1 "left"\n', 'lamp L1 "left"\n'),
    Case("a comment changed, comment and lamp deleted", "# a\nlamp L1\nlamp L2\n", "# b\nlamp L1\nlamp L2\n", "lamp L2\n", "# b\nlamp L2\n"),
    Case("a comment inside a statement, the statement changed", "module M\n    asleep 2mA\n", "module M\n    # seen on paper\n    asleep 2mA\n", "module M\n    asleep 3mA\n", ANY, ("# seen on paper", "asleep 3mA")),
    Case("a comment inside a statement that the other deletes", "module M\n    asleep 2mA\nlamp L\n", "module M\n    # seen on paper\n    asleep 2mA\nlamp L\n", "lamp L\n", None, ("# seen on paper",)),
    Case("different comments behind one line", "lamp L1\n", "lamp L1 # left\n", "lamp L1 # right\n", None, ("# left", "# right")),
    Case("a comment behind a line that the other describes", "lamp L1\n", "lamp L1 # left\n", 'lamp L1 "front"\n', ANY, ("# left", '"front"')),
    Case("rulers: one side deletes one, the other adds one", "# --\nlamp L1\n# --\nlamp L2\n", "# --\nlamp L1\n# --\nlamp L2\n# --\n", "lamp L1\n# --\nlamp L2\n", "lamp L1\n# --\nlamp L2\n# --\n"),
    Case("a comment moved from behind to above, the lamp described", "lamp L1 # a\n", "# a\nlamp L1\n", 'lamp L1 "x" # a\n', ANY, ("# a", '"x"')),
    Case("what looks like a comment in a text", 'lamp L1 "# 3"\n', 'lamp L1 "# 4"\n', 'lamp L0\nlamp L1 "# 3"\n', 'lamp L0\nlamp L1 "# 4"\n'),
    Case("a paragraph of comments, each changes a line of it", "# a\n# b\n# c\n# d\nlamp L1\n", "# A\n# b\n# c\n# d\nlamp L1\n", "# a\n# b\n# c\n# D\nlamp L1\n", "# A\n# b\n# c\n# D\nlamp L1\n"),
    Case("a comment of ours in a stretch that theirs deletes", "lamp L1\nlamp L2\nlamp L3\nlamp L4\n", "lamp L1\nlamp L2\n# why\nlamp L3\nlamp L4\n", "lamp L1\nlamp L4\n", ANY, ("# why",)),
    Case("all deleted by both, a comment by one", "lamp L1\n", "# nothing here\n", "", "# nothing here\n"),
    Case("a comment at the end and a new sheet", SHEETS, SHEETS + "# to be done\n", SHEETS + 'sheet "30"\nE -> F\n', (SHEETS + '# to be done\nsheet "30"\nE -> F\n',)),
    # Sheets.
    Case("a sheet renumbered, a wire added on it", SHEETS, SHEETS.replace("20", "21"), SHEETS + "E -> F\n", SHEETS.replace("20", "21") + "E -> F\n"),
    Case("a sheet and its wires deleted, a wire added on it", SHEETS, 'sheet "10"\nA -> B\n', SHEETS + "E -> F\n", None, ("E -> F",)),
    Case("a sheet's line deleted, a wire added on it", SHEETS, 'sheet "10"\nA -> B\nC -> D\n', SHEETS + "E -> F\n", None, ("E -> F",)),
    Case("a sheet split, a wire added at its end", 'sheet "20"\nA -> B\nC -> D\n', 'sheet "20"\nA -> B\nsheet "25"\nC -> D\n', 'sheet "20"\nA -> B\nC -> D\nE -> F\n', ('sheet "20"\nA -> B\nE -> F\nsheet "25"\nC -> D\n',)),
    Case("a sheet added at the end, a wire added at the end", SHEETS, SHEETS + 'sheet "30"\nE -> F\n', SHEETS + "G -> H\n", SHEETS + 'G -> H\nsheet "30"\nE -> F\n'),
    Case("a wire added at the end, a sheet added at the end", SHEETS, SHEETS + "G -> H\n", SHEETS + 'sheet "30"\nE -> F\n', SHEETS + 'G -> H\nsheet "30"\nE -> F\n'),
    Case("a sheet added before the first, a lamp on none", 'lamp L1\nsheet "10"\nA -> B\n', 'lamp L1\nsheet "05"\nC -> D\nsheet "10"\nA -> B\n', 'lamp L1\nlamp L2\nsheet "10"\nA -> B\n', 'lamp L1\nlamp L2\nsheet "05"\nC -> D\nsheet "10"\nA -> B\n'),
    Case("different sheets added at the end", SHEETS, SHEETS + 'sheet "30"\nE -> F\n', SHEETS + 'sheet "40"\nG -> H\n', (SHEETS + 'sheet "30"\nE -> F\nsheet "40"\nG -> H\n', SHEETS + 'sheet "40"\nG -> H\nsheet "30"\nE -> F\n')),
    Case("the same sheet added with different wires", SHEETS, SHEETS + 'sheet "30"\nE -> F\n', SHEETS + 'sheet "30"\nG -> H\n', ANY, ("E -> F", "G -> H")),
    Case("the same sheet added with different titles", SHEETS, SHEETS + 'sheet "30" "a"\nE -> F\n', SHEETS + 'sheet "30" "b"\nG -> H\n', None, ("E -> F", "G -> H", '"a"', '"b"')),
    Case("a wire moved to another sheet, coloured by the other", SHEETS + "X -> Y\n", 'sheet "10"\nA -> B\nX -> Y\nsheet "20"\nC -> D\n', SHEETS + "X -> Y in RD\n", ANY, ("X -> Y in RD",)),
    Case("a wire moved to another sheet, deleted by the other", SHEETS + "X -> Y\n", 'sheet "10"\nA -> B\nX -> Y\nsheet "20"\nC -> D\n', SHEETS, None, ("X -> Y",)),
    Case("a wire moved to different sheets", SHEETS + 'X -> Y\nsheet "30"\n', 'sheet "10"\nA -> B\nX -> Y\nsheet "20"\nC -> D\nsheet "30"\n', SHEETS + 'sheet "30"\nX -> Y\n', None, ("X -> Y",)),
    Case("the sheets in another order, a wire added on each", SHEETS, 'sheet "20"\nC -> D\nsheet "10"\nA -> B\n', 'sheet "10"\nA -> B\nE -> F\nsheet "20"\nC -> D\nG -> H\n', ('sheet "20"\nC -> D\nG -> H\nsheet "10"\nA -> B\nE -> F\n',)),
    Case("one wire on two sheets: deleted on one, coloured on the other", 'sheet "10"\nA -> B\nsheet "20"\nA -> B\n', 'sheet "10"\nsheet "20"\nA -> B\n', 'sheet "10"\nA -> B\nsheet "20"\nA -> B in RD\n', 'sheet "10"\nsheet "20"\nA -> B in RD\n'),
    Case("one wire on two sheets: deleted and coloured on the same", 'sheet "10"\nA -> B\nsheet "20"\nA -> B\n', 'sheet "10"\nsheet "20"\nA -> B\n', 'sheet "10"\nA -> B in RD\nsheet "20"\nA -> B\n', None, ("A -> B in RD",)),
    Case("moved and deleted, where another of that name was", 'motor M\nsheet "10"\nlamp M "x"\n', 'lamp M "x"\nsheet "10"\n', 'motor M\nsheet "10"\n', None, ('lamp M "x"',)),
    Case("a first sheet put above all, a wire added", "A -> B\n", 'sheet "10"\nA -> B\n', "A -> B\nC -> D\n", ANY, ("C -> D", 'sheet "10"')),
    Case("a sheet is whole now, a wire added", SHEETS, SHEETS.replace('"20"', '"20" whole'), SHEETS + "E -> F\n", SHEETS.replace('"20"', '"20" whole') + "E -> F\n"),
    Case("a sheet is whole now, titled by the other", SHEETS, SHEETS.replace('"20"', '"20" whole'), SHEETS.replace('"20"', '"20" "Seats"'), ANY, ("whole", '"Seats"')),
    Case("a sheet renumbered in two ways", SHEETS, SHEETS.replace("20", "21"), SHEETS.replace("20", "22"), None, ('"21"', '"22"')),
    Case("a sheet deleted, a wire of it coloured", SHEETS, 'sheet "10"\nA -> B\n', SHEETS.replace("C -> D", "C -> D in RD"), None, ("C -> D in RD",)),
    Case("a sheet written in two places, a wire added at the second", SHEETS + 'sheet "10"\nE -> F\n', SHEETS.replace("A -> B", "A -> B in RD") + 'sheet "10"\nE -> F\n', SHEETS + 'sheet "10"\nE -> F\nG -> H\n', SHEETS.replace("A -> B", "A -> B in RD") + 'sheet "10"\nE -> F\nG -> H\n'),
    Case("a sheet renumbered and another given its old number", SHEETS, 'sheet "20"\nA -> B\nsheet "30"\nC -> D\n', SHEETS + "E -> F\n", None, ("E -> F",)),
    Case("two sheets change numbers, a wire added on one", SHEETS, 'sheet "20"\nA -> B\nsheet "10"\nC -> D\n', SHEETS + "E -> F\n", ANY, ("E -> F",)),
    Case("the first wire of a sheet, the sheet before grows", SHEETS, SHEETS.replace("A -> B\n", "A -> B\nE -> F\n"), SHEETS.replace("C -> D", "G -> H\nC -> D"), 'sheet "10"\nA -> B\nE -> F\nsheet "20"\nG -> H\nC -> D\n'),
    Case("a wire on an empty sheet, the sheet moved", 'sheet "10"\nsheet "20"\nA -> B\n', 'sheet "20"\nA -> B\nsheet "10"\n', 'sheet "10"\nC -> D\nsheet "20"\nA -> B\n', 'sheet "20"\nA -> B\nsheet "10"\nC -> D\n'),
    # Statements.
    Case("a statement without a name", "fuse\n", "fuse\nlamp L1\n", "lamp L0\nfuse\n", "lamp L0\nfuse\nlamp L1\n"),
    Case("a list without a name", "fuse ,\n", "fuse ,\nlamp L1\n", "fuse , 20A\n", "fuse , 20A\nlamp L1\n"),
    Case("a fuse that is only a rating", "fuse 20A\n", "fuse 25A\n", "fuse 30A\n", None, ("fuse 25A", "fuse 30A")),
    Case("statements that are only their word", "lamp\nbox\nfeeds\n->\n", "lamp\nbox\nfeeds\n->\nsheet\n", "platform\nlamp\nbox\nfeeds\n->\n", "platform\nlamp\nbox\nfeeds\n->\nsheet\n"),
    Case("a line that nobody can read, changed by both", "blah 7,5A\n", "blah 7.5A\n", "blah 8A\n", None, ("blah 7.5A", "blah 8A")),
    Case("one name declared by both in different words", "lamp L1\n", 'lamp L1\nlamp L2 "left"\n', 'lamp L1\nlamp L2 "right"\n', None, ('"left"', '"right"')),
    Case("one name declared by both as different kinds", "lamp L1\n", "lamp L1\nmotor M\n", "lamp L1\nheater M\n", None, ("motor M", "heater M")),
    Case("a row changed in two places", "fuse F1 10A, F2 20A\n", "fuse F1 15A, F2 20A\n", "fuse F1 10A, F2 25A\n", ANY, ("F1 15A", "F2 25A")),
    Case("a row split, a fuse of it changed", "fuse F1 10A, F2 20A\n", "fuse F1 10A\nfuse F2 20A\n", "fuse F1 10A, F2 25A\n", None, ("F2 25A",)),
    Case("a row and a line of its own", "fuse F1 10A\n", "fuse F1 10A, F2 20A\n", "fuse F1 10A\nfuse F2 25A\n", None, ("F2 20A", "F2 25A")),
    Case("both add a fuse to a row", "fuse F1 10A\n", "fuse F1 10A, F2 20A\n", "fuse F1 10A, F3 5A\n", ("fuse F1 10A, F2 20A, F3 5A\n", "fuse F1 10A, F3 5A, F2 20A\n")),
    Case("both add one fuse to a row, with other ratings", "fuse F1 10A\n", "fuse F1 10A, F2 20A\n", "fuse F1 10A, F2 25A\n", None, ("F2 20A", "F2 25A")),
    Case("both add one fuse to a row, one of them another as well", "fuse F1 10A\n", "fuse F1 10A, F2 20A\n", "fuse F1 10A, F2 20A, F3 5A\n", ANY, ("F2 20A", "F3 5A")),
    Case("a fuse deleted from a row, its rating changed", "fuse F1 10A, F2 20A, F3 5A\n", "fuse F1 10A, F3 5A\n", "fuse F1 10A, F2 25A, F3 5A\n", None, ("F2 25A",)),
    Case("each end of a wire led elsewhere", "A, B -> C\n", "A, B, D -> C\n", "A, B -> E\n", None, ("A, B, D -> C", "A, B -> E")),
    Case("one lamp deleted by each", "lamp L1\nlamp L2\nlamp L3\n", "lamp L1\nlamp L2\n", "lamp L2\nlamp L3\n", "lamp L2\n"),
    Case("a lamp deleted by both", "lamp L1\nlamp L2\n", "lamp L1\n", "lamp L1\n", "lamp L1\n"),
    Case("a lamp deleted and described", "lamp L1\nlamp L2\n", "lamp L1\n", 'lamp L1\nlamp L2 "left"\n', None, ('lamp L2 "left"',)),
    Case("a lamp renamed, described by the other", "lamp L1\n", "lamp L2\n", 'lamp L1 "left"\n', None, ('lamp L1 "left"', "lamp L2")),
    Case("two lamps in another order, one described", "lamp L1\nlamp L2\n", "lamp L2\nlamp L1\n", 'lamp L1 "left"\nlamp L2\n', 'lamp L2\nlamp L1 "left"\n'),
    Case("two wires between the same ends, one deleted by each", "A -> B\nA -> B in RD\n", "A -> B\n", "A -> B in RD\n", ANY),
    Case("a lamp written twice, and once", "lamp L1\nlamp L2\n", "lamp L1\nlamp L1\nlamp L2\n", "lamp L1\nlamp L2\nlamp L3\n", "lamp L1\nlamp L1\nlamp L2\nlamp L3\n"),
    Case("both begin the file", "", "lamp L1\n", "lamp L2\n", ("lamp L1\nlamp L2\n", "lamp L2\nlamp L1\n")),
    Case("a file that both empty", "lamp L1\n", "", "", ""),
    Case("a file emptied by one, a lamp added by the other", "lamp L1\n", "", "lamp L1\nlamp L2\n", "lamp L2\n"),
    # Continuation lines.
    Case("an empty line and a line that goes on", "module M\n", "module M\n\nlamp L\n", "module M\n    asleep 2mA\n", "module M\n    asleep 2mA\n\nlamp L\n"),
    Case("a lamp put above an indented line", "    lamp L1\n", "# head\n    lamp L1\n", "lamp L0\n\n    lamp L1\n", ANY, ("# head", "lamp L0", "lamp L1")),
    Case("an indented lamp loses what stood above it", "module M\n\n    lamp L1\n", "lamp L0\nmodule M\n\n    lamp L1\n", "    lamp L1\n", ANY, ("lamp L0", "lamp L1")),
    Case("above an indented lamp both put something", "box B\n\n    lamp L1\n", "box B\nlamp L0\n\n    lamp L1\n", "    lamp L1\n", ("lamp L0\n\n    lamp L1\n",)),
    Case("an indented lamp at the beginning, a lamp put there", "    lamp L1\n", "    lamp L1\nlamp L2\n", "lamp L0\n\n    lamp L1\n", "lamp L0\n\n    lamp L1\nlamp L2\n"),
    Case("an indented lamp first, the other one goes behind it", "    lamp L1\nbox B\n", "box B\n\n    lamp L1\n", "lamp L0\n\n    lamp L1\nbox B\n", ANY, ("lamp L0\n", "    lamp L1\n", "box B\n")),
    Case("what ends a statement goes, a comment in it stays", 'lamp L1\n# c\n    at "x"\n', 'lamp L1\n# c\n# d\n    at "x"\n', "lamp L1\n# c\n", ANY, ("# d",)),
    Case("a statement cut short, a comment in it written twice", 'lamp L1\n# e\n    at "x"\n', "lamp L1\n", 'lamp  L1\n# e\n# e\n    at "x"\n', ANY, ("# e", "L1")),
    Case("cut short and laid out anew, a comment in it written twice", "A -> B\n# e\n    if T\n", "A -> B\n", "A  ->  B\n# e\n# e\n    if T\n", ANY, ("# e",)),
    Case("the empty line above an indented line goes", 'lamp L1\n\n    at "x"\n', 'lamp L1\n    at "x"\n', 'lamp L1\nlamp L2\n\n    at "x"\n', 'lamp L1\n    at "x"\nlamp L2\n'),
    Case("two statements between which the empty line goes", "lamp L1\n\n  lamp L2\n", "lamp L1\n\n\n  lamp L2\n", "lamp L1\n# c\n\n  lamp L2\n", ANY, ("# c",)),
    Case("laid out anew by one, changed by the other", "fuse F1 10A,F2 20A\nlamp   L1\n", "fuse F1 10A, F2 20A\nlamp L1\n", 'fuse F1 10A,F2 20A\nlamp   L1 "left"\n', 'fuse F1 10A, F2 20A\nlamp L1 "left"\n'),
    Case("laid out anew in two ways", "lamp L1\n", "lamp  L1\n", "lamp L1  \n", ANY, ("L1",)),
)  # fmt: skip


@pytest.mark.parametrize("swapped", (False, True), ids=("", "swapped"))
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.what)
def test_what_both_wrote_is_there(case: Case, swapped: bool):
    sides = (case.theirs, case.ours) if swapped else (case.ours, case.theirs)
    merged = merge_files(case.base, *sides)
    assert all(conflict.what != "the whole file" for conflict in merged.conflicts)
    for piece in case.kept:
        assert piece in merged.text
    if case.together is None:
        assert merged.conflicts, merged.text
    elif case.together is not ANY:
        assert not merged.conflicts, merged.text
        assert merged.text in ((case.together,) if isinstance(case.together, str) else case.together)
    assert broken_laws(case.base, *sides, merged) == []
    assert broken_symmetry(case.base, *sides, merged) == []


MARKED = "<<<<<<< a\nlamp L1\n=======\nlamp L2\n>>>>>>> b\n"


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "where"),
    (
        (MARKED, MARKED + "lamp L3\n", "lamp L0\n" + MARKED, "the common state, line 1"),
        (MARKED, "lamp L1\n", MARKED + "lamp L3\n", "the common state, line 1"),
        ("lamp L1\n", "lamp L0\n" + MARKED, "lamp L1\nlamp L3\n", "ours, line 2"),
        ("lamp L1\n", "lamp L1\nlamp L3\n", "lamp L0\n\n=======\nlamp L1\n", "theirs, line 3"),
    ),
)
def test_marks_of_an_earlier_merge_are_decided_first(base: str, ours: str, theirs: str, where: str):
    """What stands between the marks is said twice, or in a version that nobody chose: nothing can be merged with it."""
    with pytest.raises(CannotRead, match=where):
        merge_files(base, ours, theirs)
    assert merge_files(base, ours, base).text == ours
    assert merge_files(base, base, theirs).text == theirs
