"""What is said after mending: repaired, not repaired, or not yet shown and why; and what is still out."""

from circuitmap.evidence.readings import Reading
from circuitmap.jobs.after_mending import NIGHT_MINUTES, AfterMending
from circuitmap.jobs.standing import JobStanding
from circuitmap.reports.words.limit_words import (
    ampere_words,
    hours_words,
    limit_words,
    meter_words,
    off_words,
    shown_words,
)
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.platform import Platform

_WHY_NOT_SHOWN = {
    "short": "The log of {long} is too short: 8 h at least.",
    "still-out": "The night's log does not count: by the card {out} was still out.",
    "elsewhere": "The night's log is of {place}: it drew at another place.",
    "charging": "During the night's log current ran into {place}: that says nothing of what is drawn.",
    "woken": "During the log the vehicle was open, by the card: that says nothing of the parked car.",
}


_WHY_NOBODY_CAN_TELL = {
    "nothing-before": "no draw was read before it was mended, so nobody knows what is gone",
    "not-locked": "that it was locked is not on the card",
    "no-time": "when it was last handled and locked, or when the log was written down, is not on the card",
    "no-room": "by the times on the card it had been locked and left alone for {room} when that was written down",
    "peak": "its peak of {peak} is the draw again, or much of it (it drew {drew})",
    "peak-unexplained": "its peak of {peak} is more than what wakes by itself explains ({explained} at the most)",
    "unread": "parts of the card could not be read",
}


def mended_headline(platform: Platform, standing: JobStanding) -> str:
    """The job in one line once something was mended."""
    after, reading = standing.after, standing.after.reading
    limit = limit_words(standing, reading.place if reading is not None else "")
    if standing.stage == "not-repaired" and reading is not None:
        less = after.drew is not None and reading.amps is not None and after.drew > reading.amps
        was = f" ({ampere_words(after.drew)} before)" if less else ""
        since = _since(platform, standing)
        return f"NOT REPAIRED: after mending {_seen(reading, standing)}{was}; the limit is {limit}.{since}"
    if standing.stage == "repaired" and reading is not None:
        off = meter_words(reading, standing.limits.at(reading.place))
        return f"REPAIRED: {_seen(reading, standing)}; the limit is {limit}.{off}"
    wanted = f"It is repaired when a night's log stays within {limit}."
    if standing.still_out:
        return f"MENDED, BUT STILL OUT by the card: {still_out_words(platform, standing)}. {wanted}"
    if after.outcome == "cannot-tell" and reading is not None and after.why:
        return f"MENDED, CAN'T TELL: {_seen(reading, standing)}, but {_nobody_can_tell(after)}. {wanted}"
    if after.outcome == "cannot-tell" and reading is not None:
        return (
            f"MENDED, CAN'T TELL WITH THIS METER: {_seen(reading, standing)}; the limit is {limit}, and the meter can "
            f"be off {off_words(reading)}."
        )
    return f"MENDED, NOT YET SHOWN. {wanted}{_why(platform, reading, after.why)}"


def _since(platform: Platform, standing: JobStanding) -> str:
    one = standing.in_hand
    if one is None:
        return ""
    its = joined([named(platform, name) for name in one.out])
    return f" {'Proven' if one.verdict == 'proven' else 'Involved, not yet guilty'} since then: {its}."


def still_out_words(platform: Platform, standing: JobStanding) -> str:
    return joined([named(platform, name) for name in standing.still_out])


def _nobody_can_tell(after: AfterMending) -> str:
    log = after.reading.log if after.reading is not None else None
    return _WHY_NOBODY_CAN_TELL[after.why].format(
        room=hours_words(max(0.0, log.room or 0.0)) if log is not None else "",
        peak=ampere_words(log.peak) if log is not None else "",
        drew=ampere_words(after.drew), explained=ampere_words(after.explained),
    )  # fmt: skip


def _why(platform: Platform, reading: Reading | None, why: str) -> str:
    if reading is None or why not in _WHY_NOT_SHOWN:
        return ""
    minutes = reading.log.duration or 0.0 if reading.log is not None else 0.0
    out = joined([named(platform, name) for name in reading.without])
    return " " + _WHY_NOT_SHOWN[why].format(long=hours_words(minutes), out=out, place=reading.place)


def _seen(reading: Reading, standing: JobStanding) -> str:
    """`a night's log (14 h) has a mean of 0.04 A`, `BAT still draws 0.50 A`."""
    amps = shown_words(reading, standing.limits.at(reading.place))
    without = f", with {joined(reading.without)} still out" if reading.without else ""
    if reading.log is None:
        return f"{reading.place} still draws {amps}{without}"
    minutes = reading.log.duration or 0.0
    noun = "a night's log" if minutes >= NIGHT_MINUTES else "a log"
    known = [hours_words(minutes)] if minutes else []
    known += [reading.log.night.file] if reading.log.night is not None else []
    long = f" ({', '.join(known)})" if known else ""
    return f"{noun}{long} at {reading.place} has a mean of {amps}{without}"
