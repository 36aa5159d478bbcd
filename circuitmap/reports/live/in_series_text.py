"""Loads and coils that carry current through one another: how much, where that can be worked out, and which way it
takes, as far as few ways tell."""

from circuitmap.power.doubts import Doubt, in_series_with
from circuitmap.power.evaluate import Powered
from circuitmap.power.perhaps import Perhaps
from circuitmap.power.series_currents import InSeries, currents_in_series
from circuitmap.power.series_ways import series_ways
from circuitmap.quantities import Band
from circuitmap.reports.words.paragraphs import joined, listed, shortened_or
from circuitmap.reports.words.part_words import amps_band, named
from circuitmap.wiring.parts import Relay
from circuitmap.wiring.platform import Platform

_MOST_OTHERS = 20
_MOST_WAYS = 3
_MOST_BESIDE = 6


def in_series_lines(platform: Platform, powered: Powered, perhaps: Perhaps, width: int) -> list[str]:
    """Loads, then relays of which the current through their coil is not all their own."""
    rows = [(named(platform, name), _row(perhaps.seen[name], name, doubt)) for name, doubt in perhaps.in_series.items()]
    coils = [name for name in powered.in_series if isinstance(platform.parts[name], Relay)]
    rows += [
        (f"{named(platform, name)}, coil", _row(powered, name, Doubt("in series", in_series_with(powered, name))))
        for name in coils
    ]
    return listed(f"IN SERIES  {len(rows)}: current through one another, less than alone", rows, width)


def coil_in_series(powered: Powered, relay: str) -> str:
    """What is known of a coil that takes its current through a load or another coil; empty for any other."""
    its = next((its for its in currents_in_series(powered) if its.name == relay), None)
    if its is None:
        return ""
    if its.volts is not None:
        return f"{_amount(powered, its)} across its coil; by how much it pulls in is not typed in"
    return "coil in series with others, as above: how much comes to it is not known"


def _row(powered: Powered, name: str, doubt: Doubt) -> str:
    found = [its for its in currents_in_series(powered) if its.name == name]
    amounts = list(dict.fromkeys(_amount(powered, its) for its in found if its.volts is not None))
    amount = f"{joined(amounts)}; " if amounts else ""
    return f"{amount}{_through(powered, name, doubt)}"


def _amount(powered: Powered, its: InSeries) -> str:
    """`about 14.6 V of 24 V (49 mA)`."""
    amps = f" ({amps_band(Band(its.amps, its.amps))})" if its.amps is not None else ""
    return f"about {its.volts:.3g} V of {powered.circuit.platform.supply_volts:g} V{amps}"


def _through(powered: Powered, name: str, doubt: Doubt) -> str:
    """`through E8, then E5 or E6`, the loads of each way in the order of the current, without the load itself."""
    found = series_ways(powered, name, _MOST_WAYS)
    if not found.ways:
        return f"through {_others(name, doubt)}"
    ways = [", then ".join(shortened_or(group, _MOST_BESIDE) for group in way) for way in found.ways]
    return f"through {'; or '.join(ways)}{'; and in other ways' if found.more else ''}"


def _others(name: str, doubt: Doubt) -> str:
    """The loads that a load is in series with; many are only counted."""
    first = [other for other in doubt.together[: _MOST_OTHERS + 2] if other != name]
    more = len(doubt.together) - 1 - len(first)
    return f"{', '.join(first)} and {more} more" if more > 0 else joined(first)
