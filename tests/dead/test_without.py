"""What is dead without each thing: on the van by name, on random platforms against the slow evaluator."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.dead.breaks import breaks_in, rows_of
from circuitmap.dead.without import Interrupted, interrupted_one_by_one, without
from circuitmap.power.evaluate import evaluate
from circuitmap.power.functions import functions_of
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Fuse, Joint
from tests.dead.complaints import VAN_LACKS, bench
from tests.power.random_platforms import platform_from, random_text
from tests.power.slow_evaluator import SlowEvaluator


def van(*loads: str) -> Interrupted:
    its = bench("sample_vehicles/van", VAN_LACKS)
    sound = evaluate(its.circuit, VehicleState(key="run", fitting=its.fitting))
    return interrupted_one_by_one(sound, loads)


def killing(found: Interrupted, dead: set[str], works: set[str] = frozenset(), *, only: bool = False) -> set[str]:  # type: ignore[assignment]
    functions = functions_of(found.sound.circuit)
    names = {}
    for its, then in found.without.items():
        killed = {functions[n].name for n in then.kills if functions[n].kind == "load"}
        if dead <= killed and not works & killed and (not only or killed == dead):
            names[its.name] = its.kind
    return {name for name, kind in names.items() if kind != "splice"}


def test_both_screens_dead_while_a_mirror_works() -> None:
    assert killing(van("SCRL", "SCRR"), {"SCRL", "SCRR"}, {"MIRL"}) == {
        "REAR.B2 REAR.F72.1", "REAR.F72", "REAR.F72.2 SP31",
    }  # fmt: skip


def test_all_that_the_relay_feeds() -> None:
    """Its contact and coil, their fuses, cavities, wires and feeds, and the output that pulls it in."""
    found = killing(van("SCRL"), {"SCRL", "SCRR", "MIRL", "MIRR"}, only=True)
    assert len(found) == 21
    assert {"PRE.F93", "REAR.F70", "CAB.F27", "X20.1", "X20.7", "X20.8", "REAR.K2", "REAR.K2.87", "BCM.C14"} <= found


@pytest.mark.parametrize("seed", range(12))
def test_a_fuse_or_plug_out_is_what_the_slow_evaluator_finds(seed: int) -> None:
    circuit = circuit_of(platform_from(random_text(seed)))
    state = VehicleState(key="run" if seed % 2 else "")
    sound = evaluate(circuit, state)
    loads = functions_of(circuit)
    for its in breaks_in(sound):
        part = circuit.platform.parts.get(its.name)
        if isinstance(part, Fuse) and its.kind == "fuse":
            slow = SlowEvaluator(circuit, VehicleState(key=state.key, pulled=frozenset((its.name,))))
        elif isinstance(part, Joint) and its.kind == "plug":
            slow = SlowEvaluator(circuit, VehicleState(key=state.key, unplugged=frozenset((its.name,))))
        else:
            continue
        slow.settle()
        then = without(sound, its)
        for n, name in enumerate(sound.plan.loads):
            if sound.draws[n]:
                dead = slow.draws(name) == 0
                dim = name in then.powered.in_series
                assert (n in then.kills) == dead or dim, (its, loads[n].name)


@pytest.mark.parametrize("seed", range(6))
def test_a_row_does_the_same_wherever_it_is_interrupted(seed: int) -> None:
    circuit = circuit_of(platform_from(random_text(40 + seed)))
    sound = evaluate(circuit, VehicleState(key="run"))
    for row in rows_of(sound, breaks_in(sound)):
        found = [without(sound, its) for its in row]
        assert len({(then.kills, then.weakens) for then in found}) == 1, row


def test_only_what_may_matter_is_settled_and_nothing_is_missed() -> None:
    its = bench("sample_vehicles/van", VAN_LACKS)
    sound = evaluate(its.circuit, VehicleState(key="run", fitting=its.fitting))
    watched = [n for n, load in enumerate(sound.plan.loads) if load in ("SCRL", "HEADL", "LOCKR")]
    found = interrupted_one_by_one(sound, ["SCRL", "HEADL", "LOCKR"])
    assert found.settled < len(rows_of(sound, breaks_in(sound)))
    for row in rows_of(sound, breaks_in(sound)):
        if row[0] not in found.without and row[0].kind != "load":
            assert not without(sound, row[0]).kills & set(watched), row[0]


def test_a_load_with_a_second_feed_clears_nobody() -> None:
    text = """platform "Made up" supply 12V return body
naming G* ground
battery BAT 70Ah
BAT.- -> G1
fuse F1 10A, F2 10A
lamp L supply 1, 2 ground 3 running 2A
BAT.+ -> F1 -> L.1
BAT.+ -> F2 -> L.2
L.3 -> G1
"""
    circuit = circuit_of(platform_from(text))
    sound = evaluate(circuit, VehicleState())
    assert sound.loads["L"].draws == Answer.YES
    fuses = [its for its in breaks_in(sound) if its.kind == "fuse"]
    lamp = sound.plan.loads.index("L")
    assert fuses and all(lamp not in without(sound, its).kills for its in fuses)
    assert lamp in without(sound, *fuses).kills
