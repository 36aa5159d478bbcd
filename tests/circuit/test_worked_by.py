"""What works the relays and outputs on a way, and whose current takes which way to ground."""

from functools import partial

from circuitmap.circuit.feeding import Feeding, feeding_of
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import Returns, Trace, trace
from circuitmap.circuit.trace_at import trace_at
from circuitmap.circuit.worked_by import MOST_WORKED, working
from circuitmap.wiring.parts import Terminal
from tests.power.vehicle import vehicle
from tests.work_done import steps_of

STARTING = """
platform "t"
battery BAT
key IGN positions off, run, start closes 30 to 15 in run, start closes 30 to 50 in start
fuse F1 10A, F2 10A, F3 10A
relay K1 make
relay K2 make
module M supply 1 ground 2 wake 3
output M.4 grounds
lamp L
BAT.-, M.2, K2.85, L.2 -> case
BAT.+ -> F1, F2, IGN.30
IGN.15 -> F3 -> M.3
IGN.50 -> K2.86
F1 -> K1.30
K1.87 -> L.1
F2 -> K2.30
K2.87 -> K1.86
K1.85 -> M.4
F2 -> M.1
"""


def told(its: Trace) -> dict[str, list[tuple[str, str, tuple[tuple[str, ...], ...], int]]]:
    return {
        worked.part: [(str(pin.terminal), pin.role, pin.fuses, len(pin.ground)) for pin in worked.pins]
        for worked in its.worked
    }


def test_the_coil_of_a_relay_on_the_way_is_followed_and_what_works_that() -> None:
    assert told(trace(vehicle(STARTING), "L")) == {
        "K1": [("K1.86", "coil", (("F2",),), 1)],
        "K2": [("K2.86", "coil", ((),), 1)],
        "M": [("M.1", "supply", (("F2",),), 0), ("M.3", "wake", (("F3",),), 0)],
    }


def test_a_relay_that_is_asked_for_shows_its_own_coil_and_not_itself() -> None:
    assert set(told(trace(vehicle(STARTING), "K1"))) == {"K2", "M"}


def test_one_pin_tells_only_what_works_its_own_ways() -> None:
    its = trace_at(feeding_of(vehicle(STARTING)), Terminal("K2", "30"))
    assert told(its) == {}
    assert list(told(trace_at(feeding_of(vehicle(STARTING)), Terminal("K1", "86")))) == ["K2"]


def test_relays_that_work_one_another_end_and_a_long_chain_is_cut_off() -> None:
    ring = STARTING.replace("IGN.50 -> K2.86", "K1.87 -> K2.86")
    assert set(told(trace(vehicle(ring), "L"))) == {"K1", "K2", "M"}
    chain = ['platform "t"', "battery BAT", "lamp L", "fuse F 10A", "BAT.-, L.2 -> case", "BAT.+ -> F"]
    for n in range(MOST_WORKED + 2):
        chain += [
            f"relay K{n} make",
            f"K{n}.85 -> case",
            f"F -> K{n}.30",
            f"K{n}.87 -> {f'K{n - 1}.86' if n else 'L.1'}",
        ]
    its = trace(vehicle("\n".join(chain)), "L")
    assert len(its.worked) == MOST_WORKED and its.cut_off


TWO_BATTERIES = """
platform "t" return wired
battery A
battery B
ground N wired
resistor R
switch S positions off, on closes 1 to 2 in on
lamp LA
lamp LB
A.- -> N
B.- -> R.1
R.2 -> N
A.+ -> LA.1
LA.2 -> N
B.+ -> LB.1
LB.2 -> N
A.+ -> S.1
S.2 -> LB.1
"""


def test_each_current_returns_to_the_battery_that_it_comes_from() -> None:
    circuit = vehicle(TWO_BATTERIES)
    its = trace(circuit, "LA")
    assert its.returns == Returns(frozenset({"A"}), frozenset({"B"}))
    both = trace(circuit, "LB")
    assert both.returns == Returns(frozenset({"B"}), frozenset({"A"}))
    assert {(path.end.part, both.returns.of(path)) for path in both.ground} == {("A", "besides"), ("B", "main")}


