"""Live sets against a slow evaluator written the other way round, and against possible worlds.

Source: none from outside; the second evaluator shares no code with the first, and the worlds have nothing unknown in
them.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from math import inf
from random import Random
from typing import TypeVar

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.state import VehicleState
from tests.always import always
from tests.power.random_platforms import random_circuit, random_state
from tests.power.slow_evaluator import SlowEvaluator
from tests.power.slow_wiring import World

Anything = TypeVar("Anything")
PLATFORMS, IN_ONE_TEST = 1000, 50


def both_sides(slow: SlowEvaluator, circuit: Circuit) -> dict[str, int]:
    """Everything that the slow evaluator says, by what it is about."""
    said = {}
    for node in circuit.nodes:
        key = repr(node)
        said[f"supply {key}"] = 2 if slow.certain.live(node) else 1 if slow.possible.live(node) else 0
        said[f"ground {key}"] = 2 if slow.certain.grounded(node) else 1 if slow.possible.grounded(node) else 0
    said |= {f"draws {name}": slow.draws(name) for name in circuit.loads}
    said |= {f"pulled in {name}": level for name, level in slow.relays.items()}
    said |= {f"network {name}": level for name, level in slow.networks.items()}
    return said | {f"awake {name}": level for name, level in slow.awake.items()}


def claims(powered: Powered) -> dict[str, int]:
    said = {}
    for node in powered.circuit.nodes:
        said[f"supply {node!r}"] = int(powered.supply[node])
        said[f"ground {node!r}"] = int(powered.ground[node])
    said |= {f"draws {name}": int(load.draws) for name, load in powered.loads.items()}
    said |= {f"pulled in {name}": int(level) for name, level in powered.energised.items()}
    said |= {f"network {name}": int(level) for name, level in powered.networks.items()}
    return said | {f"awake {name}": int(level) for name, level in powered.awake.items()}


@pytest.mark.parametrize("first", always(PLATFORMS // IN_ONE_TEST // 2, range(0, PLATFORMS, IN_ONE_TEST)))
def test_both_evaluators_say_the_same(first: int) -> None:
    for seed in range(first, first + IN_ONE_TEST):
        circuit = random_circuit(seed)
        state = random_state(circuit, seed)
        slow = SlowEvaluator(circuit, state)
        slow.settle()
        said, expected = claims(evaluate(circuit, state)), both_sides(slow, circuit)
        different = {what: (said[what], expected[what]) for what in expected if said[what] != expected[what]}
        assert not different, (seed, state, different)


@pytest.mark.parametrize("first", always(100 // IN_ONE_TEST, range(0, 200, IN_ONE_TEST)))
def test_yes_and_no_hold_in_every_possible_world(first: int) -> None:
    """What is yes stays yes, what is no stays no, whatever the unknown turns out to be."""
    tally: Counter[tuple[int, int]] = Counter()
    for seed in range(first, first + IN_ONE_TEST):
        circuit = random_circuit(seed)
        state = replace(random_state(circuit, seed), bridged=frozenset(), minutes=inf)
        powered = evaluate(circuit, state)
        if powered.buzzing or powered.racing:
            continue
        claimed = claims(powered)
        random = Random(seed)
        for _ in range(4):
            slow = world_of(circuit, state, random)
            slow.settle()
            if slow.pinned or slow.shorted or slow.in_series & slow.relays.keys():
                # Nobody knows how it ends; a fuse would blow; a coil has too little to say whether it pulls.
                continue
            truth = both_sides(slow, circuit)
            for what, claim in claimed.items():
                tally[claim, truth[what]] += 1
                side, _, node = what.partition(" ")
                other = {"supply": "ground", "ground": "supply"}.get(side)
                if other and claim == 0 and claimed[f"{other} {node}"] == 2:
                    continue  # what is surely on one side is not on the other, though two sources in a row may be
                assert (claim, truth[what]) not in ((2, 0), (0, 2)), (seed, state, what)
    assert tally[1, 0] > 500
    assert tally[1, 2] > 500


def world_of(circuit: Circuit, state: VehicleState, random: Random) -> SlowEvaluator:
    """One way things may be, with equipment, requests, undrawn places and the carrying across of waking all decided."""

    def half(things: Iterable[Anything]) -> frozenset[Anything]:
        return frozenset(thing for thing in things if random.random() < 0.5)

    platform = circuit.platform
    networks = list(platform.networks)
    fitting = {name: state.fitting.get(name, random.random() < 0.5) for name in platform.options}
    world = World(
        half(circuit.contacts),
        half(sorted(circuit.unknown_supplies)),
        half(sorted(circuit.unknown_grounds)),
        half([(name, a, b) for name in platform.networks_of for a in networks for b in networks]),
    )
    return SlowEvaluator(circuit, replace(state, fitting=fitting), world)


def test_the_random_vehicles_are_worth_comparing() -> None:
    """All three answers are common, and buzzing, racing and self-holding circuits occur."""
    answers: Counter[str] = Counter()
    for seed in range(300):
        circuit = random_circuit(seed)
        powered = evaluate(circuit, random_state(circuit, seed))
        answers.update(load.draws.words for load in powered.loads.values())
        answers["buzzing"] += bool(powered.buzzing)
        answers["racing"] += bool(powered.racing)
        answers["held"] += bool(powered.held.relays)
    assert min(answers[word] for word in ("yes", "may be", "no")) > 500
    assert min(answers[word] for word in ("buzzing", "racing", "held")) >= 3, answers
