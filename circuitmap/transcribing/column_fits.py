"""How well a column fits each thing that it may be: by what stands in it, by its head, and by the names known."""

import re
from collections.abc import Callable, Sequence
from functools import cached_property
from itertools import pairwise

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
from circuitmap.transcribing.pin_words import DESIGNATIONS, pin_meant
from circuitmap.transcribing.typed_lines import KnownHere
from circuitmap.wiring.parts import Fuse

LOOKED_AT = 60
"""Rows that are looked at to tell what a column is."""
_FEWEST_FIGURES = 4
_NUMBER = re.compile(r"(\d{1,6}(?:\.\d{1,6})?) ?(?:mm|mm2|mm²|awg|a|g/m|m?ohm/k?m)?\Z", re.IGNORECASE)
_BY_HEAD, _BY_VAGUE_HEAD, _AGAINST_HEAD = 0.9, 0.6, 0.35


class Column:
    """One column, and how well it fits each role."""

    def __init__(self, grid: Grid, number: int, headed: bool, known: KnownHere) -> None:
        self.number = number
        self.width = grid.width
        all_cells = grid.column(number, int(headed))[:LOOKED_AT]
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


def _slot(column: Column) -> float:
    bare = column.share(lambda text: text.isdecimal())
    named = column.share(lambda text: looks_like_end(text) and any(c.isdecimal() for c in text))
    by_letter = column.share(
        lambda text: "F" in text.upper()[:3] and any(c.isdecimal() for c in text) and len(text) < 10
    )
    units = column.share(lambda text: (rating_in(text) or ("", False))[1])
    in_order = _in_order(column.cells)
    fit = max(0.5 * named + 0.5 * by_letter, 0.75 * bare * in_order, column.fuses)
    return fit * column.distinct**2 * column.filled * (1 - units) * (0.75 + 0.25 * (column.number == 0))


def _rating(column: Column) -> float:
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


def _style(column: Column) -> float:
    return 1.2 * column.share(lambda text: text.casefold() in STYLES)


def _text(column: Column) -> float:
    return column.words * (0.5 + 0.3 * column.distinct) * (0.6 + 0.4 * column.filled)


def _what(column: Column) -> float:
    return _text(column) * 1.1 + 0.02 * (column.width - column.number) / column.width


def _bar(column: Column) -> float:
    short = column.share(
        lambda text: (len(text) <= 6 and " " not in text and rating_in(text) is None) or text.isdecimal()
    )
    repeats = 1 - len(set(column.cells)) / len(column.cells)
    fuses = column.share(lambda text: rating_in(text) is not None and not text.isdecimal())
    return 0.5 * short * repeats * (1 - fuses) * column.filled * (1 - column.words)


def _place(column: Column) -> float:
    return _text(column) * (0.55 if column.distinct < 0.6 else 0.33)


def _option(column: Column) -> float:
    options = column.known.names.options
    known = column.share(lambda text: text in options or bool(options.having_tail_in_any_case(text)))
    return 1.1 * known


def _an_end(column: Column) -> float:
    terminals = column.share(looks_like_terminal)
    names = column.share(lambda text: looks_like_end(text) and any(c.isdecimal() for c in text))
    fit = max(column.known_ends, 0.75 * names + 0.15 * terminals)
    return fit * column.filled * (1 - 0.8 * column.colours) * (1 - column.words)


def _from(column: Column) -> float:
    return _an_end(column) * (1.0 + 0.5 * _place_in(column, 0.0))


def _to(column: Column) -> float:
    return _an_end(column) * (1.0 + 0.5 * _place_in(column, 1.0))


def _place_in(column: Column, at: float) -> float:
    """From 0 to 1: how near the column stands to the left (0) or the right (1)."""
    where = column.number / max(1, column.width - 1)
    return 1 - abs(where - at)


def _pin(column: Column) -> float:
    short = column.share(lambda text: (len(text) <= 7 and " " not in text and not text.isalpha()) or len(text) <= 2)
    return 0.6 * short * (1 - column.known_ends) * (1 - column.colours) * (1 - column.words)


def _pin_of_list(column: Column) -> float:
    short = column.share(lambda text: len(text) <= 8 and " " not in text)
    units = column.share(lambda text: (rating_in(text) or ("", False))[1])
    return 0.9 * short * column.distinct**2 * column.filled * (1 - column.words) * (1 - units)


def _via(column: Column) -> float:
    names = column.known.names

    def cavities(text: str) -> bool:
        pieces = [piece.strip() for piece in text.replace(";", ",").split(",")]
        found = [ends_in(piece, column.known) for piece in pieces]
        return all(ends and names.is_connector(ends[0].rpartition(".")[0]) for ends in found)

    return 1.15 * column.share(cavities)


