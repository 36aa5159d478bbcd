"""Which column of a table is what: by what stands in it, by its head, and by the names the platform knows.

It is a guess, and is shown as one: for each column how far the best reading of the whole table leads over the best one
that reads this column otherwise. Nothing is taken until somebody confirmed it.
"""

from collections.abc import Callable, Sequence
from functools import cached_property
from itertools import pairwise
from typing import Literal, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.transcribing.cell_values import (
    RATINGS,
    SIZES,
    STYLES,
    colours_in,
    ends_in,
    is_empty_slot,
    looks_like_end,
    looks_like_terminal,
    rating_in,
    says_nothing,
    size_in,
    usual,
)
from circuitmap.transcribing.grid import Grid
from circuitmap.transcribing.head_words import is_vague, roles_of_head
from circuitmap.transcribing.typed_lines import KnownHere
from circuitmap.wiring.parts import Fuse

TableKind = Literal["fuses", "wires", "pins"]
ROLES: dict[TableKind, tuple[str, ...]] = {
    "fuses": ("slot", "rating", "style", "what", "bar", "place", "option"),
    "wires": ("from", "from-pin", "to", "to-pin", "via", "colour", "size", "code", "option", "remark"),
    "pins": ("part", "pin", "what"),
}
"""What a column may be, by the kind of table; `-` is one that says nothing the notation has a place for."""
NEEDED: dict[TableKind, tuple[str, ...]] = {"fuses": ("slot",), "wires": ("from", "to"), "pins": ("pin", "what")}
IGNORED = "-"
SURE = 0.6
"""A column with a smaller lead is marked as unsure; measured on tables laid out at random."""

_LOOKED_AT = 60
"""Rows that are looked at to tell what a column is."""
_NOTHING_SAID = 0.3
"""What a column is worth that is taken for nothing the notation has a place for."""
_BY_HEAD, _BY_VAGUE_HEAD, _AGAINST_HEAD = 0.9, 0.6, 0.35


class Guess(NamedTuple):
    """`columns` are roles, `leads` how sure each is; `headed` whether the first row is a head."""

    kind: TableKind
    columns: tuple[str, ...]
    leads: tuple[float, ...]
    headed: bool

    @property
    def lead(self) -> float:
        return min(self.leads, default=0.0)


def kind_with(columns: Sequence[str], width: int) -> TableKind:
    """The kind of table that somebody's columns are of. Raises WrongUse where they are those of no table."""
    known = dict.fromkeys(role for roles in ROLES.values() for role in roles)
    if len(columns) != width:
        raise WrongUse(f"The table has {width} columns, and {len(columns)} were named.", "Name all; - says nothing.")
    for role in columns:
        if role != IGNORED and role not in known:
            raise WrongUse(f"There is no column {role}.", f"One of: {' '.join(known)}, or - for none of them.")
        if role != IGNORED and columns.count(role) > 1:
            raise WrongUse(f"Two columns are called {role}.")
    for kind, needed in NEEDED.items():
        if set(needed) <= set(columns) and set(columns) <= {*ROLES[kind], IGNORED}:
            for number, role in enumerate(columns):
                if not _follows(role, tuple(columns[:number])):
                    raise WrongUse(f"The column {role} stands right behind {role.removesuffix('-pin')}.")
            return kind
    tables = "; ".join(
        f"{kind}: {' '.join(ROLES[kind])} (needed: {' '.join(needed)})" for kind, needed in NEEDED.items()
    )
    raise WrongUse("These are not the columns of one table.", tables)


def columns_guessed(grid: Grid, known: KnownHere) -> Guess:
    """The likeliest kind of table and what its columns are."""
    headed = _is_headed(grid, known)
    columns = [_Column(grid, number, headed, known) for number in range(grid.width)]
    found = {kind: _best(kind, columns) for kind in ROLES}
    kind, (total, chosen) = max(found.items(), key=lambda item: item[1][0])
    beside = max((its for other, (its, _) in found.items() if other != kind), default=0.0)
    leads = []
    for number in range(grid.width):
        otherwise = _best(kind, columns, but=(number, chosen[number]))[0]
        leads.append(round(max(min(total - otherwise, total - beside), 0.0), 2))
    return Guess(kind, chosen, tuple(leads), headed)


