"""Which points were found on plus, and with what out their volts were read."""

from collections.abc import Iterable

from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform

NEAR_GROUND, NEAR_PLUS = 0.1, 0.7
"""Shares of the supply's volts below which a point is on ground, and above which it is on plus (judgement)."""


def points_on_plus(volts: Iterable[PinVolts], platform: Platform) -> dict[Terminal, tuple[frozenset[str], ...]]:
    """The points that were found on plus at least once, in name order, each with all that was ever out when its volts
    were read, plus or not."""
    outs: dict[Terminal, dict[tuple[str, ...], None]] = {}
    shown: set[Terminal] = set()
    for one in volts:
        outs.setdefault(one.pin, {})[tuple(sorted(one.without))] = None
        if one.volts >= NEAR_PLUS * platform.supply_volts:
            shown.add(one.pin)
    return {pin: tuple(frozenset(out) for out in sorted(outs[pin])) for pin in sorted(shown)}
