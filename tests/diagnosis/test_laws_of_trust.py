"""Laws of trust, over random vehicles and cards: an answer never contradicts a decisive test, and what agrees with it
never makes it worse.

A vehicle gets one fault or two out of those that it may have; each of its currents is drawn once, and every place shows
the sum of what passes it. So all readings of a card agree with each other and with what is wrong.
"""

import re
from functools import lru_cache
from itertools import pairwise
from math import exp
from random import Random

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.diagnose import diagnose, posterior_and_next_test
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.explaining.if_two import if_two
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.prepared import Prepared, prepared_for
from circuitmap.diagnosis.seen.trying import normal_up_to
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try
from circuitmap.evidence.written_readings import written_reading
from circuitmap.reports.suspects.outcomes import seen_words
from tests.power.random_platforms import platform_from, random_circuit, random_text

METER = meter_named("low-current-clamp", 0.001)
LEAST = 0.08
"""In A: a draw that is worth looking for."""
VEHICLES = 12


class Car:
    """A random vehicle with one fault, or two, and what its meters show."""

    def __init__(self, seed: int, faults: int = 1) -> None:
        self.random = Random(f"trust {seed}")
        self.circuit = random_vehicle(seed % VEHICLES)
        self.ready: Prepared = prepared_for(self.circuit, {}, Evidence())
        known = [f for f in self.ready.faults if self._total(f.brings) > LEAST and not self._joins(f)]
        self.truth: list[Fault] = self.random.sample(known, min(faults, len(known)))
        self.factors: dict[object, float] = {}

    @property
    def is_fit(self) -> bool:
        """Whether something draws, and each of its currents takes the one way by which its places are fed."""
        ways = [self.ready.tree.way_places(flow.way.places) for fault in self.truth for flow in fault.brings]
        return bool(ways) and all((way[0], *self.ready.tree.above(way[0])) == way for way in ways if way)

    def _joins(self, fault: Fault) -> bool:
        return any(flow.joins_batteries for flow in fault.brings)

    def _total(self, flows: tuple[Flow, ...]) -> float:
        return sum(flow.mean for flow in flows if "BAT" in self.ready.tree.way_places(flow.way.places))

    def amps(self, place: str, out: tuple[str, ...] = ()) -> float:
        """What flows at a place, with parts out."""
        without = self.ready.without(out) if out else None
        flows = dict(without.asleep if without else self.ready.parked.asleep)
        for fault in self.truth:
            for flow in without.left_of(fault) if without else fault.brings:
                flows[flow.key] = flow
        return sum(
            self.factors.setdefault((flow.owner, flow.key.taken), self.random.uniform(0.75, 1.1)) * flow.mean
            for flow in flows.values()
            if place in self.ready.tree.way_places(flow.way.places)
        )

    def reads(self, *places: str, out: tuple[str, ...] = ()) -> tuple[Reading, ...]:
        written = (f"{place}={max(self.amps(place, out), 0.0):.3f}A" for place in places)
        return tuple(written_reading(self.circuit.platform, word, METER) for word in written)

    def takes_out(self, *out: str) -> Try:
        before, after = self.reads("BAT") + self.reads("BAT", out=out)
        return Try(out=out, before=before, after=after, written=",".join(out))

    def fuses(self) -> list[str]:
        """Fuses that carry some of what is wrong, and some that do not."""
        carry = {place for fault in self.truth for flow in fault.brings for place in flow.way.places[:1]}
        names = [fuse.name for fuse in self.circuit.platform.fuses if not self.ready.tree.is_dead(fuse.name)]
        return sorted(names, key=lambda name: (name not in carry, name))[:5]

    def card(self) -> Evidence:
        fuses = self.fuses()
        return Evidence(readings=self.reads("BAT", *self.random.sample(fuses, min(len(fuses), 3))))


@lru_cache(maxsize=VEHICLES)
def random_vehicle(number: int) -> Circuit:
    return random_circuit(number)


def weights(car: Car, evidence: Evidence) -> NDArray[np.float64]:
    """The weight of each single fault."""
    weighing, _ = posterior_and_next_test(car.circuit, evidence)
    return np.asarray(weighing.singles[: len(car.ready.faults)] / (weighing.something + weighing.nothing))


def fit(seed: int, faults: int = 1) -> Car:
    car = Car(seed, faults)
    assume(car.is_fit and len(car.truth) == faults)
    return car


