"""Whatever was typed, every question about power has an answer: on vehicles that make sense and on any statements."""

from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.circuit.links import circuit_of
from circuitmap.notation.statements import Notation, Statement
from circuitmap.power.checks import problems_of
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.expected import expected_draw
from circuitmap.power.state import PARKED, VehicleState
from circuitmap.power.why import why
from circuitmap.power.why_awake import kept_awake_by
from circuitmap.problems import Problem
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.platform import Platform
from tests.platforms_strategy import Writing, moved_about, platforms, read
from tests.wiring.test_any_statements import STATEMENTS


def everything_asked(platform: Platform) -> tuple[Problem, ...]:
    circuit = circuit_of(platform)
    for state in (PARKED, VehicleState(awake=frozenset([*platform.networks, *platform.parts]))):
        powered = evaluate(circuit, state)
        assert set(powered.loads) == set(circuit.loads) == set(classes_of(circuit, {}))
        assert powered.held.loads == () or powered.held.relays or powered.held.outputs
        for node in circuit.nodes:
            assert why(powered, node).answer == powered.supply[node]
            assert why(powered, node, "ground").answer == powered.ground[node]
        for network, answer in powered.networks.items():
            assert bool(kept_awake_by(powered, network)) == (answer != Answer.NO)
    assert expected_draw(circuit, {}).total.low >= 0
    problems = problems_of(circuit)
    assert len({(p.code, p.span, p.headline) for p in problems}) == len(problems)
    return problems


@settings(max_examples=60, deadline=None)
@given(platforms(3))
def test_any_vehicle(platform: Platform) -> None:
    everything_asked(platform)


@settings(max_examples=150, deadline=None)
@given(st.lists(STATEMENTS, max_size=25))
def test_any_statements(statements: list[Statement]) -> None:
    everything_asked(platform_of([Notation(path="1.circuit", statements=tuple(statements))]))


@settings(max_examples=40, deadline=None)
@given(moved_about())
def test_the_order_of_the_text_does_not_matter(pair: tuple[Writing, Writing]) -> None:
    one, other = (circuit_of(read(writing)) for writing in pair)
    for state in (PARKED, VehicleState(key="run", awake=frozenset(one.platform.networks))):
        before, after = evaluate(one, state), evaluate(other, state)
        assert dict(before.supply) == dict(after.supply)
        assert dict(before.ground) == dict(after.ground)
        assert before.loads == after.loads
        assert before.networks == after.networks
    assert {name: its.its for name, its in classes_of(one, {}).items()} == {
        name: its.its for name, its in classes_of(other, {}).items()
    }
    assert sorted(p.headline for p in problems_of(one)) == sorted(p.headline for p in problems_of(other))
