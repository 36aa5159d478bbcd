"""Something was unplugged, pulled or opened: the current before and after, and how long the wait was."""

from dataclasses import dataclass

from circuitmap.evidence.readings import Reading
from circuitmap.source import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """`out` are the parts that were unplugged, pulled or opened together. `before` and `after` were read at one place;
    without `before`, the latest reading there stands in. `waited`: minutes; None if not said.

    `back`: what was read at the place once everything was in again. Where a reading was told in words alone
    (`Reading.change`), it is of the draw as it was before. `turned` are those of `out` that were not taken out:
    switches, with the position that they were turned to.
    """

    out: tuple[str, ...]
    after: Reading
    before: Reading | None = None
    waited: float | None = None
    back: Reading | None = None
    turned: tuple[tuple[str, str], ...] = ()
    written: str = ""
    span: Span | None = None

    @property
    def fell(self) -> bool:
        """Whether the current went down with it out, by the figures or by what was said."""
        return has_fallen(self.before, self.after)

    @property
    def came_back(self) -> bool | None:
        """Whether what went was there again once everything was in; None where nobody looked."""
        if self.back is None:
            return None
        if self.back.change:
            return self.back.change == "again"
        if self.back.amps is None:
            return None
        if self.after.change:
            was = self.before.amps if self.before is not None else None
            return was is None or self.back.amps >= BACK_SHARE * was
        before = self.before.amps if self.before is not None else None
        if before is None or self.after.amps is None:
            return None
        return self.back.amps - self.after.amps >= BACK_SHARE * (before - self.after.amps)


LEAST_SHARE, LEAST_STEPS = 0.20, 3
"""A current has gone down when it fell by at least a fifth and three display steps (judgement)."""
BACK_SHARE = 0.5
"""The draw is back when at least half of what went is there again (judgement)."""


def has_fallen(before: Reading | None, after: Reading) -> bool:
    """Whether the current has fallen by more than the meter and its zero could make up, or somebody said so."""
    if after.change:
        return after.change in ("gone", "less")
    if before is None or before.amps is None or after.amps is None:
        return False
    fall = before.amps - after.amps
    return fall >= LEAST_SHARE * abs(before.amps) and fall >= least_seen(before, after) - 1e-12


def least_seen(before: Reading, after: Reading) -> float:
    """The least fall in A that these meters can show."""
    zero = 0.0 if before.meter.name == after.meter.name else 2.0 * (before.zero + after.zero)
    step = max(before.meter.step, after.meter.step) if before.drop is None else 2.0 * before.half_step
    return LEAST_STEPS * step + zero


def too_early(waited: float | None, period: float | None) -> bool:
    """After a try, a draw that comes and goes is not gone until three periods have passed without it."""
    return period is not None and (waited is None or waited < 3.0 * period)
