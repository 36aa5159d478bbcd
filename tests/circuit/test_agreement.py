"""Answers to different questions about one random platform agree with each other, and none of them fails."""

from random import Random

import pytest

from circuitmap.circuit.common import in_common_in
from circuitmap.circuit.feeding import Feeding, feeding_of, hanging_on
from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.path import Path
from circuitmap.circuit.trace import trace_in
from circuitmap.wiring.platform import Platform

from .random_circuits import random_platform
from .told import fuses_of


def check_path(path: Path) -> None:
    """It is one unbroken line that meets no terminal twice and crosses no load, coil or cell."""
    here = path.start
    for step in path.steps:
        assert step.start == here and step.link.kind not in ("load", "coil", "battery")
        assert step.forward or not step.link.one_way
        here = step.end
    assert here == path.end
    assert len(set(path.terminals)) == len(path.terminals)
    assert all(path.demands.values())


def feedings(first: int) -> list[tuple[int, Feeding]]:
    fittings: tuple[dict[str, bool], ...] = ({}, {"TOW": True}, {"TOW": False})
    return [
        (seed, feeding_of(circuit_of(random_platform(seed)), fittings[seed % 3])) for seed in range(first, first + 50)
    ]


@pytest.mark.parametrize("first", range(2000, 2200, 50))
def test_trace_feeding_and_common_agree(first: int) -> None:
    for seed, feeding in feedings(first):
        platform = feeding.circuit.platform
        fuses = fuses_of(feeding)
        traces = {name: trace_in(feeding, name) for name in platform.parts}
        for name, its in traces.items():
            for path in (*its.supply, *its.ground):
                check_path(path)
            assert all(path.end.part == name for path in its.supply), seed
            assert all(path.start.part == name for path in its.ground), seed
            below = [taking for branch in its.branches for taking in everything_on(branch)]
            assert {t.terminal for t in below} == {d.taking.terminal for d in its.downstream}, seed
        for fuse in platform.fuses:
            on = set(hanging_on(feeding, fuse.name))
            assert on == {load for load, its in fuses.items() if fuse.name in its}, seed
            downstream = [d for d in traces[fuse.name].downstream if d.taking.kind in ("load", "reversed")]
            assert on == {d.part for d in downstream if not any(path.second for path in d.paths)}, seed
            assert not any(path.second and path.goes_back for d in downstream for path in d.paths), seed
        names = [fuse.name for fuse in platform.fuses]
        chosen = Random(seed).sample(names, 3)
        answer = in_common_in(feeding, chosen[:2], chosen[2:])
        assert answer.loads == {
            load: both for load, its in fuses.items() if (both := tuple(f for f in chosen[:2] if f in its))
        }, seed
        assert {s.name for s in answer.common_loads} == {load for load, both in answer.loads.items() if len(both) == 2}


def everything_on(branch: object) -> list:  # type: ignore[type-arg]
    found = []
    todo = [branch]
    while todo:
        here = todo.pop()
        found += here.takings  # type: ignore[attr-defined]
        todo += here.branches  # type: ignore[attr-defined]
    return found


def test_a_platform_with_nothing_in_it_is_answered() -> None:
    feeding = feeding_of(circuit_of(Platform()))
    assert feeding.takings == () and feeding.on_fuse == {}
    assert in_common_in(feeding, ()).networks == ()
