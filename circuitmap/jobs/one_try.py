"""One try by itself: what the current before and with something out, and in again, amounts to."""

from collections.abc import Callable, Collection, Mapping
from typing import Literal

from circuitmap.evidence.asleep import still_to_wait
from circuitmap.evidence.own_share import OWN_SHARE, is_no_more_than
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try, has_fallen, is_left_too_early, least_seen, periods_to_wait, too_early
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of, sleep_of

Verdict = Literal[
    "proven", "involved", "part", "own-share", "feeds-all", "cleared", "too-early", "woke-it", "gone-by-itself",
    "cannot-tell", "own-clock",
]  # fmt: skip
"""`feeds-all`: nearly everything hangs on it, so that the draw went with it proves nothing. `part`: it took a small
share of the draw: that is settled, the rest is hunted. `own-clock`: by logs it is its own, as it wakes by its clock.
`own-share`: what went is no more than what was out takes itself, and most of the draw goes on without it."""

Reason = Literal[
    "", "period", "no-current", "rose-asleep", "not-asleep", "read-since", "too-coarse", "open-anyway", "against-zero",
    "between", "came",
]  # fmt: skip
"""`read-since`: it came too early, and was read since, asleep: nothing flows there. `between`: read between two events,
which says nothing. `came`: an event came without it. `too-coarse`: the draw is so small on this meter that it could not
be seen to go. `open-anyway`: a switch was out that is wrong by being open. `against-zero`: once, the draw went with a
fuse out that had been read as showing nothing: one of the two is wrong, and the fuse is not accused before it went
again."""


def judged(
    platform: Platform,
    one: Try,
    period: float | None,
    shown: Mapping[str, Reading],
    stops_at_once: Callable[[Collection[str]], bool],
    keeps_nobody_awake: Callable[[Collection[str]], bool],
) -> tuple[Verdict, Reason, float | None]:
    """What one try shows, why it shows no more, and how many minutes are still to wait."""
    fell = one.fell
    before_all_slept = one.before is None or one.before.speaks != "parked"
    may_fall_asleep = before_all_slept or (
        one.after.speaks != "parked" and not stops_at_once(one.out) and not _is_answer(one, keeps_nobody_awake)
    )
    if one.after.change:
        still_out = one.back is None and one.again is None  # what is in again cannot be waited for
        less_too_early = fell and still_out and is_left_too_early(one, 0.0, stops_at_once(one.out))
        if less_too_early or (not fell and one.after.speaks != "parked" and may_fall_asleep):
            return "too-early", "not-asleep", still_to_wait(one.after, sleep_of(platform))
        if not fell:
            return "cleared", "", None
        if period is not None and too_early(one, period):
            return "too-early", "period", periods_to_wait(one, period)
        if one.came_back is False:
            return "gone-by-itself", "", None
        if one.after.change == "less":
            return ("own-share" if _is_less_by_its_own(platform, one, shown) else "part"), "", None
        return "involved", "", None
    if one.before is None or one.before.amps is None or one.after.amps is None:
        return "cannot-tell", "no-current", None
    before, after = one.before.amps, one.after.amps
    rose = has_fallen(one.after, one.before)
    asleep = one.after.speaks == "parked"
    stayed_away = one.came_back is False  # then nobody can wait any longer with it out
    early = is_left_too_early(one, limit_at(platform, one.after.place), stops_at_once(one.out))
    if (fell or one.took_a_part) and not stayed_away and period is not None and too_early(one, period):
        return "too-early", "period", periods_to_wait(one, period)
    if ((fell and one.back is None) or (one.took_a_part and not stayed_away)) and early:
        return "too-early", "not-asleep", still_to_wait(one.after, sleep_of(platform))
    if (fell or one.took_a_part) and _is_own_share(platform, one, shown):
        return "own-share", "", None
    if fell:
        return ("gone-by-itself" if one.came_back is False else "involved"), "", None
    if one.took_a_part:
        return ("gone-by-itself" if one.came_back is False else "part"), "", None
    if not asleep and (rose or may_fall_asleep):
        return ("woke-it" if rose else "too-early"), "not-asleep", still_to_wait(one.after, sleep_of(platform))
    if rose:
        return "cannot-tell", "rose-asleep", None
    if before < least_seen(one.before, one.after) and before > after:
        return "cannot-tell", "too-coarse", None
    return "cleared", "", None


def _is_answer(one: Try, keeps_nobody_awake: Callable[[Collection[str]], bool]) -> bool:
    """Whether a look right after something was taken out that keeps nobody awake is an answer: then what goes on flows
    through none of it, and nothing falls asleep later. Not of a vehicle that stands open, whatever is out."""
    return one.after.minutes is not None and keeps_nobody_awake(one.out)


def limit_at(platform: Platform, place: str) -> float:
    """What is normal at a place, in A: behind a single fuse anything that shows may fall asleep."""
    return limit_of(platform) if battery_read_at(platform, place) else 0.0


def _is_own_share(platform: Platform, one: Try, shown: Mapping[str, Reading]) -> bool:
    """Whether what went is only what the parts take themselves while something else goes on drawing: what was read at
    their fuses, or what is typed in of modules."""
    assert one.before is not None and one.before.amps is not None and one.after.amps is not None
    went = one.before.amps - one.after.amps
    if went > OWN_SHARE * one.before.amps:
        return False
    own, unknown = _taken_by(platform, one, shown)
    if unknown:  # awake a module takes something; where nobody typed in how much, a small share is its own
        part = platform.parts.get(unknown)
        return isinstance(part, Load) and part.kind == "module" and not one.fell
    return is_no_more_than(one, own)


def _is_less_by_its_own(platform: Platform, one: Try, shown: Mapping[str, Reading]) -> bool:
    """The same where only was said that it is less: whether what was read at the parts, or is typed in of them, is no
    more than a small share of the draw."""
    own, unknown = _taken_by(platform, one, shown)
    before = one.before.amps if one.before is not None else None
    return not unknown and before is not None and own <= OWN_SHARE * before


def _taken_by(platform: Platform, one: Try, shown: Mapping[str, Reading]) -> tuple[float, str]:
    """What the parts take together at the most, in A, and the first of which that is neither read nor typed in."""
    own = 0.0
    for name in one.out:
        part, reading = platform.parts.get(name), shown.get(name)
        if reading is not None and reading.amps is not None:
            own += reading.highest
        elif isinstance(part, Load) and part.awake is not None:
            own += part.awake.high
        else:
            return own, name
    return own, ""
