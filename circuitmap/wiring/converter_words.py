"""The volts that a converter makes, where only its words say so: `converter 24 to 12 V`."""

import re

from circuitmap.wiring.platform import Output, Platform

_FROM_TO = re.compile(r"\b(\d+(?:\.\d+)?) ?V? ?(?:to|/|->) ?(\d+(?:\.\d+)?) ?V\b", re.IGNORECASE)
_SAME = 0.2
"""A battery's nominal volts and what charges it, 12 and 14 V, are no further apart than this share (judgement)."""


def volts_in_words(platform: Platform, output: Output) -> float:
    """What an output makes by the words of its module, in V; 0 where its volts are typed, or no such words are there,
    or they come to about the platform's own."""
    module = platform.parts.get(output.module)
    if module is None or output.volts or output.action != "feeds":
        return 0.0
    said = _FROM_TO.search(module.description)
    if said is None:
        return 0.0
    volts = float(said[2])
    return volts if abs(volts - platform.supply_volts) > _SAME * platform.supply_volts else 0.0
