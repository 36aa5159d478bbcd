"""What was measured at rest is no longer named as what may hold a network, and that it was is said."""

import pytest

from circuitmap.reports.suspects.proving import to_mend
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_volts_anywhere import WAKE_LINE
from tests.diagnosis.test_wires_that_are_left import told

LOCKED = "at: 08:00, state: locked"
KEPT_AWAKE = "at: 09:00, read: {BAT: 0.80A, F24: 5.9mV}, network: {BODY: awake}"
GATE_NETWORK = (
    WAKE_LINE.replace("network BODY", "network DRIVE can members GATE (7, 8) listens, ENG (7, 8) drives\nnetwork BODY")
    .replace("ground G1\n", 'ground G1\nmodule ENG "engine control" supply 1 ground 2 asleep 1mA awake 1mA\n'
             "gateway GATE joins DRIVE, BODY passes DRIVE to BODY\n", 1)
    + "CAB.F4 -> ENG.1\nENG.2 -> G1\nGATE.7 -> ENG.7\nGATE.8 -> ENG.8\n"
)  # fmt: skip


@pytest.mark.parametrize(("volts", "at_rest"), [
    ("BCM.B5: 12.1V", ("DOORD",)),
    ("BCM.B5: 0.1V", ()),
    ("BCM.B5: 12.1V, BCM.B6: 12.0V", ("DOORD", "DOORP")),
])  # fmt: skip
def test_a_door_contact_to_ground_is_at_rest_by_battery_volts(volts: str, at_rest: tuple[str, ...]) -> None:
    found = told(circuit("van"), LOCKED, KEPT_AWAKE, f"at: 09:10, volts: {{{volts}}}", TOW=True)[0]
    assert tuple(n for n in found.at_rest.by_volts if n in ("DOORD", "DOORP")) == at_rest


def test_the_live_data_say_it_too() -> None:
    seen = told(circuit("van"), LOCKED, KEPT_AWAKE, "at: 09:10, inputs: {DOORD: right, DOORP: wrong}", TOW=True)[0]
    assert seen.at_rest.by_data == ("DOORD",)


@pytest.mark.parametrize(("volts", "quiet"), [("0.0V", ("GATE.12",)), ("12.3V", ())])
def test_a_wake_wire_without_plus_has_no_foreign_plus(volts: str, quiet: tuple[str, ...]) -> None:
    its = circuit_from(GATE_NETWORK)
    read = (LOCKED, "at: 09:00, read: {BAT: 0.425A, F2: 0A}, steady: yes")
    before = suspects_text(its.platform, told(its, *read)[0])
    found = told(its, *read, f"at: 09:10, volts: {{GATE.12: {volts}}}")[0]
    after = suspects_text(its.platform, found)
    assert "foreign plus on the wake wire at GATE.12" in " ".join(before.split())
    assert found.at_rest.quiet == quiet
    assert not quiet or "foreign plus on the wake wire at GATE.12" not in " ".join(after.split())


def test_a_module_is_tested_once_each_of_its_inputs_was_measured_at_rest() -> None:
    """Its inputs are then not asked for once more when it is proven."""
    pins = {"TRLMOD.7": "0.0V", "TRLMOD.8": "0.0V"}
    kept = ("at: 06:00, state: locked", "at: 07:00, read: {BAT: 0.72A, F24: 2.7mV}, network: {CHASSIS: 2.5V}")
    for given, tested in ((pins, True), ({"TRLMOD.7": "0.0V"}, False), ({**pins, "TRLMOD.8": "24.3V"}, False)):
        volts = ", ".join(f"{pin}: {its}" for pin, its in given.items())
        found = told(circuit("truck"), *kept, f"at: 07:30, volts: {{{volts}}}")[0]
        assert ("TRLMOD" in found.at_rest.modules) == tested
        asked = to_mend(circuit("truck").platform, found, "TRLMOD")
        assert ("Its inputs and what it feeds tested apart" in asked) == (not tested)
        assert "hat it feeds tested apart" in asked
