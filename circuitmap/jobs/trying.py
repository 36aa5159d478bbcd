"""What a try showed: something was taken out, the vehicle went to sleep, the current was read again.

Cured by taking a part out is *involved*, not yet guilty; what proof still lacks is in `jobs/still_needed.py`.
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from circuitmap.circuit.hands_off import HandsOffMap, Untouchable
from circuitmap.evidence.changes_seen import Change
from circuitmap.evidence.found_there import Sign
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import (
    BACK_SHARE,
    LEAST_SHARE,
    Try,
    ended_each_time,
    is_left_too_early,
    least_seen,
)
from circuitmap.evidence.tries_of_events import came_without
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.one_try import Reason, Verdict, judged, limit_at
from circuitmap.jobs.part_tests import PartTest
from circuitmap.jobs.still_needed import Need, still_needed
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeAfter:
    """One place before and after, both in A, while the same things were out."""

    place: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TryVerdict:
    """What the tries with these parts `out` amount to. `wait` is how many minutes more are needed when too early.

    `figures` are the currents at `place` in turn: with the parts in, out, in again, out again, as far as this was done.
    Where no figure was written down, `figures` has the word. `turned` are those of `out` that are switches and were
    turned, each with its position. `needs` is what proof still lacks; `failed` are tests of the part that were not
    passed. `left` is what is still drawn at `place` with the parts out, in A; `hands_off` those of `out` that nobody
    should have touched, each with `why_hands_off`. `fed_by_hands_off` is what feeds something of
    `out` that is on no sheet, and is hands-off, each with why. `beside` is what was still out when it came back,
    `logged` the last log at `place` with just these parts out. `left_early`: what is `left` was read before all that
    may fall asleep had the time to. `ended`: the chance that what comes and goes ended by itself each time; `missed`:
    how many times it was due by the clock meanwhile, and did not come. `again` was said to be there again too early to
    count. One that came too early is `over` once it is in again: then nothing is waited for, and where `read_since`
    shows that nothing flows there, it need not be out again. `over_use`: the vehicle was used with it out before it was
    read. `left_is_of`: other parts with which just what is left went in their turn. `found_behind`: what was seen of
    the wiring behind a fuse that was out: that is what is proven then, not the fuse. `elsewhere` is what other
    batteries gave last with just these parts out.
    """

    verdict: Verdict
    out: tuple[str, ...]
    place: str
    before: Reading | None
    after: Reading
    back: Reading | None
    reason: Reason = ""
    wait: float | None = None
    needs: tuple[Need, ...] = ()
    failed: tuple[PartTest, ...] = ()
    changes: tuple[BeforeAfter, ...] = ()
    hands_off: tuple[str, ...] = ()
    why_hands_off: tuple[Untouchable, ...] = ()
    figures: tuple[float | Change | None, ...] = ()
    turned: tuple[tuple[str, str], ...] = ()
    fed_by_hands_off: tuple[tuple[str, Untouchable], ...] = ()
    beside: tuple[str, ...] = ()
    logged: Reading | None = None
    left_early: bool = False
    ended: float = 0.0
    missed: int = 0
    again: Reading | None = None
    over: bool = False
    read_since: tuple[Reading, ...] = ()
    over_use: bool = False
    left_is_of: tuple[str, ...] = ()
    found_behind: Sign | None = None
    elsewhere: tuple[Reading, ...] = ()

    @property
    def left(self) -> float | None:
        return self.after.amps

    @property
    def took(self) -> float | None:
        """What went with it, in A."""
        before = self.before.amps if self.before is not None else None
        return before - self.after.amps if before is not None and self.after.amps is not None else None


def verdicts_on(
    platform: Platform,
    tries: Iterable[Try],
    hands_off: HandsOffMap,
    tests: tuple[PartTest, ...] = (),
    period: float | None = None,
    readings: Iterable[Reading] = (),
    added: Mapping[str, str] = MappingProxyType({}),
    feeds_all: Callable[[Collection[str], str], bool] = lambda _out, _place: False,
    stops_at_once: Callable[[Collection[str]], bool] = lambda _out: False,
    keeps_nobody_awake: Callable[[Collection[str]], bool] = lambda _out: False,
) -> tuple[TryVerdict, ...]:
    """One verdict for everything that was taken out together, in the order in which it was first tried.

    `period` in minutes is that of a draw which comes and goes, if a log showed one; `readings` with everything in
    say what went through a fuse that was then pulled; `added` are parts by themselves that are on no sheet, each with
    what it is fed from. `feeds_all` says whether nearly everything that draws at a place hangs on parts,
    `stops_at_once` whether all that goes with them stops in that moment, with nothing that has to fall asleep first,
    `keeps_nobody_awake` whether nothing falls asleep later for their being out.
    """
    readings = tuple(readings)
    shown = {reading.place: reading for reading in readings if not reading.without and reading.speaks == "parked"}
    logs = {(frozenset(r.without), r.place): r for r in readings if r.log is not None and r.speaks == "parked"}
    groups: dict[tuple[str, ...], list[Try]] = {}
    for one in tries:
        groups.setdefault(tuple(sorted(one.out)), []).append(one)
    verdicts: dict[tuple[str, ...], TryVerdict] = {}

    def judge(its_out: tuple[str, ...], its_tries: list[Try]) -> TryVerdict:
        return _verdict(
            platform, its_out, its_tries, hands_off, tests, period, shown, added, stops_at_once, keeps_nobody_awake
        )

    for out in sorted(groups, key=len):  # what is out beside a part that is settled is judged after that part
        if _came_back_first(platform, groups, out, verdicts, judge) or _is_told_by_each(
            platform, groups[out], verdicts
        ):
            continue
        its_out, its_tries = _beside_what_is_settled(platform, out, groups[out], list(verdicts.values()))
        told = judge(its_out, its_tries)
        if told.verdict in ("involved", "part", "own-share") and feeds_all(its_out, told.place):
            told = replace(told, verdict="feeds-all", needs=(), failed=())
        verdicts[out] = replace(told, logged=logs.get((frozenset(told.out), told.place)))
    in_turn = [verdicts[out] for out in groups if out in verdicts]
    return tuple(replace(one, left_is_of=_left_is_of(platform, one, in_turn)) for one in in_turn)


def _is_told_by_each(platform: Platform, tries: list[Try], verdicts: Mapping[tuple[str, ...], TryVerdict]) -> bool:
    """Whether each of several parts took its share by itself, and these shares are what went with all of them out: then
    that is no try of its own, and that one of them in again brings back its share alone is no wonder."""
    place = _leading_place(platform, tries)
    last = [one for one in tries if one.after.place == place][-1]
    alone = [verdicts.get((name,)) for name in last.out]
    each = [one for one in alone if one is not None and one.verdict in TOOK_A_SHARE and one.place == last.after.place]
    if len(alone) < 2 or len(each) < len(alone) or last.before is None or last.before.without or last.turned:
        return False
    if last.before.amps is None or last.after.amps is None:
        return False
    went, shares = last.before.amps - last.after.amps, sum(one.took or 0.0 for one in each)
    return abs(went - shares) <= max(LEAST_SHARE * went, len(each) * least_seen(last.before, last.after))


TOOK_A_SHARE: Collection[Verdict] = ("proven", "involved", "part")


def _left_is_of(platform: Platform, one: TryVerdict, verdicts: Iterable[TryVerdict]) -> tuple[str, ...]:
    """Of what is left with something out, other parts with which just that much went: nothing else draws then."""
    if one.left is None or one.left <= limit_at(platform, one.place) or one.turned:
        return ()
    others = [
        its for its in verdicts
        if its is not one and its.verdict in TOOK_A_SHARE and its.place == one.place and not its.turned
        and set(its.out).isdisjoint((*one.out, *one.after.without)) and its.took is not None
    ]  # fmt: skip
    rest = one.left - sum(its.took or 0.0 for its in others)
    return tuple(name for its in others for name in its.out) if rest <= limit_at(platform, one.place) else ()


def _came_back_first(
    platform: Platform,
    groups: Mapping[tuple[str, ...], list[Try]],
    out: tuple[str, ...],
    verdicts: dict[tuple[str, ...], TryVerdict],
    judge: Callable[[tuple[str, ...], list[Try]], TryVerdict],
) -> bool:
    """Whether each of several parts was also tried by itself, and of a try with all of them out one was put back before
    the others. That is no more of them together: what came back then came back with that one, and is told of it."""
    tries = groups[out]
    alone = [verdicts.get((name,)) for name in tries[-1].out]
    if len(alone) < 2 or any(one is None for one in alone):
        return False
    place = _leading_place(platform, tries)
    last = next((one for one in reversed(tries) if one.back is not None and one.after.place == place), None)
    if last is None or last.back is None or last.back.amps is None or last.after.amps is None:
        return False
    first = [name for name in last.out if name not in last.back.without]
    its = verdicts[first[0],] if len(first) == 1 else None
    if its is None or its.verdict not in TOOK_A_SHARE or its.back is not None or its.turned:
        return False
    here = its.place == last.after.place and its.took is not None
    if not here or last.back.amps - last.after.amps < BACK_SHARE * (its.took or 0.0):
        return False
    # What proof still lacks is worked out with its share there again, as if it had been put in by itself.
    there = replace(last.back, amps=(its.left or 0.0) + last.back.amps - last.after.amps, without=())
    told = judge(its.out, [replace(t, back=there) if t.after is its.after else t for t in groups[its.out]])
    verdicts[its.out] = replace(
        its, verdict=told.verdict, needs=told.needs, failed=told.failed, back=last.back,
        figures=(*its.figures, last.back.amps), beside=last.back.without,
    )  # fmt: skip
    return True


def _beside_what_is_settled(
    platform: Platform, out: tuple[str, ...], tries: list[Try], earlier: Collection[TryVerdict]
) -> tuple[tuple[str, ...], list[Try]]:
    """A try beside parts whose share of the draw is settled, or that were out for nothing: it is told of the others
    alone, and what the settled ones left."""
    settled: dict[str, TryVerdict] = {}
    cleared = {name for one in earlier if one.verdict == "cleared" and set(one.out) < set(out) for name in one.out}
    if cleared and not cleared.issuperset(out):  # out for nothing, and left out: what went since went with the others
        out = tuple(name for name in out if name not in cleared)
        tries = [
            replace(one, out=out, turned=tuple(t for t in one.turned if t[0] not in cleared)) for one in tries
        ]  # fmt: skip
    for one in earlier:
        if _goes_on_beside(platform, one) and set(one.out).isdisjoint(settled):
            settled |= {name: one for name in one.out if set(one.out) < set(out)}
    left = {one.place: one.after for one in settled.values()}
    if not settled or not any(one.after.place in left for one in tries):
        return out, tries
    others = tuple(name for name in out if name not in settled)
    if not others:  # each has a share of its own
        return out, tries
    return others, [
        replace(
            one, out=others, before=left[one.after.place], turned=tuple(t for t in one.turned if t[0] in others)
        )
        for one in tries
        if one.after.place in left
    ]  # fmt: skip


def _goes_on_beside(platform: Platform, one: TryVerdict) -> bool:
    """Whether what was out took its share, small or large, and more than a sound vehicle takes went on without it: what
    was taken out besides speaks for itself."""
    if one.verdict == "part" or (one.verdict == "own-share" and one.turned):
        return True
    return one.verdict in ("involved", "proven") and not one.left_early and (one.left or 0.0) > limit_of(platform)


def _verdict(
    platform: Platform,
    out: tuple[str, ...],
    tries: list[Try],
    hands_off: HandsOffMap,
    tests: tuple[PartTest, ...],
    period: float | None,
    shown: Mapping[str, Reading],
    added: Mapping[str, str],
    stops_at_once: Callable[[Collection[str]], bool],
    keeps_nobody_awake: Callable[[Collection[str]], bool],
) -> TryVerdict:
    place = _leading_place(platform, tries)
    at_place = [one for one in tries if one.after.place == place]
    at_place = [one for one in at_place if one.event != "between"] or at_place
    last = at_place[-1]
    came = came_without(platform, last)
    told = judged(platform, last, None if came else period, shown, stops_at_once, keeps_nobody_awake)
    if last.event == "between":
        told = "cannot-tell", "between", None
    elif came and told[0] in ("cleared", "own-share"):
        told = "cleared", "came", None
    changes = tuple(
        BeforeAfter(place=one.after.place, before=one.before.amps, after=one.after.amps)
        for one in {one.after.place: one for one in tries if one.before is not None}.values()
        if one.before is not None
    )
    needs: tuple[Need, ...] = ()
    failed: tuple[PartTest, ...] = ()
    untouchable = tuple(name for name in out if not hands_off.may_touch(name))
    feeds = dict.fromkeys(added[name] for name in out if name in added)
    behind = tuple((feed, why) for feed in feeds if (why := hands_off.why_not_behind(feed)) is not None)
    verdict, reason, wait = told
    if verdict == "involved" and len(at_place) == 1 and not last.came_back and _showed_nothing(out, shown):
        verdict, reason = "cannot-tell", "against-zero"
    if verdict == "involved":
        needs, failed = still_needed(platform, out, at_place, tests, added, bool(behind), period, shown)
        verdict = "involved" if needs or failed else "proven"
        if untouchable and needs:
            needs, failed = ("hand-over",), ()
    others = {o.after.place: o.after for o in tries if battery_read_at(platform, o.after.place)}
    return TryVerdict(
        verdict=verdict, out=out, place=place, before=last.before, after=last.after, back=last.back,
        reason=reason, wait=wait, needs=needs, failed=failed, changes=changes,
        hands_off=untouchable, why_hands_off=tuple(why for name in out if (why := hands_off.why_not(name)) is not None),
        figures=_figures(at_place), turned=last.turned, fed_by_hands_off=behind,
        left_early=is_left_too_early(last, limit_at(platform, place), stops_at_once(last.out)),
        ended=ended_each_time(at_place, period), missed=max(one.missed for one in at_place),
        again=last.again if last.back is None else None, over_use=last.over_use,
        elsewhere=tuple(its for name, its in others.items() if name != place),
    )  # fmt: skip


def _showed_nothing(out: Collection[str], shown: Mapping[str, Reading]) -> bool:
    """Whether all that was out are places that were read, and showed no current."""
    read = [shown.get(name) for name in out]
    return all(its is not None and its.amps is not None and not its.shows_current for its in read)


def _figures(tries: list[Try]) -> tuple[float | Change | None, ...]:
    """The currents in turn. What went on with all of it out did not come back: what was read later is not told."""
    first = tries[0].before
    figures: list[float | Change | None] = [first.amps if first is not None else None]
    for one in tries:
        figures.append(one.after.change or one.after.amps)
        if one.back is not None and (one.fell or one.took_a_part or one is not tries[-1]):
            figures.append(one.back.change or one.back.amps)
    return tuple(figures)


def _leading_place(platform: Platform, tries: list[Try]) -> str:
    """The battery if it was read, of several the one at which most went: another may take over what that one gave. Or
    else the place where the current was greatest before."""
    at_batteries = [one for one in tries if battery_read_at(platform, one.after.place)]
    if at_batteries:
        return max(at_batteries, key=_went_away).after.place
    return max(tries, key=lambda one: (one.before.amps or 0.0) if one.before is not None else 0.0).after.place


def _went_away(one: Try) -> tuple[bool, float]:
    """Whether the current went down in a try, and by how much, in A."""
    before = one.before.amps if one.before is not None else None
    less = before - one.after.amps if before is not None and one.after.amps is not None else 0.0
    return one.fell, max(less, 0.0)
