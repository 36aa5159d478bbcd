"""Two volts at rest of one battery, apart by a night in which nothing was done to the vehicle: how far they fell says
how much went out, by a draw or by the battery itself, with no meter in the battery's lead."""

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from circuitmap.evidence.job_card import Entry

A_NIGHT = 6.0 * 60.0
"""Minutes between two readings from which on a fall says something (judgement)."""
_DIGITS = re.compile(r"\d+[.,](\d+)")


class Stood(NamedTuple):
    """The `volts` at rest read before, `minutes` earlier, with everything connected since. `step`: the last digit of
    the two, in V; by so much their difference may be off (each is rounded by half of it; what else a meter is off, it
    is off twice, and that cancels)."""

    volts: float
    minutes: float
    step: float


@dataclass
class OverNight:
    """The first volts at rest of each battery since anything was done, with their minute and last digit."""

    rests: dict[str, tuple[float, float, float]] = field(default_factory=dict)

    def entry(self, entry: Entry, *, connected: bool) -> None:
        """What an entry does to a night: `locked` and `door shut` change nothing, all else that is done ends it, and so
        does a vehicle of which something is out."""
        state = entry.state.value if entry.state is not None else ""
        is_done = bool(
            state not in ("", "locked", "door shut") or entry.out or entry.back or entry.turned or entry.added
            or entry.mended is not None or entry.silent or entry.unsteady or entry.answers
        )  # fmt: skip
        if is_done or not connected:
            self.rests.clear()

    def stood(self, battery: str, volts: float, written: str, now: float | None) -> Stood | None:
        """The reading a night before, if there is one; else this one is the first of a night that may follow."""
        if now is None:
            return None
        digits = _DIGITS.search(written)
        step = 10.0 ** -len(digits[1]) if digits else 1.0
        before = self.rests.setdefault(battery, (volts, now, step))
        if now - before[1] < A_NIGHT:
            return None
        return Stood(before[0], now - before[1], max(step, before[2]))
