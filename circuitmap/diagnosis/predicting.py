"""What each explanation expects of an action, before it is done: chances of its outcomes."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.actions import TAKES_OUT, Action
from circuitmap.diagnosis.bell_curve import cdf
from circuitmap.diagnosis.fault_kinds import LINE_ASLEEP_SEEN_AWAKE, LINE_AWAKE_SEEN, Kind
from circuitmap.diagnosis.faults import Fault
from circuitmap.diagnosis.listing import Listed
from circuitmap.diagnosis.log_normal import log_shape
from circuitmap.diagnosis.observing import brought_together
from circuitmap.diagnosis.outcomes import OUTCOMES, chances_of_outcomes
from circuitmap.diagnosis.parked import Parked
from circuitmap.diagnosis.picture import Flow
from circuitmap.diagnosis.places import PlaceTree, nearest
from circuitmap.diagnosis.sightings import Outcome
from circuitmap.evidence.fuse_drop import cold_resistance, hidden_below
from circuitmap.wiring.parts import Fuse

Array = NDArray[np.float64]

# Judgement: how often a look, without any tool, finds what is wrong.
SEEN_BY_LOOKING: dict[Kind, float] = {
    "added": 0.30, "lamp": 0.75, "contact": 0.20, "coil": 0.15, "by-itself": 0.10, "chafed": 0.15, "unfused": 0.10,
    "keeps-awake": 0.02, "wrong-input": 0.10, "none-of-these": 0.02,
}  # fmt: skip
SEEN_IF_NAMED = 0.6
INPUT_SEEN = 0.90
RELAY_SEEN = 0.95
SLIP = 0.04
"""Share of tests that show something else than they should."""
LEAST_READ = 0.012
"""What a fuse reading hides where nothing is known of the fuse, in A."""


@dataclass(frozen=True, slots=True)
class Moments:
    """Mean and variance of a current, in A and A^2."""

    mean: float = 0.0
    variance: float = 0.0

    def __add__(self, other: "Moments") -> "Moments":
        return Moments(self.mean + other.mean, self.variance + other.variance)

    def without(self, other: "Moments") -> "Moments":
        return Moments(max(self.mean - other.mean, 0.0), max(self.variance - other.variance, 0.0))


NOTHING = Moments()


def moments_of(flows: Iterable[Flow]) -> Moments:
    currents = brought_together(flows)
    return Moments(sum(c.mean for c in currents), sum(c.variance for c in currents))


@dataclass(slots=True)
class Expectations:
    """What faults bring to places and lose by parts taken out; kept from one diagnosis to the next."""

    parked: Parked
    tree: PlaceTree
    _places: dict[int, tuple[tuple[Flow, ...], Mapping[str, tuple[Flow, ...]]]] = field(default_factory=dict)
    _left: dict[tuple[tuple[str, ...], tuple[str, ...], str], Moments] = field(default_factory=dict)
    _whole: dict[tuple[tuple[str, ...], str], Moments] = field(default_factory=dict)

    def brought(self, fault: Fault, place: str) -> Moments:
        """All that a fault brings to a place."""
        key = (fault.identity, place)
        if key not in self._whole:
            self._whole[key] = moments_of(self.at(fault, place))
        return self._whole[key]

    def at(self, fault: Fault, place: str) -> tuple[Flow, ...]:
        """The currents that a fault brings to a place."""
        known = self._places.get(id(fault.brings))
        if known is None or known[0] is not fault.brings:
            by_place: dict[str, list[Flow]] = {}
            for flow in fault.brings:
                for name in self.tree.way_places(flow.way.places):
                    by_place.setdefault(name, []).append(flow)
            known = (fault.brings, {name: tuple(flows) for name, flows in by_place.items()})
            self._places[id(fault.brings)] = known
        return known[1].get(place, ())

    def left(self, fault: Fault, out: tuple[str, ...], place: str) -> Moments:
        """What a fault still brings to a place with parts out: nothing if the culprit is out or has lost every supply;
        else what does not hang on them. What a part takes moves to the supply pins it has left."""
        key = (fault.identity, out, place)
        if key not in self._left:
            self._left[key] = self._find_left(fault, frozenset(out), place)
        return self._left[key]

    def _find_left(self, fault: Fault, out: frozenset[str], place: str) -> Moments:
        flows = self.at(fault, place)
        if fault.part in out or fault.module in out:
            return NOTHING
        if fault.lives_by and all(through & out for through in fault.lives_by):
            return NOTHING
        leg = self._leg_members(out)
        if leg is not None and fault.wakes:
            return moments_of(flow for flow in flows if (flow.owner in leg) == (fault.module in leg))
        kept = [flow for flow in flows if not flow.way.through & out]
        if len(kept) == len(flows):
            return self.brought(fault, place)
        remain = {flow.owner for flow in kept}
        whole = {flow.owner: Moments(*flow.whole) for flow in flows if flow.owner in remain and flow.pins > 1}
        rest = moments_of(flow for flow in kept if flow.owner not in whole)
        for moments in whole.values():
            rest = rest + moments
        return rest

    def _leg_members(self, out: frozenset[str]) -> frozenset[str] | None:
        for name in out:
            owner, _, number = name.rpartition(".")
            star = self.parked.platform.stars.get(owner)
            if star is not None and number.isdecimal():
                return frozenset(star.legs[int(number) - 1])
        return None


@dataclass(frozen=True, slots=True)
class Setting:
    """What a try is measured by: the place that stays on the meter, its current in A, what counts as normal there, the
    display step, and the places measured so far."""

    place: str
    was: float
    normal_up_to: float
    step: float
    measured: frozenset[str]


class Predictions:
    """Chances of the outcomes of actions under the explanations of a list."""

    def __init__(
        self, expectations: Expectations, faults: Sequence[Fault], listed: Listed, setting: Setting
    ) -> None:
        self.know, self.faults, self.listed, self.setting = expectations, faults, listed, setting
        self.numbers = sorted({*listed.first.tolist(), *listed.second[listed.second >= 0].tolist()})
        self.asleep = moments_of(
            flow
            for flow in expectations.parked.asleep.values()
            if setting.place in expectations.tree.way_places(flow.way.places)
        )

    def of(self, action: Action) -> tuple[tuple[str, ...], Array]:
        """Names of the outcomes, and their chances for each explanation."""
        if action.doing in TAKES_OUT:
            return OUTCOMES, self._after_taking_out(action.parts)
        if action.doing in ("read-fuse", "clamp"):
            return ("quiet", "some", "most"), self._read_at(action.parts[0])
        if action.doing == "network-line":
            seen = {n: LINE_AWAKE_SEEN for n in self.numbers if action.parts[0] in self.faults[n].wakes}
            return ("awake", "asleep"), self._two_ways(seen, LINE_ASLEEP_SEEN_AWAKE)
        if action.doing == "inputs":
            seen = {n: INPUT_SEEN for n in self.numbers if self.faults[n].kind == "wrong-input"}
            return ("a wrong input", "all right"), self._two_ways(seen, SLIP)
        assert action.doing == "relay-volts"
        return ("held", "closed, not held", "open"), self._relay(action.parts[0])

    def seen_by_looking(self) -> Array:
        """For each explanation the chance that looking finds it."""
        chance = np.zeros(len(self.faults) + 1)
        for n in self.numbers:
            fault = self.faults[n]
            named = fault.kind == "added" and fault.place and fault.place != fault.part and fault.about == fault.part
            chance[n] = SEEN_IF_NAMED if named else SEEN_BY_LOOKING[fault.kind]
        first, second = chance[self.listed.first], chance[self.listed.second]
        return np.asarray(1.0 - (1.0 - first) * (1.0 - second))

    def _two_ways(self, seen: Mapping[int, float], otherwise: float) -> Array:
        chance = np.full(len(self.faults) + 1, otherwise)
        for number, its in seen.items():
            chance[number] = its
        chance[-1] = otherwise
        yes = np.maximum(chance[self.listed.first], chance[self.listed.second])
        return np.stack([yes, 1.0 - yes], axis=1)

    def _relay(self, relay: str) -> Array:
        state = np.zeros(len(self.faults) + 1, dtype=int)
        for n in self.numbers:
            fault = self.faults[n]
            holds_it = any(flow.key == (relay, "coil", "") for flow in fault.brings)
            if holds_it or (fault.kind == "coil" and fault.contact == relay):
                state[n] = 2
            elif fault.kind == "contact" and fault.part == relay:
                state[n] = 1
        worst = np.maximum(state[self.listed.first], state[self.listed.second])
        slip = (1.0 - RELAY_SEEN) / 2.0
        table = np.full((3, 3), slip)
        table[0, 2] = table[1, 1] = table[2, 0] = RELAY_SEEN
        return np.asarray(table[worst])

    def _read_at(self, place: str) -> Array:
        """Nothing, some, or most of the total, read at a place that was not read before."""
        mean, variance = np.zeros(len(self.faults) + 1), np.zeros(len(self.faults) + 1)
        known: dict[int, Moments] = {}
        for n in self.numbers:
            flows = self.know.at(self.faults[n], place)
            if flows:
                key = id(self.faults[n].brings)
                if key not in known:
                    known[key] = moments_of(flow for flow in flows if self._is_new_at(flow, place))
                mean[n], variance[n] = known[key].mean, known[key].variance
        healthy = moments_of(flow for flow in self.know.parked.asleep.values() if self._is_new_at(flow, place))
        means = mean[self.listed.first] + mean[self.listed.second] + healthy.mean
        variances = variance[self.listed.first] + variance[self.listed.second] + healthy.variance
        hidden = LEAST_READ if place not in self.know.parked.platform.parts else self._hidden_at(place)
        much = max(0.5 * self.setting.was, 2.0 * hidden)
        log_median, sigma = log_shape(means, variances)
        with np.errstate(invalid="ignore", divide="ignore"):
            below = [cdf((np.log(edge) - log_median) / np.maximum(sigma, 0.1)) for edge in (hidden, much)]
        quiet, most = below[0], 1.0 - below[1]
        chances = np.stack([quiet, np.maximum(1.0 - quiet - most, 0.0), most], axis=1)
        chances[means <= 0.0] = (1.0, 0.0, 0.0)
        return np.asarray((1.0 - SLIP) * chances + SLIP / 3.0)

    def _is_new_at(self, flow: Flow, place: str) -> bool:
        """Whether a current passes a place and no measured place before it."""
        places = self.know.tree.way_places(flow.way.places)
        return place in places and nearest(places[: places.index(place)], self.setting.measured) is None

    def _hidden_at(self, place: str) -> float:
        part = self.know.parked.platform.parts[place]
        if isinstance(part, Fuse):
            resistance = cold_resistance(part.style, part.rating)
            if resistance is not None:
                return hidden_below(resistance)
        return max(LEAST_READ, 3.0 * self.setting.step)

    def _after_taking_out(self, out: tuple[str, ...]) -> Array:
        listed, setting = self.listed, self.setting
        size = len(self.faults) + 1
        brought, left = np.zeros((2, size)), np.zeros((2, size))
        for n in self.numbers:
            fault = self.faults[n]
            whole, rest = self.know.brought(fault, setting.place), self.know.left(fault, out, setting.place)
            brought[:, n] = whole.mean, whole.variance
            left[:, n] = rest.mean, rest.variance
        same = np.array([id(f.brings) for f in self.faults] + [-1])
        alike = same[listed.first] == same[listed.second]
        second_left = np.where(alike, 0.0, left[:, listed.second])
        both_left = left[:, listed.first] + second_left
        both_left = np.where(alike, np.maximum(left[:, listed.first], left[:, listed.second]), both_left)
        whole_both = brought[:, listed.first] + np.where(alike, 0.0, brought[:, listed.second])
        staying = both_left + np.array([[self.asleep.mean], [self.asleep.variance]])
        going = np.maximum(whole_both - both_left, 0.0)
        going[0, going[0] < 1e-9] = 0.0
        outcome = Outcome("", setting.was, setting.normal_up_to, setting.step, SLIP)
        chances = chances_of_outcomes((staying[0], staying[1]), (going[0], going[1]), outcome)
        return np.stack(chances, axis=1)
