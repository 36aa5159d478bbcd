"""Lines of plain text: labelled sections, tables and wrapped sentences that fit a terminal of any usual width."""

import re
import textwrap
from collections.abc import Iterable, Sequence

from circuitmap.source import display_width

WIDTH = 96
"""How many columns an answer takes at most; 80 is the least that tables are laid out for."""

NUMBERS = {1: "one", 2: "two", 3: "three"}
"""Small numbers as words."""

MOST_LINES = 300
"""How many lines of one block are shown unless all are asked for (judgement: nobody reads more; the samples have
sixty)."""
_LABEL = 11
_NUMBERED = re.compile(r"^(.*?)(0|[1-9][0-9]{0,8})$")


def wrapped(text: str, first: str = "", rest: str | None = None, width: int = WIDTH) -> list[str]:
    """`text` in lines of at most `width`, the first begun by `first`, the others by `rest` (as many blanks)."""
    rest = " " * len(first) if rest is None else rest
    lines = textwrap.wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=True,
        break_on_hyphens=False,
    )
    return lines or [first.rstrip()]


def section(label: str, sentences: Iterable[str], width: int = WIDTH) -> list[str]:
    """A label in capitals with sentences in a column beside it; empty when there are no sentences."""
    lines: list[str] = []
    first = label.ljust(_LABEL) if len(label) < _LABEL else f"{label}  "
    for sentence in sentences:
        lines += wrapped(sentence, first, " " * _LABEL, width)
        first = " " * _LABEL
    return lines


def section_of_rows(label: str, rows: Iterable[tuple[str, str]], width: int = WIDTH) -> list[str]:
    """The same with two columns beside the label, the first of them as wide as it comes; no rows, no lines."""
    lines: list[str] = []
    first = label.ljust(_LABEL)
    for start, words in rows:
        lines += wrapped(words, f"{first}{start}  ", " " * (_LABEL + len(start) + 2), width)
        first = " " * _LABEL
    return lines


def listed(label: str, rows: Iterable[Sequence[str]], width: int = WIDTH) -> list[str]:
    """A label on its own line and a table below; empty when there are no rows."""
    lines = table(rows, width)
    return [label, *lines] if lines else []


def table(rows: Iterable[Sequence[str]], width: int = WIDTH) -> list[str]:
    """Rows in columns as wide as they need, two blanks between; the last column wraps below itself."""
    rows = [tuple(row) for row in rows]
    if not rows:
        return []
    count = max(map(len, rows))
    widest = [max((display_width(row[i]) for row in rows if i < len(row)), default=0) for i in range(count - 1)]
    widest = _fitted(widest, width - 30)
    lines: list[str] = []
    for row in rows:
        start = " "
        for cell, room in zip(row[:-1], widest, strict=False):
            start += cell + " " * max(0, room - display_width(cell)) + "  "
        indent = 1 + sum(w + 2 for w in widest[: len(row) - 1])
        lines += [line.rstrip() for line in wrapped(row[-1], start, " " * indent, width)]
    return lines


def _fitted(widest: Sequence[int], room: int) -> list[int]:
    """Widths of columns that share so much room: what narrow ones leave over goes to the wide ones."""
    fitted = list(widest)
    by_width = sorted(range(len(widest)), key=lambda number: widest[number])
    for done, number in enumerate(by_width):
        fitted[number] = min(widest[number], max(12, room // (len(widest) - done)))
        room -= fitted[number]
    return fitted


def joined(names: Sequence[str], last: str = "and") -> str:
    """`A`, `A and B`, `A, B and C`."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"


def in_rows(names: Iterable[str]) -> str:
    """`CAB.F20..F32, CAB.F35, ENG.F1`: three or more that are numbered one after another as a row."""
    rows: list[list[str]] = []
    for name in names:
        if rows and _follows(rows[-1][-1], name):
            rows[-1].append(name)
        else:
            rows.append([name])
    words = []
    for row in rows:
        last = row[-1].rpartition(".")[2]
        words += [f"{row[0]}..{last}"] if len(row) > 2 else row
    return ", ".join(words)


def _follows(one: str, other: str) -> bool:
    """Whether a name is the one before it with its number raised by 1."""
    before, after = _NUMBERED.match(one), _NUMBERED.match(other)
    return bool(before and after and before[1] == after[1] and str(int(before[2]) + 1) == after[2])


def shortened(names: Sequence[str], most: int = 8) -> str:
    """A list that says how many it left out."""
    if len(names) <= most + 1:
        return joined(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def shortened_or(names: Sequence[str], most: int = 8) -> str:
    """The same for alternatives."""
    if len(names) <= most + 1:
        return joined(names, "or")
    return f"{', '.join(names[:most])} or {len(names) - most} more"


def counted(number: int, noun: str, plural: str = "") -> str:
    """`1 fuse`, `3 fuses`, `no fuse`."""
    if number == 0:
        return f"no {noun}"
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def cut_short(block: Sequence[str]) -> Sequence[str]:
    """A block as far as anybody would read it, and how much more there is."""
    if len(block) <= MOST_LINES:
        return block
    return (*block[:MOST_LINES], f" ... {len(block) - MOST_LINES:,} more lines are left out here: --all shows them.")


def as_text(*blocks: Sequence[str]) -> str:
    """Blocks of lines with an empty line between; empty blocks leave no gap."""
    return "\n\n".join("\n".join(line.rstrip() for line in block) for block in blocks if block) + "\n"
