"""The test to do next: what it is expected to tell about the part to mend, for each minute it takes."""

from collections.abc import Callable, Iterable, Sequence
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.explaining.shares import Shares
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.actions import Actions, Done
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.leading_part import (
    LEAVES_ONLY,
    goes_to,
    leading_fault,
    only_repeats,
    settles,
    with_one_more,
)
from circuitmap.diagnosis.next_test.planned import (
    DECIDES_CHANCE,
    HELPS,
    LEAST_TOLD,
    OutcomeBranch,
    PlannedTest,
    best_left,
    point_the_same_way,
    tells_parts_apart,
)
from circuitmap.diagnosis.next_test.predicting import Predictions
from circuitmap.diagnosis.weighing.information import entropy, expected_bits, group_numbers
from circuitmap.wiring.parts import Fuse

Array = NDArray[np.float64]

CHOICES = 3
HARDLY = 0.05
"""A test that tells fewer bits than this is not worth doing, whatever it costs (judgement)."""
NEARLY = 0.9
"""A test with this share of the best bits per minute counts as equally good (on small problems this halves the distance
to the optimum)."""
LEAST_INVASIVE = 0.10
"""A test that unplugs or pulls something and tells fewer bits than this is not offered beside another choice
(judgement)."""
LEAST_GENTLE = 0.02
"""A test that unplugs nothing is offered beside those that do from this many bits on (judgement)."""
BESIDE_THE_BEST = 0.1
"""A test that tells less than this share of what the most telling one does is not a choice (judgement)."""
DECISIVE = 2.0
"""A test that tells this many times what each of the choices does becomes one of them, however long it takes
(judgement)."""
WHOLE_BOX = 2.0
"""The rest of a box is read at once where that tells this many times what its best fuse does (judgement)."""
LEAST_FOUND = 0.08
"""Looking is not proposed if the chance of finding the fault that way is below this (judgement)."""
MOST_TO_LOOK_FOR = 3
"""For how many faults it is told what a look may show."""
MEND_AT = 0.95
"""From this probability of one part on, it is proven (out, in, out) rather than looked for any further."""

NotWorth = Literal["more-fuses", "clamp", "network-line"]


class NextTests(NamedTuple):
    """The choices, best first. `normal_up_to` is the current in A that a try must come down to, `was` what it comes
    down from, with what is out already; `mend` is the part to prove and mend when looking further is no use;
    `not_worth` are kinds of test that would tell next to nothing; `gone`: the draw went with something out and has to
    come back first; `not_compared` is how many steps were too many to be compared."""

    choices: tuple[PlannedTest, ...]
    normal_up_to: float
    not_worth: tuple[NotWorth, ...] = ()
    mend: str = ""
    was: float = 0.0
    gone: bool = False
    not_compared: int = 0


