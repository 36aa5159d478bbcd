"""Which steps are offered: the best by the minute, no two that tell the same, one that unplugs nothing."""

from collections.abc import Callable, Sequence

import numpy as np

from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.predicting import Predictions
from circuitmap.diagnosis.next_test.scoring import Scored

CHOICES = 3
HARDLY = 0.05
"""A test that tells fewer bits than this is not worth doing, whatever it costs (judgement)."""
NEARLY = 0.9
"""A test with this share of the best bits per minute counts as equally good (on small problems this halves the distance
to the optimum)."""
LEADS_ON = 0.8
"""A step whose outcomes leave the same in the lead gives way to one that leads on from this share of its bits by the
minute on (judgement)."""
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


def chosen_steps(
    scored: Sequence[Scored],
    tells: Callable[[Scored], bool],
    same: Callable[[Scored, Scored], bool],
    may_differ: Callable[[Scored], bool],
    leads_on: Callable[[Scored, Scored], bool],
    is_known: bool,
) -> list[Scored]:
    """The tests with the best bits per minute: no two that would split the suspects alike, and one that unplugs
    nothing. If none of them tells parts apart, still the best one that may show one thing or another; but not where it
    is known which part it is, or behind which fuse: that is proven, or its wire followed; another reading would say
    again what is known."""
    ranked = ranked_steps(scored)
    if ranked:
        first = best_by_the_minute([s[1] for s in ranked], [s[0].minutes for s in ranked])
        ranked.insert(0, ranked.pop(first))
    best = max((s[1] for s in ranked), default=0.0)
    worth_it = [s for s in ranked if s[1] >= max(HARDLY, BESIDE_THE_BEST * best)]
    chosen: list[Scored] = []

    def may_be(candidate: Scored) -> bool:
        if chosen and candidate[0].is_invasive and candidate[1] < LEAST_INVASIVE:
            return False
        if any(candidate[0].sort == other[0].sort or _alike(candidate, other) for other in chosen):
            return False
        if any(_reads_the_same(candidate[0], other[0]) for other in chosen):
            return False
        return tells(candidate) and not any(same(candidate, other) for other in chosen)

    for candidate in worth_it:
        if len(chosen) == CHOICES:
            break
        if may_be(candidate):
            chosen.append(_that_leads_on(candidate, worth_it, may_be, leads_on))
        if len(chosen) < CHOICES and all(candidate is not other for other in chosen) and may_be(candidate):
            chosen.append(candidate)
    if not chosen:
        if is_known:
            return []
        chosen = [s for s in worth_it if may_differ(s)][:1]
    chosen = [_whole_box(one, chosen, worth_it, tells) for one in chosen]
    most = max(worth_it, key=lambda s: (round(s[1], 9), -s[0].minutes), default=None)
    if chosen and most is not None and tells(most) and all(most[1] >= DECISIVE * s[1] for s in chosen):
        chosen[CHOICES - 1 :] = [most]
    unplugging_nothing = [s for s in ranked if not s[0].is_invasive and s[1] >= LEAST_GENTLE and tells(s)]
    if unplugging_nothing and chosen and all(s[0].is_invasive for s in chosen):
        gentle = max(unplugging_nothing, key=lambda s: round(s[1], 9))
        chosen[min(len(chosen), CHOICES - 1) :] = [gentle]  # beside the best one, never in its place
    return chosen


def _that_leads_on(
    one: Scored,
    worth_it: Sequence[Scored],
    may_be: Callable[[Scored], bool],
    leads_on: Callable[[Scored, Scored], bool],
) -> Scored:
    """A step, or one that is as invasive and tells nearly as much by the minute, where that one leads on and it does
    not."""
    rate = LEADS_ON * one[1] / one[0].minutes
    as_good = (s for s in worth_it if s[0].takes_out == one[0].takes_out and s[1] / s[0].minutes >= rate)
    return next((s for s in as_good if may_be(s) and leads_on(s, one)), one)


def total_first(chosen: list[Scored], scored: Sequence[Scored], predictions: Predictions) -> list[Scored]:
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
    return max(near, key=lambda n: (round(bits[n], 2), -minutes[n], -n))


def _whole_box(
    one: Scored, chosen: Sequence[Scored], worth_it: Sequence[Scored], tells: Callable[[Scored], bool]
) -> Scored:
    """For a single fuse the rest of its box, where that tells so much more that others of the box would be read next,
    one by one."""
    if one[0].doing != "read-fuse":
        return one
    rest = (its for its in worth_it if _reads_the_same(one[0], its[0]) and its[1] >= WHOLE_BOX * one[1])
    return next((its for its in rest if all(its is not other for other in chosen) and tells(its)), one)


def _reads_the_same(one: Action, other: Action) -> bool:
    """Whether a fuse is read by one test and among those of its box by the other; or all fuses are read by one test
    that the other would pull; or a cable is clamped by one test and among those at its post by the other."""
    kinds = {one.doing, other.doing}
    if kinds == {"at-the-post", "clamp"}:
        post, clamped = sorted((one, other), key=lambda its: its.doing != "at-the-post")
        return clamped.parts[0] in post.parts[1:]
    if kinds == {"read-fuse", "read-box"}:
        return bool(set(one.parts) & set(other.parts))
    both = sorted((one, other), key=lambda its: its.doing != "pull-fuses")
    return kinds == {"pull-fuses", "read-box"} and set(both[0].parts) <= set(both[1].parts)


def ranked_steps(scored: Sequence[Scored]) -> list[Scored]:
    """By bits per minute. What differs by less than a hundredth of a bit is equal: then a box comes before its fuses,
    and of two alike the one at which more explanations part; only then the name decides."""
    by_rate: dict[tuple[float, float, str], list[Scored]] = {}
    for s in scored:
        rate = -round(round(s[1], 2) / s[0].minutes, 9)
        by_rate.setdefault((rate, s[0].minutes, s[0].doing), []).append(s)
    ranked: list[Scored] = []
    for key in sorted(by_rate):
        its = by_rate[key]
        its.sort(key=lambda s: s[0].parts)
        if key[0] < 0.0 and len(its) > 1:
            its.sort(key=lambda s: -parted_at(s))
        ranked += its
    return ranked


def parted_at(one: Scored) -> int:
    """How many explanations expect another outcome of a step than most do: what hangs behind it."""
    likeliest = one[3].argmax(axis=1)
    return len(likeliest) - int(np.bincount(likeliest).max())


def volts_before_touching(chosen: Sequence[Scored], scored: Sequence[Scored]) -> list[Scored]:
    """A relay is measured before it is pulled: a contact that hangs may let go, and a coil is no longer driven. So is
    the pin at which a module hears something wrong before the module is unplugged: what hangs may let go there, too."""
    ordered = list(chosen)
    for one in chosen:
        volts = next((s for s in scored if _measures(s[0], one[0])), None)
        if volts is not None and volts[1] >= HARDLY:
            ordered = [s for s in ordered if s is not volts]
            ordered.insert(next(n for n, s in enumerate(ordered) if s is one), volts)
    return ordered[:CHOICES]


def _measures(volts: Action, touched: Action) -> bool:
    """Whether a step measures what another one takes out."""
    if touched.doing == "pull-relay":
        return volts.doing == "relay-volts" and volts.parts == touched.parts
    is_module = touched.doing == "unplug" and volts.doing == "input-volts"
    return is_module and volts.parts[0].rpartition(".")[0] in touched.parts


def _alike(one: Scored, other: Scored) -> bool:
    return one[2] == other[2] and bool(np.abs(one[3] - other[3]).max() < 0.02)
