"""Laws that hold whatever the vehicle and whatever was read."""

import itertools
from dataclasses import replace
from functools import cache
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.weighing.information import expected_bits
from circuitmap.diagnosis.weighing.log_normal import Spread
from circuitmap.diagnosis.weighing.reading_chance import Strip, chance_of
from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, ReadBehind, StateSighting
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.diagnosis.weighing.weights import weighed
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from tests.diagnosis.cards import CARDS, after, circuit, evidence_after
from tests.diagnosis.test_against_listing import made_up
from tests.platforms_strategy import _made_up, read

CLAMP = meter_named("clamp")


@cache
def small_circuit(seed: int) -> Circuit:
    return circuit_of(read(_made_up(Random(seed), 1 + seed % 3)))


def some_evidence(seed: int) -> Evidence:
    """Random readings on a random small vehicle."""
    random = Random(seed)
    platform = small_circuit(seed).platform
    places = [p.name for p in platform.parts.values() if p.kind in ("fuse", "battery", "box", "link", "breaker")]
    chosen = random.sample(places, min(len(places), random.randint(1, 6)))
    words = []
    for place in chosen:
        amps = random.choice(["0A", "0.00A", f"{random.uniform(0, 2):.2f}A", f"{random.uniform(0, 0.1):.3f}A"])
        is_fuse = platform.parts[place].kind == "fuse"
        drop = random.choice(["0.0mV", f"{random.uniform(0, 5):.1f}mV", "draws", "quiet"])
        words.append(f"{place}={drop if is_fuse and random.random() < 0.6 else amps}")
    readings = tuple(written_reading(platform, word, CLAMP) for word in words)
    return Evidence(readings=readings)


def figures(diagnosis: Diagnosis) -> dict[str, float]:
    return {part.part: part.probability for part in diagnosis.parts}


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 400), st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(seed: int, random: Random) -> None:
    evidence = some_evidence(seed)
    shuffled = list(evidence.readings)
    random.shuffle(shuffled)
    one = diagnose(small_circuit(seed), evidence)
    other = diagnose(small_circuit(seed), replace(evidence, readings=tuple(shuffled)))
    assert figures(one) == pytest.approx(figures(other), rel=1e-9, abs=1e-12)
    assert [row.explanation.members for row in one.rows[:5]] == [row.explanation.members for row in other.rows[:5]]


@pytest.mark.parametrize("name", CARDS)
def test_the_same_card_gives_the_same_answer_again(name: str) -> None:
    again = diagnose(circuit(name.partition("/")[0]), evidence_after(name))
    first = after(name)
    assert figures(again) == figures(first)
    assert [row.argument for row in again.rows] == [row.argument for row in first.rows]
    assert again.tests == first.tests


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000))
def test_all_figures_are_finite_and_probabilities(seed: int) -> None:
    diagnosis = diagnose(small_circuit(seed % 400), some_evidence(seed % 400))
    values = [diagnosis.something_wrong, diagnosis.two_faults, *figures(diagnosis).values()]
    values += [row.probability for row in diagnosis.rows]
    values += [b.probability for test in diagnosis.tests.choices for b in test.branches]
    assert np.isfinite(values).all()
    assert min(values) >= 0.0 and max(values) < 1.0 + 1e-9
    for row in diagnosis.rows:
        assert np.isfinite([line.decibans for line in row.argument.lines]).all()
        assert row.argument.total == pytest.approx(sum(line.decibans for line in row.argument.lines), abs=1e-9)


@pytest.mark.parametrize("seed", range(50))
def test_an_unrelated_fault_leaves_the_ratios_of_the_others(seed: int) -> None:
    sightings, odds = made_up(seed)
    alone = weighed(tables_of(sightings, len(odds)), odds)
    beside = weighed(tables_of(sightings, len(odds) + 1), np.append(odds, 0.01))
    ratio = beside.singles[: len(odds)] * np.exp(beside.top) / (alone.singles * np.exp(alone.top))
    np.testing.assert_allclose(ratio, ratio[0], rtol=1e-9)


@pytest.mark.parametrize("seed", range(50))
def test_a_reading_that_all_expect_equally_moves_nobody(seed: int) -> None:
    sightings, odds = made_up(seed)
    before = weighed(tables_of(sightings, len(odds)), odds)
    same_for_all = [
        CurrentSighting("equal", Strip(0.2, 0.21), 0.15, 0.01, {}),
        StateSighting("equal too", 0.4, (0.4,), dict.fromkeys(range(0, len(odds), 2), 0)),
    ]
    after_it = weighed(tables_of([*sightings, *same_for_all], len(odds)), odds)
    np.testing.assert_allclose(after_it.given_something, before.given_something, rtol=1e-9)
    assert after_it.something_wrong == pytest.approx(before.something_wrong, rel=1e-9)


NOTATION = """
platform "Marlow Linnet" supply 12V return body
battery BAT 72Ah
box CAB "Cab fuse box"
fuse ENG1 60A bolted
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3
fuse CAB.F1 40A maxi, CAB.F2 10A mini, CAB.F3 10A mini
module HEATER supply 1 asleep 1mA awake 100mA..200mA
module LOCKS supply 1 asleep 1mA awake 50mA..100mA
module TOWMOD supply 1 asleep 1mA awake 50mA..100mA
network BODY can members HEATER, LOCKS
sheet "1"
BAT.+ -> ENG1 -> CAB.B1
CAB.F1 -> HEATER.1
CAB.F2 -> LOCKS.1
CAB.F3 -> TOWMOD.1
"""