def _colour(column: Column) -> float:
    return 1.2 * column.colours * (0.7 + 0.3 * column.filled)


def _size(column: Column) -> float:
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


def _code(column: Column) -> float:
    digits = column.share(lambda text: any(c.isdecimal() for c in text) and len(text) <= 10 and " " not in text)
    numbers = column.share(lambda text: text.replace(".", "").isdecimal())
    in_order = _in_order(column.cells)
    once = 1.0 if "code" in column.head and not column.vague else column.distinct**2
    return digits * once * (0.45 * numbers + 0.35 * in_order + 0.1) * (1 - 0.7 * column.known_ends)


def _remark(column: Column) -> float:
    return 0.1 + column.words * 0.6


def _part(column: Column) -> float:
    parts = column.known.names.parts
    known = sum(any(end in parts for end in ends) for ends in column.ends) / len(column.cells)
    asked = column.share(lambda text: bool(column.known.names.terminals_asked(text)))
    return 0.8 * max(known, asked) * (1 - column.distinct)


def _called(column: Column) -> float:
    """Names of parts of many kinds, each once: A12, B4, K7, M3."""
    cells: list[str] = [piece for text in column.cells for piece in re.split(r"\s*[,/&+]\s+|\s+/\s*", text) if piece]
    if not cells:
        return 0.0
    named = sum(looks_like_end(text) and (_has_digit(text) or text.isupper()) for text in cells) / len(cells)
    tails = [text.rpartition(".")[2] for text in cells]
    beginnings = {tail.rstrip("0123456789")[:3] for tail in tails}
    fuses = sum(tail[:1] == "F" and _has_digit(tail) for tail in tails) / len(tails)
    many = min(1.0, (len(beginnings) - 1) / 4)
    once: float = column.distinct * column.distinct * column.filled
    return 1.25 * max(named, column.known_ends) * many * (1 - fuses) * once


def _thing(column: Column) -> float:
    """What a part is called, and not what a pin does."""
    return _what(column) * (1 - 0.7 * column.share(lambda text: bool(pin_meant(text))))


def _pins_of_each(column: Column) -> float:
    """The pins of a part in each cell: `1, 2`."""
    several = column.share(lambda text: len(text.split(",")) > 1 and all(len(p.strip()) < 5 for p in text.split(",")))
    return 0.9 * several


def _designation(column: Column) -> float:
    """Designations of terminals of many devices; one part has those of one or two."""
    known = [text for text in column.cells if text in DESIGNATIONS]
    devices = {re.sub(r"[a-zA-Z]+\Z", "", text) for text in known}
    many = min(1.0, len(known) / 10) * min(1.0, len(devices) / 8)
    return 1.8 * len(known) / len(column.cells) * many * column.distinct**2


def _gauge(column: Column) -> float:
    numbers = [number for number in map(_number_in, column.cells) if number is not None]
    usually = sum(number in SIZES or (number.is_integer() and number <= 40) for number in numbers) / len(column.cells)
    return 1.2 * usually * _figure(column)


def _figure(column: Column) -> float:
    """Numbers that only grow, or only shrink."""
    numbers = [number for number in map(_number_in, column.cells) if number is not None]
    if len(numbers) < _FEWEST_FIGURES or len(numbers) < 0.8 * len(column.cells):
        return 0.0
    steps = [later - before for before, later in pairwise(numbers)]
    return float(all(step > 0 for step in steps) or all(step < 0 for step in steps))


def _number_in(text: str) -> float | None:
    match = _NUMBER.match(text.replace(",", "."))
    return float(match[1]) if match else None


def _has_digit(text: str) -> bool:
    return any(c.isdecimal() for c in text)


def _in_order(cells: Sequence[str]) -> float:
    """Which share of neighbouring numbers goes up by a little."""
    numbers = [int("".join(c for c in text if c.isdecimal())[:9] or "-1") for text in cells]
    steps = [0 < later - before <= 3 for before, later in pairwise(numbers)]
    return sum(steps) / len(steps) if steps else 0.0


_FITS: dict[str, Callable[[Column], float]] = {
    "slot": _slot, "rating": _rating, "style": _style, "what": _what, "bar": _bar, "place": _place, "option": _option,
    "from": _from, "to": _to, "from-pin": _pin, "to-pin": _pin, "via": _via, "colour": _colour, "size": _size,
    "code": _code, "remark": _remark, "pin": _pin_of_list, "part": _part, "called": _called, "thing": _thing,
    "pins": _pins_of_each,
    "designation": _designation, "gauge": _gauge, "figure": _figure, "figure-2": _figure, "figure-3": _figure,
    "figure-4": _figure,
}  # fmt: skip
