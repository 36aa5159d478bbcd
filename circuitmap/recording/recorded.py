"""What a recorder's file holds, as values: samples over time, what was taken for what, what is asked."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

RemarkKind = Literal[
    "not unicode",  # from `line` on there are bytes that are not UTF-8; read as 8-bit text
    "nul bytes",  # `amount` of them from `line` on: power was lost while it was written
    "cut off",  # the last line is not whole
    "other lines",  # `amount` lines, the first at `line`, are not rows of data; `text` is the first
    "no number",  # `amount` rows, the first at `line`, hold `text` where a number should be
    "over range",  # `amount` rows from `line` on: more than `other` A, or more than the largest sample
    "doubles",  # `amount` rows were written twice
    "several to a stamp",  # `amount` samples bear each stamp, evenly
    "midnight",  # at `line` the time of day begins anew
    "clock set back",  # at `line`, by an hour
    "clock set forward",  # at `line`, by an hour; or an hour is missing
    "gap",  # `amount` seconds without samples before `line`
    "newest first",
    "uneven",  # written on change: a value holds until the next
    "month first",  # told by even distances, or by a day above 12
    "date reads both ways",
    "day not known",
    "universal time",  # seconds since 1970
    "days since 1899",
    "own count",  # the recorder's count of seconds or milliseconds: no time of day
    "sign turned",
    "sign kept",  # the file says which way is which
    "charged",  # `amount` of the samples, a share, are negative: current into the battery
    "zero said",  # `text` before, after or at no time: `amount` A
    "zero not known",
    "units differ",  # the unit stands in each row and changes
    "scale",  # `amount` V stand for 1 A; `text` is where that was said
    "no mean",  # only least and most of each interval are in the file
]


class Remark(NamedTuple):
    """One thing to know about how the file was read."""

    kind: RemarkKind
    line: int = 0
    amount: float = 0.0
    other: float = 0.0
    text: str = ""


class AskedOfFile(NamedTuple):
    """What the file does not say, and the night cannot be told without. `names` are the columns in question, each with
    its smallest and largest value as written."""

    about: Literal["column", "unit", "scale", "distance", "sign"]
    names: tuple[str, ...] = ()
    ranges: tuple[tuple[float, float], ...] = ()


class ToldOfFile(NamedTuple):
    """What somebody says about the file: answers to what is asked. `scale` is in volts for one ampere, `distance` in
    seconds."""

    column: str = ""
    unit: str = ""
    scale: float | None = None
    distance: float | None = None
    sign: Literal["", "kept", "turned"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenFor:
    """What was taken for what."""

    encoding: str
    delimiter: str
    decimal: str
    first_row: int
    time: tuple[str, ...]
    time_kind: str
    current: str
    unit: str
    unit_from: str
    least: str = ""
    most: str = ""
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recording:
    """Samples in amperes. `seconds` rise from 0; `began` is the first stamp in seconds since 1 January of year 1, None
    where the file says no time of day; `least` and `most` are those of each interval, where the recorder wrote them.
    `distance` is the usual time from sample to sample. Samples above the range stand in `amps` as its end; `numbers`,
    `smallest` and `largest` are of those that are numbers."""

    taken: TakenFor
    remarks: tuple[Remark, ...]
    asked: tuple[AskedOfFile, ...]
    rows: int
    seconds: "Floats"
    amps: "Floats"
    numbers: int
    smallest: float
    largest: float
    distance: float
    began: float | None
    day_known: bool
    least: "Floats | None" = None
    most: "Floats | None" = None
    has_mean: bool = True
    held: bool = False
    gaps: tuple[tuple[int, float], ...] = ()
    """Places without samples: the sample before, and how many seconds are missing."""
