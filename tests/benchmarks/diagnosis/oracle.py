"""The best that anybody could do: whoever knows how the simulator draws everything weighs each fault, and each two,
by Bayes' rule. It imports the simulator's vehicles and nothing of the package; frozen, so that a figure in the page is
held against the same bound as long as the simulator stays what it is.

The currents that no meter showed are drawn a few hundred or thousand times as the simulator draws them. Fuses that no
module joins are independent; the total is a sum whose measured part is nearly known and whose rest is nearly normal.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, product
from math import log, pi, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from tests.benchmarks.diagnosis.simulator import NOMINAL, SHARES
from tests.benchmarks.diagnosis.vehicles import Vehicle, woken_with

Array = NDArray[np.float64]
SAMPLES, SAMPLES_EACH_ZERO = 3000, 800
RESISTANCE_SIGMA, GAIN_SIGMA = 0.08, 0.01
ZERO_SIGMA = {"clamp": 0.030, "low-current-clamp": 0.003, "series": 0.0}
_POINTS = 12
_REST = tuple(np.polynomial.hermite_e.hermegauss(5))
_LEAST = 1e-300
_LOG_AMPS = np.linspace(log(1e-5), log(1e3), 3000)


class Known(NamedTuple):
    """What the simulator's meter showed: (place, shown) in the order read; how it reads; how wide the truth spreads."""

    shown: Sequence[tuple[str, str]]
    meter: str
    step: float
    misreads: float
    scale: float


class Guess(NamedTuple):
    """A fault as the simulator puts it in: `about` what it is all about; `current` is what flows by it, as (place,
    name) pairs of contributions, `up` the networks that it wakes. Two of one `kind` with the same `current` and `up`
    are one class: no reading tells them apart."""

    kind: str
    part: str
    about: str
    odds: float
    up: frozenset[int] = frozenset()
    current: tuple[tuple[str, str], ...] = ()

    @property
    def effect(self) -> tuple[frozenset[int], tuple[tuple[str, str], ...]]:
        return self.up, self.current


def guesses(vehicle: Vehicle) -> list[Guess]:
    """Every fault that the simulator can draw, with the odds by which it does."""
    whole = sum(SHARES.values())
    odds = {kind: share / whole for kind, share in SHARES.items()}
    constant = [fuse.name for fuse in vehicle.fuses if not fuse.switched]
    talking = [module for module in vehicle.modules if module.networks]
    found = []
    for fuse in constant:
        for kind, part in (("added", f"something on {fuse}"), ("chafed", f"wiring behind {fuse}")):
            found.append(Guess(kind, part, fuse, odds[kind] / len(constant), current=((fuse, "any"),)))
    for module in talking:
        each = odds["keeps-awake"] / len(talking) / len(module.networks)
        for network in module.networks:
            up = frozenset(woken_with(vehicle, network))
            found.append(Guess("keeps-awake", module.name, f"N{network}", each, up))
        inputs = module.inputs or (module.name,)
        every = frozenset().union(*(woken_with(vehicle, network) for network in module.networks))
        for part in inputs:
            each = odds["wrong-input"] / len(talking) / len(inputs)
            found.append(Guess("wrong-input", part, f"N{module.networks[0]}", each, every))
    for module in vehicle.modules:
        its = tuple((feed, f"own {module.name} {n}") for n, feed in enumerate(module.feeds))
        found.append(
            Guess("by-itself", module.name, module.name, odds["by-itself"] / len(vehicle.modules), current=its)
        )
    for lamp in vehicle.lamps:
        its = ((lamp.fuse, f"running {lamp.name}"),)
        found.append(Guess("lamp", lamp.switch, lamp.switch, odds["lamp"] / len(vehicle.lamps), current=its))
    for relay in vehicle.relays:
        load = f"running {relay.load}"
        contact = ((relay.feed, load), (relay.behind, load))
        coil = ((relay.coil, f"coil {relay.name}"), *contact)
        each = odds["contact"] / 2.0 / len(vehicle.relays)
        found.append(Guess("contact", relay.name, relay.name, each, current=contact))
        found.append(Guess("output", relay.module, relay.name, each, current=coil))
        wire = f"control wire of {relay.name}"
        found.append(Guess("coil", wire, relay.name, odds["coil"] / len(vehicle.relays), current=coil))
    for part, its_share in (("ALT", 0.7), ("STARTER", 0.3)):
        found.append(Guess("unfused", part, part, odds["unfused"] * its_share, current=(("", "any"),)))
    return found


