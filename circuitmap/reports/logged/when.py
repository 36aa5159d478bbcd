"""Times of a recording as words: by the clock where the file says it, else from the first sample on."""

from datetime import datetime, timedelta

from circuitmap.recording.recorded import Recording
from circuitmap.reports.words.lasting_words import time_words

_YEAR_ONE = datetime(1, 1, 1)


def clock_at(recording: Recording, seconds: float, *, day: bool = False, finer: bool = False) -> str:
    """`18:05:00`, `11 Feb 2031 18:05:00` with `day`, or `12 min 30 s in` where no time of day is known."""
    if recording.began is None:
        return f"{time_words(seconds)} in"
    moment = _YEAR_ONE + timedelta(seconds=round(recording.began + seconds, 3))
    if not finer and moment.microsecond:
        moment = (moment + timedelta(microseconds=500_000)).replace(microsecond=0)
    clock = f"{moment:%H:%M:%S}"
    if finer and moment.microsecond:
        clock += f".{moment.microsecond // 1000:03d}"
    if day and recording.day_known:
        return f"{moment.day} {moment:%b %Y} {clock}"
    return clock


def iso_at(recording: Recording, seconds: float) -> str | None:
    """The same for programs; only the time of day where the day is not known, None where neither is."""
    if recording.began is None:
        return None
    moment = _YEAR_ONE + timedelta(seconds=round(recording.began + seconds, 3))
    return moment.isoformat(timespec="milliseconds")[0 if recording.day_known else 11 :]
