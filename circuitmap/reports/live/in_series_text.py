"""Loads that carry current through one another: which way it takes, as far as few ways tell."""

from circuitmap.power.doubts import Doubt
from circuitmap.power.perhaps import Perhaps
from circuitmap.power.series_ways import series_ways
from circuitmap.reports.words.paragraphs import joined, listed, shortened_or
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.platform import Platform

_MOST_OTHERS = 20
_MOST_WAYS = 3
_MOST_BESIDE = 6


def in_series_lines(platform: Platform, perhaps: Perhaps, width: int) -> list[str]:
    rows = [(named(platform, name), _through(perhaps, name, doubt)) for name, doubt in perhaps.in_series.items()]
    return listed(f"IN SERIES  {len(rows)}: current through one another, less than alone", rows, width)


def _through(perhaps: Perhaps, name: str, doubt: Doubt) -> str:
    """`through E8, then E5 or E6`, the loads of each way in the order of the current, without the load itself."""
    found = series_ways(perhaps.seen[name], name, _MOST_WAYS)
    if not found.ways:
        return f"through {_others(name, doubt)}"
    ways = [", then ".join(shortened_or(group, _MOST_BESIDE) for group in way) for way in found.ways]
    return f"through {'; or '.join(ways)}{'; and in other ways' if found.more else ''}"


def _others(name: str, doubt: Doubt) -> str:
    """The loads that a load is in series with; many are only counted."""
    first = [other for other in doubt.together[: _MOST_OTHERS + 2] if other != name]
    more = len(doubt.together) - 1 - len(first)
    return f"{', '.join(first)} and {more} more" if more > 0 else joined(first)