class _Piece(NamedTuple):
    """Some fuses by themselves: the chance of what was read at them, and what flows through them to the battery, as
    points of equal weight."""

    chance: float
    points: Array
    mean: float
    variance: float


def _piece_of(chance: float, points: Array) -> _Piece:
    return _Piece(max(chance, _LEAST), points, float(points.mean()), float(points.var()))


@dataclass
class Oracle:
    """What is known of one vehicle, and the weight of everything that may be wrong with it."""

    vehicle: Vehicle
    known: Known
    seed: int = 1

    def __post_init__(self) -> None:
        self.guesses = guesses(self.vehicle)
        self.in_millivolts = {
            place for place, shown in self.known.shown if shown.endswith("mV")
        }  # a place is read one way, always
        self.read: dict[str, list[float]] = {}
        for place, shown in self.known.shown:
            self.read.setdefault(place, []).append(float(shown.removesuffix("mV").removesuffix("A")))
        self.one_zero = any(place != "BAT" and place not in self.in_millivolts for place in self.read)
        self._draw(SAMPLES_EACH_ZERO if self.one_zero and ZERO_SIGMA[self.known.meter] else SAMPLES)
        self._pieces: dict[object, _Piece] = {}
        self._sums: dict[object, tuple[float, float, float]] = {}

    # What may flow.

    def _draw(self, count: int) -> None:
        random, scale = np.random.default_rng(self.seed), self.known.scale
        self.count = count

        def spread(sigma: float) -> Array:
            return np.asarray(np.exp(sigma * random.standard_normal(count)))

        self.drawn: dict[str, Array] = {}
        self.by_status: dict[frozenset[int], dict[str, Array]] = {}
        awake, asleep, split = {}, {}, {}
        for module in self.vehicle.modules:
            awake[module.name] = module.typical * spread((0.28 if module.told else 0.35) * scale)
            asleep[module.name] = module.asleep * spread(0.3 * scale)
            split[module.name] = random.uniform(0.25, 0.75, count)
            own = module.typical * spread(0.7)
            shares = (split[module.name], 1.0 - split[module.name]) if len(module.feeds) == 2 else (np.ones(count),)
            for n, its in enumerate(shares):
                self.drawn[f"own {module.name} {n}"] = own * its
        for name, typical in (
            *((lamp.name, lamp.typical) for lamp in self.vehicle.lamps),
            *((relay.load, relay.typical) for relay in self.vehicle.relays),
        ):
            self.drawn[f"running {name}"] = typical * spread(0.2 * scale)
        for relay in self.vehicle.relays:
            self.drawn[f"coil {relay.name}"] = 0.14 * spread(0.3)
        # One current may be anything: laid out evenly, so that no part of the spread is left out by chance.
        evenly = (np.arange(count) + 0.5) / count
        self.drawn["any"] = np.exp(-1.5 + random.permutation(ndtri(evenly)))
        self.drawn["any again"] = np.exp(-1.5 + random.permutation(ndtri(evenly)))
        every_status = {guess.up for guess in self.guesses} | {
            one.up | other.up for one in self.guesses for other in self.guesses
        }
        for up in every_status:
            amps = {fuse.name: np.zeros(count) for fuse in self.vehicle.fuses}
            for module in self.vehicle.modules:
                is_up = any(network in up for network in module.networks) or (
                    module.name == self.vehicle.gateway and bool(up & set(self.vehicle.joins))
                )
                current = (awake if is_up else asleep)[module.name]
                if len(module.feeds) == 1:
                    amps[module.feeds[0]] += current
                else:
                    amps[module.feeds[0]] += current * split[module.name]
                    amps[module.feeds[1]] += current * (1.0 - split[module.name])
            self.by_status[up] = amps

    @cached_property
    def groups(self) -> list[tuple[str, ...]]:
        """Fuses that modules with two feeds join."""
        group = {fuse.name: {fuse.name} for fuse in self.vehicle.fuses}
        for module in self.vehicle.modules:
            both = set().union(*(group[feed] for feed in module.feeds))
            for name in both:
                group[name] = both
        return sorted({tuple(sorted(its)) for its in group.values()})

    # What the meter shows of it.

    def _chance_at(self, place: str, amps: Array, zero: float) -> Array:
        """Of everything that was read at a fuse, for each current."""
        if place not in self.read:
            return np.ones_like(amps)
        if place not in self.in_millivolts:
            return np.asarray(np.prod([self._chance_of_amps(one, amps, zero) for one in self.read[place]], axis=0))
        return np.asarray(np.interp(np.log(np.maximum(amps, 1e-5)), _LOG_AMPS, self._drops[place]))

    @cached_property
    def _drops(self) -> dict[str, Array]:
        """The chance of the millivolts that were read at each fuse, for currents close enough together."""
        found = {}
        for place in self.in_millivolts:
            fuse = self.vehicle.fuse_named[place]
            log_drop = _LOG_AMPS + log(NOMINAL[fuse.style, fuse.rating])
            chance = np.zeros_like(log_drop)
            # The fuse's own resistance is the same each time.
            for way in product(*(list(self._drop_windows(round(one / 0.1))) for one in self.read[place])):
                weight = float(np.prod([its[0] for its in way]))
                low, high = max(its[1] for its in way), min(its[2] for its in way)
                if weight > 1e-9 and low < high:
                    top = ndtr((log(high) - log_drop) / RESISTANCE_SIGMA) if np.isfinite(high) else 1.0
                    bottom = ndtr((log(low) - log_drop) / RESISTANCE_SIGMA) if low > 0.0 else 0.0
                    chance += weight * (top - bottom)
            found[place] = chance
        return found

    def _drop_windows(self, counts: int) -> Iterator[tuple[float, float, float]]:
        """Weights, and the millivolts between which the true drop then is."""
        misread = self.known.misreads
        by_chance = 0.0
        for jitter, its in ((-1, 0.25), (0, 0.5), (1, 0.25)):
            low, high = (counts - jitter - 0.5) * 0.1, (counts - jitter + 0.5) * 0.1
            if counts == 0:
                low = 0.0
            if high <= 0.0:
                continue
            yield its * (1.0 - misread), low, high
            yield its * misread / 3.0, low / 10.0, high / 10.0
            by_chance += its * misread / 3.0 * ((low <= 0.0) + max(0.0, min(high, 3.0) - max(low, 0.0)) / 3.0)
        yield by_chance, 0.0, np.inf

    def _chance_of_amps(self, shown: float, amps: Array, zero: float) -> Array:
        misread, step = self.known.misreads, self.known.step
        low, high = (round(shown / step) - 0.5) * step, (round(shown / step) + 0.5) * step
        blur = np.maximum(GAIN_SIGMA * np.abs(amps), 1e-7)

        def between(lowest: float, highest: float) -> Array:
            return np.asarray(ndtr((highest - zero - amps) / blur) - ndtr((lowest - zero - amps) / blur))

        anything = (ndtr((log(high) + 2.0) / 1.5) if high > 0 else 0.0) - (
            ndtr((log(low) + 2.0) / 1.5) if low > 0 else 0.0
        )
        slip = float(low <= 0.0 <= high) + between(low / 10, high / 10) + between(low * 10, high * 10) + anything
        return (1.0 - misread) * between(low, high) + misread / 4.0 * slip

    # Weighing.

    def _piece(
        self, up: frozenset[int], groups: Sequence[tuple[str, ...]], more: Mapping[str, Array], zero: float
    ) -> _Piece:
        """Groups of fuses with more flowing through some; `""` is what flows through none."""
        base = self.by_status[up]
        weight, total = np.ones(self.count), np.array(more.get("", np.zeros(self.count)))
        for name in (name for group in groups for name in group):
            amps = base[name] + more[name] if name in more else base[name]
            weight = weight * self._chance_at(name, amps, zero)
            if not self.vehicle.fuse_named[name].switched:
                total = total + amps
        whole = float(weight.sum())
        if whole <= 0.0:
            return _piece_of(_LEAST, np.full(_POINTS, float(total.mean())))
        order = np.argsort(total)
        reached = np.cumsum(weight[order]) / whole
        points = total[order][np.searchsorted(reached, (np.arange(_POINTS) + 0.5) / _POINTS)]
        return _piece_of(whole / self.count, points)

    def _plain(self, up: frozenset[int], group: tuple[str, ...], zero: float) -> _Piece:
        key = up, group, zero if self.one_zero else 0.0
        if key not in self._pieces:
            self._pieces[key] = self._piece(up, [group], {}, zero)
        return self._pieces[key]

    def _with(self, up: frozenset[int], current: tuple[tuple[str, str], ...], zero: float) -> _Piece:
        key = up, current, zero if self.one_zero else 0.0
        if key not in self._pieces:
            more: dict[str, Array] = {}
            used: set[str] = set()
            for place, name in current:
                drawn = self.drawn["any again" if name == "any" and "any" in used else name]
                used.add(name)
                more[place] = more[place] + drawn if place in more else drawn
            self._pieces[key] = self._piece(up, self._touched(current), more, zero)
        return self._pieces[key]

    def _touched(self, current: tuple[tuple[str, str], ...]) -> list[tuple[str, ...]]:
        places = {place for place, _ in current}
        return [group for group in self.groups if places & set(group)]

    @cached_property
    def zeros(self) -> list[tuple[float, float]]:
        """What the meter's zero may be, with weights."""
        sigma = ZERO_SIGMA[self.known.meter]
        if sigma == 0.0:
            return [(0.0, 1.0)]
        spacing = self.known.step / 3.0 if self.one_zero else sigma / 3.0
        places = np.arange(-4.0 * sigma, 4.0 * sigma, spacing)
        weights = np.exp(-0.5 * (places / sigma) ** 2)
        both = list(zip(places.tolist(), (weights / weights.sum()).tolist(), strict=True))
        if not self.one_zero:
            return both
        # One odd fuse may be a slip whatever the zero is: by hardly more than this.
        fits = [log(w) + max(self._all_plain(up, zero)[0] for up in self.by_status) for zero, w in both]
        return [its for its, fit in zip(both, fits, strict=True) if fit > max(fits) - 25.0]

    def _all_plain(self, up: frozenset[int], zero: float) -> tuple[float, float, float]:
        """All fuses with nothing on top: the logarithm of the chance of what was read, and the moments of the total."""
        key = "all", up, zero if self.one_zero else 0.0
        if key not in self._sums:
            pieces = [self._plain(up, group, zero) for group in self.groups]
            chance = sum(log(piece.chance) for piece in pieces)
            self._sums[key] = chance, sum(piece.mean for piece in pieces), sum(piece.variance for piece in pieces)
        return self._sums[key]

    def chance(self, up: frozenset[int], *currents: tuple[tuple[str, str], ...]) -> float:
        """Logarithm of the chance of all that was read, with these networks awake and these currents on top."""
        if len(currents) == 2 and set(self._touched(currents[0])) & set(self._touched(currents[1])):
            currents = ((*currents[0], *currents[1]),)
        touched = {group for current in currents for group in self._touched(current)}
        found = []
        for zero, weight in self.zeros:
            chance, mean, variance = self._all_plain(up, zero)
            for group in touched:
                piece = self._plain(up, group, zero)
                chance, mean, variance = chance - log(piece.chance), mean - piece.mean, variance - piece.variance
            sums = np.array([mean])
            for current in currents:
                piece = self._with(up, current, zero)
                chance += log(piece.chance)
                sums = (sums[:, None] + piece.points).reshape(-1)
            total = self._chance_of_total(sums, max(variance, 0.0), zero)
            found.append(log(weight) + chance + log(max(total, _LEAST)))
        top = max(found)
        return top + log(sum(np.exp(one - top) for one in found))

    def _chance_of_total(self, sums: Array, variance: float, zero: float) -> float:
        nodes, weights = _REST
        amps = np.maximum(sums[:, None] + sqrt(variance) * nodes, 0.0)
        seen = np.prod([self._chance_of_amps(one, amps, zero) for one in self.read.get("BAT", ())], axis=0)
        return float((seen * weights).sum() / sqrt(2.0 * pi) / len(sums))

    @cached_property
    def single(self) -> Array:
        """The probability of each guess, given that it is one thing."""
        known: dict[object, float] = {}
        logs = []
        for guess in self.guesses:
            if guess.effect not in known:
                known[guess.effect] = self.chance(guess.up, *([guess.current] if guess.current else []))
            logs.append(log(guess.odds) + known[guess.effect])
        weights = np.exp(np.array(logs) - max(logs))
        return np.asarray(weights / weights.sum())

    def pairs(self) -> dict[tuple[str, str], float]:
        """The probability of each two subjects, in order of name, given that it is two things."""
        effects: dict[object, tuple[frozenset[int], tuple[tuple[str, str], ...], dict[str, float]]] = {}
        for guess in self.guesses:
            its = effects.setdefault(guess.effect, (guess.up, guess.current, {}))
            its[2][guess.about] = its[2].get(guess.about, 0.0) + guess.odds
        every = list(effects.values())
        found: list[tuple[float, dict[str, float], dict[str, float]]] = []
        # What each brings by itself bounds from above, but for the total, what it brings beside another.
        alone = {its[:2]: self._bound(*its[:2]) for its in every}
        ordered = sorted(
            ([*combinations(every, 2)] + [(its, its) for its in every if sum(its[2].values()) > 0.0]),
            key=lambda two: -self._bound_of_two(two[0], two[1], alone),
        )
        best = -np.inf
        for one, other in ordered:
            bound = self._bound_of_two(one, other, alone)
            if bound < best - 9.0:
                break
            currents = [its[1] for its in (one, other) if its[1]]
            chance = self.chance(one[0] | other[0], *currents) + self._log_odds(one) + self._log_odds(other)
            best = max(best, chance)
            found.append((chance, one[2], other[2]))
        by_subject: dict[tuple[str, str], float] = {}
        for chance, one_odds, other_odds in found:
            weight = float(np.exp(chance - best))
            whole = sum(one_odds.values()) * sum(other_odds.values())
            for (a, x), (b, y) in product(one_odds.items(), other_odds.items()):
                key = (a, b) if a <= b else (b, a)
                by_subject[key] = by_subject.get(key, 0.0) + weight * x * y / whole
        whole = sum(by_subject.values())
        return {key: its / whole for key, its in by_subject.items()}

    def _log_odds(self, its: tuple[frozenset[int], tuple[tuple[str, str], ...], dict[str, float]]) -> float:
        return log(sum(its[2].values()))

    def _bound(self, up: frozenset[int], current: tuple[tuple[str, str], ...]) -> float:
        """How much better the fuses are explained by a current at the meter's likeliest zero."""
        zero = max(self.zeros, key=lambda its: its[1])[0]
        if not current:
            return 0.0
        plain = sum(log(self._plain(up, group, zero).chance) for group in self._touched(current))
        return log(self._with(up, current, zero).chance) - plain

    def _bound_of_two(self, one: tuple, other: tuple, alone: Mapping[object, float]) -> float:  # type: ignore[type-arg]
        zero = max(self.zeros, key=lambda its: its[1])[0]
        up = one[0] | other[0]
        its = self._all_plain(up, zero)[0] + self._log_odds(one) + self._log_odds(other)
        if one[1] and other[1] and set(self._touched(one[1])) & set(self._touched(other[1])):
            both = (*one[1], *other[1])
            return its + self._bound(up, both)
        for current in (one[1], other[1]):
            its += self._bound(up, current) if current else 0.0
        return its
