"""Currents, times and the limit as a verdict words them."""

from collections.abc import Mapping

from circuitmap.evidence.changes_seen import Change, is_change, written_change
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.against_limit import could_be_above, tolerance
from circuitmap.jobs.standing import JobStanding


def ampere_words(value: float | None) -> str:
    """Amperes with two digits after the point; where no current is known, it says so."""
    return "no current known" if value is None else f"{value:.2f} A"


CHANGE_WORDS: Mapping[Change, str] = {
    "gone": "gone", "less": "less", "no change": "no change", "again": "there again",
}  # fmt: skip
"""What became of the draw, where no figure was written down."""


def figure_words(value: float | Change | None) -> str:
    """Amperes, or what was said of them."""
    return CHANGE_WORDS[value] if isinstance(value, str) else ampere_words(value)


def change_words(written: str) -> str:
    """A change as it stands on the card, in these words where it is one of them."""
    return CHANGE_WORDS[written_change(written)] if is_change(written) else written


def hours_words(minutes: float) -> str:
    """`45 min`, `1 h`, `9 h 20 min`."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def limit_words(standing: JobStanding) -> str:
    """`0.05 A (this platform's)`."""
    whose = "this platform's" if standing.limit_is_the_platforms else "a usual one, not this vehicle's own"
    return f"{_beside(standing.limit)} ({whose})"


def shown_words(reading: Reading, limit: float) -> str:
    """What is held against the limit; with a third digit where two digits would show both as equal."""
    amps = reading.log.mean if reading.log is not None else reading.amps
    if amps is None:
        return ampere_words(None)
    return f"{amps:.3f} A" if amps > limit and f"{amps:.2f}" == f"{limit:.2f}" else ampere_words(amps)


def meter_words(reading: Reading, limit: float) -> str:
    """` The meter can be off 0.07 A.` where a reading within the limit could be of a current above it, else empty."""
    return f" The meter can be off {off_words(reading)}." if could_be_above(reading, limit) else ""


def off_words(reading: Reading) -> str:
    """How far the meter can be off: `0.07 A`, `0.007 A`."""
    off = tolerance(reading)
    return f"{off:.2f} A" if off >= 0.01 else f"{off:.3f} A"


def _beside(limit: float) -> str:
    return f"{limit:.2f} A" if round(limit, 2) == round(limit, 4) else f"{limit:.3f} A"
