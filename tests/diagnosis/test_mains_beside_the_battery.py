"""What stands at a mains inlet's voltage carries no current of the batteries: it is no suspect, and nothing that was not
found flows there. Every current here is invented."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

HUT = """
platform "Site hut" sleep 5min..10min limit 50mA
battery BAT 90Ah
fuse FA 10A, FB 10A, FC 15A
connector YARD "yard inlet"{typed}
breaker RES.L 16A, RES.N 16A
charger CHG "charger" supply + sense L, N
heater ROD "mains heating rod" supply 1 ground 2
module CLK "clock" supply 1 ground 2 asleep 5mA
lamp LMP "hut lamp" running 1.2A
switch LS positions off, on closes 1 to 2 in on
ground GND
? "yard mains" -> YARD.L
? "yard mains" -> YARD.N
YARD.L -> RES.L -> CHG.L
YARD.N -> RES.N -> CHG.N
RES.L -> ROD.1
ROD.2 -> RES.N
CHG.+ -> FC -> BAT.+
BAT.+ -> FA -> CLK.1
CLK.2 -> GND
BAT.+ -> FB -> LS.1
LS.2 -> LMP.1
LMP.2 -> GND
BAT.- -> GND
"""
AT_MAINS = ("RES.L", "RES.N", "ROD")


def answer(typed: str, *read: str) -> tuple[str, Diagnosis]:
    circuit = circuit_from(HUT.format(typed=typed))
    typed_in = TypedEvidence(readings=read, meter="clamp", resolution="10mA")
    diagnosis = diagnose(circuit, evidence_typed(circuit.platform, typed_in), {})
    text = suspects_text(circuit.platform, diagnosis)
    return " ".join(text.split()), diagnosis


@pytest.mark.parametrize("read", (("BAT=0.62A",), ("BAT=0.62A", "FA=0.00A"), ("BAT=0.62A", "FA=0.00A", "FB=0.00A")))
def test_nothing_at_the_mains_is_a_suspect_for_a_current_of_the_battery(read: tuple[str, ...]) -> None:
    text, found = answer(" hands-off high-voltage", *read)
    assert not [name for name in AT_MAINS if name in text]
    assert not [its.part for its in found.parts if its.part in AT_MAINS]


def test_the_charger_that_stands_at_both_stays_a_suspect() -> None:
    text, _ = answer(" hands-off high-voltage", "BAT=0.62A", "FA=0.00A", "FB=0.00A", "FC=0.62A")
    assert "CHG" in text
