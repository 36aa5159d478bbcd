"""Something was unplugged, pulled or opened: the current before and after, and how long the wait was."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from math import prod
from typing import Literal

from circuitmap.evidence.readings import Reading
from circuitmap.source import Span

EventSeen = Literal["", "between", "came"]
"""What a look shows of a draw that comes and goes over a sound floor: it was made `between` two events, or in one that
`came`, as it began with all of it out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """`out` are the parts that were unplugged, pulled or opened together. `before` and `after` were read at one place;
    without `before`, the latest reading there stands in. `waited`: minutes; None if not said.

    `back`: what was read at the place once everything was in again. Where a reading was told in words alone
    (`Reading.change`), it is of the draw as it was before. `again`: that it is there again, said right after it was
    put in, of a vehicle that may just be waking; it counts where nothing wakes with it (`back` then, too). `turned`
    are those of `out` that were not taken out: switches, with the position that they were turned to. `ended`: the
    chance that what comes and goes had ended by itself when it was first read without them; None where nobody saw
    it up just before, or knows how long it is up. `missed`: of what keeps time, how many times it was due and did
    not come while they were out and watched; `enough`: the minutes for which they are to be out until two are.
    None: it keeps no time. `over_use`: the vehicle was used between `before` and `after`, and nobody saw the draw
    go before that: what is quiet then may be quiet for that use.
    """

    out: tuple[str, ...]
    after: Reading
    before: Reading | None = None
    waited: float | None = None
    back: Reading | None = None
    turned: tuple[tuple[str, str], ...] = ()
    ended: float | None = None
    missed: int = 0
    enough: float | None = None
    again: Reading | None = None
    over_use: bool = False
    event: EventSeen = ""
    written: str = ""
    span: Span | None = None

    @property
    def left(self) -> float | None:
        """What was left with it out, in A; of a draw of which somebody says that it was gone, nothing."""
        return 0.0 if self.after.change == "gone" else self.after.amps

    def is_going_on(self, out: tuple[str, ...], place: str) -> bool:
        """Whether just these parts are out in it, it is told by what is read at this place, and nothing is back yet."""
        return self.out == out and self.after.place == place and self.back is None and self.again is None

    @property
    def watched_for(self) -> float | None:
        """How many minutes it was out until it was read, or logged with it out; None if not said."""
        logged = self.after.log.duration if self.after.log is not None else None
        return max(self.waited or 0.0, logged) if logged is not None else self.waited

    @property
    def fell(self) -> bool:
        """Whether the current went down with it out, by the figures or by what was said."""
        return has_fallen(self.before, self.after)

    @property
    def took_a_part(self) -> bool:
        """Whether a smaller share went, which is still more than what flows wanders by. A vehicle that was not yet
        asleep before draws less by itself."""
        asleep = self.before is not None and self.before.speaks == "parked"
        return asleep and not self.fell and not self.after.change and has_fallen(self.before, self.after, LEAST_PART)

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

    @property
    def stayed_away(self) -> bool:
        """Whether what went with something out did not come back with all of it in again: it was reset, or went by
        itself."""
        all_in = self.back is not None and set(self.back.without).isdisjoint(self.out)
        return self.fell and self.came_back is False and all_in


def is_left_too_early(one: Try, limit: float, at_once: bool) -> bool:
    """Whether what is left in a try is more than `limit` (A), and may still be of what has not fallen asleep: then
    nobody knows yet whether something else draws. `at_once`: all that goes with what is out stops in that moment."""
    after = one.after
    may_fall = one.before is None or one.before.speaks != "parked" or not at_once
    if after.speaks == "parked" or not may_fall:
        return False
    return after.change == "less" if after.change else after.amps is not None and after.amps > limit


LEAST_SHARE, LEAST_STEPS = 0.20, 3
"""A current has gone down when it fell by at least a fifth and three display steps (judgement)."""
LEAST_PART = 0.05
"""Of two faults the smaller may take little of the current: a fall by this share, which the meter can show, is a part
of the draw. What flows wanders by less (judgement)."""
LEAST_GONE = 0.5
"""Share of the current from which on it is the draw itself that went with something out (judgement)."""
BACK_SHARE = 0.5
"""The draw is back when at least half of what went is there again (judgement)."""


def has_fallen(before: Reading | None, after: Reading, share: float = LEAST_SHARE) -> bool:
    """Whether the current has fallen by this share, and by more than the meter and its zero could make up; or somebody
    said so."""
    if after.change:
        return after.change in ("gone", "less")
    if before is None or before.amps is None or after.amps is None:
        return False
    fall = before.amps - after.amps
    return fall >= share * abs(before.amps) and fall >= least_seen(before, after) - 1e-12


