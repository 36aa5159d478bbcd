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


VAN = platform_from(
    """\
platform "Shrew" supply 12V return body
option H1 "air heater", H2 "blower and valve" or H1
battery BAT 70Ah
fuse F1 10A mini
switch S positions off, on closes 1 to 2 in on
motor M7 "heater fan" running 3A if H1
motor M8 "blower" running 6A if H2
motor M9 "roof fan" running 6A
heater Y1 "valve heater" running 1A
ground G0
BAT.- -> G0
BAT.+ -> F1 -> S.1
S.2 -> M7 -> G0 if H1
S.2 -> M8 -> G0 if H2
S.2 -> M9 -> G0
S.2 -> Y1 -> G0 if H2
"""
)


@pytest.mark.parametrize(
    ("fitting", "absent", "its"),
    [
        ({}, (), ["M7", "M8", "M9", "Y1"]),  # nobody said what is fitted: all of it may be
        ({"H1": True}, (), ["M7", "M8", "M9", "Y1"]),
        ({"H1": True, "H2": False}, (), ["M7", "M9"]),  # of Y1 all wires come with H2
        ({"H1": False, "H2": True}, ("M9",), ["M8", "Y1"]),
    ],
)
def test_what_is_not_fitted_neither_starts_nor_stops(
    fitting: dict[str, bool], absent: tuple[str, ...], its: list[str]
) -> None:
    assert sorted(switching_of(circuit_of(VAN), fitting, absent).by("S")) == its
    assert sorted(switching_of(circuit_of(VAN)).by("S")) == ["M7", "M8", "M9", "Y1"]
