"""Evaluating a state is quick enough for thousands of them, and grows no faster than the vehicle."""

import time
from collections.abc import Callable
from pathlib import Path

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.workbench import open_platform
from tests.power.vehicle import vehicle

TRUCK = Path(__file__).parents[2] / "sample_vehicles" / "truck"


def seconds(work: Callable[[], object], times: int = 5) -> float:
    """The least processor time of several runs."""
    best = float("inf")
    for _ in range(times):
        before = time.process_time()
        work()
        best = min(best, time.process_time() - before)
    return best


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


def test_a_state_of_a_truck_takes_well_under_three_milliseconds() -> None:
    circuit = circuit_of(open_platform(TRUCK))
    states = [VehicleState(stuck=frozenset({contact})) for contact in circuit.contacts]
    evaluate(circuit, states[0])

    def work() -> None:
        for state in states:
            evaluate(circuit, state).draws  # noqa: B018 - looked at for its cost

    each = seconds(work) / len(states)
    print(f"{1000 * each:.2f} ms for each state of {len(circuit.links)} links")
    assert each < 0.003


def test_time_grows_no_faster_than_the_vehicle() -> None:
    small, large = rows_of_relays(50), rows_of_relays(500)
    assert len(large.links) > 8000

    def all_on(circuit: Circuit, count: int) -> Callable[[], object]:
        state = VehicleState(switches={f"S{n}": "on" for n in range(count)})
        evaluate(circuit, state)
        return lambda: evaluate(circuit, state).draws

    def from_nothing(circuit: Circuit) -> Callable[[], object]:
        platform = circuit.platform
        return lambda: evaluate(circuit_of(platform), VehicleState())

    for work in (lambda c, n: all_on(c, n), lambda c, _: from_nothing(c)):
        tried = (work(small, 50), work(large, 500))
        least = [float("inf"), float("inf")]
        for _ in range(4):  # by turns, so that a busy machine slows both
            least = [min(best, seconds(its, 2)) for best, its in zip(least, tried, strict=True)]
        print(f"ten times the vehicle, {least[1] / least[0]:.1f} times the time")
        assert least[1] < 20 * least[0], "far from a hundred times"
