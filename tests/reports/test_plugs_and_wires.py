"""What `trace` says of a connector's cavities, and how `list` counts and names wires that go on through them."""

import pytest

from circuitmap.circuit.trace import trace_in
from circuitmap.circuit.trace_at import trace_at
from circuitmap.flows.questions import Bench, trace
from circuitmap.reports.circuit.inventory import inventory_of, through_plugs
from circuitmap.reports.circuit.list_text import list_text
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.wiring.parts import Terminal
from tests.circuit.random_circuits import random_platform
from tests.circuit.told import circuit

TEXT = """
option A "heater with a timer"
option B "heater without" or A
naming SP* splice, X* connector, F* fuse, L* lamp, G* ground
battery BAT
BAT.+ -> F1 -> X6.1 in RD 4 code "1"
X6.2 -> G1 in BK 4 code "2"
SP1 -> X6.4 in YE 0.5 code "3"
F2 -> X6.5 -> X7.5 -> L5 -> G1 in WH 1 code "4"
X6.1 -> L1 in RD 4 code "5" if A
L1 -> X6.2 in BK 4 code "6" if A
X6.4 -> L1 in YE 0.5 code "7" if A
X6.1 -> L2 in RD 4 code "8" if B
X6.2 -> L2 in BK 4 code "8" if B
"""


def test_each_cavity_stands_with_its_wires_and_the_next_connector() -> None:
    bench = Bench(circuit(TEXT).platform, {})
    told = " ".join(trace_text(bench.platform, *trace(bench, "X6")).split())
    assert "CAVITIES 4 with a wire X6.1 RD 4mm2 code 1 to F1; RD 4mm2 code 5 to L1.1 if A; " in told
    assert "ON TO ANOTHER CONNECTOR X7 1 X6.5 - X7.5" in told
    assert "CAVITIES" not in trace_text(bench.platform, *trace(bench, "SP1"))


def test_a_trace_of_one_cavity_tells_that_one() -> None:
    bench = Bench(circuit(TEXT).platform, {"A": True, "B": False})
    its = trace_at(bench.feeding, Terminal("X6", "4")).cavities
    assert [wire.code for _, wire, _ in its] == ["3", "7"]
    assert {wire.code for _, wire, _ in trace_in(bench.feeding, "X6").cavities} == {"1", "2", "3", "4", "5", "6", "7"}


def test_a_wire_is_counted_once_through_its_plugs() -> None:
    platform = circuit(TEXT).platform
    runs = {tuple(sorted({wire.code for wire in run})) for run in through_plugs(platform.wires)}
    assert ("4",) in runs and len(through_plugs(wire for wire in platform.wires if wire.code == "4")) == 2
    whole = through_plugs(platform.wires)
    assert sum(map(len, whole)) == sum(wire.kind == "wire" for wire in platform.wires)


def test_which_wires_and_cavities_are_not_there() -> None:
    platform = circuit(TEXT).platform
    told = " ".join(list_text(inventory_of(platform, fitting={"A": False, "B": True})).split())
    assert "LEFT OUT with A not fitted no such wires 3 wires: 5, 6, 7 on one side only X6.4" in told
    told = " ".join(list_text(inventory_of(platform, fitting={"A": True, "B": False})).split())
    # Both have the code 8; X6.2 has its two wires, on whichever side they were typed.
    assert "no such wires 2 wires: 8 X6.1 -> L2.1, 8 X6.2 -> L2.1" in told
    assert "without a wire" not in told and "on one side only" not in told
    assert "Of these" in told


@pytest.mark.parametrize("seed", range(40))
def test_every_wire_is_in_one_run_and_no_run_falls_apart(seed: int) -> None:
    platform = random_platform(seed)
    drawn = [wire for wire in platform.wires if wire.kind == "wire"]
    runs = through_plugs(platform.wires)
    assert sorted(map(id, drawn)) == sorted(id(wire) for run in runs for wire in run)
    for run in runs:
        cavities = [end._replace(half="") for wire in run for end in wire.ends if end.half]
        assert len(run) == 1 or all(any(end._replace(half="") in cavities for end in wire.ends) for wire in run)


def test_what_lies_on_each_side_of_a_shunt() -> None:
    text = """
    battery B
    resistor RS "shunt"
    ground BN wired
    naming F* fuse, L* lamp
    B.- -> RS -> BN in BK 50 code "1"
    module MON supply 1 ground 2 sense 3
    MON.3 -> RS.1 in WH 1 code "2"
    charger SUN supply 1 ground 2
    SUN.2 -> B.- in BK 4 code "3"
    B.+ -> F1 -> L1 -> BN in RD 1 code "4"
    """
    bench = Bench(circuit(text.replace("\n    ", "\n")).platform, {})
    told = " ".join(trace_text(bench.platform, *trace(bench, "RS")).split())
    near = told.partition("RS.1 ")[2].partition("RS.2 ")
    assert "code 1 B.- - RS" in near[0] and "code 2 MON.3 - RS" in near[0] and "code 3 SUN.2 - B.-" in near[0]
    assert "code 4 L1.2 - BN" in near[2] and "code 3" not in near[2]
