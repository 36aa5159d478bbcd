"""What volts say at the contact of a switch that leads follows from the side of the load on which it sits."""

from typing import Any

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.next_test.contact_volts import contacts_to_prove
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.reports.suspects.proving import go_to
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Switch, Terminal
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_figures_that_fit import platform

HEAD = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F1 10A mini
bar CAB.B feeds CAB.F1
lamp LOCKER "locker lamp" running 1.75A
switch LID "locker lid" positions shut, open closes 1 to 2 in open
BAT.+ -> CAB.B
BAT.- -> case
"""
BEHIND = "CAB.F1 -> LOCKER -> LID.1\nLID.2 -> case\n"
BEFORE = "CAB.F1 -> LID.1\nLID.2 -> LOCKER -> case\n"


@pytest.mark.parametrize(("wires", "probe", "stuck", "open_"), [
    (BEHIND, "LID.1", "near 0 V say that it does not open", "battery volts that it is open"),
    (BEFORE, "LID.2", "battery volts say that it does not open", "no volts that it is open"),
])  # fmt: skip
def test_the_same_switch_before_and_behind_its_lamp(wires: str, probe: str, stuck: str, open_: str) -> None:
    its = platform(HEAD + wires)
    meter = meter_named("clamp")
    words = ("BAT=1.80A", "CAB.F1=1.76A")
    read = tuple(written_reading(its, word, meter, total=1.8) for word in words)
    found = diagnose(circuit_of(its), Evidence(readings=read))
    assert [one.probes for one in found.contacts] == [(probe,)]
    said = go_to(its, found, "LID")
    assert f"volts to ground at {probe}, with it at shut: {stuck}, {open_}" in said


@pytest.mark.parametrize("name", ["van", "truck", "sweeper", "motorhome", "motorcycle"])
def test_the_circuit_bears_it_out(name: str) -> None:
    """Turned to where it is closed, the point beyond each contact has what the contact is said to bring."""
    its = circuit(name)
    parked = Parked(its, {}, frozenset(), {})
    switches = [part for part in its.platform.parts.values() if isinstance(part, Switch) and part.positions]
    told = contacts_to_prove(parked, [switch.name for switch in switches], ())
    assert told
    for one in told:
        switch: Any = its.platform.parts[one.switch]
        key = {"key": ""} if not switch.is_key else {}
        closed = False
        for position in switch.positions:
            state = VehicleState(
                **({"key": position} if switch.is_key else {"switches": {one.switch: position}, **key})
            )
            powered = evaluate(its, state)
            levels = powered.supply if one.brings == "plus" else powered.ground
            for probe in one.probes:
                part, _, pin = probe.rpartition(".")
                while part not in its.platform.parts:
                    part, _, more = part.rpartition(".")
                    pin = f"{more}.{pin}"
                closed |= levels[Terminal(part, pin)] == Answer.YES
        assert closed, one


def test_a_ground_side_door_switch_that_leads_is_proven_by_0_volts() -> None:
    its = circuit("van")
    meter = meter_named("clamp")
    read = tuple(written_reading(its.platform, word, meter, total=0.83) for word in ("BAT=0.83A", "CAB.F24=0.80A"))
    found = diagnose(its, Evidence(readings=read))
    doors = contacts_to_prove(Parked(its, {}, frozenset(), {}), ("DOORD",), found.faults)
    assert [(one.brings, one.closed) for one in doors] == [("ground", False)]
    assert "battery volts say that it does not open" not in suspects_text(its.platform, found)
