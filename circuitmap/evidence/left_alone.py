"""Since when the vehicle had been locked, left alone and had time to settle, by the times on the card.

A log shows what a parked vehicle draws only as far as it lies after that. If the vehicle takes longer to fall asleep,
that is in the log and counts against it.
"""

from dataclasses import dataclass

from circuitmap.evidence.job_card import Entry
from circuitmap.quantities import Band

CLOCKS_APART = 15.0
"""Minutes by which the recorder's clock may be behind that of the card (judgement)."""
FIRST_DAY = 365 * 24 * 60.0
"""A minute of the card's clock before that is of a card that names no day."""


@dataclass
class LeftAlone:
    """`since` in minutes of the card's clock; None: the vehicle was not locked, or nobody knows when it was last
    handled."""

    sleep: Band
    since: float | None = None

    def entry(self, entry: Entry, now: float | None, is_open: bool) -> None:
        """What an entry made at `now` changes. Nobody knows when the things in an entry without a time were done."""
        state = entry.state.value if entry.state is not None else ""
        locked = state == "locked"
        handled = bool(
            state not in ("", "locked") or entry.out or entry.back or entry.mended is not None
            or entry.silent or entry.unsteady or entry.answers
        )  # fmt: skip
        if not locked and not handled:
            return
        if entry.at is None or now is None or is_open:
            self.since = None
        elif locked or self.since is not None:
            self.since = now + self.sleep.low

    def minutes(self, entry: Entry, now: float | None, ended: float | None = None) -> float | None:
        """How long the vehicle had been left alone when an entry was made; None: the card does not say. `ended` is the
        minute at which a log of that entry ended by the recorder's own clock: a log of an earlier night, written down
        now, is none of the vehicle as it is. Days are compared only if the card has them, too."""
        if entry.at is None or now is None or self.since is None:
            return None
        if ended is not None and now >= FIRST_DAY:
            return min(now, ended + CLOCKS_APART) - self.since
        return now - self.since