@cache
def heater_circuit() -> Circuit:
    from circuitmap.notation.reading import read_text
    from circuitmap.source import SourceFile
    from circuitmap.wiring.declare import platform_of

    source = SourceFile("a.circuit", NOTATION)
    notation, problems = read_text(source)
    assert problems == ()
    return circuit_of(platform_of([notation], [source]))


def heater_case(*words: str, meter: str = "series") -> Diagnosis:
    its = heater_circuit()
    readings = tuple(written_reading(its.platform, word, meter_named(meter, 0.001)) for word in words)
    return diagnose(its, Evidence(readings=readings))


def test_a_parent_equal_to_its_children_moves_nobody_when_all_were_read() -> None:
    apart = heater_case("F1=0.140A", "F2=0.070A", "F3=0.001A")
    with_parent = heater_case("F1=0.140A", "F2=0.070A", "F3=0.001A", "ENG1=0.211A")
    before, since = figures(apart), figures(with_parent)
    named = ("HEATER", "LOCKS", "TOWMOD", "line of BODY")
    for part in named:
        assert since[part] / since["HEATER"] == pytest.approx(before[part] / before["HEATER"], rel=0.02)


def test_what_was_not_read_says_nothing() -> None:
    """Two fuses drawing, the third not read, or read and quiet: only the reading speaks."""
    unread = heater_case("F1=0.140A", "F2=0.070A")
    quiet = heater_case("F1=0.140A", "F2=0.070A", "F3=0.000A")
    labels = {line.about for row in unread.rows for line in row.argument.lines}
    assert labels and not any(isinstance(label, Segment) and label.place == "CAB.F3" for label in labels)
    assert figures(unread)["TOWMOD"] > figures(quiet)["TOWMOD"]


def test_the_one_that_keeps_a_network_awake_may_be_on_a_fuse_that_was_not_read() -> None:
    diagnosis = heater_case("F2=0.070A")
    assert figures(diagnosis)["HEATER"] > 0.2


def test_a_fuse_that_hides_the_current_does_not_clear_its_load() -> None:
    """0.0 mV on a fuse too big for the meter, and 0.001 A in series, are two different things."""
    hidden = heater_case("F1=0.0mV", "F2=0.070A")
    clear = heater_case("F1=0.001A", "F2=0.070A")
    assert figures(hidden)["HEATER"] > 2.0 * figures(clear)["HEATER"]


def test_a_clamps_zero_takes_weight_from_its_readings() -> None:
    in_series = heater_case("F1=0.060A", meter="series")
    clamped = heater_case("F1=0.060A", meter="clamp")
    assert in_series.something_wrong > clamped.something_wrong


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(1e-3, 1.0), st.floats(0.3, 1.5)), min_size=2, max_size=6),
    st.floats(0.002, 0.2),
    st.floats(0.0, 0.05),
)
def test_more_resolution_never_lowers_expected_information(
    currents: list[tuple[float, float]], step: float, blur: float
) -> None:
    """Half the display step divides each strip in two: what is told can only grow."""
    spreads = [Spread(*current) for current in currents]
    means = np.array([s.mean for s in spreads])
    variances = np.array([s.variance for s in spreads])
    weights = np.full(len(spreads), 1.0 / len(spreads))

    edges = np.arange(-40, 200) * step
    halves = np.unique(np.concatenate([edges, edges[:-1] + step / 2.0]))

    def bits_of(cuts: np.ndarray) -> float:
        cuts = np.concatenate([[-np.inf], cuts, [np.inf]])
        strips = [Strip(float(a), float(b), blur) for a, b in itertools.pairwise(cuts)]
        chances = np.stack([chance_of(strip, means, variances) for strip in strips], axis=1)
        return float(expected_bits(weights, range(len(spreads)), chances / chances.sum(axis=1, keepdims=True)))

    assert bits_of(halves) >= bits_of(edges) - 1e-4


def test_which_of_two_faults_is_named_first_does_not_matter() -> None:
    """Also where each of them takes another branch off the place that was read: both take off both."""
    brought = {n: (Brought(f"part {n}", 0.1 * (n + 1), 0.01),) for n in range(3)}
    sighting = CurrentSighting(
        "BAT",
        Strip(0.30, 0.31),
        0.01,
        1e-4,
        brought,
        branches=(ReadBehind(0.10, 0.005, 0.001, 0.0, 0.002, 1e-6), ReadBehind(0.05, 0.005, 0.001, 0.0, 0.0, 0.0)),
        taken={0: 1, 1: 2},
    )
    (table,) = tables_of([sighting], 3)
    np.testing.assert_allclose(table.log_chance, table.log_chance.T, rtol=1e-12)
    both, alone = table.log_chance[table.columns[0], table.columns[1]], table.log_chance[:, 0]
    assert np.isfinite(both) and len(set(alone.round(6).tolist())) == 4
