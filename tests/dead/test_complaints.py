"""Simulated complaints: one or two things interrupted, one load seen dead, two in five of the others looked at, slips."""

import random

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.dead.breaks import KIND_SHARE, Break
from circuitmap.dead.weighing import ToldLoads, weighed
from circuitmap.dead.without import Interrupted, interrupted_one_by_one, without
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from tests.dead.complaints import VAN_LACKS, asked, bench

PLATFORMS = {"van": VAN_LACKS, "truck": (), "motorhome": ()}
LOOKED_AT, SEEN_DEAD_BUT_WORKS, SEEN_WORKING_BUT_DEAD = 0.4, 0.03, 0.01


def everything(name: str) -> tuple[Circuit, Interrupted]:
    its = bench(f"sample_vehicles/{name}", PLATFORMS[name])
    sound = evaluate(its.circuit, VehicleState(key="run", fitting=its.fitting))
    return its.circuit, interrupted_one_by_one(sound, list(sound.plan.loads))


def ranks(name: str, cases: int, faults: int, seed: int) -> list[int]:
    """For each complaint the place of the worst placed of the true groups."""
    drawn = random.Random(seed)
    _circuit, found = everything(name)
    loads = len(found.sound.plan.loads)
    kinds: dict[str, list[Break]] = {}
    for its, then in found.without.items():
        if any(n < loads for n in then.kills):
            kinds.setdefault(its.kind, []).append(its)
    ranked = []
    while len(ranked) < cases:
        shares = [KIND_SHARE[kind] for kind in sorted(kinds)]  # type: ignore[index]
        true = [drawn.choice(kinds[kind]) for kind in drawn.choices(sorted(kinds), shares, k=faults)]
        then = found.without[true[0]] if faults == 1 else without(found.sound, *true)
        dead = sorted(n for n in then.kills if n < loads)
        if faults == 2 and (not dead or any(not found.without[its].kills & set(dead) for its in true)):
            continue
        seen = {drawn.choice(dead)} | {
            n for n in range(loads) if found.sound.draws[n] and drawn.random() < LOOKED_AT
        }  # fmt: skip
        if faults == 2:  # somebody noticed something of each
            seen |= {drawn.choice(sorted(n for n in found.without[its].kills if n < loads)) for its in true}
        told: dict[bool, list[int]] = {True: [], False: []}
        for n in sorted(seen):
            works = n not in then.kills
            slip = drawn.random() < (SEEN_DEAD_BUT_WORKS if works else SEEN_WORKING_BUT_DEAD)
            told[works is not slip].append(n)
        if not told[False]:
            continue
        groups = weighed(found, ToldLoads(tuple(told[False]), tuple(told[True])), {}).groups
        # What kills nothing that was said to be dead is in no group: the last place.
        at = [(k for k, group in enumerate(groups) if its in group.breaks) for its in true]
        places = [next(its, len(groups)) for its in at]
        ranked.append(max(places))
    return ranked


def test_one_thing_interrupted() -> None:
    found = ranks("van", 60, 1, 1)
    assert sum(its == 0 for its in found) / len(found) >= 0.75
    assert sum(its < 3 for its in found) / len(found) >= 0.92


@pytest.mark.on_demand
@pytest.mark.slow
@pytest.mark.parametrize("name", PLATFORMS)
def test_one_thing_interrupted_on_every_vehicle(name: str) -> None:
    found = ranks(name, 200, 1, 2)
    assert sum(its == 0 for its in found) / len(found) >= 0.80
    assert sum(its < 3 for its in found) / len(found) >= 0.95


@pytest.mark.on_demand
@pytest.mark.slow
@pytest.mark.parametrize("name", PLATFORMS)
def test_two_things_interrupted(name: str) -> None:
    found = ranks(name, 100, 2, 3)
    assert sum(its < 4 for its in found) / len(found) >= 0.90


def test_a_probe_moves_the_odds_to_its_side() -> None:
    its = bench("sample_vehicles/van", VAN_LACKS)
    works = "MIRL MIRR LOADL"  # what can be switched on in a minute was
    before = asked(its, "SCRL SCRR", works, "run")
    assert "REAR.F72.2" in {str(step.step.point) for step in before.steps}
    fed = asked(its, "SCRL SCRR", works, "run", saw="F72=12.3V")
    assert (
        fed.weighed.odds[_named(fed, "wire", "REAR.F72.2 SP31")]
        > before.weighed.odds[_named(before, "wire", "REAR.F72.2 SP31")]
    )
    dead = asked(its, "SCRL SCRR", works, "run", saw="F72=0.02V F72.1=12.3V")
    assert max(dead.weighed.odds.items(), key=lambda its: its[1])[0].name == "REAR.F72"


def _named(its, kind: str, name: str) -> Break:  # type: ignore[no-untyped-def]
    return next(one for one in its.found.without if (one.kind, one.name) == (kind, name))


def test_nobody_is_sent_to_what_is_hands_off() -> None:
    for folder in ("sample_vehicles/van", "sample_vehicles/truck"):
        its = bench(folder)
        for load in list(its.circuit.loads)[:12]:
            if its.circuit.hands_off.may_touch(load):
                for step in asked(its, load, key="run").steps:
                    point = step.step.point
                    assert its.circuit.hands_off.may_probe(str(point) if point is not None else step.step.load)
