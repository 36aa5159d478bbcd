"""How much resistance a sound wire, plug, fuse or contact has: from, usually, to; each with where the figure is from.

Sources: IEC 60228 class 5, plain copper, largest milliohms per metre at 20 C (seen); ISO 6722-1:2011 (memory);
ASTM B258 for American gauges, with 17.241 nanoohm metres for annealed copper, IEC 60028 (seen); fuses: see
`evidence/fuse_drop.py`. Everything else is judgement, and says so.
"""

from collections.abc import Mapping
from typing import Literal, NamedTuple

from circuitmap.evidence.fuse_drop import cold_resistance
from circuitmap.quantities import Band, cross_section_of_gauge

OhmMark = Literal["seen", "copy", "memory", "derived", "judgement", "typed"]

COPPER = 17.241
"""Annealed copper at 20 C in milliohms times square millimetres per metre (IEC 60028, seen)."""
PER_KELVIN = 3.93e-3
"""Its temperature coefficient of resistance at 20 C (IEC 60028, seen)."""

CLASS_5: Mapping[float, float] = {
    0.5: 39.0, 0.75: 26.0, 1: 19.5, 1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91, 16: 1.21, 25: 0.780, 35: 0.554,
    50: 0.386, 70: 0.272, 95: 0.206, 120: 0.161,
}  # fmt: skip
"""mm2 -> milliohms per metre at 20 C, IEC 60228 (seen)."""
VEHICLE_CABLE: Mapping[float, float] = {
    0.13: 136, 0.22: 84.8, 0.35: 54.4, 1.25: 14.9, 2: 9.42, 3: 6.15, 5: 3.94, 8: 2.38, 12: 1.52, 20: 0.955, 30: 0.647,
    40: 0.473, 60: 0.315,
}  # fmt: skip
"""The sizes that only ISO 6722-1:2011 has (memory)."""
_NOMINAL = 0.01
_GAUGES = range(-3, 31)


class OhmBand(NamedTuple):
    """Ohms of something sound: the least, what is usual, the most, and where the figures come from."""

    low: float
    usual: float
    high: float
    mark: OhmMark
    source: str


class PerMetre(NamedTuple):
    """Milliohms of one metre at 20 C."""

    milliohms: float
    mark: OhmMark
    source: str


def per_metre(size: float) -> PerMetre:
    """The resistance of one metre of copper of so many square millimetres, at 20 C."""
    for table, mark, source in (
        (CLASS_5, "seen", "IEC 60228 class 5"),
        (VEHICLE_CABLE, "memory", "ISO 6722-1"),
    ):
        for listed, milliohms in table.items():
            if abs(size - listed) <= _NOMINAL * listed:
                return PerMetre(milliohms, "seen" if mark == "seen" else "memory", source)
    for gauge in _GAUGES:
        exact = cross_section_of_gauge(gauge)
        if abs(size - exact) <= _NOMINAL * exact:
            return PerMetre(COPPER / exact, "seen", "ASTM B258")
    return PerMetre(COPPER * _STRANDED / size, "derived", "copper, stranded")


_STRANDED = 1.12
"""What a stranded wire has more than its nominal copper (derived: the mean of the class 5 row)."""


def at_temperature(milliohms: float, celsius: float) -> float:
    """What a resistance at 20 C is at another temperature."""
    return milliohms * (1 + PER_KELVIN * (celsius - 20))


LENGTHS = Band(0.3, 5.0)
"""How long a wire is, in metres, of which nobody said it (judgement)."""
_USUAL_LENGTH = 1.5
_TYPED_LENGTH = 0.1
_COLDEST, _WARMEST = -10.0, 60.0
_CRIMP = (0.00005, 0.0002, 0.001)
"""One crimp of a wire, in ohms (judgement)."""


