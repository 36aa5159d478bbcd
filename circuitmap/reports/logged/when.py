"""Times of a recording as words: by the clock where the file says it, else from the first sample on."""

from datetime import datetime, timedelta

from circuitmap.recording.recorded import Recording

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


def time_words(seconds: float) -> str:
    """`0.6 s`, `95 s`, `12 min`, `12 min 30 s`, `4 h 20 min`."""
    if seconds < 100:
        return f"{float(f'{seconds:.3g}'):g} s"
    whole = round(seconds)
    if whole < 2 * 3600:
        minutes, rest = divmod(whole, 60)
        if minutes >= 60 and not rest and not minutes % 60:
            return f"{minutes // 60} h"
        return f"{minutes} min {rest} s" if rest else f"{minutes} min"
    hours, minutes = divmod(round(whole / 60), 60)
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"


def amps_words(amps: float) -> str:
    """`0.46 A`, `0.0240 A`: three digits where they matter, never less than a milliampere's place."""
    size = abs(amps)
    if size >= 10:
        return f"{amps:.1f} A"
    return f"{amps:.2f} A" if size >= 1 else f"{amps:.3f} A"