def _is_headed(grid: Grid, known: KnownHere) -> bool:
    """Whether the first row stands above columns: its words are those of heads, or are unlike what is below."""
    if len(grid.rows) < 2:
        return False
    first = [cell.text for cell in grid.rows[0]]
    said = [text for text in first if not says_nothing(text)]
    known_words = sum(bool(roles_of_head(text)) for text in said)
    unlike = 0
    for number, text in enumerate(first):
        below = [cell for cell in grid.column(number, 1)[:_LOOKED_AT] if not says_nothing(cell)]
        for like in (_is_rating_or_size, lambda cell: bool(colours_in(cell, known)), _has_digit):
            share = sum(map(like, below)) / len(below) if below else 0.0
            if share > 0.8 and text and not like(text):
                unlike += 1
                break
    values = sum(_is_rating_or_size(text) or len(ends_in(text, known)) > 0 for text in said)
    if values:
        return known_words > len(said) / 2 and known_words > values
    return known_words >= max(1, len(said) / 3) or unlike >= 1


def _is_rating_or_size(text: str) -> bool:
    return rating_in(text) is not None or size_in(text) is not None


def _has_digit(text: str) -> bool:
    return any(c.isdecimal() for c in text)


class _Column:
    """One column, and how well it fits each role."""

    def __init__(self, grid: Grid, number: int, headed: bool, known: KnownHere) -> None:
        self.number = number
        self.width = grid.width
        all_cells = grid.column(number, int(headed))[:_LOOKED_AT]
        self.cells = [text for text in all_cells if not says_nothing(text)]
        self.filled = len(self.cells) / len(all_cells) if all_cells else 0.0
        self.known = known
        head = grid.rows[0][number].text if headed and grid.rows else ""
        self.head = roles_of_head(head)
        self.vague = is_vague(head)
        self._scores: dict[str, float] = {}

    def score(self, role: str) -> float:
        """What the column is worth in this role, about 0 to 2."""
        if role not in self._scores:
            self._scores[role] = max(self._worth(role), 0.0)
        return self._scores[role]

    def _worth(self, role: str) -> float:
        fit = _FITS[role](self) if self.cells else 0.0
        if role in self.head:
            by_head = _BY_VAGUE_HEAD if self.vague else _BY_HEAD
            return (by_head if fit > 0.05 or not self.cells else by_head / 2) + fit
        return fit - (_AGAINST_HEAD if self.head else 0.0)

    def share(self, holds: Callable[[str], object]) -> float:
        return sum(bool(holds(text)) for text in self.cells) / len(self.cells)

    @cached_property
    def distinct(self) -> float:
        """Which share of the cells stands in the column once."""
        return len(set(self.cells)) / len(self.cells)

    @cached_property
    def ends(self) -> list[tuple[str, ...]]:
        return [ends_in(text, self.known) for text in self.cells]

    @cached_property
    def known_ends(self) -> float:
        return sum(map(bool, self.ends)) / len(self.cells)

    @cached_property
    def colours(self) -> float:
        return self.share(lambda text: bool(colours_in(text, self.known)))

    @cached_property
    def fuses(self) -> float:
        parts = self.known.names.parts
        return sum(any(isinstance(parts.get(end), Fuse) for end in ends) for ends in self.ends) / len(self.cells)

    @cached_property
    def words(self) -> float:
        """Which share are texts: several words, or one in small letters."""
        return self.share(
            lambda text: (
                sum(len(word) > 2 and word.isalpha() for word in text.split()) > 0
                and (" " in text or text != text.upper())
            )
        )


