"""What faults bring to places, and what is left of that with parts taken out: worked out once for each car."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import compress
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.faults import Fault
from circuitmap.diagnosis.observing import by_taker, takes_all
from circuitmap.diagnosis.parked import Parked
from circuitmap.diagnosis.picture import Flow
from circuitmap.diagnosis.places import PlaceTree

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]


class Moments(NamedTuple):
    """Mean and variance of a current, in A and A^2."""

    mean: float = 0.0
    variance: float = 0.0


NOTHING = Moments()


def moments_of(flows: Iterable[Flow]) -> Moments:
    """Of all flows that one fault brings to one place (as `brought_together`, and summed in that order)."""
    mean = variance = 0.0
    for together in by_taker(flows):
        if takes_all(together):
            its_mean, its_variance = together[0].whole
            mean += its_mean
            variance += its_variance
        else:
            for flow in together:
                mean += flow.mean
                variance += flow.variance
    return Moments(mean, variance)


class _Pieces(NamedTuple):
    """What comes to a place: for each piece the effect (a number in `faults`, which are alike), the way it took (a
    number in `before`, the places passed before), its mean and its variance."""

    before: tuple[tuple[str, ...], ...]
    faults: tuple[list[int], ...]
    effect: Numbers
    way: Numbers
    mean: Array
    variance: Array


class _Summands(NamedTuple):
    """What each of some flows hangs on, and its mean and variance, in the order in which they are summed. A part with
    `several` live supply pins takes all it takes, through those that are left: there stand the number of the flow, the
    part, and the mean and variance of all of it."""

    through: list[frozenset[str]]
    means: list[float]
    variances: list[float]
    several: tuple[tuple[int, str, tuple[float, float]], ...]

    def left(self, stays: Sequence[bool]) -> Moments:
        mean, variance = sum(compress(self.means, stays)), sum(compress(self.variances, stays))
        for its_mean, its_variance in {owner: whole for n, owner, whole in self.several if stays[n]}.values():
            mean += its_mean
            variance += its_variance
        return Moments(mean, variance)


@dataclass(slots=True)
class Expectations:
    """By the number of a fault among `faults`: mean and variance of what it brings to places."""

    parked: Parked
    tree: PlaceTree
    faults: Sequence[Fault]
    _whole: dict[str, Array] = field(default_factory=dict)
    _left: dict[tuple[tuple[str, ...], str], tuple[Numbers, Array]] = field(default_factory=dict)
    _hanging: dict[str, list[int]] = field(default_factory=dict)
    _waking: list[int] = field(default_factory=list)
    _sound: dict[str, Moments] = field(default_factory=dict)
    _asleep: dict[str, list[tuple[Flow, tuple[str, ...]]]] = field(default_factory=dict)
    _pieces: dict[str, "_Pieces"] = field(default_factory=dict)
    _passed_before: dict[str, frozenset[str]] = field(default_factory=dict)
    _alike: dict[int, tuple[list[int], tuple[Flow, ...]]] = field(default_factory=dict)
    _by_place: dict[str, dict[int, tuple[list[int], list[Flow]]]] = field(default_factory=dict)

    _ready: dict[tuple[str, int], "_Summands | None"] = field(default_factory=dict)

    def brought(self, place: str) -> Array:
        """Two rows, means and variances, of what each fault brings to a place."""
        known = self._whole.get(place)
        if known is None:
            known = np.zeros((2, len(self.faults)))
            for numbers, flows in self._at(place).values():
                its = moments_of(flows) if len(flows) > 1 else flows[0]
                known[0, numbers], known[1, numbers] = its.mean, its.variance
            self._whole[place] = known
        return known

    def left(self, out: tuple[str, ...], place: str) -> tuple[Numbers, Array]:
        """The faults that lose something with parts out, and what they still bring to a place: nothing if the culprit
        is out or has lost every supply; else what does not hang on them. What a part takes moves to the supply pins
        it has left. In the order of what is left, so that of faults that bring the same those that go on stand last."""
        known = self._left.get((out, place))
        if known is None:
            gone = frozenset(out)
            whole = self.brought(place)[0].tolist()
            leg = self._leg_members(gone)
            candidates = set().union(*(self.hanging_on(name) for name in out))
            if leg is not None:
                candidates |= set(self._wakers())
            numbers, left = [], []
            stays: dict[tuple[int, bool, bool], Moments | None] = {}
            for number in sorted(candidates):
                fault = self.faults[number]
                if _ended(fault, gone):
                    its: Moments | None = NOTHING
                else:
                    # Faults that bring the same lose the same: all that keep one network awake, say.
                    like = (id(fault.brings), bool(fault.wakes), leg is not None and fault.module in leg)
                    if like not in stays:
                        stays[like] = self._find_left(fault, gone, place, leg)
                    its = stays[like]
                if its is not None and abs(its.mean - whole[number]) > 1e-12:
                    numbers.append(number)
                    left.append((its.mean, its.variance))
            order = sorted(range(len(numbers)), key=left.__getitem__)
            known = (
                np.array([numbers[n] for n in order], dtype=np.intp),
                np.array([left[n] for n in order], dtype=float).reshape(-1, 2).T,
            )
            self._left[out, place] = known
        return known

    def new_at(self, place: str, measured: frozenset[str]) -> tuple[Numbers, Array, Moments]:
        """What faults, and a sound car, bring to a place by ways on which nothing was measured before it."""
        if not self._before(place) & measured:
            whole = self.brought(place)
            touched = np.flatnonzero(whole[0])
            return touched, whole[:, touched], self.sound(place)
        pieces = self._pieces_at(place)
        new = np.array([measured.isdisjoint(before) for before in pieces.before], dtype=bool)[pieces.way]
        means = np.bincount(pieces.effect[new], pieces.mean[new], len(pieces.faults))
        variances = np.bincount(pieces.effect[new], pieces.variance[new], len(pieces.faults))
        there = np.flatnonzero(means > 0.0).tolist()
        numbers = np.array([number for n in there for number in pieces.faults[n]], dtype=np.intp)
        counts = [len(pieces.faults[n]) for n in there]
        moments = np.repeat(np.stack([means[there], variances[there]]).astype(float), counts, axis=1)
        sound = moments_of(f for f, before in self._asleep_through(place) if measured.isdisjoint(before))
        return numbers, moments, sound

    def _pieces_at(self, place: str) -> "_Pieces":
        """What faults bring to a place, taken apart by the places it passes before."""
        known = self._pieces.get(place)
        if known is None:
            before: dict[tuple[str, ...], int] = {}
            effect, way, moments = [], [], []
            faults = []
            for n, (alike, flows) in enumerate(self._at(place).values()):
                faults.append(alike)
                by_way: dict[int, list[Flow]] = {}
                for flow in flows:
                    places = self.tree.way_places(flow.way.places)
                    passed = places[: places.index(place)]
                    by_way.setdefault(before.setdefault(passed, len(before)), []).append(flow)
                for number, its in by_way.items():
                    both = moments_of(its) if len(its) > 1 else its[0]
                    effect.append(n)
                    way.append(number)
                    moments.append((both.mean, both.variance))
            mean, variance = np.array(moments, dtype=float).reshape(-1, 2).T
            ways = np.array(way, dtype=np.intp)
            known = _Pieces(tuple(before), tuple(faults), np.array(effect, dtype=np.intp), ways, mean, variance)
            self._pieces[place] = known
        return known

    def _asleep_through(self, place: str) -> list[tuple[Flow, tuple[str, ...]]]:
        """What a sound car draws through a place, each with the places that it passes before."""
        if not self._asleep:
            for flow in self.parked.asleep.values():
                places = self.tree.way_places(flow.way.places)
                for n, passed in enumerate(places):
                    if passed not in places[:n]:
                        self._asleep.setdefault(passed, []).append((flow, places[:n]))
        return self._asleep.get(place, [])

    def sound(self, place: str) -> Moments:
        """What a sound car draws at a place, asleep."""
        if place not in self._sound:
            self._sound[place] = moments_of(flow for flow, _ in self._asleep_through(place))
        return self._sound[place]

    def _before(self, place: str) -> frozenset[str]:
        """Places that some current passes before it passes this one."""
        if not self._passed_before:
            found: dict[str, set[str]] = {}
            for flows in (*(flows for _, flows in self._effects().values()), tuple(self.parked.asleep.values())):
                for flow in flows:
                    places = self.tree.way_places(flow.way.places)
                    for n, name in enumerate(places):
                        found.setdefault(name, set()).update(places[:n])
            self._passed_before = {name: frozenset(its) for name, its in found.items()}
        return self._passed_before.get(place, frozenset())

    def hanging_on(self, name: str) -> list[int]:
        """Faults that could change with a part out: it is the culprit, or some of their current, or the culprit's
        supply, runs through it."""
        if not self._hanging:
            for alike, flows in self._effects().values():
                through = frozenset().union(*(flow.way.through for flow in flows))
                for number in alike:
                    fault = self.faults[number]
                    for its in through.union((fault.part, fault.module), *fault.lives_by):
                        self._hanging.setdefault(its, []).append(number)
        return self._hanging.get(name, [])

    def _effects(self) -> dict[int, tuple[list[int], tuple[Flow, ...]]]:
        """What faults bring, each once, with the numbers of all faults that bring just that."""
        if not self._alike:
            for number, fault in enumerate(self.faults):
                self._alike.setdefault(id(fault.brings), ([], fault.brings))[0].append(number)
        return self._alike

    def _at(self, place: str) -> dict[int, tuple[list[int], list[Flow]]]:
        """The same of what they bring to a place; nothing where that is nothing."""
        if not self._by_place:
            for effect, (numbers, brings) in self._effects().items():
                for flow in brings:
                    for passed in dict.fromkeys(self.tree.way_places(flow.way.places)):
                        at_place = self._by_place.setdefault(passed, {})
                        at_place.setdefault(effect, (numbers, []))[1].append(flow)
        return self._by_place.get(place, {})

    def _wakers(self) -> list[int]:
        if not self._waking:
            self._waking = [number for number, fault in enumerate(self.faults) if fault.wakes]
        return self._waking

    def _find_left(self, fault: Fault, out: frozenset[str], place: str, leg: frozenset[str] | None) -> Moments | None:
        """What a fault that goes on still brings; None: all of it."""
        _, flows = self._at(place).get(id(fault.brings), ([], []))
        if leg is not None:
            if not fault.wakes:
                return None
            return moments_of(flow for flow in flows if (flow.owner in leg) == (fault.module in leg))
        ready = self._summands(place, id(fault.brings), flows)
        stays = (
            [out.isdisjoint(through) for through in ready.through]
            if ready is not None
            else [out.isdisjoint(flow.way.through) for flow in flows]
        )
        if all(stays):
            return None
        if not any(stays):
            return NOTHING
        if ready is not None:
            return ready.left(stays)
        kept = list(compress(flows, stays))
        remain = {flow.owner for flow in kept}
        whole = {flow.owner: flow.whole for flow in flows if flow.pins > 1 and flow.owner in remain}
        mean, variance = moments_of(flow for flow in kept if flow.owner not in whole)
        for its_mean, its_variance in whole.values():
            mean += its_mean
            variance += its_variance
        return Moments(mean, variance)

    def _summands(self, place: str, effect: int, flows: Sequence[Flow]) -> "_Summands | None":
        """Flows ready to be summed again and again, each time without some of them. None where the sum depends on
        which of them come together: several of one taker on one pin each."""
        if (place, effect) not in self._ready:
            alone = [flow for flow in flows if flow.pins == 1]
            several = tuple((n, flow.owner, flow.whole) for n, flow in enumerate(flows) if flow.pins > 1)
            plain = all(len(its) == 1 for its in by_taker(alone)) and {flow.owner for flow in alone}.isdisjoint(
                owner for _, owner, _ in several
            )
            means = [flow.mean if flow.pins == 1 else 0.0 for flow in flows]
            variances = [flow.variance if flow.pins == 1 else 0.0 for flow in flows]
            through = [flow.way.through for flow in flows]
            self._ready[place, effect] = _Summands(through, means, variances, several) if plain else None
        return self._ready[place, effect]

    def _leg_members(self, out: frozenset[str]) -> frozenset[str] | None:
        for name in out:
            owner, _, number = name.rpartition(".")
            star = self.parked.platform.stars.get(owner)
            if star is not None and number.isdecimal():
                return frozenset(star.legs[int(number) - 1])
        return None


def _ended(fault: Fault, out: frozenset[str]) -> bool:
    """Whether the culprit itself is out, or has lost every supply it lives by."""
    if fault.part in out or fault.module in out:
        return True
    return bool(fault.lives_by) and not any(out.isdisjoint(through) for through in fault.lives_by)