def wire_ohms(size: float, length: Band | None) -> OhmBand:
    """A wire with its two crimps, anywhere between a frosty yard and a warm engine."""
    metre = per_metre(size)
    lengths = length or LENGTHS
    slack = 1 + (_TYPED_LENGTH if length is not None else 0)
    usual = length.middle if length is not None else _USUAL_LENGTH
    cold, hot = (at_temperature(metre.milliohms, celsius) / 1000 for celsius in (_COLDEST, _WARMEST))
    said = f"{length_words(length)}, {size:.3g} mm2: {metre.source}" if length else f"{size:.3g} mm2: {metre.source}"
    if length is None:
        said += f"; {LENGTHS.low:g} to {LENGTHS.high:g} m assumed"
    return OhmBand(
        cold * lengths.low / slack + 2 * _CRIMP[0],
        metre.milliohms / 1000 * usual + 2 * _CRIMP[1],
        hot * lengths.high * slack + 2 * _CRIMP[2],
        metre.mark if length is not None else "judgement",
        said,
    )


def length_words(length: Band) -> str:
    """`2.4 m`, `2 to 3 m`."""
    return f"{length.low:g} m" if length.low == length.high else f"{length.low:g} to {length.high:g} m"


def _judged(low: float, usual: float, high: float, what: str) -> OhmBand:
    return OhmBand(low, usual, high, "judgement", what)


SoundThing = Literal[
    "tracks", "cavity", "ring", "joint", "relay contact", "switch contact",
    "output", "breaker", "fusible", "battery inside", "converter inside", "dropping", "shunt", "undrawn",
]  # fmt: skip
SOUND: Mapping[SoundThing, OhmBand] = {
    "tracks": _judged(0.0001, 0.0005, 0.002, "tracks inside a box"),
    "cavity": _judged(0.0005, 0.0015, 0.005, "a plug's cavity"),
    "ring": _judged(0.0003, 0.001, 0.005, "a ring and the body"),
    "joint": _judged(0.00005, 0.0002, 0.001, "a joint inside"),
    "relay contact": _judged(0.002, 0.008, 0.05, "a relay's contact"),
    "switch contact": _judged(0.002, 0.02, 0.1, "a switch's contact"),
    "output": _judged(0.005, 0.02, 0.1, "a module's output"),
    "breaker": _judged(0.002, 0.01, 0.05, "a circuit breaker"),
    "fusible": _judged(0.0003, 0.001, 0.005, "a fusible link"),
    "battery inside": _judged(0.004, 0.006, 0.012, "a 12 V battery inside"),
    "converter inside": _judged(0.005, 0.02, 0.1, "a converter inside"),
    "dropping": _judged(0.2, 0.8, 3.0, "a resistor of which no ohms are typed"),
    "shunt": _judged(0.00005, 0.0001, 0.001, "a sensor in the battery's cable"),
    "undrawn": _judged(0.002, 0.02, 0.2, "a way that nobody typed in"),
}
"""What everything but wires and fuses has while it is sound: the least, what is usual, the most (judgement)."""
THICK_CABLE = 25.0
"""mm2 of a cable of which no size is typed and before which there is no fuse (judgement)."""

_COLDER, _WARMER = 0.8, 1.7
"""Make to make 12 % each way and some cold; at its rated current a fuse has 1.3 to 1.7 times its cold resistance (see
`evidence/fuse_drop.py`: derived)."""


def fuse_ohms(style: str, rating: float | None) -> OhmBand:
    """A fuse element with its two blades in their clips."""
    known = cold_resistance(style, rating)
    blades = 2 * 0.0005
    if known is None:
        if rating is None:
            return _judged(0.0003, 0.002, 0.03, "a fuse of which no rating is typed")
        cold = 0.12 * rating**-1.2  # as a regular blade fuse; a bolted one has less
        return _judged(cold * 0.3, cold, cold * 2 + blades, "a fuse of this rating, style not known")
    cold = known.milliohms / 1000
    mark: OhmMark = "copy" if known.mark == "copy" else "derived"
    return OhmBand(
        cold * _COLDER, cold * 1.1 + blades / 3, cold * _WARMER + blades, mark, "cold resistance of the fuse"
    )
