"""What is in this cell: a number, a date, a time of day, both, nothing, more than the range, or text?"""

import re
from math import isfinite
from typing import Literal

from circuitmap.recording.units import known_unit

CellKind = Literal["number", "date", "time", "stamp", "over", "empty", "text"]
Decimal = Literal[".", ","]

NUMBER = r"[+-]?(?:\d[\d.,'’]*|[.,]\d+)(?:[eE][+-]?\d{1,3})?"
_NUMBER_AND_UNIT = re.compile(rf"({NUMBER})\s*([A-Za-zµμ°%]{{0,12}})")
DATE = (
    r"(?:\d{4}[-./]\d{1,2}[-./]\d{1,2}|\d{1,2}[-./]\d{1,2}[-./](?:\d{4}|\d\d)"
    r"|\d{1,2}[-. ](?:[A-Za-z]{3,9})[-. ](?:\d{4}|\d\d))"
)
TIME = r"\d{1,3}:\d\d(?::\d\d(?:[.,]\d{1,9})?)?\s*(?:[AaPp]\.?[Mm]\.?)?\s*(?:Z|UTC|[+-]\d\d:?\d\d)?"
_DATE, _TIME = re.compile(DATE), re.compile(TIME)
_STAMP = re.compile(rf"({DATE})(?:T|[ ,]\s*)({TIME})")
_OVER = frozenset({"ol", "o.l", "o.l.", "0l", "over", "overload", "ovld", "ovfl", "overrange", "+ol", "-ol", "+over"})
_NOTHING = re.compile(r"[-–_.*?]+|n/?a|#n/a|nan|null|none", re.IGNORECASE)
_THOUSANDS = {
    ".": re.compile(r"[+-]?[1-9]\d{0,2}(?:[,'’]\d{3})+(?:\.\d+)?"),
    ",": re.compile(r"[+-]?[1-9]\d{0,2}(?:[.'’]\d{3})+(?:,\d+)?"),
}


def kind_of(cell: str) -> CellKind:
    """What a cell looks like."""
    if not cell:
        return "empty"
    if _DATE.fullmatch(cell):
        return "date"
    if _TIME.fullmatch(cell):
        return "time"
    if _STAMP.fullmatch(cell):
        return "stamp"
    match = _NUMBER_AND_UNIT.fullmatch(cell)
    if match and (not match[2] or known_unit(match[2])):
        one = number_in(match[1], ".") is not None or number_in(match[1], ",") is not None
        return "number" if one else "text"
    if cell.lower() in _OVER:
        return "over"
    return "empty" if _NOTHING.fullmatch(cell) else "text"


def is_over(cell: str) -> bool:
    return cell.lower() in _OVER


def number_in(cell: str, decimal: Decimal) -> float | None:
    """The number in a cell, or None. A mark for thousands counts only where it parts off groups of three."""
    text = cell
    if decimal == ",":
        if "." in text or "'" in text:
            if not _THOUSANDS[","].fullmatch(text):
                return None
            text = text.replace(".", "").replace("'", "").replace("’", "")
        text = text.replace(",", ".")
    elif "," in text or "'" in text:
        if not _THOUSANDS["."].fullmatch(text):
            return None
        text = text.replace(",", "").replace("'", "").replace("’", "")
    try:
        value = float(text)
    except ValueError:
        return None
    return value if isfinite(value) and "_" not in text else None


def number_and_unit(cell: str, decimal: Decimal) -> tuple[float | None, str]:
    """The number in a cell that may have its unit behind it, and that unit."""
    match = _NUMBER_AND_UNIT.fullmatch(cell)
    if match is None:
        return None, ""
    return number_in(match[1], decimal), known_unit(match[2])


def decimal_mark(cells: list[str]) -> Decimal:
    """The decimal mark of a column: the last of two marks in one cell; else the one that is there."""
    commas = points = False
    for cell in cells:
        comma, point = cell.rfind(","), cell.rfind(".")
        if comma >= 0 and point >= 0:
            return "," if comma > point else "."
        commas, points = commas or comma >= 0, points or point >= 0
    return "," if commas and not points else "."


def stamp_parts(cell: str) -> tuple[str, str] | None:
    """Date and time of a cell that holds both."""
    match = _STAMP.fullmatch(cell)
    return (match[1], match[2]) if match else None
