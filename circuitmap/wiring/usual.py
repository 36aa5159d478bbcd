"""What is assumed where a platform does not say: how long it takes to sleep, what it may draw, which voltage counts as
higher.

The one home of these figures; each says where it comes from.
"""

from circuitmap.quantities import Band
from circuitmap.wiring.parts import UNFUSED_KINDS
from circuitmap.wiring.platform import Platform

USUAL_SLEEP = Band(20.0, 60.0)
"""Minutes from locking to sleep of a vehicle about which nothing is said (workshop texts say 2 to 60; one hour is
general advice): asleep after an hour at the latest, settled 20 minutes after something was pulled or put back
(judgement)."""

USUAL_LIMIT = 0.050
"""The parked current in A that a vehicle is held to where its platform gives none: workshop texts of many vehicles
allow up to 50 mA, each for its own vehicle (seen; an example of practice, not this vehicle's figure)."""

HIGHER_VOLTS = 16.0
"""Nominal volts above which a meter, its fuses and jumpers must be made for more than a 12 V system (judgement: between
the 12 V and the 24 V systems, whose charging volts do not meet)."""

ARCING_VOLTS = 36.0
"""Nominal volts above which an arc does not go out by itself when a connector is parted (judgement: 48 V systems)."""


def sleep_of(platform: Platform) -> Band:
    """Minutes from locking: after `low` the vehicle may be asleep, after `high` it should be."""
    return platform.sleep if platform.sleep is not None else USUAL_SLEEP


def limit_of(platform: Platform) -> float:
    """The parked current in A that this vehicle is held to."""
    return platform.limit if platform.limit is not None else USUAL_LIMIT


def has_engine(platform: Platform) -> bool:
    """Whether an engine can run, as far as is typed in: not where something is driven by high voltage, and neither a
    starter nor an alternator is there."""
    parts = platform.parts.values()
    driven = any(part.hands_off == "high-voltage" for part in parts)
    return not driven or any(part.kind in UNFUSED_KINDS for part in parts)


def has_higher_voltage(platform: Platform) -> bool:
    """Whether 12 V tools are not enough: 24 V, 48 V."""
    return platform.supply_volts > HIGHER_VOLTS