def _slot(column: _Column) -> float:
    bare = column.share(lambda text: text.isdecimal())
    named = column.share(lambda text: looks_like_end(text) and any(c.isdecimal() for c in text))
    by_letter = column.share(
        lambda text: "F" in text.upper()[:3] and any(c.isdecimal() for c in text) and len(text) < 10
    )
    units = column.share(lambda text: (rating_in(text) or ("", False))[1])
    in_order = _in_order(column.cells)
    fit = max(0.5 * named + 0.5 * by_letter, 0.75 * bare * in_order, column.fuses)
    return fit * column.distinct**2 * column.filled * (1 - units) * (0.75 + 0.25 * (column.number == 0))


def _rating(column: _Column) -> float:
    read = [rating_in(text) for text in column.cells if not is_empty_slot(text)]
    found = [its for its in read if its is not None]
    if not read or not found:
        return 0.0
    share = len(found) / len(read)
    with_unit = sum(unit for _, unit in found) / len(found)
    usually = sum(usual(value, RATINGS) for value, _ in found) / len(found)
    repeats = 1 - len(set(read)) / len(read)
    whole = sum(float(value[:-1]) >= 3 for value, _ in found) / len(found)
    return share * usually * whole * (0.55 + 0.25 * min(1, 2 * repeats) if with_unit < 0.5 else 1.3)


def _style(column: _Column) -> float:
    return 1.2 * column.share(lambda text: text.casefold() in STYLES)


def _text(column: _Column) -> float:
    return column.words * (0.5 + 0.3 * column.distinct) * (0.6 + 0.4 * column.filled)


def _what(column: _Column) -> float:
    return _text(column) * 1.1 + 0.02 * (column.width - column.number) / column.width


def _bar(column: _Column) -> float:
    short = column.share(
        lambda text: (len(text) <= 6 and " " not in text and rating_in(text) is None) or text.isdecimal()
    )
    repeats = 1 - len(set(column.cells)) / len(column.cells)
    fuses = column.share(lambda text: rating_in(text) is not None and not text.isdecimal())
    return 0.5 * short * repeats * (1 - fuses) * column.filled * (1 - column.words)


def _place(column: _Column) -> float:
    return _text(column) * (0.55 if column.distinct < 0.6 else 0.33)


def _option(column: _Column) -> float:
    options = column.known.names.options
    known = column.share(lambda text: text in options or bool(options.having_tail_in_any_case(text)))
    return 1.1 * known


def _an_end(column: _Column) -> float:
    terminals = column.share(looks_like_terminal)
    names = column.share(lambda text: looks_like_end(text) and any(c.isdecimal() for c in text))
    fit = max(column.known_ends, 0.75 * names + 0.15 * terminals)
    return fit * column.filled * (1 - 0.8 * column.colours) * (1 - column.words)


def _from(column: _Column) -> float:
    return _an_end(column) * (1.0 + 0.5 * _place_in(column, 0.0))


def _to(column: _Column) -> float:
    return _an_end(column) * (1.0 + 0.5 * _place_in(column, 1.0))


def _place_in(column: _Column, at: float) -> float:
    """From 0 to 1: how near the column stands to the left (0) or the right (1)."""
    where = column.number / max(1, column.width - 1)
    return 1 - abs(where - at)


def _pin(column: _Column) -> float:
    short = column.share(lambda text: (len(text) <= 7 and " " not in text and not text.isalpha()) or len(text) <= 2)
    return 0.6 * short * (1 - column.known_ends) * (1 - column.colours) * (1 - column.words)


def _pin_of_list(column: _Column) -> float:
    short = column.share(lambda text: len(text) <= 8 and " " not in text)
    units = column.share(lambda text: (rating_in(text) or ("", False))[1])
    return 0.9 * short * column.distinct**2 * column.filled * (1 - column.words) * (1 - units)


def _via(column: _Column) -> float:
    names = column.known.names

    def cavities(text: str) -> bool:
        pieces = [piece.strip() for piece in text.replace(";", ",").split(",")]
        found = [ends_in(piece, column.known) for piece in pieces]
        return all(ends and names.is_connector(ends[0].rpartition(".")[0]) for ends in found)

    return 1.15 * column.share(cavities)


