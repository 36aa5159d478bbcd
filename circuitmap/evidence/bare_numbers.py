"""A number without a unit: what is read at its place says which, or nobody knows and it is asked."""

from circuitmap.evidence.fuse_drop import NO_TEST_POINTS
from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import Battery, Fuse
from circuitmap.wiring.platform import Platform

VOLTS_OF_A_BATTERY = (0.4, 1.3)
"""A number between these shares of the nominal volts may be the volts of a battery, flat or on charge (judgement)."""
FINER_THAN_MILLIVOLTS = 2
"""From so many decimals on, a number at a fuse may as well be amperes: 0.46 (judgement)."""


def with_its_unit(platform: Platform, place: str, number: str) -> str:
    """A number read at a place, with the only unit that it can have; raises WrongUse where it may have two."""
    part, value = platform.parts.get(place), abs(float(number.replace("\u2212", "-")))
    if isinstance(part, Fuse) and part.kind != "link" and part.style not in NO_TEST_POINTS:
        decimals = len(number.partition(".")[2])
        too_much = part.rating is not None and value > part.rating
        if value and decimals >= FINER_THAN_MILLIVOLTS and not too_much:
            raise WrongUse(
                f"{number} at {place}: amperes, or millivolts across the fuse?",
                f"Write {place}={number}A or {place}={number}mV.",
            )
        return f"{number}mV"
    lowest, highest = (share * platform.supply_volts for share in VOLTS_OF_A_BATTERY)
    if (isinstance(part, Battery) or part is None) and lowest <= value <= highest:
        raise WrongUse(
            f"{number} at {place}: amperes, or its volts?", f"Write {place}={number}A, or battery rest {number}V."
        )
    return f"{number}A"


def unit_words(place: str, number: str, amount: str) -> str:
    """What was made of a number, to be told: it is never done in silence."""
    unit = amount.removeprefix(number)
    is_one_of = {"mV": "millivolts across the fuse", "A": "amperes", "V": "volts"}[unit]
    return f"{place} {number} has no unit: written down as {amount}, {is_one_of}."
