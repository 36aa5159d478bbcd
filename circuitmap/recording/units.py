"""In which unit? What a column's name, a cell or a preamble says about it."""

import re
from typing import NamedTuple


class WrittenUnit(NamedTuple):
    """A unit as recorders write it: what it measures, and the factor to ampere, volt, second."""

    measures: str
    factor: float


_MICRO = ("u", "µ", "μ")
UNITS: dict[str, WrittenUnit] = {
    "A": WrittenUnit("current", 1.0),
    "mA": WrittenUnit("current", 1e-3),
    **{f"{micro}A": WrittenUnit("current", 1e-6) for micro in _MICRO},
    "V": WrittenUnit("volts", 1.0),
    "mV": WrittenUnit("volts", 1e-3),
    **{f"{micro}V": WrittenUnit("volts", 1e-6) for micro in _MICRO},
    "Ah": WrittenUnit("charge", 1.0),
    "mAh": WrittenUnit("charge", 1e-3),
    "W": WrittenUnit("power", 1.0),
    "Wh": WrittenUnit("energy", 1.0),
    "°C": WrittenUnit("warmth", 1.0),
    "°F": WrittenUnit("warmth", 1.0),
    "C": WrittenUnit("warmth", 1.0),
    "F": WrittenUnit("warmth", 1.0),
    "%": WrittenUnit("share", 1.0),
    "us": WrittenUnit("time", 1e-6),
    "µs": WrittenUnit("time", 1e-6),
    "ms": WrittenUnit("time", 1e-3),
    "s": WrittenUnit("time", 1.0),
    "sec": WrittenUnit("time", 1.0),
    "min": WrittenUnit("time", 60.0),
    "h": WrittenUnit("time", 3600.0),
}
_WORDS = {
    "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "milliamp": "mA", "milliamps": "mA", "milliampere": "mA",
    "milliamperes": "mA", "microamps": "uA", "volt": "V", "volts": "V", "millivolt": "mV", "millivolts": "mV",
    "seconds": "s", "second": "s", "milliseconds": "ms", "minutes": "min", "hours": "h", "celsius": "°C",
}  # fmt: skip
_BARE = frozenset(_WORDS) | {"A", "mA", "uA", "µA", "μA", "V", "mV", "Ah", "mAh", "ms", "°C"}
_IN_BRACKETS = re.compile(r"[\[(]\s*([^\[\]()]{1,14}?)\s*[\])]")
_BEHIND_SLASH = re.compile(r"/\s*([^\s/]{1,14})\s*$")
_BEHIND_IN = re.compile(r"\bin\s+([^\s()\[\]]{1,14})")
_BETWEEN_WORDS = re.compile(r"[\s_,;:.()\[\]=+\-]+")
_CHANNEL = frozenset({"channel", "ch", "kanal", "canal", "probe", "input", "phase"})
_PER_AMPERE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(m?V)\s*(?:/|per)\s*A\b")


def known_unit(text: str) -> str:
    """The unit that `text` is, as it stands in `UNITS`; empty if it is none."""
    text = text.strip()
    return text if text in UNITS else _WORDS.get(text.lower(), "")


def unit_in_name(name: str) -> str:
    """The unit that a column's name ends in or holds, in brackets first; empty if it holds none."""
    for pattern in (_IN_BRACKETS, _BEHIND_SLASH, _BEHIND_IN):
        for match in pattern.finditer(name):
            if unit := known_unit(match[1]):
                return unit
    words = [word for word in _BETWEEN_WORDS.split(name) if word]
    for at, word in enumerate(words):
        if at and words[at - 1].lower() in _CHANNEL:
            continue
        # A lone A in front is an article; with nothing behind it, it is the unit.
        if (at or len(words) == 1) and (word in _BARE or word.lower() in _WORDS):
            return known_unit(word)
    return "s" if words[1:] and words[-1] == "s" else ""


def words_of(name: str) -> frozenset[str]:
    return frozenset(word.lower() for word in _BETWEEN_WORDS.split(name) if word)


def volts_per_ampere(text: str) -> float | None:
    """What `100mV/A` means, in volts for one ampere."""
    match = _PER_AMPERE.search(text)
    if match is None:
        return None
    volts = float(match[1].replace(",", ".")) * UNITS[match[2]].factor
    return volts if volts > 0.0 else None
