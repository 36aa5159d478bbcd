"""What stands above the data: interval, start, unit, scale, range, and what was read with the jaws empty."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.recording.cells import kind_of, number_in
from circuitmap.recording.layout import cells_of
from circuitmap.recording.units import UNITS, known_unit, volts_per_ampere, words_of

_INTERVAL = frozenset({"interval", "distance", "intervall", "period", "abstand", "increment", "spacing"})
_START = frozenset({"start", "begin", "began", "started", "beginn"})
_UNIT = frozenset({"unit", "units", "einheit", "vertical"})
_ZERO = frozenset({"zero", "nullpunkt", "offset", "null"})
_BEFORE = frozenset({"before", "vorher", "start"})
_AFTER = frozenset({"after", "nachher", "end"})
_NUMBER_UNIT = re.compile(r"([+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?)\s*([A-Za-zµμ]{0,9})")
_CLOCK = re.compile(r"(\d{1,3}):(\d\d)(?::(\d\d(?:[.,]\d+)?))?")


class SaidZero(NamedTuple):
    """What the recorder showed with nothing in its jaws: `when` is before, after or empty."""

    line: int
    when: str
    amps: float


class Preamble(NamedTuple):
    """What was found above the data; None and empty where it says nothing."""

    interval: float | None = None
    start: str = ""
    first_point: float | None = None
    unit: str = ""
    scale: float | None = None
    scale_line: int = 0
    range_amps: float | None = None
    zeros: tuple[SaidZero, ...] = ()


def preamble_of(above: Iterable[tuple[int, str]], delimiter: str) -> Preamble:
    """Reads lines above the data. A preamble may have another delimiter than the data."""
    found = Preamble()
    for line, text in above:
        cells = _cells(text, delimiter)
        whole = " ".join(cells)
        words = words_of(cells[0] if len(cells) > 1 and not cells[0].startswith("#") else whole)
        rest = " ".join(cells[1:]) if len(cells) > 1 else whole
        if words & _ZERO:
            found = found._replace(zeros=found.zeros + tuple(_zero(line, whole, words_of(whole))))
        elif words & _INTERVAL and found.interval is None and len(cells) > 1:
            found = found._replace(interval=_duration(rest))
        elif words & _START and not found.start and len(cells) > 1:
            stamp = next((cell for cell in cells[1:] if kind_of(cell) == "stamp"), rest)
            found = found._replace(start=stamp if kind_of(stamp) in ("stamp", "time") else "")
        elif {"first", "point"} <= words:
            found = found._replace(first_point=_duration(rest))
        elif words & _UNIT and not found.unit and len(cells) > 1:
            found = found._replace(unit=known_unit(cells[1]))
        scale = volts_per_ampere(whole)
        if scale is not None and found.scale is None:
            found = found._replace(scale=scale, scale_line=line)
        for cell in cells:
            if "range" in words_of(cell) and (amount := _amount(cell, "current")) is not None:
                found = found._replace(range_amps=amount)
    return found


def _cells(text: str, delimiter: str) -> Sequence[str]:
    cells = cells_of(text, delimiter)
    for mark in (";", "\t", ",", "=", ": "):
        if len(cells) > 1 or text.startswith("#"):
            break
        cells = cells_of(text, mark)
    return cells


def _amount(text: str, measures: str) -> float | None:
    """The last amount in a text that has a unit of this kind, in ampere or second."""
    amount = None
    for match in _NUMBER_UNIT.finditer(text):
        unit = known_unit(match[2])
        value = number_in(match[1], "," if "," in match[1] else ".")
        if unit and UNITS[unit].measures == measures and value is not None:
            amount = value * UNITS[unit].factor
    return amount


def _zero(line: int, whole: str, words: frozenset[str]) -> Iterable[SaidZero]:
    amps = _amount(whole, "current")
    if amps is not None:
        yield SaidZero(line, "before" if words & _BEFORE else "after" if words & _AFTER else "", amps)


def _duration(text: str) -> float | None:
    """Seconds in `00:00:10`, `10 s` or `5.00E-02 s`."""
    clock = _CLOCK.search(text)
    if clock:
        return int(clock[1]) * 3600 + int(clock[2]) * 60 + float((clock[3] or "0").replace(",", "."))
    return _amount(text, "time")