def next_tests(
    actions: Actions,
    predictions: Predictions,
    listed: Listed,
    faults: Sequence[Fault],
    lines: Iterable[str],
    again: Sequence[str] = (),
) -> NextTests:
    """The best three tests, one of them with nothing unplugged, over the listed explanations. `again` are places whose
    reading and a try contradict each other: all that follows hangs on them, so they are read once more first."""
    settled = actions.done.settled
    parts = listed.parts_of(faults, settled)
    by_part, by_about = Shares(parts), Shares(listed.abouts_of(faults, settled))
    zeros = predictions.zeros_in_doubt()
    doubtful = list(dict.fromkeys([*again, *predictions.doubtful(), *zeros]))
    worth_it = actions.all(listed, predictions.setting.measured, lines, doubtful)
    candidates = actions.likeliest(worth_it, listed)
    scored = _scored(candidates, predictions, listed.weights, parts)
    best_by_kind: dict[str, float] = {}
    for action, bits, _, _ in scored:
        best_by_kind[action.doing] = max(best_by_kind.get(action.doing, 0.0), bits)
    doings: tuple[tuple[str, NotWorth], ...] = (
        ("read-fuse", "more-fuses"), ("clamp", "clamp"), ("network-line", "network-line"),
    )  # fmt: skip
    not_worth = tuple(name for doing, name in doings if best_by_kind.get(doing, 1.0) < HARDLY)

    ready: dict[Action, PlannedTest] = {}

    def planned(one: _Scored) -> PlannedTest:
        if one[0] not in ready:
            ready[one[0]] = plan(one)
        return ready[one[0]]

    def plan(one: _Scored) -> PlannedTest:
        action, bits, names, chances = one
        branches = _branches(names, chances, listed.weights, by_part, by_about)
        shows: tuple[Fault, ...] = ()
        if action.tells == "what a look finds":
            shows = predictions.shown_by_looking(MOST_TO_LOOK_FOR, *action.parts)
        named = {branch.part for branch in branches if branch.probability >= LEAST_TOLD}
        wires = (fault for fault in faults if fault.has("coil-volts") and fault.part in named)
        wire = next(wires, None) if action.doing in ("unplug", "relay-volts") else None
        return PlannedTest(action, bits, branches, ends=predictions.ends_at(action), look_for=shows, wire=wire)

    def worth_offering(one: _Scored) -> bool:
        return not predictions.is_swallowed(one[0]) and tells_parts_apart(planned(one))

    def same(one: _Scored, other: _Scored) -> bool:
        return point_the_same_way(planned(one), planned(other))

    about, how_sure = by_about.largest(listed.weights)
    fuse_is_known = how_sure >= MEND_AT and isinstance(actions.platform.parts.get(about), Fuse)
    chosen = _total_first(_chosen(scored, worth_offering, same, fuse_is_known), scored, predictions)
    choices = [planned(one) for one in chosen]
    lead = leading_fault(listed, faults, by_part, by_about) if choices or not fuse_is_known else None
    nearly_sure = by_part.largest(listed.weights)[1] >= LEAVES_ONLY
    looks_only = nearly_sure and all(test.action.doing == "look" for test in choices)
    if lead is not None and (looks_only or not any(settles(test, lead) for test in choices)):
        own = [one for one in scored if goes_to(one[0], lead)]
        if own:
            best = min(own, key=lambda one: (-round(one[1] / one[0].minutes, 9), one[0].parts))
            if not choices or not only_repeats(planned(best), lead, predictions.setting.shown):
                choices = with_one_more(choices, planned(best), CHOICES)
                if nearly_sure:  # its proof comes first
                    choices.sort(key=lambda test: test.action != best[0])
    if any(best_left(test) >= DECIDES_CHANCE for test in choices[1:]):
        gentle = [test for test in choices if not test.action.is_invasive][:1]
        choices = [t for n, t in enumerate(choices) if n == 0 or t in gentle or best_left(t) >= HELPS]
    owed = [one for one in scored if one[0].doing == "read-again" and one[0].parts[0] in zeros]
    if owed and all(test.action.doing != "read-again" for test in choices):
        choices = with_one_more(choices, planned(owed[0]), CHOICES)
    doubted = [one for one in scored if one[0].doing == "read-again" and one[0].parts[0] in again]
    # Where a try of several left several in doubt, each second look alone may tell next to nothing.
    once_more = [s for s in doubted if len(again) == 1 or s[1] >= HARDLY]
    once_more.sort(key=lambda s: (-round(s[1], 9), s[0].parts))
    if once_more:
        others = [test for test in choices if test.action != once_more[0][0]]
        choices = [planned(once_more[0]), *others[: CHOICES - 1]]
    return NextTests(
        tuple(choices),
        predictions.setting.normal_up_to,
        not_worth,
        _to_mend(listed.weights, parts, actions.done, faults),
        predictions.setting.was,
        not_compared=len(worth_it) - len(candidates),
    )


_Scored = tuple[Action, float, tuple[str, ...], Array]


def _scored(
    candidates: Sequence[Action], predictions: Predictions, weights: Array, parts: Sequence[frozenset[str]]
) -> list[_Scored]:
    found: list[_Scored] = []
    by_outcomes: dict[tuple[str, ...], list[tuple[Action, Array]]] = {}
    for action, names, chances in predictions.of_all(candidates):
        if action.tells == "what a look finds":
            bits = bits_of_finding(weights, parts, chances[:, 0])
            likely = float((weights * chances[:, 0]).sum() / weights.sum()) >= LEAST_FOUND
            found.append((action, bits if likely else 0.0, names, chances))
        elif action.tells == "a wrong input":
            # Live data name the input that is wrong: that is the part, and not one of all that have inputs.
            found.append((action, bits_of_finding(weights, parts, chances[:, 0]), names, chances))
        else:
            by_outcomes.setdefault(names, []).append((action, chances))
    for names, group in by_outcomes.items():
        told = expected_bits(weights, parts, np.stack([chances for _, chances in group]))
        found += [(action, float(b), names, chances) for (action, chances), b in zip(group, told, strict=True)]
    return found


def bits_of_finding(weights: Array, parts: Sequence[frozenset[str]], seen: Array) -> float:
    """Expected information from a look that either finds the very part or finds nothing."""
    numbers, count = group_numbers(parts)
    before = np.bincount(numbers, weights, count).astype(float)
    after = np.bincount(numbers, weights * (1.0 - seen), count).astype(float)
    missed = after.sum() / before.sum()
    return float(max(entropy(before) - missed * entropy(after), 0.0)) if missed > 0.0 else float(entropy(before))


