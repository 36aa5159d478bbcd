"""More links interrupted in a car that is ready: the same as from the beginning."""

import random

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.power import evaluate as evaluating
from circuitmap.power.evaluate import evaluate
from circuitmap.power.nets import Nets, nets_of
from circuitmap.power.plan import Plan
from circuitmap.power.state import VehicleState
from tests.power.random_platforms import platform_from, random_text


def from_the_beginning(plan: Plan, whole: Nets, opened: frozenset[int]) -> Nets:
    return nets_of(plan, {}, whole.opened | opened)


@pytest.mark.parametrize("seed", range(10))
def test_interrupted_as_from_the_beginning(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    circuit = circuit_of(platform_from(random_text(200 + seed)))
    drawn = random.Random(seed)
    state = VehicleState(key="run")
    links = range(len(circuit.links))
    several = [frozenset((i,)) for i in links] + [frozenset(drawn.sample(links, 3)) for _ in range(20)]
    quick = [evaluate(circuit, state, opened=its) for its in several]
    monkeypatch.setattr(evaluating, "nets_without", from_the_beginning)
    for its, found in zip(several, quick, strict=True):
        again = evaluate(circuit, state, opened=its)
        assert found.draws == again.draws, its
        assert dict(found.energised) == dict(again.energised) and dict(found.awake) == dict(again.awake)
        assert [found.nets.link_level[i] for i in links] == [again.nets.link_level[i] for i in links]
