"""Which column of a table is what: by what stands in it, by its head, and by the names the platform knows.

It is a guess, and is shown as one: for each column how far the best reading of the whole table leads over the best one
that reads this column otherwise. Nothing is taken until somebody confirmed it.
"""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.transcribing.cell_values import (
    colours_in,
    ends_in,
    rating_in,
    says_nothing,
    size_in,
)
from circuitmap.transcribing.column_fits import LOOKED_AT, Column
from circuitmap.transcribing.grid import Grid
from circuitmap.transcribing.head_words import roles_of_head
from circuitmap.transcribing.typed_lines import KnownHere

TableKind = Literal["fuses", "wires", "pins"]
ROLES: dict[TableKind, tuple[str, ...]] = {
    "fuses": ("slot", "rating", "style", "what", "bar", "place", "option"),
    "wires": ("from", "from-pin", "to", "to-pin", "via", "colour", "size", "code", "option", "remark"),
    "pins": ("part", "pin", "what", "remark"),
}
"""What a column may be, by the kind of table; `-` is one that says nothing the notation has a place for."""
NEEDED: dict[TableKind, tuple[str, ...]] = {"fuses": ("slot",), "wires": ("from", "to"), "pins": ("pin", "what")}
OtherKind = Literal["", "parts", "terminals", "gauges", "unknown"]
"""What else a table may be, from which nothing can be taken: a list of parts, one of terminal designations, a table of
wire gauges, or nothing known; empty for one of the three kinds."""
_OTHERS: dict[OtherKind, tuple[str, ...]] = {
    "parts": ("called", "thing", "place", "pins", "remark"),
    "terminals": ("designation", "what", "place"),
    "gauges": ("gauge", "figure", "figure-2", "figure-3", "figure-4"),
}
_NEEDED_BY_OTHERS: dict[OtherKind, tuple[str, ...]] = {
    "parts": ("called", "thing"),
    "terminals": ("designation", "what"),
    "gauges": ("gauge", "figure"),
}
IGNORED = "-"
SURE = 0.6
"""A column with a smaller lead is marked as unsure; measured on tables laid out at random."""

_NOTHING_SAID = 0.3
"""What a column is worth that is taken for nothing the notation has a place for."""
_TEXTS = (IGNORED, "what", "thing", "place", "remark")
_MORE_THAN_A_TEXT = 0.45
"""What a column is worth at least that tells the kind of its table."""
_OF_ONE_ROW = 0.5
"""How far the kind of a table with one row leads at most: nothing repeats in it."""
_NO_FIGURE = -0.5
"""The same in a table of wire gauges, which holds figures only."""


class Guess(NamedTuple):
    """`columns` are roles, `leads` how sure each is; `headed` whether the first row is a head. `kind_lead` is how far
    the kind leads over the best other one. With `looks_like` it is none of the kinds: `kind` is the nearest of them,
    and no column is anything."""

    kind: TableKind
    columns: tuple[str, ...]
    leads: tuple[float, ...]
    headed: bool
    kind_lead: float = 1.0
    looks_like: OtherKind = ""

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
    columns = [Column(grid, number, headed, known) for number in range(grid.width)]
    found = {kind: _best(roles, NEEDED[kind], columns) for kind, roles in ROLES.items()}
    kind, (total, chosen) = max(found.items(), key=lambda item: item[1][0])
    others = {
        other: _best(roles, _NEEDED_BY_OTHERS[other], columns, _NO_FIGURE if other == "gauges" else _NOTHING_SAID)
        for other, roles in _OTHERS.items()
    }
    looks_like, (worth, its) = max(others.items(), key=lambda item: item[1][0])
    if worth < total and _fits(columns, chosen):
        looks_like = ""
    elif worth < total or not _fits(columns, its):
        looks_like = "unknown"
    if looks_like:
        nothing = (IGNORED,) * grid.width
        return Guess(kind, nothing, (0.0,) * grid.width, headed, 0.0, looks_like)
    beside = max(worth, *(of_it for other, (of_it, _) in found.items() if other != kind))
    kind_lead = round(max(total - beside, 0.0), 2)
    if len(grid.rows) - headed < 2:
        kind_lead = min(kind_lead, _OF_ONE_ROW)
    leads = []
    for number in range(grid.width):
        otherwise = _best(ROLES[kind], NEEDED[kind], columns, but=(number, chosen[number]))[0]
        leads.append(round(max(min(total - otherwise, kind_lead), 0.0), 2))
    return Guess(kind, chosen, tuple(leads), headed, kind_lead)


def _fits(columns: Sequence[Column], chosen: Sequence[str]) -> bool:
    """Whether any column is more than a text, which stands in tables of all kinds."""
    return any(
        role not in _TEXTS and column.score(role) > _MORE_THAN_A_TEXT
        for column, role in zip(columns, chosen, strict=True)
    )


def _is_headed(grid: Grid, known: KnownHere) -> bool:
    """Whether the first row stands above columns: its words are those of heads, or are unlike what is below."""
    if len(grid.rows) < 2:
        return False
    first = [cell.text for cell in grid.rows[0]]
    said = [text for text in first if not says_nothing(text)]
    known_words = sum(bool(roles_of_head(text)) for text in said)
    unlike = 0
    for number, text in enumerate(first):
        below = [cell for cell in grid.column(number, 1)[:LOOKED_AT] if not says_nothing(cell)]
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


def _best(
    roles: Sequence[str],
    needed_roles: Sequence[str],
    columns: Sequence[Column],
    ignored: float = _NOTHING_SAID,
    but: tuple[int, str] | None = None,
) -> tuple[float, tuple[str, ...]]:
    """The assignment of roles to columns that is worth most, each role at most once; a column without one is worth
    `ignored`. `but` is an assignment that is ruled out."""
    scores = [[column.score(role) for role in roles] for column in columns]
    best: dict[int, tuple[float, tuple[str, ...]]] = {0: (0.0, ())}
    for number in range(len(columns)):
        following: dict[int, tuple[float, tuple[str, ...]]] = {}
        for taken, (total, chosen) in best.items():
            options = [(taken, ignored, IGNORED)]
            options += [
                (taken | 1 << at, scores[number][at], role)
                for at, role in enumerate(roles)
                if not taken >> at & 1 and (scores[number][at] > ignored or role in needed_roles)
            ]
            for now, worth, role in options:
                if but == (number, role) or not _follows(role, chosen):
                    continue
                if now not in following or following[now][0] < total + worth:
                    following[now] = (total + worth, (*chosen, role))
        best = following
    needed = sum(1 << roles.index(role) for role in needed_roles)
    whole = [its for taken, its in best.items() if taken & needed == needed]
    return max(whole, key=lambda its: its[0], default=(-1.0, (IGNORED,) * len(columns)))


def _follows(role: str, before: tuple[str, ...]) -> bool:
    """The column of a terminal stands right behind that of its part."""
    return role not in ("from-pin", "to-pin") or before[-1:] == (role.removesuffix("-pin"),)