def least_seen(before: Reading, after: Reading) -> float:
    """The least fall in A that these meters can show."""
    zero = 0.0 if before.meter.name == after.meter.name else 2.0 * (before.zero + after.zero)
    step = max(before.meter.step, after.meter.step) if before.drop is None else 2.0 * before.half_step
    return LEAST_STEPS * step + zero


def is_settled(out: Collection[str], tries: Iterable[Try], is_low: Callable[[Reading], bool]) -> bool:
    """Whether all that is out took its part of the draw and stays as it is, or was out for nothing, or nothing is out:
    what else was out can then be put back, and taken out again to prove it. `is_low` says whether a reading is as low
    as that of a sound vehicle: where it is not, something goes on beside what took the most."""
    own = [one for one in tries if set(one.out) == set(out)]
    if not out or (own and all(_was_for_nothing(one, is_low) for one in own)):
        return True
    return any(one.took_a_part or (one.fell and (bool(one.turned) or _goes_on(one, is_low))) for one in own)


def _was_for_nothing(one: Try, is_low: Callable[[Reading], bool]) -> bool:
    """Whether the draw went on undiminished in a try."""
    slept = one.after.speaks == "parked" and one.before is not None and not has_fallen(one.after, one.before)
    return slept and not one.fell and not one.took_a_part and _goes_on(one, is_low)


def _goes_on(one: Try, is_low: Callable[[Reading], bool]) -> bool:
    return one.after.amps is not None and not is_low(one.after)


def is_put_back(one: Try, out: Collection[str]) -> bool:
    """Whether something that was out in a try is in again, for the first time since."""
    return one.back is None and set(out) < set(one.out)


def is_tried_again(one: Try, tries: Iterable[Try]) -> bool:
    """Whether the same was taken out once more by a later try, and read at the same place."""
    return any(
        its is not one and its.out == one.out and its.after.place == one.after.place and _start(its) > _start(one)
        for its in tries
    )


def _start(one: Try) -> int:
    return one.span.start if one.span is not None else -1


def flowed_before(one: Try, readings: Sequence[Reading]) -> Reading | None:
    """What is held against what came back: what flowed before, and where not all was put back again, with all out that
    stayed out. None where nobody read that."""
    back, after = one.back, one.after
    if back is None or not back.without:
        return one.before
    start = after.span.start if after.span is not None else -1
    earlier = (its for its in readings if its.place == back.place and (its.span.start if its.span else -1) < start)
    return next((its for its in reversed(list(earlier)) if set(its.without) == set(back.without)), None)


SKIPS = 0.15
"""What keeps time fails to come once, when it is due, in so many cases; twice in a row hardly ever (judgement)."""
MISSED_ENOUGH = 2
PERIODS = 3.0
"""What comes and goes by no clock is out for so many periods until it surely would have come (judgement)."""
MOST_ENDED = 0.5
"""Where it is likelier than this that what comes and goes had ended by itself, a try says nothing yet (judgement)."""


def ended_by_itself(one: Try, period: float | None) -> float:
    """The chance that a draw which comes and goes went by itself and not with what was out: none once three periods
    have passed without it, or once it was due twice by the clock and did not come."""
    waited = one.watched_for
    if period is None or (waited is not None and waited >= PERIODS * period) or one.missed >= MISSED_ENOUGH:
        return 0.0
    ended = 1.0 if one.ended is None else one.ended
    return min(ended, SKIPS) if one.missed else ended


def periods_to_wait(one: Try, period: float) -> float:
    """How many minutes more it is to be out until nobody can say that it went by itself."""
    enough = PERIODS * period if one.enough is None else one.enough
    return max(0.0, enough - (one.watched_for or 0.0))


def too_early(one: Try, period: float | None) -> bool:
    """Whether nobody knows yet that a draw which comes and goes went with what was out."""
    return ended_by_itself(one, period) > MOST_ENDED


STILL_BY_CHANCE = 0.1
"""What may have ended by itself each time as likely as this goes once more before it is proven (judgement)."""


def ended_each_time(tries: Iterable[Try], period: float | None) -> float:
    """The chance that what comes and goes ended by itself each time that it went; 0 where it never went."""
    its = [ended_by_itself(one, period) for one in tries if one.fell]
    return prod(its) if its else 0.0


def is_still_by_chance(tries: Iterable[Try], period: float | None) -> bool:
    """Whether all that was seen to go may yet have ended by itself."""
    return ended_each_time(tries, period) > STILL_BY_CHANCE
