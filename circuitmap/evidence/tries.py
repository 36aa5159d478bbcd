"""Something was unplugged, pulled or opened: the current before and after, and how long the wait was."""

from dataclasses import dataclass

from circuitmap.evidence.readings import Reading
from circuitmap.source import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """`out` are the parts that were unplugged, pulled or opened together. `before` and `after` were read at one place;
    without `before`, the latest reading there stands in. `waited`: minutes; None if not said.

    `back`: what was read at the place once everything was in again.
    """

    out: tuple[str, ...]
    after: Reading
    before: Reading | None = None
    waited: float | None = None
    back: Reading | None = None
    written: str = ""
    span: Span | None = None


def too_early(waited: float | None, period: float | None) -> bool:
    """After a try, a draw that comes and goes is not gone until three periods have passed without it."""
    return period is not None and (waited is None or waited < 3.0 * period)
