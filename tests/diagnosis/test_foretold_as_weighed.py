"""What a step is foretold to bring is what its result is weighed by: an answer whose own forecast comes true is not
doubted for it. Laws, no figures of any vehicle: they need no other source."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.next_test.expectations import Expectations, moments_of
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_water_in_a_plug import HATCH
from tests.diagnosis.test_wires_that_are_left import FLAP, chances, told

HOIST = HATCH.replace("RAMP.5 -> X9.2", "RAMP.5 -> X4.1 -> X9.2").replace("connector X9", "connector X4\nconnector X9")
"""The same with one more plug between the module and the wet one."""
READ = HATCH.replace("wake 5 by ground", "sense 5")
"""The same with a module that reads the contact and is not woken by it."""
VEHICLES = {"ramp": HATCH, "ramp, two plugs": HOIST, "ramp, read": READ, "tail lift": FLAP}
OUTS = ("RAMP", "RAMP.5", "RAMPSW", "X4", "X4.1", "X9", "X9.2", "X9.3", "LIFT.5", "FLAP", "X6", "X6.4", "X7.9")
DREW = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.45A, F1: 0.30A, F2: 0.15A}, inputs: {RAMPSW: wrong}")
AT_PIN = {"bare": (), "some volts": ("at: 09:10, volts: {RAMP.5: 3.0V}",)}
SEEN = {
    "before": (),
    "switch was out": ("at: 09:20, out: [RAMPSW]", "at: 09:40, read: {BAT: 0.45A}", "at: 09:41, back: [RAMPSW]"),
    "plug is wet": ("at: 09:12, found: {X9: wet}",),
}
SHOWN = {"normal": "0.004A", "stays": "0.45A"}


@pytest.fixture(scope="module", params=VEHICLES)
def vehicle(request: pytest.FixtureRequest) -> Circuit:
    return circuit_from(VEHICLES[request.param])


def test_what_is_left_is_foretold_as_it_is_weighed(vehicle: Circuit) -> None:
    ready = prepared_for(vehicle, {}, Evidence())
    expected = Expectations(ready.parked, ready.tree, ready.faults)
    whole = expected.brought("BAT")[0]
    differ = []
    for out in (its for its in OUTS if its.partition(".")[0] in vehicle.platform.parts):
        numbers, left = expected.left((out,), "BAT")
        foretold = dict(zip(numbers.tolist(), left[0].tolist(), strict=True))
        without = Without(ready.parked, (out,))
        for n, fault in enumerate(ready.faults):
            if fault.kind != "wrong-input":
                continue
            flows = (f for f in without.left_of(fault) if "BAT" in ready.tree.way_places(f.way.places))
            weighed = moments_of(flows).mean
            if foretold.get(n, whole[n]) != pytest.approx(weighed, abs=0.01):
                differ.append((out, fault.part, foretold.get(n, whole[n]), weighed))
    assert differ == []


@pytest.mark.parametrize("seen", SEEN)
@pytest.mark.parametrize("at_pin", AT_PIN)
@pytest.mark.parametrize("name", ("ramp", "ramp, two plugs"))
def test_the_leading_answer_is_not_doubted_for_its_own_forecast(name: str, at_pin: str, seen: str) -> None:
    its = circuit_from(VEHICLES[name])
    entries = (*DREW, *AT_PIN[at_pin], *SEEN[seen])
    before = told(its, *entries)[0]
    first = before.parts[0]
    ready = prepared_for(its, {}, Evidence())
    for out in (one for one in OUTS if one.partition(".")[0] in its.platform.parts):
        parts = [fault for fault in before.faults if fault.part == first.part and fault.kind == "wrong-input"]
        ends = {not Without(ready.parked, (out,)).left_of(fault) for fault in parts}
        if len(ends) != 1 or first.part not in {*its.platform.parts}:
            continue
        numbers = Expectations(ready.parked, ready.tree, parts).left((out,), "BAT")[0]
        outcome = "normal" if len(numbers) == len(parts) else "stays"
        typed = (f"at: 09:50, out: [{out}]", f"at: 10:10, read: {{BAT: {SHOWN[outcome]}}}")
        after = chances(told(its, *entries, *typed)[0]).get(first.part, 0.0)
        assert after > 0.97 * first.probability, (out, outcome, first.part, first.probability, after)
