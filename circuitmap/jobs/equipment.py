"""Checks what a card about to be written says of the vehicle's equipment: does this platform have such a thing?"""

from collections.abc import Iterable

from circuitmap.failures import WrongUse
from circuitmap.wiring.names import find_part
from circuitmap.wiring.platform import Platform


def known_equipment(platform: Platform, fitted: Iterable[str], absent: Iterable[str]) -> None:
    """Raises WrongUse, with the platform's options, for what is neither an option nor a part of it."""
    for name in (*fitted, *absent):
        if name in platform.options:
            continue
        try:
            find_part(platform, name)
        except WrongUse as failure:
            options = ", ".join(platform.options) or "none is declared"
            advice = f"Options of this platform: {options}. {failure.advice}".strip()
            raise WrongUse(f"There is no equipment option and no part {name}.", advice) from None