def _chosen(
    scored: Sequence[_Scored],
    tells: Callable[[_Scored], bool],
    same: Callable[[_Scored, _Scored], bool],
    fuse_is_known: bool,
) -> list[_Scored]:
    """The tests with the best bits per minute: no two that would split the suspects alike, and one that unplugs
    nothing. If none of them tells parts apart, still the best one; but where it is known behind which fuse, its
    wire is followed instead: another current there would say again what is known."""
    ranked = sorted(scored, key=lambda s: (-round(s[1] / s[0].minutes, 9), s[0].minutes, s[0].doing, s[0].parts))
    if ranked:
        first = best_by_the_minute([s[1] for s in ranked], [s[0].minutes for s in ranked])
        ranked.insert(0, ranked.pop(first))
    best = max((s[1] for s in ranked), default=0.0)
    worth_it = [s for s in ranked if s[1] >= max(HARDLY, BESIDE_THE_BEST * best)]
    chosen: list[_Scored] = []
    for candidate in worth_it:
        if len(chosen) == CHOICES:
            break
        if chosen and candidate[0].is_invasive and candidate[1] < LEAST_INVASIVE:
            continue
        if any(candidate[0].sort == other[0].sort or _alike(candidate, other) for other in chosen):
            continue
        if any(_reads_the_same(candidate[0], other[0]) for other in chosen):
            continue
        if tells(candidate) and not any(same(candidate, other) for other in chosen):
            chosen.append(candidate)
    if not chosen:
        if fuse_is_known:
            return []
        chosen = worth_it[:1]
    chosen = [_whole_box(one, chosen, worth_it, tells) for one in chosen]
    most = max(worth_it, key=lambda s: (round(s[1], 9), -s[0].minutes), default=None)
    if most is not None and all(most[1] >= DECISIVE * s[1] for s in chosen):
        chosen[CHOICES - 1 :] = [most]
    unplugging_nothing = [s for s in ranked if not s[0].is_invasive and s[1] >= LEAST_GENTLE]
    if unplugging_nothing and chosen and all(s[0].is_invasive for s in chosen):
        gentle = max(unplugging_nothing, key=lambda s: (tells(s), round(s[1], 9)))
        chosen[min(len(chosen), CHOICES - 1) :] = [gentle]  # beside the best one, never in its place
    return chosen


def _total_first(chosen: list[_Scored], scored: Sequence[_Scored], predictions: Predictions) -> list[_Scored]:
    """Without a total nobody knows whether there is a draw: reading it comes before everything else. But not where a
    place that was read shows by itself more than is normal."""
    setting = predictions.setting
    if max(setting.shown.values(), default=0.0) > setting.normal_up_to:
        return chosen
    place = setting.place
    total = next((s for s in scored if s[0].doing == "clamp" and s[0].parts == (place,)), None)
    if total is None or place in predictions.setting.measured:
        return chosen
    return [total, *(s for s in chosen if s is not total)][:CHOICES]


def best_by_the_minute(bits: Sequence[float], minutes: Sequence[float]) -> int:
    """The index of the test to do: most bits per minute; of those nearly as good, the one that tells most, because it
    saves the next test."""
    rates = [b / m for b, m in zip(bits, minutes, strict=True)]
    near = [n for n, rate in enumerate(rates) if rate >= NEARLY * max(rates)]
    return max(near, key=lambda n: (round(bits[n], 9), -minutes[n], -n))


def _whole_box(
    one: _Scored, chosen: Sequence[_Scored], worth_it: Sequence[_Scored], tells: Callable[[_Scored], bool]
) -> _Scored:
    """For a single fuse the rest of its box, where that tells so much more that others of the box would be read next,
    one by one."""
    if one[0].doing != "read-fuse":
        return one
    rest = (its for its in worth_it if _reads_the_same(one[0], its[0]) and its[1] >= WHOLE_BOX * one[1])
    return next((its for its in rest if all(its is not other for other in chosen) and tells(its)), one)


def _reads_the_same(one: Action, other: Action) -> bool:
    """Whether a fuse is read by one test and among those of its box by the other."""
    return {one.doing, other.doing} == {"read-fuse", "read-box"} and bool(set(one.parts) & set(other.parts))


def _alike(one: _Scored, other: _Scored) -> bool:
    return one[2] == other[2] and bool(np.abs(one[3] - other[3]).max() < 0.02)


def _branches(
    names: tuple[str, ...], chances: Array, weights: Array, by_part: Shares, by_about: Shares
) -> tuple[OutcomeBranch, ...]:
    found = []
    for n, name in enumerate(names):
        mass = weights * chances[:, n]
        chance = float(mass.sum()) / float(weights.sum())
        part, then, beside, beside_then = by_part.two_largest(mass)
        found.append(OutcomeBranch(name, chance, part, then, *by_about.largest(mass), beside, beside_then))
    return tuple(found)


def _to_mend(weights: Array, parts: Sequence[frozenset[str]], done: Done, faults: Sequence[Fault]) -> str:
    """The part that is nearly sure; nothing that is not known can be mended. One that was out by itself, and left
    something that draws, is known: then the other of the two is looked for."""
    by_part: dict[str, float] = {}
    two = sum(weight for its_parts, weight in zip(parts, weights.tolist(), strict=True) if len(its_parts) > 1)
    known = {part for out in done.tried if len(out) == 1 for part in out} if two >= MEND_AT * weights.sum() else set()
    for its_parts, weight in zip(parts, weights.tolist(), strict=True):
        for part in its_parts - known:
            by_part[part] = by_part.get(part, 0.0) + weight
    for fault in faults:
        if fault.kind == "none-of-these":
            by_part.pop(fault.part, None)
    if not by_part:
        return ""
    part = min(by_part, key=lambda p: (-by_part[p], p))
    return part if by_part[part] >= MEND_AT else ""
