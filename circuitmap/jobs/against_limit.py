"""A current held against the limit, as far as the meter that was used can tell."""

from typing import Literal

from circuitmap.evidence.readings import Reading

Against = Literal["within", "cannot-tell", "above", "charging", "no-current"]
"""`within` by what the meter shows; `cannot-tell`: above, but by no more than the meter can be off, or on a display
that cannot show so little, so it proves nothing; `charging`: the current runs into the battery, which says nothing of
what is drawn."""


def tolerance(reading: Reading) -> float:
    """How far a reading may be off either way, in A: half its last digit, and twice its zero."""
    return reading.half_step + 2.0 * reading.zero


def held_amps(reading: Reading) -> float | None:
    """The current in A that is held against a limit: for a log its mean, that is what a battery loses; of what came on
    and stayed on, what flows since."""
    log = reading.log
    if log is None:
        return reading.amps
    return log.drew if log.state == "stayed on" else log.mean


def against_limit(reading: Reading, limit: float) -> Against:
    """How a reading stands to a limit in A."""
    amps = held_amps(reading)
    if amps is None:
        return "no-current"
    if amps < -tolerance(reading):
        return "charging"
    if amps <= limit + 1e-9:
        return "cannot-tell" if is_too_coarse(reading, limit) else "within"
    return "cannot-tell" if amps <= limit + tolerance(reading) + 1e-9 else "above"


def is_too_coarse(reading: Reading, limit: float) -> bool:
    """Whether one step of the meter's display is more than a limit: what is within it shows as nothing, and so may
    twice as much."""
    return reading.resistance is None and reading.drop is None and reading.meter.step > limit + 1e-9


def is_hidden_by_display(reading: Reading, limit: float) -> bool:
    """Whether a meter shows no more than a limit, on a display that could not show more than that."""
    return is_too_coarse(reading, limit) and (held_amps(reading) or 0.0) <= limit + 1e-9


def could_be_above(reading: Reading, limit: float) -> bool:
    """Whether a reading that shows a current within the limit could be of a current above it: the meter may be off that
    far."""
    amps = held_amps(reading)
    return amps is not None and amps + tolerance(reading) > limit
