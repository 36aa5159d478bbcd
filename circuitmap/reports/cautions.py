"""Cautions, shown at the step where the work can hurt somebody.

All are common practice of the trade, no source, unless a line says otherwise; they never replace the vehicle maker's
procedure, local rules and licensed practice.
"""

from typing import NamedTuple


class Caution(NamedTuple):
    """`steps` are the kinds of work that it belongs to."""

    steps: frozenset[str]
    text: str


def _at(*steps: str) -> frozenset[str]:
    return frozenset(steps)


CAUTIONS = (
    Caution(
        _at("measure", "unplug", "battery", "relay"),
        "The maker's procedure, local rules and licensed practice come first.",
    ),
    Caution(
        _at("measure", "unplug", "relay"),
        "Airbags, belt tensioners and orange (high-voltage) cables: nothing here gives authority to unplug, probe or "
        "measure them. No ohmmeter and no test lamp on their circuits.",
    ),
    Caution(
        _at("measure"),
        "Meter in series: 10 A range, never mA; make and break with a fused jumper; never crank; no big loads.",
    ),
    Caution(
        _at("measure", "relay"),
        "Never bridge a fuse, never fit a bigger one.",
    ),
    Caution(
        _at("measure", "battery"),
        "Battery: no sparks, no flames, air the place, protect the eyes. A frozen battery is neither charged nor "
        "jump-started. Do not disconnect it first: that erases the fault.",
    ),
    Caution(
        _at("measure"),
        "Brake on; fans may start. Secure trailer, lift and air springs first.",
    ),
    Caution(
        _at("measure"),
        "Open a hand-closed latch before you shut the door; keys outside, a window down.",
    ),
    Caution(_at("unplug"), "Load off before a connector is parted; write the reading down before it is fitted again."),
)
HIGHER_VOLTAGE = Caution(
    _at("measure"), "{volts:g} V: the meter and every fuse and jumper used must be rated for it (58 V types)."
)
SEVERAL_BATTERIES = Caution(
    _at("battery", "measure"),
    "More than one battery, solar or mains hook-up: one ground lead off does not make the vehicle dead.",
)


def cautions_at(step: str, volts: float = 12.0, batteries: int = 1) -> tuple[str, ...]:
    """The cautions that belong to a step (`measure`, `unplug`, `relay`, `battery`) on a vehicle of this voltage."""
    chosen = [caution.text for caution in CAUTIONS if step in caution.steps]
    if volts > 16 and step in HIGHER_VOLTAGE.steps:
        chosen.append(HIGHER_VOLTAGE.text.format(volts=volts))
    if batteries > 1 and step in SEVERAL_BATTERIES.steps:
        chosen.append(SEVERAL_BATTERIES.text)
    return tuple(chosen)
