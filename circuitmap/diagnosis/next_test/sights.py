"""What a look, the live data, a network's line or a relay's volts would show under each explanation."""

from collections.abc import Container, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.looking import (
    FOLLOWED,
    LAMP_SEEN,
    LAMP_SLIP,
    RELAY_SEEN,
    SEEN_TO_GLOW,
    hangs_there,
    is_on_card,
    pulled_in,
    relay_under,
    seen_by_looking,
)
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.seen.some_volts import DEAD_SHOWS_SOME, volts_at_load

Array = NDArray[np.float64]

LEAST_SEEN = 0.02
"""It is not told what to look for if the chance that a look finds it is below this (judgement)."""
MUCH_EASIER = 0.5
"""Of two faults a look finds one only if the chance to see the other is at most this share of its own (judgement)."""


class Sights:
    """What is there to be seen of the faults of a list. `known` are parts that were out by themselves, and lamps that
    were seen burning, so that nobody has to look at them; `ended` are faults, by number, that have ended with what is
    out now."""

    def __init__(self, faults: Sequence[Fault], listed: Listed, known: Container[str], ended: Container[int]) -> None:
        self.faults, self.listed, self._known, self._ended = faults, listed, known, ended
        self.numbers = sorted({*listed.first.tolist(), *listed.second[listed.second >= 0].tolist()})
        self._first, self._second = listed.first, np.where(listed.second < 0, len(faults), listed.second)
        self._held: dict[int, frozenset[str]] = {}

    def by_looking(self) -> Array:
        """For each explanation the chance that looking finds it."""
        chance = np.zeros(len(self.faults) + 1)
        for n in self.numbers:
            chance[n] = self._seen(n)
        return np.asarray(1.0 - (1.0 - chance[self._first]) * (1.0 - chance[self._second]))

    def found_at(self, place: str, *cables: str) -> Array:
        """For each explanation the chance that whoever follows the wire behind a fuse, or looks at a battery's post and
        clamps these cables there, finds it."""
        return self.two_ways(self._behind(place, *cables), 0.0)[:, 0]

    def _behind(self, place: str, *cables: str) -> dict[int, float]:
        its = ((n, self.faults[n]) for n in self.numbers)
        there = ((n, f) for n, f in its if f.part in cables or (hangs_there(f, place) and not is_on_card(f)))
        return {n: FOLLOWED for n, _ in there}

    def shown_by(self, action: Action) -> list[frozenset[str]]:
        """For each explanation the parts that a look, or the live data, would show: of two faults the one that is much
        easier to see."""
        chance = [0.0] * (len(self.faults) + 1)
        behind = self._behind(*action.parts) if action.parts and action.tells == "what a look finds" else {}
        for n in self.numbers:
            if action.tells == "a wrong input":
                chance[n] = float(self.has_an_input(n))
            elif not action.parts:
                chance[n] = self._seen(n)
            else:
                chance[n] = behind.get(n, 0.0)
        shown = []
        known: dict[tuple[int, ...], frozenset[str]] = {}
        for a, b in zip(self._first.tolist(), self._second.tolist(), strict=True):
            enough = MUCH_EASIER * max(chance[a], chance[b])
            one, other = chance[a] > enough, chance[b] > enough
            its: tuple[int, ...] = (a, b) if one and other else (a,) if one else (b,) if other else ()
            if its not in known:
                known[its] = frozenset(self.faults[n].part for n in its)
            shown.append(known[its])
        return shown

    def has_an_input(self, number: int) -> bool:
        """Whether the live data can show a fault: not that of a module that is out."""
        return self.faults[number].has("inputs") and number not in self._ended

    def likeliest_found(self, most: int, *behind: str) -> tuple[Fault, ...]:
        """The faults that a look is likeliest to find, each part once; of those `behind` a fuse, or at a battery and in
        these cables, if they are named."""
        if behind:
            return self._likeliest(self._behind(*behind), most)
        return self._likeliest({n: self._seen(n) for n in self.numbers}, most)

    def likeliest_inputs(self, left: Container[str], most: int) -> tuple[Fault, ...]:
        """The likeliest of the faults that the live data would show, of these parts, each part once."""
        its = {n: 1.0 for n in self.numbers if self.has_an_input(n) and self.faults[n].part in left}
        return self._likeliest(its, most)

    def _likeliest(self, chances: Mapping[int, float], most: int) -> tuple[Fault, ...]:
        weight = np.bincount(self._first, self.listed.weights, len(self.faults) + 1)
        weight += np.bincount(self._second, self.listed.weights, len(self.faults) + 1)
        found = {n: float(weight[n]) * chance for n, chance in chances.items()}
        least = LEAST_SEEN * float(self.listed.weights.sum())
        by_part: dict[str, Fault] = {}
        for n in sorted(found, key=lambda n: (-round(found[n], 12), n)):
            if found[n] >= least:
                by_part.setdefault(self.faults[n].part, self.faults[n])
        return tuple(by_part.values())[:most]

    def two_ways(self, seen: Mapping[int, float], otherwise: float) -> Array:
        """The chances of seeing something and of seeing nothing, under each explanation."""
        chance = np.full(len(self.faults) + 1, otherwise)
        for number, its in seen.items():
            chance[number] = its
        yes = np.maximum(chance[self._first], chance[self._second])
        return or_not(yes)

    def found_by(self, action: Action) -> Array:
        """The chances of finding something, and nothing, by looking round, following a wire or looking at a post."""
        return or_not(self.found_at(*action.parts) if action.parts else self.by_looking())

    def at_lamp(self, lamp: str) -> Array:
        """The chances of seeing a lamp burn, and of seeing it dark, under each explanation."""
        seen = {
            n: SEEN_TO_GLOW if self.faults[n].partly else LAMP_SEEN
            for n in self.numbers
            if any(flow.owner == lamp and flow.key.taken == "running" for flow in self.faults[n].brings)
        }
        return self.two_ways(seen, LAMP_SLIP)

    def at_load(self, parked: Parked, load: str) -> Array:
        """The chances of some volts, and of none, at the feed of a load, under each explanation."""
        return self.two_ways(volts_at_load(parked, self.faults, self.numbers, load), DEAD_SHOWS_SOME)

    def relay(self, relay: str) -> Array:
        """The chances of finding a relay held, stuck or open, under each explanation."""
        rank = {"open": 0, "stuck": 1, "held": 2}
        state = np.zeros(len(self.faults) + 1, dtype=int)
        for n in self.numbers:
            fault = self.faults[n]
            if id(fault.brings) not in self._held:
                self._held[id(fault.brings)] = pulled_in(fault.brings)
            state[n] = rank[relay_under(fault, relay, self._held[id(fault.brings)])]
        worst = np.maximum(state[self._first], state[self._second])
        table = np.full((3, 3), (1.0 - RELAY_SEEN) / 2.0)
        table[0, 2] = table[1, 1] = table[2, 0] = RELAY_SEEN
        return np.asarray(table[worst])

    def _seen(self, number: int) -> float:
        fault = self.faults[number]
        lamps_known = fault.kind == "lamp" and fault.others and all(lamp in self._known for lamp in fault.others)
        return 0.0 if fault.part in self._known or lamps_known else seen_by_looking(fault)


def or_not(chances: Array) -> Array:
    """The chances of something, and of nothing, under each explanation."""
    return np.stack([chances, 1.0 - chances], axis=1)