def _colour(column: _Column) -> float:
    return 1.2 * column.colours * (0.7 + 0.3 * column.filled)


def _size(column: _Column) -> float:
    read = [its for its in (size_in(text) for text in column.cells) if its is not None]
    if not read:
        return 0.0
    with_unit = sum(unit for _, unit in read) / len(read)
    usually = sum(usual(value, SIZES) or value.endswith("awg") for value, _ in read) / len(read)
    fractions = sum("." in value for value, _ in read) / len(read)
    repeats = 1 - len({value for value, _ in read}) / len(read)
    share = len(read) / len(column.cells)
    if with_unit > 0.5:
        return share * 1.3
    return share * usually * (0.4 + 0.45 * min(1, 2 * fractions) + 0.25 * repeats)


def _code(column: _Column) -> float:
    digits = column.share(lambda text: any(c.isdecimal() for c in text) and len(text) <= 10 and " " not in text)
    numbers = column.share(lambda text: text.replace(".", "").isdecimal())
    in_order = _in_order(column.cells)
    once = 1.0 if "code" in column.head and not column.vague else column.distinct**2
    return digits * once * (0.45 * numbers + 0.35 * in_order + 0.1) * (1 - 0.7 * column.known_ends)


def _remark(column: _Column) -> float:
    return 0.1 + column.words * 0.6


def _part(column: _Column) -> float:
    parts = column.known.names.parts
    known = sum(any(end in parts for end in ends) for ends in column.ends) / len(column.cells)
    asked = column.share(lambda text: bool(column.known.names.terminals_asked(text)))
    return 0.8 * max(known, asked) * (1 - column.distinct)


def _in_order(cells: Sequence[str]) -> float:
    """Which share of neighbouring numbers goes up by a little."""
    numbers = [int("".join(c for c in text if c.isdecimal())[:9] or "-1") for text in cells]
    steps = [0 < later - before <= 3 for before, later in pairwise(numbers)]
    return sum(steps) / len(steps) if steps else 0.0


_FITS: dict[str, Callable[[_Column], float]] = {
    "slot": _slot, "rating": _rating, "style": _style, "what": _what, "bar": _bar, "place": _place, "option": _option,
    "from": _from, "to": _to, "from-pin": _pin, "to-pin": _pin, "via": _via, "colour": _colour, "size": _size,
    "code": _code, "remark": _remark, "pin": _pin_of_list, "part": _part,
}  # fmt: skip


def _best(
    kind: TableKind, columns: Sequence[_Column], but: tuple[int, str] | None = None
) -> tuple[float, tuple[str, ...]]:
    """The assignment of roles to columns that is worth most, each role at most once; `but` is one that is ruled out."""
    roles = ROLES[kind]
    scores = [[column.score(role) for role in roles] for column in columns]
    best: dict[int, tuple[float, tuple[str, ...]]] = {0: (0.0, ())}
    for number in range(len(columns)):
        following: dict[int, tuple[float, tuple[str, ...]]] = {}
        for taken, (total, chosen) in best.items():
            options = [(taken, _NOTHING_SAID, IGNORED)]
            options += [
                (taken | 1 << at, scores[number][at], role)
                for at, role in enumerate(roles)
                if not taken >> at & 1 and (scores[number][at] > _NOTHING_SAID or role in NEEDED[kind])
            ]
            for now, worth, role in options:
                if but == (number, role) or not _follows(role, chosen):
                    continue
                if now not in following or following[now][0] < total + worth:
                    following[now] = (total + worth, (*chosen, role))
        best = following
    needed = sum(1 << roles.index(role) for role in NEEDED[kind])
    whole = [its for taken, its in best.items() if taken & needed == needed]
    return max(whole, key=lambda its: its[0], default=(-1.0, (IGNORED,) * len(columns)))


def _follows(role: str, before: tuple[str, ...]) -> bool:
    """The column of a terminal stands right behind that of its part."""
    return role not in ("from-pin", "to-pin") or before[-1:] == (role.removesuffix("-pin"),)
