"""What faults bring to places, and what is left of it with parts taken out: worked out once for each car."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from operator import itemgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Out
from circuitmap.diagnosis.seen.passed_places import by_taker, takes_all

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]


_Left = tuple[int, float, float]
"""A fault, and the mean and variance of what is left of it."""


class _KnownLeft(NamedTuple):
    """The faults that somebody asked about, by number, and those of them that lose something."""

    asked: set[int]
    changed: dict[int, _Left]


class Moments(NamedTuple):
    """The mean and variance of a current, in A and A^2."""

    mean: float = 0.0
    variance: float = 0.0


NOTHING = Moments()


def moments_of(flows: Iterable[Flow]) -> Moments:
    """The moments of all flows that one fault brings to one place (like `brought_together`, and summed in that
    order)."""
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
    """What comes to a place: for each piece its effect (an index into `faults`, whose entries are faults that act
    alike), the way it took (an index into `before`, the places passed before), its mean and its variance."""

    before: tuple[tuple[str, ...], ...]
    faults: tuple[list[int], ...]
    effect: Numbers
    way: Numbers
    mean: Array
    variance: Array


class _Currents(NamedTuple):
    """What one effect brings to a place: means and variances in the order in which they are summed, and by part or
    contact those that run through it. `shared` is all that any current runs through which a part shares over several
    supply pins: with one of that out the part takes it by the pins it has left. `of_owner` are the currents of each
    such part, also those elsewhere."""

    moments: Sequence[tuple[float, float]]
    through: Mapping[str, list[int]]
    shared: frozenset[str]
    of_owner: Mapping[str, list[Flow]]


@dataclass(slots=True)
class Expectations:
    """Faults by their number in `faults`: mean and variance of what each brings to places."""

    parked: Parked
    tree: PlaceTree
    faults: Sequence[Fault]
    _whole: dict[str, Array] = field(default_factory=dict)
    _left: dict[tuple[tuple[str, ...], str], _KnownLeft] = field(default_factory=dict)
    _touched: dict[str, tuple[Numbers, Array, Moments]] = field(default_factory=dict)
    _own: dict[str, list[int]] = field(default_factory=dict)
    _sound: dict[str, Moments] = field(default_factory=dict)
    _asleep: dict[str, list[tuple[Flow, tuple[str, ...]]]] = field(default_factory=dict)
    _pieces: dict[str, "_Pieces"] = field(default_factory=dict)
    _passed_before: dict[str, frozenset[str]] = field(default_factory=dict)
    _alike: dict[int, tuple[list[int], tuple[Flow, ...]]] = field(default_factory=dict)
    _by_place: dict[str, dict[int, tuple[list[int], list[Flow]]]] = field(default_factory=dict)
    _through: dict[int, frozenset[str]] = field(default_factory=dict)
    _currents: dict[tuple[int, str], _Currents | None] = field(default_factory=dict)
    _shared: dict[int, tuple[frozenset[str], Mapping[str, list[Flow]]]] = field(default_factory=dict)

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

    def left(self, out: tuple[str, ...], place: str, among: frozenset[int] | None = None) -> tuple[Numbers, Array]:
        """Of all faults, or `among` these, those that lose something with parts out, and what they still bring to a
        place: nothing if the culprit is out or has lost every supply; else what does not hang on these parts. What a
        part takes moves to the supply pins it has left. Ordered by what is left, so that of faults that bring the same,
        those that go on stand last."""
        asked = frozenset(range(len(self.faults))) if among is None else among
        known = self._left.setdefault((out, place), _KnownLeft(set(), {}))
        new = asked - known.asked
        if new:
            known.asked.update(new)
            known.changed.update(self._left_of(new, out, place))
        changed = [its for number, its in known.changed.items() if number in asked]
        changed.sort(key=itemgetter(1, 2, 0))
        return (
            np.array([number for number, _, _ in changed], dtype=np.intp),
            np.array([its[1:] for its in changed], dtype=float).reshape(-1, 2).T,
        )

    def _left_of(self, asked: frozenset[int], out: tuple[str, ...], place: str) -> dict[int, _Left]:
        """Those of the faults that lose something, with what is left of each: only what was asked for is worked out,
        since of many faults few are ever named."""
        gone = Out(self.parked.platform, self.parked.with_joint(frozenset(out)), self.parked.own_battery)
        names = (*sorted(gone.names), *(gone.owner_of(plug) for plug in gone.plugs))
        leg = self._leg_members(gone.names)
        by_itself = asked if leg is not None else asked & self._touched_itself(names)
        found = self._one_after_another(sorted(by_itself), gone, place, leg)
        found += self._by_effect(asked - by_itself, gone, place)
        whole = self.brought(place)[0]
        return {its[0]: its for its in found if abs(its[1] - whole[its[0]]) > 1e-12}

    def _one_after_another(
        self, numbers: Iterable[int], gone: Out, place: str, leg: frozenset[str] | None
    ) -> list[_Left]:
        """The mean and variance that faults still bring, each asked whether it goes on; not those that lose nothing."""
        found = []
        stays: dict[tuple[int, bool, bool], Moments | None] = {}
        for number in numbers:
            fault = gone.going_on(self.faults[number])
            if fault is None:
                its: Moments | None = NOTHING
            else:
                # Faults that bring the same lose the same: all that keep one network awake, say.
                like = (id(fault.brings), bool(fault.wakes), leg is not None and fault.module in leg)
                if like not in stays:
                    stays[like] = self._find_left(fault, gone, place, leg)
                its = stays[like]
                if its is None and fault is not self.faults[number]:
                    its = self._brings(fault, place)  # the other one of a joint fault keeps all its own currents
            if its is not None:
                found.append((number, its.mean, its.variance))
        return found

    def _by_effect(self, numbers: frozenset[int], gone: Out, place: str) -> list[_Left]:
        """The same for faults that go on whatever is out, once for all that bring the same."""
        alike: dict[int, list[int]] = {}
        for number in sorted(numbers):
            alike.setdefault(id(self.faults[number].brings), []).append(number)
        found = []
        for its_numbers in alike.values():
            its = self._find_left(self.faults[its_numbers[0]], gone, place, None)
            if its is not None:
                found += [(number, its.mean, its.variance) for number in its_numbers]
        return found

    def new_at(self, place: str, measured: frozenset[str]) -> tuple[Numbers, Array, Moments]:
        """What faults, and a sound car, bring to a place over ways on which nothing was measured before that place."""
        if measured.isdisjoint(self._before(place)):
            if place not in self._touched:
                whole = self.brought(place)
                touched = np.flatnonzero(whole[0])
                self._touched[place] = touched, whole[:, touched], self.sound(place)
            return self._touched[place]
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
        """What faults bring to a place, broken down by the places that the current passes before."""
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
        """What a sound car draws through a place, each current with the places that it passes before."""
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
        """Places that some current passes on its way to this one."""
        if not self._passed_before:
            found: dict[str, set[str]] = {}
            for flows in (*(flows for _, flows in self._effects().values()), tuple(self.parked.asleep.values())):
                for flow in flows:
                    places = self.tree.way_places(flow.way.places)
                    for n, name in enumerate(places):
                        found.setdefault(name, set()).update(places[:n])
            self._passed_before = {name: frozenset(its) for name, its in found.items()}
        return self._passed_before.get(place, frozenset())

    def _touched_itself(self, names: Iterable[str]) -> set[int]:
        """Faults whose culprit, or a supply of it, is among these names: only they can end with them."""
        if not self._own:
            for number, fault in enumerate(self.faults):
                culprits = fault.of or (fault,)
                own = {name for one in culprits for name in (one.part, one.module)}
                for its in own.union(*(supply for one in culprits for supply in one.lives_by)):
                    self._own.setdefault(its, []).append(number)
        return set().union(*(self._own.get(name, ()) for name in names))

    def _effects(self) -> dict[int, tuple[list[int], tuple[Flow, ...]]]:
        """What faults bring, each distinct effect once, with the numbers of all faults that bring just that."""
        if not self._alike:
            for number, fault in enumerate(self.faults):
                self._alike.setdefault(id(fault.brings), ([], fault.brings))[0].append(number)
        return self._alike

    def _at(self, place: str) -> dict[int, tuple[list[int], list[Flow]]]:
        """The same for what they bring to a place; empty where they bring nothing."""
        if not self._by_place:
            for effect, (numbers, brings) in self._effects().items():
                for flow in brings:
                    for passed in dict.fromkeys(self.tree.way_places(flow.way.places)):
                        at_place = self._by_place.setdefault(passed, {})
                        at_place.setdefault(effect, (numbers, []))[1].append(flow)
        return self._by_place.get(place, {})

    def ways_to(self, place: str) -> list[tuple[str, ...]]:
        """The places on each way by which some fault brings a current to a place."""
        flows = (flow for _, its in self._at(place).values() for flow in its)
        return [self.tree.way_places(places) for places in {flow.way.places: None for flow in flows}]

    def _find_left(self, fault: Fault, out: Out, place: str, leg: frozenset[str] | None) -> Moments | None:
        """What a fault that goes on still brings; None: all of it."""
        if leg is not None:
            if not fault.wakes:
                return None
            flows = (flow for flow in fault.brings if place in self.tree.way_places(flow.way.places))
            return moments_of(flow for flow in flows if (flow.owner in leg) == (fault.module in leg))
        if out.names.isdisjoint(self._hangs_on(fault.brings)):
            return None
        currents = self._currents_at(fault.brings, place)
        if currents is None:
            kept = out.kept(fault.brings)
            return moments_of(flow for flow in kept if place in self.tree.way_places(flow.way.places))
        if not out.names.isdisjoint(currents.shared):
            _, there = self._at(place).get(id(fault.brings), ([], []))
            return moments_of(out.kept(there, currents.of_owner))
        # What is left at a place hangs on nothing elsewhere.
        lost = {n for name in out.names for n in currents.through.get(name, ())}
        mean = variance = 0.0
        for n, its in enumerate(currents.moments):
            if n not in lost:
                mean += its[0]
                variance += its[1]
        return Moments(mean, variance)

    def _brings(self, fault: Fault, place: str) -> Moments:
        return moments_of(flow for flow in fault.brings if place in self.tree.way_places(flow.way.places))

    def _hangs_on(self, brings: tuple[Flow, ...]) -> frozenset[str]:
        """Everything that any of these currents runs through."""
        if id(brings) not in self._through:
            self._through[id(brings)] = frozenset().union(*(flow.way.through for flow in brings))
        return self._through[id(brings)]

    def _currents_at(self, brings: tuple[Flow, ...], place: str) -> _Currents | None:
        """The currents of an effect at a place one by one; None for what no fault brings that stands by itself."""
        key = id(brings), place
        if key not in self._currents:
            _, flows = self._at(place).get(id(brings), ([], []))
            self._currents[key] = (
                _one_by_one(flows, *self._shared_by(brings)) if id(brings) in self._effects() else None
            )
        return self._currents[key]

    def _shared_by(self, brings: tuple[Flow, ...]) -> tuple[frozenset[str], Mapping[str, list[Flow]]]:
        """What parts share over several supply pins runs through, and the currents of these parts."""
        if id(brings) not in self._shared:
            several = [flow for flow in brings if flow.pins > 1]
            owners: dict[str, list[Flow]] = {flow.owner: [] for flow in several}
            for flow in brings if owners else ():
                if flow.owner in owners:
                    owners[flow.owner].append(flow)
            self._shared[id(brings)] = (frozenset[str]().union(*(flow.way.through for flow in several)), owners)
        return self._shared[id(brings)]

    def _leg_members(self, out: frozenset[str]) -> frozenset[str] | None:
        for name in out:
            owner, _, number = name.rpartition(".")
            star = self.parked.platform.stars.get(owner)
            if star is not None and number.isdecimal():
                return frozenset(star.legs[int(number) - 1])
        return None


def _one_by_one(flows: list[Flow], shared: frozenset[str], of_owner: Mapping[str, list[Flow]]) -> _Currents:
    moments = [(0.0, 0.0)]  # so that there is a sum where nothing flows
    through: dict[str, list[int]] = {}
    for together in by_taker(flows):
        if takes_all(together):
            moments.append(together[0].whole)
            continue
        for flow in together:
            for name in flow.way.through if flow.pins == 1 else ():
                through.setdefault(name, []).append(len(moments))
            moments.append((flow.mean, flow.variance))
    return _Currents(moments, through, shared, of_owner)
