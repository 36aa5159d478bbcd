"""Currents, times and the limit as a verdict words them."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from circuitmap.evidence.changes_seen import Change, is_change, written_change
from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.against_limit import could_be_above, held_amps, tolerance
from circuitmap.reports.words.paragraphs import joined, shortened

if TYPE_CHECKING:
    from circuitmap.jobs.standing import JobStanding

LEAST_TOLD = 0.005
"""In A: what rounds to nothing is not told."""


FINE_STEP, SMALL = 0.005, 0.0995
"""In A: a meter with a display step below the first is told with a third digit, where the current is below the second:
else a draw of one milliampere and none look alike."""


def is_fine(reading: Reading | None) -> bool:
    """Whether a reading was taken in milliamperes."""
    return reading is not None and reading.resistance is None and reading.meter.step < FINE_STEP


def ampere_words(value: float | None, fine: bool = False) -> str:
    """Amperes with two digits after the point, or with three where they are few and the meter shows them; where no
    current is known, it says so."""
    if value is None:
        return "no current known"
    return f"{value:.3f} A" if fine and abs(value) < SMALL else f"{value:.2f} A"


CHANGE_WORDS: Mapping[Change, str] = {
    "gone": "gone", "less": "less", "no change": "no change", "again": "there again",
}  # fmt: skip
"""What became of the draw, where no figure was written down."""


def figure_words(value: float | Change | None, fine: bool = False) -> str:
    """Amperes, or what was said of them."""
    return CHANGE_WORDS[value] if isinstance(value, str) else ampere_words(value, fine)


def change_words(written: str) -> str:
    """A change as it stands on the card, in these words where it is one of them."""
    return CHANGE_WORDS[written_change(written)] if is_change(written) else written


def hours_words(minutes: float) -> str:
    """`45 min`, `1 h`, `9 h 20 min`."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def how_long_words(log: Log) -> str:
    """`, by its times 14 h at the most`: the most that a log can have run of which nobody said it."""
    return f", by its times {hours_words(log.room)} at the most" if log.room is not None and log.room > 0.0 else ""


MOST_PARTS = 4
"""How many parts are told that take their own share; the others are counted together."""


def limit_words(standing: "JobStanding", place: str = "") -> str:
    """`0.05 A (this platform's)`, and what the vehicle takes by itself at a place where that is more."""
    limits = standing.limits
    whose = "this platform's" if limits.platform.limit is not None else "a usual one, not this vehicle's own"
    words = f"{limit_figure(limits.own)} ({whose})"
    known = limits.known_at(place)
    if known is None:
        return words
    stands = joined([f"{switch} at {position}" for switch, position in limits.stands])
    takes = [f"{part} {ampere_words(amps)}" for part, amps in known.parts if amps >= LEAST_TOLD]
    told = takes[:MOST_PARTS] + ([f"{len(takes) - MOST_PARTS} more"] if len(takes) > MOST_PARTS else [])
    fine = known.by_added > 0.0  # a few milliamperes beyond the limit: that is what it is about
    if fine:
        told.insert(0, f"{ampere_words(known.by_added, fine)} what was added ({shortened(known.added, MOST_PARTS)})")
    it = ampere_words(known.amps, fine)
    return f"{words}, but{f' with {stands}' if stands else ''} {it} is known: {joined(told)}"


def shown_words(reading: Reading, limit: float) -> str:
    """What is held against the limit; with a third digit where two digits would show both as equal."""
    amps = held_amps(reading)
    if amps is None:
        return ampere_words(None)
    return f"{amps:.3f} A" if amps > limit and f"{amps:.2f}" == f"{limit:.2f}" else ampere_words(amps, is_fine(reading))


def draws_words(reading: Reading, limit: float) -> str:
    """What is drawn: of a log the states that flowed first, its mean as what it is."""
    log = reading.log
    fine = is_fine(reading)
    if log is not None and log.floor_draws and log.two_draws:
        return (
            f"{ampere_words(log.floor, fine)} all the time, {ampere_words(log.up, fine)} at times, "
            f"{shown_words(reading, limit)} on average"
        )
    if log is None or log.state not in ("event", "stayed on", "ran on"):
        return shown_words(reading, limit)
    if log.state == "ran on":
        return f"{ampere_words(log.drew, fine)} long after it should have slept, {ampere_words(log.floor, fine)} then"
    if log.state == "stayed on":
        return f"{ampere_words(log.drew, fine)} since it came on, {ampere_words(log.floor, fine)} before"
    return f"{ampere_words(log.drew, fine)} at times, {ampere_words(log.floor, fine)} in between, " + (
        f"{shown_words(reading, limit)} on average"
    )


def meter_words(reading: Reading, limit: float) -> str:
    """` The meter can be off 0.07 A.` where a reading within the limit could be of a current above it, else empty."""
    return f" The meter can be off {off_words(reading)}." if could_be_above(reading, limit) else ""


def off_words(reading: Reading) -> str:
    """How far the meter can be off: `0.07 A`, `0.007 A`."""
    off = tolerance(reading)
    return f"{off:.2f} A" if off >= 0.01 else f"{off:.3f} A"


FINER_METER = "Read it again with a low-current clamp (to 1 mA), zeroed round nothing just before."
"""What is done where a display is too coarse for the limit (common practice, no source)."""


def limit_figure(limit: float) -> str:
    """`0.05 A`; with a third digit where the limit has one."""
    return f"{limit:.2f} A" if round(limit, 2) == round(limit, 4) else f"{limit:.3f} A"
