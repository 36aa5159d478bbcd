"""Typical currents by kind of load, each with where the number comes from.

The lists that were seen are of cars from 1990 to 2023, each number for its own vehicle: examples of practice, no
limits. A value that is transcribed from the sheet always goes before these.
"""

from typing import Literal, NamedTuple

from circuitmap.quantities import Band

Mark = Literal["seen", "copy", "memory", "derived", "practice"]


class Typical(NamedTuple):
    """A current in amperes at 12 V, with its mark and source.

    `usual` is the median of what such a part takes and `sigma` how far it is spread (log-normal), where the diagnosis
    asks for them; both are judgement, beside the band, and 0 where nobody asks.
    """

    amps: Band
    mark: Mark
    source: str
    usual: float = 0.0
    sigma: float = 0.0


_WORKSHOP = "workshop texts on parked current, cars of 1990 to 2023"

ASLEEP_SEEN: tuple[tuple[str, Typical], ...] = (
    ("audio unit", Typical(Band(0.001, 0.007), "seen", _WORKSHOP)),
    ("body controller", Typical(Band(0.003, 0.005), "seen", _WORKSHOP)),
    ("powertrain controller", Typical(Band(0.001, 0.005), "seen", _WORKSHOP)),
    ("instrument cluster", Typical(Band(0.00044, 0.00044), "seen", _WORKSHOP)),
    ("climate control", Typical(Band(0.001, 0.001), "seen", _WORKSHOP)),
    ("anti-theft", Typical(Band(0.0004, 0.0004), "seen", _WORKSHOP)),
    ("key decoder", Typical(Band(0.00075, 0.00075), "seen", _WORKSHOP)),
)
"""Currents asleep, as they were listed; shown as examples where a value by kind is used."""

AWAKE_SEEN: tuple[tuple[str, Typical], ...] = (
    ("audio unit", Typical(Band(0.2, 0.2), "seen", _WORKSHOP)),
    ("body controller", Typical(Band(0.075, 0.25), "seen", _WORKSHOP)),
    ("transmission controller", Typical(Band(0.12, 0.12), "seen", _WORKSHOP)),
    ("door or seat module", Typical(Band(0.05, 0.15), "memory", "order of magnitude")),
    ("climate control", Typical(Band(0.1, 0.3), "memory", "order of magnitude")),
    ("telematics", Typical(Band(0.1, 0.3), "memory", "order of magnitude")),
    ("gateway", Typical(Band(0.1, 0.25), "memory", "order of magnitude")),
)


def _widest(listed: tuple[tuple[str, Typical], ...]) -> Band:
    """From the smallest to the largest value that was listed, in amperes."""
    return Band(min(its.amps.low for _, its in listed), max(its.amps.high for _, its in listed))


MODULE_ASLEEP = Typical(
    _widest(ASLEEP_SEEN), "derived", f"from the smallest to the largest of the {_WORKSHOP}", 0.0015, 1.2
)
MODULE_AWAKE = Typical(
    _widest(AWAKE_SEEN), "derived", f"from the smallest to the largest of {_WORKSHOP}, some from memory", 0.15, 1.05
)

CONSTANT_BY_KIND: dict[str, Typical] = {
    "alternator": Typical(Band(0.0, 0.005), "practice", "its regulator and diodes; over about 60 mA a diode leaks"),
    "starter": Typical(Band(0.0, 0.0), "practice", "an open contact"),
    "charger": Typical(Band(0.0, 0.01), "practice", "its display and regulator"),
    "socket": Typical(Band(0.0, 0.0), "practice", "nothing, unless something is plugged in"),
    "sensor": Typical(Band(0.001, 0.02), "practice", ""),
}
"""What a load takes that is fed when parked and is not turned off by any switch, modules excepted."""

RUNNING_BY_KIND: dict[str, Typical] = {
    "lamp": Typical(Band(0.1, 5.0), "practice", "1.2 W to 60 W", 0.5, 1.1),
    "motor": Typical(Band(0.5, 30.0), "practice", "", 2.0, 1.1),
    "heater": Typical(Band(1.0, 25.0), "practice", "", 5.0, 1.0),
    "solenoid": Typical(Band(0.3, 3.0), "practice", "", 0.8, 0.9),
    "starter": Typical(Band(60.0, 250.0), "practice", "cranking", 120.0, 0.6),
    "horn": Typical(Band(2.0, 8.0), "practice", "", 4.0, 0.7),
    "socket": Typical(Band(0.05, 10.0), "practice", "what is plugged in", 0.4, 1.4),
    "sensor": Typical(Band(0.001, 0.1), "practice", "", 0.02, 1.2),
    "charger": Typical(Band(0.05, 2.0), "practice", "backwards, at fault", 0.3, 1.3),
    "load": Typical(Band(0.01, 10.0), "practice", "", 0.5, 1.5),
    "module": Typical(Band(0.05, 5.0), "practice", "with what it feeds", 0.5, 1.3),
}
"""What a load takes that is switched on."""
HEADLAMP = Typical(Band(2.9, 5.5), "practice", "35 W to 65 W a filament at a terminal 56", 4.6, 0.15)
"""One filament of a headlamp: its terminals are 56, 56a (main) and 56b (dipped) by DIN 72552 (seen)."""
HEADLAMP_PINS = ("56", "56a", "56b")
RELAY_COIL = Typical(Band(0.09, 0.2), "practice", "60 to 130 ohm at 12 V", 0.14, 0.45)


def at_voltage(typical: Typical, volts: float) -> Typical:
    """The same power from another system: half the current at 24 V (derived)."""
    if volts == 12.0 or not typical.amps.high:
        return typical
    factor = 12.0 / volts
    return typical._replace(amps=Band(typical.amps.low * factor, typical.amps.high * factor), mark="derived")
