"""The times of day of a card's entries, in words."""

from circuitmap.evidence.asleep import still_to_wait
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.job import Job, times_of
from circuitmap.quantities import Band


class Clock:
    """The times of day of the card's entries, used to say "wait until 10:42". `asleep_from` is the minute of the card's
    clock from which on all that is read speaks of the parked vehicle, so that one page names one time; None where the
    card does not say, or the vehicle is open. `is_whole`: all of the card was asked for that."""

    def __init__(
        self, times: dict[int, float] | None = None, asleep_from: float | None = None, is_whole: bool = False
    ) -> None:
        self._times = times or {}
        self._asleep_from, self._is_whole = asleep_from, is_whole

    def is_open(self, reading: Reading) -> bool:
        """Whether a vehicle that was read with a clock running stands open by now: nothing falls asleep."""
        return self._is_whole and reading.at is not None and self._asleep_from is None

    def sleeps_after(self, reading: Reading) -> bool:
        """Whether the card says from when on the vehicle sleeps, whatever it was when this was read."""
        return reading.at is not None and self._asleep_from is not None

    def still_to_wait(self, reading: Reading, sleep: Band) -> float:
        """How many minutes after a reading that came too early one at the same place counts."""
        return still_to_wait(reading, sleep, self._asleep_from)

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


def clock_of(job: Job) -> Clock:
    """The clock of a whole card."""
    return Clock(times_of(job.card), job.evidence.asleep_from, is_whole=True)
