"""The work of evaluating a state grows no faster than the vehicle."""

from functools import partial

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from tests.power.vehicle import vehicle
from tests.work_done import steps_of


def rows_of_relays(count: int) -> Circuit:
    """`count` times a fuse, a switch, a relay and a lamp, each wired in chains of three: 11 wires each."""
    lines = ["naming SP* splice, G* ground", "battery BAT 60Ah", "BAT.- -> G1", "fuse MAIN 100A", "BAT.+ -> MAIN"]
    for n in range(count):
        lines += [
            f"fuse F{n} 10A", f"switch S{n} positions off, on closes 1 to 2 in on", f"relay K{n} make", f"lamp L{n}",
            f"MAIN -> SPA{n} -> F{n}", f"F{n} -> SPB{n} -> S{n}.1", f"S{n}.2 -> SPC{n} -> K{n}.86", f"K{n}.85 -> G1",
            f"SPB{n} -> K{n}.30", f"K{n}.87 -> SPD{n} -> L{n} -> G1",
        ]  # fmt: skip
    return vehicle("\n".join(lines) + "\n")


def test_all_relays_pulled_in() -> None:
    def work(circuit: Circuit, count: int) -> None:
        state = VehicleState(switches={f"S{n}": "on" for n in range(count)})
        assert len(evaluate(circuit, state).draws) >= count

    vehicles = {count: rows_of_relays(count) for count in (5, 40, 80)}
    work(vehicles[5], 5)  # what is made only once is not counted
    assert steps_of(partial(work, vehicles[80], 80)) < 2.2 * steps_of(partial(work, vehicles[40], 40))


def test_asleep_from_nothing() -> None:
    def work(count: int) -> None:
        evaluate(circuit_of(platforms[count]), VehicleState())

    platforms = {count: rows_of_relays(count).platform for count in (5, 40, 80)}
    work(5)
    assert steps_of(partial(work, 80)) < 2.2 * steps_of(partial(work, 40))
