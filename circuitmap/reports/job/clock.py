"""The times of day of a card's entries, in words."""

from circuitmap.evidence.readings import Reading


class Clock:
    """The times of day of the card's entries, used to say "wait until 10:42"."""

    def __init__(self, times: dict[int, float] | None = None) -> None:
        self._times = times or {}

    def at(self, reading: Reading) -> str:
        """`10:42`; empty where the entry has no time."""
        at = self._times.get(reading.span.start) if reading.span is not None else None
        return "" if at is None else "{}:{:02d}".format(*divmod(round(at) % (24 * 60), 60))

    def has_passed(self, reading: Reading, wait: float) -> bool:
        """Whether a later entry was made so many minutes after a reading. Of days only the hour is known."""
        own = reading.span.start if reading.span is not None else -1
        at, passed = self._times.get(own), 0.0
        if at is None:
            return False
        for _, later in sorted(one for one in self._times.items() if one[0] > own):
            passed, at = passed + (later - at) % (24 * 60), later
        return passed >= wait

    def until(self, reading: Reading, wait: float) -> str:
        """`until 10:42`, or `20 min more` where the entry has no time."""
        at = self._times.get(reading.span.start) if reading.span is not None else None
        if at is None:
            return f"{wait:.0f} min more"
        hours, minutes = divmod(round(at + wait) % (24 * 60), 60)
        return f"until {hours}:{minutes:02d}"