def test_batteries_in_series_are_not_told_apart() -> None:
    circuit = vehicle('platform "t"\nbattery A\nbattery B\nlamp L\nA.- -> case\nA.+ -> B.-\nB.+ -> L.1\nL.2 -> case')
    assert trace(circuit, "L").returns == Returns()


def test_a_ground_point_tells_the_inputs_that_switches_ground_through_it() -> None:
    circuit = vehicle(
        """
platform "t"
battery BAT
ground G1, G2
module M supply 1 ground 2 sense 3 wake 4
switch S positions off, on closes 1 to 2 in on
BAT.- -> G1
BAT.+ -> M.1
M.2 -> G1
M.3 -> S.1
S.2 -> G2
"""
    )
    assert [str(end) for end, _ in trace(circuit, "G2").grounded_here] == ["M.3"]
    assert [str(end) for end, _ in trace(circuit, "G1").grounded_here] == ["M.2"]


def test_a_sensor_on_two_inputs_is_wired_to_its_module() -> None:
    circuit = vehicle(
        """
platform "t"
battery BAT
module M supply 1 ground 2 sense 3, 4
sensor B
connector X
BAT.+ -> M.1
BAT.-, M.2 -> case
B.a -> X.1 -> M.3
B.b -> M.4
"""
    )
    its = trace(circuit, "B")
    assert [pin.through for pin in its.pins] == [("M",), ("M",)] and its.unknown == ()
    assert not circuit.unknown_supplies and not circuit.unknown_grounds


def relays_in_a_chain(count: int) -> Circuit:
    """The contact of each relay feeds the coil of the next; a lamp behind the last."""
    lines = ["battery BAT", "fuse F1 30A", "lamp L", "switch S positions off, on closes 1 to 2 in on"]
    lines += ["BAT.-, L.2 -> case", "BAT.+ -> F1", "F1 -> S.1", "S.2 -> K0.86", f"K{count - 1}.87 -> L.1"]
    for n in range(count):
        lines += [f"relay K{n} make", f"K{n}.85 -> case", f"F1 -> K{n}.30"]
        lines += [f"K{n - 1}.87 -> K{n}.86"] if n else []
    return vehicle("\n".join(lines) + "\n")


def test_of_a_long_chain_so_many_are_told_and_the_work_for_them_is_the_same() -> None:
    """Counted at n, 2n and 4n: what is beyond the last that is told is not followed."""

    def work(feeding: Feeding, last: str) -> None:
        found, more = working(feeding, [last])
        assert len(found) == MOST_WORKED and more

    steps = []
    for count in (20, 40, 80):
        feeding = feeding_of(relays_in_a_chain(count), {})
        assert feeding.takings and feeding.ground_paths  # the ways themselves are counted elsewhere
        [*_, last] = [name for name in feeding.circuit.contacts if name.startswith("K")]
        work(feeding, last)  # what is made only once is not counted
        steps.append(steps_of(partial(work, feeding, last)))
    assert steps[0] == steps[1] == steps[2], steps


DIPPED = """
platform "t"
battery BAT
fuse F9 20A
switch S2 positions 0, HEAD closes 1 to 3 in HEAD
switch S3 positions off, on closes 1 to 2 in on
relay K4 changeover
lamp LOW
lamp HIGH
BAT.+ -> F9 -> S2.1
S2.3 -> K4.30, S3.1
S3.2 -> K4.86
K4.87a -> LOW.1
K4.87 -> HIGH.1
K4.85, LOW.2, HIGH.2, BAT.- -> case
"""


def test_a_relay_that_is_passed_at_rest_is_told_with_what_pulls_it_in() -> None:
    for lamp, at_rest in (("LOW", True), ("HIGH", False)):
        its = trace(vehicle(DIPPED), lamp)
        assert [(worked.part, worked.at_rest) for worked in its.worked] == [("K4", at_rest)]
        assert told(its) == {"K4": [("K4.86", "coil", (("F9",),), 1)]}
