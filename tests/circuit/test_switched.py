"""What a part turns on and off, by the sheet alone."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.switched import switching_of
from tests.wiring.written import platform_from

PLATFORM = platform_from(
    """\
platform "Vole" supply 12V return body
battery BAT 70Ah
fuse F1 10A mini, F2 20A regular, F3 10A mini
module CTRL "step controller" supply A ground 31 sense S
output CTRL.C feeds from A
output CTRL.L grounds
relay K1 "blower relay" make
relay K2 "step relay" make
motor FAN supply 1 ground 2 running 6A
motor STEP supply 1 ground 2 running 9A
heater HEAT supply 1 ground 2 control 3 running 2A
heater SEAT running 1A
switch HSW positions off, on closes 1 to 2 in on
switch DSW positions shut, open closes 1 to case in open
switch SSW positions off, on closes 1 to 2 in on
switch TH positions cold, warm closes 1 to 2 in cold
connector X1
ground G0
BAT.- -> G0
BAT.+ -> F1 -> CTRL.A
CTRL.31 -> G0
CTRL.S -> DSW.1
BAT.+ -> F2 -> K1.30
K1.87 -> FAN.1
FAN.2 -> G0
CTRL.C -> X1.4
X1.4 -> K1.86
K1.85 -> G0
F2 -> K2.30
K2.87 -> STEP.1
STEP.2 -> G0
F1 -> K2.86
K2.85 -> CTRL.L
BAT.+ -> F3 -> HSW.1
F3 -> HEAT.1
HEAT.2 -> G0
HSW.2 -> HEAT.3
F3 -> SSW.1
SSW.2 -> TH.1
TH.2 -> SEAT -> G0
"""
)


@pytest.mark.parametrize(
    ("name", "its"),
    [
        ("K1", {"FAN": True}),
        ("K2", {"STEP": True}),
        ("CTRL", {"FAN": True, "STEP": True}),  # over the coils: one that it feeds, one that it grounds
        ("HSW", {"HEAT": False}),  # keeps its supply
        ("DSW", {"CTRL": False}),
        ("SSW", {"SEAT": True}),  # over a contact that is closed at rest
        ("TH", {"SEAT": True}),
        ("F1", {"CTRL": True, "STEP": True}),  # its coil hangs there, too
        ("F2", {}),  # what stands behind an open contact is that contact's
        ("X1", {"FAN": True}),
        ("HEAT.3", {"HEAT": False}),
        ("K1.86", {"FAN": True}),
        ("FAN", {}),
    ],
)
def test_what_it_turns_on_and_off(name: str, its: dict[str, bool]) -> None:
    assert dict(switching_of(circuit_of(PLATFORM)).by(name)) == its
