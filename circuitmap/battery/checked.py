"""What the checks of a battery say: its volts at rest, its volts while it is charged, the result of its test.

The volts are those of a 12 V lead-acid battery; two in series show twice as much.
"""

from typing import Literal

from circuitmap.battery.charge import Chemistry, state_of_charge
from circuitmap.quantities import Band

Says = Literal["full", "not-full", "empty", "says-nothing", "charged", "not-charged", "overcharged", "passed", "failed"]

FULL_AT_REST = 12.5
"""Volts at rest from which on a wet battery is taken for charged, and below which it is not (common practice, no
source)."""
ONE_CELL_LESS = 10.5
"""Volts at rest of a full battery with one cell of six shorted, or of an empty one (common practice, no source)."""
WHILE_CHARGED = Band(13.8, 14.8)
"""Volts of a battery that is being charged (common practice, no source; a car that steers its charging may show less
for a while)."""
TWO_IN_SERIES = 16.0
"""From these volts on, they are those of two in series (judgement: no 12 V battery is charged with more)."""


def of_one(volts: float) -> float:
    """The volts of one 12 V battery, where two in series were read as one."""
    return volts / 2.0 if volts > TWO_IN_SERIES else volts


def at_rest(volts: float, chemistry: Chemistry) -> tuple[Says, Band | None]:
    """What volts at rest say, and the charge they stand for, where volts say anything."""
    one = of_one(volts)
    charge = state_of_charge(one, chemistry)
    if chemistry == "lithium":
        return "says-nothing", None
    if one <= ONE_CELL_LESS:
        return "empty", charge
    return ("full" if one >= FULL_AT_REST else "not-full"), charge


def while_charging(volts: float) -> Says:
    one = of_one(volts)
    if one < WHILE_CHARGED.low:
        return "not-charged"
    return "overcharged" if one > WHILE_CHARGED.high else "charged"
