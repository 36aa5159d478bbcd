"""Notation made from any bytes: each byte decides one thing, so that a small change of the bytes is one of the text.

Names and numbers are few, so that two people often speak of the same thing.
"""

from collections.abc import Sequence
from typing import TypeVar

Item = TypeVar("Item")


class Choices:
    """Decisions read from bytes; when they are used up, each is the first one."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self._at = 0

    @property
    def used_up(self) -> bool:
        return self._at >= len(self._data)

    def number(self, below: int) -> int:
        if self.used_up:
            return 0
        self._at += 1
        return self._data[self._at - 1] % below

    def one_of(self, items: Sequence[Item]) -> Item:
        return items[self.number(len(items))]

    def rest(self) -> bytes:
        self._at, rest = len(self._data), self._data[self._at :]
        return rest


STATEMENTS = (
    "lamp L1", 'lamp L1 "left"', "lamp L2", 'lamp L2 "right" at "door"', "motor L2", "lamp L3 running 2A",
    "fuse F1 10A", "fuse F2 20A mini", "fuse F1 10A, F2 20A", "fuse F1 15A, F2 20A, F3 5A", "fuse F3 5A, F4",
    "A -> B", "A -> B in RD", "A -> B in RD 1mm2", "B -> A", "A -> B, C", "A -> B -> C in BK", "C -> D named x",
    'C -> ? "goes on"', "A -> B in RD -> C in ?", "X, Y -> Z", "bar B1 feeds F1, F2", "F1 feeds L1, L2", "F1 feeds L1",
    "stated F1, F2 always", "stated F1 in run", "output M.1, M.2 feeds", "naming SP* splice, G* ground", "colours sw BK",
    'platform "Van"', "module M", "module M supply 1 ground 2", "module M\n    asleep 2mA", "module M\n    supply 1\n    asleep 2mA",
    "network N can members M", "network N can members M, L1", "gateway M joins N", "star X on N leg M", "option TOW",
    'lamp L4 "# no comment"', "ground G1 if TOW",
)  # fmt: skip
SHEETS = (
    'sheet "10"', 'sheet "20"', 'sheet "30"', 'sheet "20" "Seats"', 'sheet "20" whole', 'sheet "21"', "sheet", "sheet 20",
    'sheet "40"', 'sheet "50" "Doors"', 'sheet "60" whole', 'sheet "70"', 'sheet "80" if TOW', 'sheet "90"',
)  # fmt: skip
BROKEN = (
    "fuse F1 7,5A", "fuse", "fuse ,", "fuse 20A", "lamp", "blah blah", "blah 7,5A", "A ->", "-> B", "at \"x\"", "in run",
    'lamp L1 "open', "F1  20 A", "lamp\x0bL1", "lamp\xa0L1", "lamp L1\rlamp L2", "=", "====", "@", "modul M", "A => B", "'",
    "lamp L1 ( ", "fuse F1 1OA,F2 ,", "A->B:RD", "LOCK:7 -> B", "a" * 90, "feeds L1", "// x",
)  # fmt: skip
COMMENTS = (
    "# a", "# b", "# c", "#", "# --", "  # indented", "# d\x0clamp L9", "# e\u2028lamp L9", '# "half', "# ü", "#lamp L1",
)  # fmt: skip
BEHIND = ("", "", "", "", " # left", "  # right", "#", "   ", "\t", " # a")
INDENTED = (
    "    lamp L3", '    at "x"', "\tasleep 2mA", "  supply 1", "  blah", ' sheet "20"', "    , F5 5A", "   -> E",
)  # fmt: skip
EMPTY = ("", "", "   ", "\t")
MARKS = ("=======", "<<<<<<< x", ">>>>>>> y", "||||||| z")

LINE_KINDS = (
    *[STATEMENTS] * 10, *[SHEETS] * 2, *[COMMENTS] * 4, *[BROKEN] * 2, *[INDENTED] * 2, *[EMPTY] * 3,
)  # fmt: skip


def line_from(choices: Choices) -> str:
    """One line, or a statement with the lines that go on below it, without a line end."""
    kind = choices.number(len(LINE_KINDS) * 10 + 1)
    lines = MARKS if kind == len(LINE_KINDS) * 10 else LINE_KINDS[kind % len(LINE_KINDS)]
    line = choices.one_of(lines)
    return line + choices.one_of(BEHIND) if lines in (STATEMENTS, SHEETS, BROKEN) else line


def lines_from(choices: Choices, most: int) -> list[str]:
    return [line_from(choices) for _ in range(choices.number(most + 1))]


def edited(choices: Choices, lines: Sequence[str]) -> list[str]:
    """Lines with some taken away, put in, moved, said twice, changed or laid out otherwise."""
    lines = list(lines)
    for _ in range(choices.number(6)):
        what = choices.number(16)
        at = choices.number(len(lines) + 1)
        if what < 5:
            lines.insert(at, line_from(choices))
        elif at == len(lines):
            continue
        elif what < 8:
            del lines[at]
        elif what < 10:
            lines[at] = line_from(choices)
        elif what == 10:
            lines.insert(choices.number(len(lines)), lines.pop(at))
        elif what == 11:
            lines.insert(choices.number(len(lines)), lines[at])
        elif what == 12:
            lines[at] = f"{lines[at].split('#')[0]} {choices.one_of(COMMENTS).strip()}"
        elif what == 13:
            lines[at] = lines[at].replace(" ", choices.one_of(("  ", "\t", "", " ")))
        elif what == 14:
            end = min(len(lines), at + 1 + choices.number(6))
            del lines[at:end]
        else:
            end = min(len(lines), at + 1 + choices.number(6))
            moved = lines[at:end]
            del lines[at:end]
            place = choices.number(len(lines) + 1)
            lines[place:place] = moved
    return lines


def written(choices: Choices, lines: Sequence[str]) -> str:
    """Lines as a file: with or without a line end at its end, a byte order mark, line ends of another system."""
    how = choices.number(64)
    line_end = "\r\n" if how & 7 == 1 else "\n"
    text = line_end.join("\n".join(lines).split("\n")) + (line_end if lines and how & 24 else "")
    return ("\ufeff" if how == 9 else "") + text
