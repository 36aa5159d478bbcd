"""States derived from a settled one against the same states evaluated from nothing, on random vehicles."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from random import Random

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import Powered, evaluate, evaluate_beside
from circuitmap.power.state import VehicleState
from circuitmap.power.survey import Survey
from circuitmap.wiring.fitting import Answer
from tests.always import always
from tests.power.random_platforms import random_circuit, random_state

IN_ONE_TEST = 40


def everything(powered: Powered) -> tuple[object, ...]:
    """Everything that is known of a state."""
    settled = powered.settled
    return (
        *(tuple(its) for its in settled.standing),
        tuple(settled.lines),
        tuple(settled.levels),
        *(tuple(its) for its in settled.reach[:4]),
        settled.reach.in_series,
        powered.draws,
    )


def pairs_of_states(seed: int) -> Iterator[tuple[Circuit, VehicleState, VehicleState]]:
    """A state without bridged points, and others that differ from it in what is switched, awake, stuck and driven."""
    random = Random(seed)
    circuit = random_circuit(seed)
    any_state = random_state(circuit, seed)
    first = replace(any_state, bridged=frozenset(), awake=frozenset(), driven=frozenset())
    if random.random() < 0.5:
        first = VehicleState(fitting=any_state.fitting)
    for number in range(5):
        other = random_state(circuit, 1000 * seed + number)
        yield (
            circuit,
            first,
            replace(
                first,
                key=random.choice((other.key, first.key)),
                switches=random.choice((other.switches, first.switches)),
                awake=random.choice((other.awake, first.awake)),
                driven=random.choice((other.driven, first.driven)),
                stuck=random.choice((other.stuck, first.stuck)),
                feeding=random.choice((other.feeding, *[first.feeding] * 5)),
            ),
        )


@pytest.mark.parametrize("first", always(200 // IN_ONE_TEST, range(0, 400, IN_ONE_TEST)))
def test_a_state_found_from_another_is_as_if_it_were_evaluated_from_nothing(first: int) -> None:
    found = Counter[str]()
    for seed in range(first, first + IN_ONE_TEST):
        requests = Answer.MAY_BE if seed % 2 else Answer.NO
        for circuit, start, state in pairs_of_states(seed):
            base = evaluate(circuit, start, requests=requests)
            beside = evaluate_beside(base, state)
            from_nothing = evaluate(circuit, state, requests=requests)
            assert everything(beside.powered) == everything(from_nothing), (seed, state)
            found["from nothing" if beside.touched is None else "beside"] += 1
            if beside.touched is not None:
                same = [n for n, (a, b) in enumerate(zip(base.draws, from_nothing.draws, strict=True)) if a != b]
                assert beside.loads.issuperset(same)
                for before, after in zip(base.settled.reach[:4], from_nothing.settled.reach[:4], strict=True):
                    moved = {net for net, (a, b) in enumerate(zip(before, after, strict=True)) if a != b}
                    assert moved <= beside.touched.nets
    assert found["beside"] > 3 * found["from nothing"] > 0, found


@pytest.mark.parametrize("first", always(100 // IN_ONE_TEST, range(0, 200, IN_ONE_TEST)))
def test_two_changes_that_do_not_meet_do_together_what_each_does_alone(first: int) -> None:
    apart = together = 0
    for seed in range(first, first + IN_ONE_TEST):
        survey = Survey(random_circuit(seed), {"TOW": True, "COLD": False})
        singles = survey.singles
        alone = {change: survey.beside((change,)) for change in singles}
        partners = survey.partners(singles)
        assert partners is not None
        parked = everything(survey.parked)
        for one, other in combinations(singles, 2):
            if one.name == other.name:
                continue
            if other in partners[one]:
                together += 1
                continue
            apart += 1
            both = everything(survey.after((one, other)))
            first_alone, second_alone = (everything(alone[its].powered) for its in (one, other))
            for before, mine, theirs, now in zip(parked[3:], first_alone[3:], second_alone[3:], both[3:], strict=True):
                if isinstance(before, frozenset):
                    assert now == (mine | theirs) - (before - mine) - (before - theirs)
                    continue
                for was, a, b, n in zip(before, mine, theirs, now, strict=True):
                    assert n in ((b,) if a == was else (a,) if b == was else (a | b, max(a, b))), (seed, one, other)
    assert apart > 100 and together > 100, (apart, together)
