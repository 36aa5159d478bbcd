"""What was read behind a place, and what of it is taken off the reading there, explanation by explanation.

A branch that shows a current is taken off the place above it only under explanations that bring current to that
branch. Under all others its reading is a slip, and a slip says nothing of the place above; and so far as it hardly can
be right under an explanation that does bring current there, it is a slip under that, too. A branch that shows nothing
is taken off under none: what it may hide is what an explanation, or a sound car, brings to it. Where an explanation
brings far more than can hide there, that nothing must be a slip under it, and all of that current flows above.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from math import erfc, hypot, inf, isinf, log, sqrt
from types import MappingProxyType
from typing import NamedTuple

from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.passed_places import brought_together
from circuitmap.diagnosis.weighing.log_normal import spread_of_moments
from circuitmap.diagnosis.weighing.reading_chance import MISREAD, Strip, chance_of_slip
from circuitmap.diagnosis.weighing.sightings import Brought, MisreadBranch, ReadBehind, ZeroError
from circuitmap.evidence.readings import Reading

MOST_BRANCHES = 8
"""Branches of one place that are taken off by some explanations and not by others, the largest first (judgement)."""
COUNTS = 0.25
"""Share of what the meter above may be off from which on a branch, or what it may hide, counts (judgement)."""
LEAST_SHARE = 0.03
"""Share of the current above from which on a branch counts (judgement)."""
ROUNDED = 0.5
"""Display steps by which a display is rounded."""
ALIKE_EACH_TIME = 0.5
"""Share of the variance of what a display may be off that is the same at each look (judgement)."""
MISREAD_AS_NOTHING = MISREAD / 2.0
"""Chance that a place is misread and shows nothing (`weighing/reading_chance`)."""
WORTH_A_SLIP = 0.02
"""Chance of a slip from which on what passes a branch that shows nothing counts above it (judgement)."""


MOST_LOOKS = 3
"""Slips are independent: the chance that all of n agreeing looks are wrong is that of one slip to the power of n, for
up to this many looks. That a place shows the sum of its branches needs no such rule: each branch has its own chance of
a slip."""


def misread_chance(netted: Netted, place: str, overlooked: Mapping[str, float]) -> float:
    """The chance that a place was misread in all looks that agree."""
    return overlooked.get(place, MISREAD ** min(netted.looks.get(place, 1), MOST_LOOKS))


class TakenOff:
    """One place: `strip` and `zero` of its own reading, less the small branches that all explanations take off;
    `branches` the others, by `number`; `hides` what may flow at those that show nothing, in A."""

    def __init__(
        self,
        netted: Netted,
        place: str,
        elsewhere: Mapping[str, float] = MappingProxyType({}),
        overlooked: Mapping[str, float] = MappingProxyType({}),
    ) -> None:
        """At the places that were `overlooked`, anything may flow that nobody saw; `elsewhere` as `currents_seen`."""
        own = netted.readings[place]
        amps = {name: r for name, r in netted.readings.items() if r.amps is not None}
        children = [amps[name] for name in netted.branches_of(place)]
        off = own.half_step + 2.0 * own.zero + 2.0 * own.relative * abs(own.amps or 0.0)
        drawing = [child for child in children if child.shows_current]
        drawing.sort(key=lambda child: (-(child.amps or 0.0), child.place))
        counts = [c for c in drawing if (c.amps or 0.0) > max(COUNTS * off, LEAST_SHARE * abs(own.amps or 0.0))]
        counts = counts[:MOST_BRANCHES]
        always = [child for child in drawing if child not in counts]
        self.number = {child.place: n for n, child in enumerate(counts)}
        self.hides = {
            c.place: inf if c.place in overlooked else max(c.highest, 2.0 * c.zero, 0.0)
            for c in children
            if not c.shows_current
        }
        self.worth = {place for place, most in self.hides.items() if most > COUNTS * off}
        self.strip, self.zero = _strip(own, always)
        if not always and (not counts or (own.amps or 0.0) > 0.0):
            self.strip = as_display_errs((own, *netted.before.get(place, ())), self.strip)
        self.healthy_mean = self.healthy_variance = 0.0
        self._branches = [
            ReadBehind(
                child.amps or 0.0,
                child.half_step,
                hypot(child.relative * (child.amps or 0.0), 0.0 if _same_zero(own, child) else child.zero),
                child.zero if _same_zero(own, child) else 0.0,
                0.0,
                0.0,
            )
            for child in counts
        ]
        self._misread = [misread_chance(netted, child.place, overlooked) for child in counts]
        self._by_slip = [
            chance_of_slip(_strip(child, [])[0], misread, elsewhere.get(child.place, 0.0))
            for child, misread in zip(counts, self._misread, strict=True)
        ]

    @property
    def branches(self) -> tuple[ReadBehind, ...]:
        return tuple(self._branches)

    def add_healthy(self, branch: str, mean: float, variance: float) -> None:
        """What a sound car draws at a branch."""
        if branch in self.number:
            n = self.number[branch]
            its = self._branches[n]
            self._branches[n] = its._replace(
                healthy_mean=its.healthy_mean + mean, healthy_variance=its.healthy_variance + variance
            )
        elif branch in self.hides:
            mean, variance = hidden(mean, variance, self.hides[branch])
            self.healthy_mean += mean
            self.healthy_variance += variance

    def misread(self, branch: str, flows: Sequence[Flow]) -> float:
        """The chance that what a branch showed is a slip, if these currents flow there."""
        number = self.number[branch]
        its, misread, by_slip = self._branches[number], self._misread[number], self._by_slip[number]
        mean = its.healthy_mean + sum(flow.mean for flow in flows)
        variance = its.healthy_variance + sum(flow.variance for flow in flows)
        off = hypot(its.error, its.zero) / its.amps
        fits = _between(its.amps - its.half, its.amps + its.half, mean, variance, off)
        nothing = min(flow.nothing for flow in flows)
        return by_slip / (by_slip + (1.0 - misread) * (1.0 - nothing) * fits)


def _between(lowest: float, highest: float, mean: float, variance: float, off: float) -> float:
    """The chance that a current of this mean and variance, shown with an error of this share, is between two others."""
    if mean <= 0.0:
        return 0.0
    its = spread_of_moments(mean, variance)
    sigma = hypot(its.sigma, off)
    if lowest <= 0.0 or sigma <= 0.0:
        return float(lowest <= its.median <= highest)
    low, high = (log(end / its.median) / (sigma * sqrt(2.0)) for end in (lowest, highest))
    return 0.5 * (erfc(low) - erfc(high) if low > 0.0 else erfc(-high) - erfc(-low))


def _same_zero(own: Reading, child: Reading) -> bool:
    return own.zero > 0.0 and own.meter.name == child.meter.name


def _strip(own: Reading, always: list[Reading]) -> tuple[Strip, ZeroError | None]:
    amps = (own.amps or 0.0) - sum(child.amps or 0.0 for child in always)
    half = hypot(own.half_step, *(child.half_step for child in always))
    blur, relative = 0.0, own.relative
    if always:
        others = (child.zero for child in always if not _same_zero(own, child))
        blur = hypot(*(r.relative * (r.amps or 0.0) for r in (own, *always)), *others)
        relative = 0.0
    zero = own.zero - sum(child.zero for child in always if _same_zero(own, child))
    return Strip(amps - half, amps + half, blur, relative), ZeroError(own.meter.name, zero) if own.zero > 0.0 else None


def as_display_errs(looks: Sequence[Reading], strip: Strip) -> Strip:
    """A place read by itself that may show nothing, the latest of its looks first, as its display errs: half of its
    last digit by rounding; what it may be off beyond that is two standard deviations, so that two digits are hardly
    nothing, and none hardly two. Looks that agree count by their mean; half of what they err by is the same each time.
    What is less than nothing is written down as nothing. Where something flows for certain, how much is left as wide
    as the display may be off."""
    own = looks[0]
    rounded = min(own.half_step, own.half_step * ROUNDED / own.meter.counts)
    blur = (own.half_step - rounded) / 2.0
    if strip.lowest > 0.0 or blur <= 0.0 or own.amps is None or own.height is not None:
        return strip
    amps = sum(one.amps or 0.0 for one in looks) / len(looks)
    blur *= sqrt(ALIKE_EACH_TIME + (1.0 - ALIKE_EACH_TIME) / len(looks))
    lowest = amps - (rounded if amps > 0.0 else own.half_step)
    return strip._replace(lowest=lowest, highest=amps + rounded, blur=hypot(strip.blur, blur))


def hidden(mean: float, variance: float, most: float) -> tuple[float, float]:
    """Mean and variance of what flows where no more than so much can."""
    if mean <= 0.0 or most <= 0.0:
        return 0.0, 0.0
    if isinf(most):
        return mean, variance
    share = most / (mean + most)
    return mean * share, min(variance * share**2, (most / 2.0) ** 2)


class Passing(NamedTuple):
    """What of some currents is seen at places behind which others were read: `taken` are the branches that they pass, a
    bit for each, by place; `hidden` what passes a branch that shows nothing: it is brought to the place above it, too,
    as far as it may hide, or all of it, if that nothing is a slip. `misread` is the branch that most likely was misread
    if they flow, its number and the chance, and what passes it."""

    taken: Mapping[str, int]
    hidden: Mapping[str, Sequence[Brought]]
    misread: Mapping[str, MisreadBranch]


def passing(passed: Iterable[tuple[Flow, str, str]], behind: Mapping[str, TakenOff]) -> Passing:
    """Each is a current, the branch that it passes and the place above."""
    taken: dict[str, int] = {}
    quiet: dict[tuple[str, str], list[Flow]] = {}
    loud: dict[tuple[str, str], list[Flow]] = {}
    for flow, branch, place in passed:
        its = behind[place]
        if branch in its.number:
            taken[place] = taken.get(place, 0) | 1 << its.number[branch]
            loud.setdefault((branch, place), []).append(flow)
        elif branch in its.hides:
            quiet.setdefault((branch, place), []).append(flow)
    more: dict[str, list[Brought]] = {}
    for (branch, place), flows in quiet.items():
        flowing = sum(f.mean for f in flows), sum(f.variance for f in flows)
        slip = slipped(*flowing, behind[place].hides[branch], min(f.nothing for f in flows))
        if slip >= WORTH_A_SLIP or branch in behind[place].worth:
            found = (_seen_above(flow, behind[place].hides[branch], slip) for flow in flows)
            more.setdefault(place, []).extend(found)
    misread: dict[str, MisreadBranch] = {}
    for (branch, place), flows in loud.items():
        slip = behind[place].misread(branch, flows)
        if slip >= max(WORTH_A_SLIP, misread[place].chance if place in misread else 0.0):
            misread[place] = MisreadBranch(behind[place].number[branch], slip, brought_together(flows))
    return Passing(taken, more, misread)


def _seen_above(flow: Flow, most: float, slip: float) -> Brought:
    """A current that passes a branch where no more than `most` can hide, as the place above has it."""
    mean, variance = hidden(flow.mean, flow.variance, most)
    between = slip * (1.0 - slip) * (flow.mean - mean) ** 2
    return Brought(
        flow.key,
        slip * flow.mean + (1.0 - slip) * mean,
        slip * flow.variance + (1.0 - slip) * variance + between,
        flow.nothing,
    )


def slipped(mean: float, variance: float, most: float, nothing: float = 0.0) -> float:
    """The chance that a branch which shows nothing was misread, if so much flows there, or `nothing` with this chance:
    it hardly can be as little as hides there."""
    if mean <= 0.0 or isinf(most):
        return 0.0
    its = spread_of_moments(mean, variance)
    if most <= 0.0:
        fits = 0.0
    elif its.sigma <= 0.0:
        fits = float(its.median <= most)
    else:
        fits = 0.5 * erfc(log(its.median / most) / (its.sigma * sqrt(2.0)))
    fits = nothing + (1.0 - nothing) * fits
    return MISREAD_AS_NOTHING / (MISREAD_AS_NOTHING + (1.0 - MISREAD) * fits)


def asleep_behind(flows: Iterable[Flow], behind: Mapping[str, TakenOff], tree: PlaceTree) -> None:
    """Add what a sound car draws at each branch."""
    for flow in flows:
        places = [place for place in tree.way_places(flow.way.places) if place in behind]
        for branch, place in pairwise(places):
            behind[place].add_healthy(branch, flow.mean, flow.variance)