def chances(found: Diagnosis) -> dict[str, float]:
    return {part.part: part.probability for part in found.parts}


def subjects(found: Diagnosis) -> dict[str, float]:
    return {subject.about: subject.probability for subject in found.subjects}


def brings_at(car: Car, fault: Fault, place: str) -> float:
    tree = car.ready.tree
    return sum(flow.mean for flow in fault.brings if place in tree.way_places(flow.way.places))


# Of many faults, such as a wire before the first fuse, no fuse carries anything that was not read.
@settings(max_examples=12, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(st.integers(0, 400))
def test_a_reading_that_agrees_never_lowers_what_it_agrees_with_against_what_it_contradicts(seed: int) -> None:
    car = fit(seed)
    card = car.card()
    read = {reading.place for reading in card.readings}
    truth = car.ready.faults.index(car.truth[0])
    new = [name for name in car.fuses() if name not in read and brings_at(car, car.truth[0], name) > LEAST]
    assume(new)
    before = weights(car, card)
    after = weights(car, card.and_also(Evidence(readings=car.reads(new[0]))))
    for number, fault in enumerate(car.ready.faults):
        if not brings_at(car, fault, new[0]) and before[number] > 0.0:
            assert after[truth] / before[truth] >= after[number] / before[number] * (1.0 - 1e-6)


@settings(max_examples=20, derandomize=True, deadline=None)
@given(st.integers(0, 400))
def test_more_current_where_it_is_too_much_never_makes_it_surer_that_nothing_is_wrong(seed: int) -> None:
    """Without a total; up to what a current between two of those that it is compared with fits better."""
    its, random = random_vehicle(seed % VEHICLES), Random(f"more {seed}")
    ready = prepared_for(its, {}, Evidence())
    fuses = [fuse.name for fuse in its.platform.fuses if not ready.tree.is_dead(fuse.name)]
    assume(fuses)
    place, *others = random.sample(fuses, min(len(fuses), random.randint(1, 3)))
    assume(all(place not in ready.tree.above(o) and o not in ready.tree.above(place) for o in others))
    beside = [f"{other}={random.choice(['0.000A', '0.100A', '0.400A'])}" for other in others]
    least = max(1.05 * normal_up_to(ready.parked, ready.tree, place), 0.03)
    amounts = sorted(least * exp(random.uniform(0.0, 6.0)) for _ in range(5))
    wrong = []
    for amps in amounts:
        readings = (written_reading(its.platform, w, METER) for w in (f"{place}={amps:.3f}A", *beside))
        wrong.append(diagnose(its, Evidence(readings=tuple(readings))).something_wrong)
    assert all(more >= less - 0.005 for less, more in pairwise(wrong))


@settings(max_examples=12, derandomize=True, deadline=None)
@given(st.integers(0, 400))
def test_out_and_normal_never_lowers_what_hangs_on_it(seed: int) -> None:
    car = fit(seed)
    part = car.truth[0].part
    assume(part in car.circuit.platform.parts)
    tried = car.takes_out(part)
    assume((tried.after.amps or 0.0) < 0.02)
    card = car.card()
    before, after = weights(car, card), weights(car, card.and_also(Evidence(tries=(tried,))))
    without = car.ready.without((part,))
    hangs = [n for n, fault in enumerate(car.ready.faults) if fault.brings and not without.left_of(fault)]
    apart = [n for n, fault in enumerate(car.ready.faults) if without.left_of(fault) == fault.brings and fault.brings]
    assert after[hangs].sum() >= before[hangs].sum() - 1e-9
    assert after[apart].sum() <= before[apart].sum() + 1e-9


@settings(max_examples=12, derandomize=True, deadline=None)
@given(st.integers(0, 400))
def test_a_told_try_is_never_the_next_step(seed: int) -> None:
    car = fit(seed)
    card, told = car.card(), set()
    for _ in range(3):
        choices = diagnose(car.circuit, card).tests.choices
        steps = [test.action for test in choices if test.action.takes_out]
        assert not {frozenset(step.parts) for step in steps} & told
        if not steps:
            break
        told.add(frozenset(steps[0].parts))
        card = card.and_also(Evidence(tries=(car.takes_out(*steps[0].parts),)))


AMPS = re.compile(r"(\d+(?:\.\d+)?) (mA|A)\b")


@settings(max_examples=12, derandomize=True, deadline=None)
@given(st.integers(0, 400))
def test_forecasts_lie_between_nothing_and_what_is_left(seed: int) -> None:
    car = fit(seed)
    found = diagnose(car.circuit, car.card())
    most = max((reading.amps or 0.0 for reading in found.netted.readings.values()), default=0.0)
    most = max(most, found.tests.normal_up_to) + (found.account.error if found.account else 0.0)
    for test in found.tests.choices:
        if test.action.doing in ("zero-again", "leads-again", "finer-clamp"):
            assert not test.branches  # nobody foretells what another meter, or zero, shows
            continue
        assert abs(sum(branch.probability for branch in test.branches) - 1.0) < 1e-6
        for branch in test.branches:
            told = seen_words(car.circuit.platform, found, test, branch.outcome)
            for figure, unit in AMPS.findall(told):
                assert 0.0 <= float(figure) * (1.0 if unit == "A" else 0.001) <= most * 1.05 + 0.005, (told, most)


@settings(max_examples=12, derandomize=True, deadline=None)
@given(st.integers(0, 400))
def test_pairs_of_subjects_add_up_to_the_chance_of_two(seed: int) -> None:
    car = fit(seed, 2)
    card = car.card()  # the meter shows something else each time
    weighing, _ = posterior_and_next_test(car.circuit, card)
    faults = diagnose(car.circuit, card).faults
    assume(weighing.two_faults > 0.001)
    told = if_two(weighing, faults, most=10_000)
    assert sum(two.probability for two in told) == pytest.approx(1.0, abs=0.02)


@settings(max_examples=12, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(st.integers(0, 400))
def test_what_is_out_explains_what_it_explained(seed: int) -> None:
    """Of two things one is out: it is still one of the two, and what was read there is no slip."""
    car = fit(seed, 2)
    first, second = car.truth

    def of_first(diagnosis: Diagnosis) -> float:
        """A switch may be told as what it holds, or as itself."""
        its = subjects(diagnosis)
        return max(its.get(first.about, 0.0), its.get(first.part, 0.0))

    tree = car.ready.tree
    assume(first.part in car.circuit.platform.parts and first.about != second.about)
    fuses = [f.way.places[0] for fault in car.truth for f in fault.brings if f.way.places]
    assume(all(not tree.is_dead(fuse) for fuse in fuses))
    tried = car.takes_out(first.part)
    gone = (tried.before.amps or 0.0) - (tried.after.amps or 0.0)  # type: ignore[union-attr]
    assume(gone > 0.3 * (tried.before.amps or 0.0) and (tried.after.amps or 0.0) > LEAST)  # type: ignore[union-attr]
    card = Evidence(readings=car.reads("BAT", *dict.fromkeys(fuses)))
    before = diagnose(car.circuit, card)
    # What hardly anybody suspected may well give way to another that is out with it.
    assume(of_first(before) >= 0.25)
    after = diagnose(car.circuit, card.and_also(Evidence(tries=(tried,))))
    assert of_first(after) >= 0.7 * min(of_first(before), 0.9) - 0.02
    odd = {misfit.segment.place for misfit in after.misfits} - {misfit.segment.place for misfit in before.misfits}
    assert not odd & {f.way.places[0] for f in first.brings if f.way.places}


@settings(max_examples=12, derandomize=True, deadline=None)
@given(st.integers(0, 400))
def test_an_unrelated_lamp_moves_nobody_by_more_than_its_own_odds(seed: int) -> None:
    car = fit(seed)
    more = circuit_of(platform_from(f"{random_text(seed % VEHICLES)}\n{LAMP}"))
    card = car.card()
    before, after = chances(diagnose(car.circuit, card)), chances(diagnose(more, card))
    own = sum(its for part, its in after.items() if part not in before)
    faults = prepared_for(more, {}, Evidence()).faults
    own += sum(f.odds for f in faults if f.part not in before) / sum(f.odds for f in faults)
    shifted = {part: after.get(part, 0.0) - its for part, its in before.items()}
    assert max(map(abs, shifted.values())) <= own + 0.01


LAMP = """
fuse FZZ 10A mini
lamp LZZ running 500mA
switch SZZ positions off, on closes 1 to 2 in on
BAT.+ -> FZZ -> LZZ -> SZZ.1
SZZ.2 -> G1
"""
