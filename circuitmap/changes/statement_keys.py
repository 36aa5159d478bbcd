"""What a statement is about, told by its words alone, so that this works for a broken one as well."""

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from circuitmap.notation.lines import LONGEST_STATEMENT
from circuitmap.notation.names import NAME, STATEMENT_WORDS, is_quantity

Key = tuple[str, ...]

MOST_PAIRS = 100
"""Most pairs of ends by which one step of a wire is known. A step with more, from a list to a list, is known by the
first of each list with all of the other."""

MOST_REMEMBERED = 30_000
"""Most statements whose words are remembered: those of three files."""

# Strings, comments, signs and names as in the grammar. Only plain blanks separate words: any other character counts,
# even one that cannot be seen.
_WORDS = re.compile(
    r'"(?:[^"\\\n]|\\[^\n])*"|#[^\n]*|->|-\[|\]->|\.\.|[,:()?]'
    rf"|{NAME}(?:\.(?!\.))?|[^ \t\r\n]"
)
_NAME = re.compile(r"[A-Za-z0-9_/+]")

_LISTS = frozenset(
    ("fuse", "link", "breaker", "diode", "resistor", "splice", "connector", "terminal", "ground", "naming", "colours")
)
_FAMILIES = {
    "platform": "platform", "option": "option", "network": "network", "star": "star", "gateway": "gateway",
    "naming": "naming", "colours": "colour", "bar": "feeds", "sheet": "sheet",
}  # fmt: skip
_STATEMENT_WORDS = frozenset(STATEMENT_WORDS)


@lru_cache(maxsize=MOST_REMEMBERED)
def words_of(text: str) -> tuple[str, ...]:
    """The words, texts, signs and comments of a statement: two statements with the same ones say the same, however laid
    out.

    What is too long for a statement is one word: nobody reads it.
    """
    if len(text) > LONGEST_STATEMENT:
        return (text.strip(),)
    return tuple(_WORDS.findall(text))


def without_comments(words: Iterable[str]) -> list[str]:
    return [word for word in words if word[0] != "#"]


def keys_of(words: Sequence[str]) -> list[Key]:
    """The keys of a statement, which is given as its words without comments, in the order in which it names them.

    Two statements of one sheet that share a key are versions of each other. There is no key where the words do not say
    what the statement is about.
    """
    if not words:
        return []
    first = words[0]
    if first in _LISTS:
        return [key for key, _ in pieces_of(words)]
    if first == "platform":
        return [("platform",)]
    if first == "stated":
        return [("stated", name) for name in _heads(_up_to(words[1:], ("always", "in")))]
    if first == "output":
        does = "grounds" if "grounds" in words else "feeds"  # one pin may do both, in two statements
        return [("output", pin, does) for pin in _heads(_up_to(words[1:], ("feeds", "grounds")))]
    if first in _STATEMENT_WORDS:
        known = len(words) > 1 and (words[1][0] == '"' if first == "sheet" else _is_name(words[1]))
        return [(_FAMILIES.get(first, "part"), words[1])] if known else []
    if len(words) > 1 and words[1] == "feeds" and _is_name(first):
        return [("feeds", first)]
    return list(_wires(words)) if "->" in words or "]->" in words else []


def is_list(words: Sequence[str]) -> bool:
    """Whether a statement is a list of items that could each stand alone."""
    return bool(words) and words[0] in _LISTS


def pieces_of(words: Sequence[str]) -> list[tuple[Key, tuple[str, ...]]]:
    """The items of a list, each with its key; what follows the list is part of the last one."""
    family = _FAMILIES.get(words[0], "part")
    return [((family, piece[0]), tuple(piece)) for piece in _pieces(words[1:]) if piece and _is_name(piece[0])]


def _pieces(words: Sequence[str]) -> list[list[str]]:
    pieces: list[list[str]] = [[]]
    for word in words:
        if word == ",":
            pieces.append([])
        else:
            pieces[-1].append(word)
    return pieces


def _heads(words: Sequence[str]) -> list[str]:
    return [piece[0] for piece in _pieces(words) if piece and _is_name(piece[0])]


def _up_to(words: Sequence[str], ends: tuple[str, ...]) -> Sequence[str]:
    return words[: next((at for at, word in enumerate(words) if word in ends), len(words))]


def _is_name(word: str) -> bool:
    return _NAME.match(word) is not None and not is_quantity(word)


def _wires(words: Sequence[str]) -> Iterator[Key]:
    """One key for each pair of ends that a wire joins; its name is part of it. A colour inside an arrow or after a
    colon is the older form of the same."""
    rows = [_up_to(row, (":", *_BEHIND_WIRES)) for row in _rows_of(words)]
    own = [_named(row) for row in rows]
    behind_colon = words[words.index(":") :] if ":" in words else ()
    last = next((number for number in range(len(rows) - 1, 0, -1) if "in" in rows[number]), 0)
    general = _named(behind_colon) or (own[last] if last else "")
    before: list[str] | None = None
    for number, row in enumerate(rows):
        ends = [_written_end(piece) for piece in _pieces(_up_to(row, ("in", "-["))) if piece]
        says_so = "in" in row
        if before is not None:
            name = own[number] if says_so else _named_in_arrow(rows[number - 1]) or general
            yield from (("wire", *sorted(pair), name) for pair in _pairs(before, ends))
        before = ends


_BEHIND_WIRES = ("if", "not", "copied", "hands-off")


def _rows_of(words: Sequence[str]) -> list[list[str]]:
    """What stands between the arrows; a look in an older arrow goes with what stands before it."""
    rows: list[list[str]] = [[]]
    for word in words:
        if word in ("->", "]->"):
            rows.append([])
        else:
            rows[-1].append(word)
    return rows


def _written_end(piece: Sequence[str]) -> str:
    return "".join(piece[:2] if piece[0] == "?" else piece[:1])


def _named_in_arrow(row: Sequence[str]) -> str:
    return _named(row[row.index("-[") :]) if "-[" in row else ""


def _named(look: Sequence[str]) -> str:
    return next((look[at + 1] for at in range(len(look) - 1) if look[at] == "named"), "")


def _pairs(arriving: list[str], leaving: list[str]) -> Iterator[tuple[str, str]]:
    if len(arriving) * len(leaving) <= MOST_PAIRS:
        yield from ((a, b) for a in arriving for b in leaving)
    elif arriving and leaving:
        yield from ((a, leaving[0]) for a in arriving)
        yield from ((arriving[0], b) for b in leaving[1:])
