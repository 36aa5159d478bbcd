"""What works the relays and outputs on a way, and whose current takes which way to ground."""

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.trace import Returns, Trace, trace
from circuitmap.circuit.trace_at import trace_at
from circuitmap.circuit.worked_by import MOST_WORKED
from circuitmap.wiring.parts import Terminal
from tests.power.vehicle import vehicle

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
