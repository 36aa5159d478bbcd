"""Numbers with units as the trade writes them: 20A, 400mA, 72Ah, 0.75mm2, 18awg, 15min, 300mA..400mA."""

import math
import re
from typing import NamedTuple


class Band(NamedTuple):
    """A value that is known to lie between two bounds, ends included; equal ends are an exact value.

    The unit is that of the field it stands in: amperes, volts, minutes, square millimetres, metres, ohms, watts.
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
    Unit("m", "length", 1.0, 0.01, 100.0),
    Unit("s", "time", 1 / 60, 0.0, 10_080.0),
    Unit("min", "time", 1.0, 0.0, 10_080.0),
    Unit("h", "time", 60.0, 0.0, 10_080.0),
    Unit("W", "power", 1.0, 0.0, 100_000.0),
    Unit("kW", "power", 1e3, 0.0, 100_000.0),
    Unit("ohm", "resistance", 1.0, 0.0, 1e9),
    Unit("kohm", "resistance", 1e3, 0.0, 1e9),
)
UNIT_BY_SUFFIX = {unit.suffix: unit for unit in UNITS}

UNITS_OF = {
    measures: tuple(unit.suffix for unit in UNITS if unit.measures == measures)
    for measures in dict.fromkeys(unit.measures for unit in UNITS)
}

_NUMBER_AND_UNIT = re.compile(r"(\d+(?:\.\d+)?)([A-Za-z]+2?)\Z", re.ASCII)
_MOST_DIGITS = 15


class QuantityError(ValueError):
    """A quantity that does not mean anything. The message is a sentence for the person who wrote it; `written` is what
    is wrong (one end of a range), `expected` what stands in its place, `suggestion` what was probably meant."""

    def __init__(self, message: str, written: str, expected: str, suggestion: str = "") -> None:
        super().__init__(message)
        self.written = written
        self.expected = expected
        self.suggestion = suggestion


def read_quantity(text: str, measures: str) -> float:
    """The value of one quantity in the unit used inside (A, V, Ah, mm2, m, minutes, ohm, W; awg as its number).

    Raises QuantityError for letters among the digits, an unknown unit, a unit of something else, too many digits, or a
    value outside the range in which the unit is used here.
    """
    match = _NUMBER_AND_UNIT.match(text)
    if match is None or match[2] not in UNIT_BY_SUFFIX or _another_was_meant(match[2], measures):
        raise _what_is_wrong(text, measures)
    digits, suffix = match.groups()
    unit = UNIT_BY_SUFFIX[suffix]
    if unit.measures != measures:
        raise QuantityError(
            f"{text} is a {called(unit.measures)}, and a {called(measures)} stands here.", text, such_as(measures)
        )
    if len(digits.replace(".", "")) > _MOST_DIGITS:
        raise QuantityError(f"A number has at most {_MOST_DIGITS} digits.", text, such_as(measures))
    value = float(digits) * unit.factor
    if not unit.low <= value <= unit.high:
        raise QuantityError(f"{text} is out of range.", text, f"a {called(measures)} {bounds(unit)}")
    return value


def _another_was_meant(suffix: str, measures: str) -> bool:
    """Whether a unit of something else is how people write one of these: metres where minutes stand."""
    return suffix not in UNITS_OF[measures] and _UNIT_MEANT.get(suffix, "") in UNITS_OF[measures]


def read_band(text: str, measures: str) -> Band:
    """A quantity or a range of two, `300mA..400mA`; raises QuantityError as `read_quantity` does."""
    first, dots, second = text.partition("..")
    low = read_quantity(first, measures)
    high = read_quantity(second, measures) if dots else low
    if high < low:
        raise QuantityError(f"The range {text} runs downwards.", text, "the smaller value first", f"{second}..{first}")
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
        "power": "21W",
        "length": "2.4m",
    }[measures]


def called(measures: str) -> str:
    """What the trade calls a quantity of this kind."""
    return {"charge": "capacity", "gauge": "wire gauge"}.get(measures, measures)


def such_as(measures: str) -> str:
    return f"a {called(measures)} such as {example(measures)}"


def bounds(unit: Unit) -> str:
    return f"from {unit.low / unit.factor:g}{unit.suffix} to {unit.high / unit.factor:g}{unit.suffix}"


_LOOKS_LIKE_DIGIT = {"O": "0", "o": "0", "I": "1", "l": "1", "S": "5", "B": "8", "Z": "2"}
_NUMBER_WITH_LETTERS = re.compile(rf"([\d.{''.join(_LOOKS_LIKE_DIGIT)}]+?)({'|'.join(UNIT_BY_SUFFIX)})\Z", re.ASCII)
_NUMBER_AND_REST = re.compile(r"(\d+(?:\.\d+)?)([A-Za-z]+2?)?\Z", re.ASCII)

# How people write units without thinking about it.
_UNIT_MEANT = {
    "amp": "A", "amps": "A", "ampere": "A", "milliamp": "mA", "milliamps": "mA", "ma": "mA", "ua": "uA",
    "ah": "Ah", "volt": "V", "volts": "V", "mv": "mV", "mm": "mm2", "qmm": "mm2", "mmq": "mm2", "sqmm": "mm2",
    "sec": "s", "m": "min", "mins": "min", "minutes": "min", "hr": "h", "hours": "h", "ohms": "ohm", "r": "ohm",
    "k": "kohm", "kohms": "kohm",
}  # fmt: skip


def with_digits(text: str, measures: str = "") -> str:
    """`10A` for `1OA`: a quantity whose number has letters that look like digits, mended; empty when it is not one."""
    match = _NUMBER_WITH_LETTERS.match(text)
    if not match or not any(letter in match[1] for letter in _LOOKS_LIKE_DIGIT):
        return ""
    mended = "".join(_LOOKS_LIKE_DIGIT.get(character, character) for character in match[1]) + match[2]
    right = _NUMBER_AND_UNIT.match(mended) and measures in ("", UNIT_BY_SUFFIX[match[2]].measures)
    return mended if right else ""


def letter_among_digits(text: str) -> str:
    """The first character of a quantity that should be a digit and is a letter that looks like one."""
    return next(letter for letter in text if letter in _LOOKS_LIKE_DIGIT)


def _what_is_wrong(text: str, measures: str) -> QuantityError:
    expected = such_as(measures)
    mended = with_digits(text, measures)
    if mended:
        return QuantityError(
            f"{text} has the letter {letter_among_digits(text)} in its number.", text, expected, mended
        )
    match = _NUMBER_AND_REST.match(text)
    if match is None:
        return QuantityError(f"{text} is not a {called(measures)}.", text, expected)
    digits, suffix = match.groups()
    if not suffix:
        return QuantityError(f"{text} has no unit.", text, expected)
    folded = suffix.lower()
    meant = _UNIT_MEANT.get(folded, "") or next((s for s in UNITS_OF[measures] if s.lower() == folded), "")
    suggestion = digits + meant if meant in UNITS_OF[measures] else ""
    return QuantityError(f"{text} has a unit that is not known: {suffix}.", text, expected, suggestion)
