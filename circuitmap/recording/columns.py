"""Which column is the time, which the battery's current, and in which unit? What cannot be known is asked."""

from dataclasses import dataclass
from itertools import pairwise

from circuitmap.failures import WrongUse
from circuitmap.recording.cells import Decimal, decimal_mark, number_and_unit
from circuitmap.recording.layout import FileLayout
from circuitmap.recording.preamble import Preamble
from circuitmap.recording.recorded import AskedOfFile, ToldOfFile
from circuitmap.recording.stamps import TimeKind
from circuitmap.recording.units import UNITS, known_unit, unit_in_name, words_of

_TIME_WORDS = frozenset({
    "t", "ts", "time", "zeit", "timestamp", "stamp", "seconds", "elapsed", "date", "datetime", "uhrzeit", "when",
})  # fmt: skip
_COUNT_WORDS = frozenset({"no", "nr", "num", "number", "index", "samples", "count", "row", "n", "sample", "#", "id"})
_LEAST = frozenset({"min", "minimum", "least", "lowest"})
_MEAN = frozenset({"avg", "average", "mean", "mittel", "mittelwert"})
_MOST = frozenset({"max", "maximum", "most", "highest", "peak"})
_TOTAL = frozenset({"total", "battery", "batt", "bat", "batterie", "sum", "gesamt", "whole", "all"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Places of the columns that are used. `values` are read as they stand, `factor` makes amperes of them;
    `least` and `most` are columns beside the first of `values`, -1 where there are none."""

    time_kind: TimeKind
    time: tuple[int, ...]
    values: tuple[int, ...]
    decimals: tuple[Decimal, ...]
    unit: str
    unit_from: str
    unit_column: int
    factor: float
    least: int
    most: int
    asked: tuple[AskedOfFile, ...]
    others: tuple[int, ...]
    time_factor: float = 1.0
    scale: float | None = None
    has_mean: bool = True


def columns_of(layout: FileLayout, preamble: Preamble, told: ToldOfFile) -> Columns:
    """Chooses the columns; raises WrongUse where `told` names what is not there."""
    names, shape = layout.names, layout.shape
    samples = {at: [row.cells[at] for row in layout.rows if row.cells[at]] for at in range(len(shape))}
    marks: dict[int, Decimal] = {at: decimal_mark(cells) for at, cells in samples.items()}
    numbers = [at for at, kind in enumerate(shape) if kind == "number"]
    values = {at: [number_and_unit(cell, marks[at])[0] for cell in samples[at]] for at in numbers}
    time_kind, time, time_factor = _time_of(layout, values, preamble, told)
    unit_column = next(
        (at for at, kind in enumerate(shape) if kind == "text" and all(map(known_unit, samples[at]))), -1
    )
    units = {at: _unit_of(layout, at, samples[at], marks[at]) for at in numbers if at not in time}
    counts = {at for at in units if not units[at] and (words_of(names[at]) & _COUNT_WORDS or _counts(values[at]))}
    asked: list[AskedOfFile] = []
    if time_kind == "none":
        asked.append(AskedOfFile("distance"))
    open_ones = [at for at in units if at not in counts]
    if unit_column >= 0:
        first = next((known_unit(cell) for cell in samples[unit_column]), "")
        units.update({at: first for at in open_ones if not units[at]})
    elif len(open_ones) == 1 and not units[open_ones[0]] and preamble.unit:
        units[open_ones[0]] = preamble.unit
    if told.unit:
        units.update({at: told.unit for at in open_ones if not units[at] or told.column})
    chosen, least, most, kept, has_mean = _current(layout, units, open_ones, told)
    if len(chosen) > 1:
        asked.insert(0, AskedOfFile("column", tuple(_called(names, at) for at in chosen)))
    unit = units[chosen[0]]
    measures = UNITS[unit].measures if unit else ""
    scale = told.scale if told.scale is not None else preamble.scale
    factor = 1.0
    if measures == "current":
        factor, scale = UNITS[unit].factor, None
    elif measures == "volts" and scale is not None:
        factor = UNITS[unit].factor / scale
    elif measures == "volts":
        asked.append(AskedOfFile("scale", (_called(names, chosen[0]),)))
    else:
        asked.append(AskedOfFile("unit", tuple(_called(names, at) for at in chosen)))
    return Columns(
        time_kind=time_kind,
        time=time,
        values=chosen,
        decimals=tuple(marks[at] for at in range(len(shape))),
        unit=unit,
        unit_from=_unit_from(layout, preamble, told, chosen[0], unit_column, samples[chosen[0]], marks[chosen[0]]),
        unit_column=unit_column,
        factor=factor,
        least=least,
        most=most,
        asked=tuple(asked),
        others=tuple(at for at in (*kept, *sorted(counts))),
        time_factor=time_factor,
        scale=scale if measures == "volts" else None,
        has_mean=has_mean,
    )


def _called(names: tuple[str, ...], at: int) -> str:
    return names[at] or f"column {at + 1}"


def _counts(values: list[float | None]) -> bool:
    known = [value for value in values if value is not None]
    return len(known) > 5 and all(later - one == 1.0 for one, later in pairwise(known))


def _unit_of(layout: FileLayout, at: int, cells: list[str], mark: Decimal) -> str:
    in_cells = next((unit for _, unit in (number_and_unit(cell, mark) for cell in cells[:20]) if unit), "")
    return in_cells or layout.units[at] or unit_in_name(layout.names[at])


def _unit_from(
    layout: FileLayout, preamble: Preamble, told: ToldOfFile, at: int, unit_column: int, cells: list[str], mark: Decimal
) -> str:
    if next((unit for _, unit in (number_and_unit(cell, mark) for cell in cells[:20]) if unit), ""):
        return "each cell"
    if unit_column >= 0:
        return "each row"
    if layout.units[at]:
        return "the row of units"
    if unit_in_name(layout.names[at]):
        return "the header"
    if told.unit:
        return "what you said"
    return "the preamble" if preamble.unit else ""


def _time_of(
    layout: FileLayout, values: dict[int, list[float | None]], preamble: Preamble, told: ToldOfFile
) -> tuple[TimeKind, tuple[int, ...], float]:
    shape = layout.shape
    if told.distance is not None:
        return "interval", (), 1.0
    for wanted in ("stamp", "date", "time"):
        if wanted in shape:
            at = shape.index(wanted)
            if wanted == "date":
                if "time" in shape:
                    return "stamp", (at, shape.index("time")), 1.0
                continue
            return ("stamp", (at,), 1.0) if wanted == "stamp" else ("time", (at,), 1.0)
    if len(values) > 1:
        for at, column in values.items():
            unit = layout.units[at] or unit_in_name(layout.names[at])
            named = bool(words_of(layout.names[at]) & _TIME_WORDS) or (unit and UNITS[unit].measures == "time")
            if not named and not (not layout.names[at] and at == 0):
                continue
            known = [value for value in column if value is not None]
            rises = len(known) > 1 and all(b >= a for a, b in pairwise(known))
            falls = len(known) > 1 and all(b <= a for a, b in pairwise(known))
            if not (rises or falls) or known[0] == known[-1]:
                continue
            middle = known[len(known) // 2]
            # Where these counts lie is no chance: 1e9 s and 1e12 ms since 1970 are the years from 2001 on, 25,000 to
            # 70,000 days since 1899 those from 1968 to 2091.
            if 1e9 <= middle < 5e9 and unit in ("", "s", "sec"):
                return "since 1970", (at,), 1.0
            if 1e12 <= middle < 5e12 and unit in ("", "ms"):
                return "since 1970", (at,), 1e-3
            if 25_000 <= middle < 70_000 and not unit and any(value % 1 for value in known):
                return "days", (at,), 86_400.0
            if unit:
                return "count", (at,), UNITS[unit].factor
    if preamble.interval is not None:
        return "interval", (), 1.0
    return "none", (), 1.0


def _current(
    layout: FileLayout, units: dict[int, str], open_ones: list[int], told: ToldOfFile
) -> tuple[tuple[int, ...], int, int, tuple[int, ...], bool]:
    """The current's column or those in question, its least and most, and what else was seen."""
    names = layout.names
    if told.column:
        fitting = [at for at in open_ones if told.column in (names[at], f"column {at + 1}")]
        fitting = fitting or [at for at in open_ones if told.column.lower() in names[at].lower()]
        if len(fitting) != 1:
            offered = ", ".join(_called(names, at) for at in open_ones)
            raise WrongUse(f"There is no one column {told.column!r}.", f"Columns with numbers: {offered}.")
        return (fitting[0],), -1, -1, tuple(at for at in open_ones if at != fitting[0]), True
    amps = [at for at in open_ones if units[at] and UNITS[units[at]].measures == "current"]
    volts = [at for at in open_ones if units[at] and UNITS[units[at]].measures == "volts"]
    unknown = [at for at in open_ones if not units[at]]
    candidates = amps or volts or unknown
    if not candidates:
        raise WrongUse(
            "No column here can be a current.", f"Columns: {', '.join(name or '?' for name in names)}; name one."
        )
    others = tuple(at for at in open_ones if at not in candidates)
    if len(candidates) == 1:
        return (candidates[0],), -1, -1, others, True
    roles = {at: words_of(names[at]) for at in candidates}
    least = [at for at in candidates if roles[at] & _LEAST]
    most = [at for at in candidates if roles[at] & _MOST]
    mean = [at for at in candidates if roles[at] & _MEAN]
    if len(least) <= 1 and len(most) <= 1 and len(mean) <= 1 and len(least + most + mean) == len(candidates):
        low, high = (least or [-1])[0], (most or [-1])[0]
        middle = (mean or most or least)[0]
        return (middle,), low, high, others, bool(mean)
    total = [at for at in candidates if roles[at] & _TOTAL]
    if len(total) == 1:
        return (total[0],), -1, -1, others + tuple(at for at in candidates if at != total[0]), True
    return tuple(candidates), -1, -1, others, True
