"""Numbers with units as the trade writes them: 20A, 400mA, 72Ah, 0.75mm2, 18awg, 15min, 300mA..400mA."""

import math
import re
from typing import NamedTuple


class Band(NamedTuple):
    """A value that is known to lie between two bounds, ends included; equal ends are an exact value.

    The unit is that of the field it stands in: amperes, volts, minutes, square millimetres, ohms.
    """

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


class Unit(NamedTuple):
    """A unit as written, what it measures, and the factor to the unit used inside."""

    suffix: str
    measures: str
    factor: float
    low: float
    high: float


# The bounds are judgement: what a vehicle's electrical system of 6 to 60 V can show. They catch slips of a
# unit, such as 72A for a battery or 400A for a heater's draw in milliamperes.
UNITS: tuple[Unit, ...] = (
    Unit("uA", "current", 1e-6, 0.0, 5_000.0),
    Unit("mA", "current", 1e-3, 0.0, 5_000.0),
    Unit("A", "current", 1.0, 0.0, 5_000.0),
    Unit("Ah", "charge", 1.0, 0.5, 5_000.0),
    Unit("mV", "voltage", 1e-3, 0.0, 1_000.0),
    Unit("V", "voltage", 1.0, 0.0, 1_000.0),
    Unit("mm2", "cross-section", 1.0, 0.01, 500.0),
    Unit("awg", "gauge", 1.0, -4.0, 40.0),
    Unit("s", "time", 1 / 60, 0.0, 10_080.0),
    Unit("min", "time", 1.0, 0.0, 10_080.0),
    Unit("h", "time", 60.0, 0.0, 10_080.0),
    Unit("ohm", "resistance", 1.0, 0.0, 1e9),
    Unit("kohm", "resistance", 1e3, 0.0, 1e9),
)
UNIT_BY_SUFFIX = {unit.suffix: unit for unit in UNITS}

_NUMBER_AND_UNIT = re.compile(r"(\d+(?:\.\d+)?)([A-Za-z]+2?)\Z", re.ASCII)
_MOST_DIGITS = 15


class QuantityError(ValueError):
    """A quantity that does not mean anything; the message is a sentence for the person who wrote it."""


def read_quantity(text: str, measures: str) -> float:
    """The value of one quantity in the unit used inside (A, V, Ah, mm2, minutes, ohm; awg as its number).

    Raises QuantityError for letters among the digits, an unknown unit, a unit of something else,
    too many digits, or a value outside of what the unit is used for here.
    """
    match = _NUMBER_AND_UNIT.match(text)
    if match is None or match[2] not in UNIT_BY_SUFFIX:
        raise QuantityError(_what_is_wrong(text, measures))
    digits, suffix = match.groups()
    unit = UNIT_BY_SUFFIX[suffix]
    if unit.measures != measures:
        raise QuantityError(f"{text} is a {unit.measures}; a {measures} stands here, such as {example(measures)}")
    if len(digits.replace(".", "")) > _MOST_DIGITS:
        raise QuantityError(f"a number has at most {_MOST_DIGITS} digits")
    value = float(digits) * unit.factor
    if not math.isfinite(value) or not unit.low <= value <= unit.high:
        raise QuantityError(f"{text} is out of range; a {measures} here is {bounds(unit)}")
    return value


def read_band(text: str, measures: str) -> Band:
    """A quantity or a range of two, `300mA..400mA`; raises QuantityError as `read_quantity` does."""
    first, dots, second = text.partition("..")
    low = read_quantity(first, measures)
    high = read_quantity(second, measures) if dots else low
    if high < low:
        raise QuantityError(f"the range {text} runs downwards: write the smaller value first")
    return Band(low, high)


def cross_section_of_gauge(gauge: float) -> float:
    """Square millimetres of an American wire gauge; m/0 sizes are 1 - m.

    Source: ASTM B258, d = 0.127 mm x 92^((36 - n) / 39) (seen).
    """
    diameter: float = 0.127 * 92 ** ((36 - gauge) / 39)
    return math.pi / 4 * diameter * diameter


def example(measures: str) -> str:
    """How a quantity of this kind is written."""
    return {
        "current": "20A or 400mA",
        "charge": "72Ah",
        "voltage": "12V",
        "cross-section": "0.75mm2",
        "gauge": "18awg",
        "time": "15min",
        "resistance": "120ohm",
    }[measures]


def bounds(unit: Unit) -> str:
    return f"from {unit.low / unit.factor:g}{unit.suffix} to {unit.high / unit.factor:g}{unit.suffix}"


_LOOKS_LIKE_DIGIT = {"O": "0", "o": "0", "I": "1", "l": "1", "S": "5", "B": "8"}


def _what_is_wrong(text: str, measures: str) -> str:
    for number, letter in enumerate(text):
        if letter in _LOOKS_LIKE_DIGIT:
            mended = text[:number] + _LOOKS_LIKE_DIGIT[letter] + text[number + 1 :]
            rest = "".join(_LOOKS_LIKE_DIGIT.get(c, c) for c in mended[:-2]) + mended[-2:]
            for attempt in (mended, rest):
                match = _NUMBER_AND_UNIT.match(attempt)
                if match and match[2] in UNIT_BY_SUFFIX:
                    return f"{text} has the letter {letter} in a number: the digit {_LOOKS_LIKE_DIGIT[letter]}?"
    if re.fullmatch(r"\d+(\.\d+)?", text):
        return f"{text} has no unit; a {measures} is written like {example(measures)}"
    return f"{text} is not a {measures}; write it like {example(measures)}"
