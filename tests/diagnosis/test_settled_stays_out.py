"""A part whose share of a draw by two faults is settled stays out while the rest is hunted, though a place behind which
it hung is back to normal: back in, it would wake what hides the rest."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.jobs.test_out_over_a_use import job

SWEEPER: Platform = circuit_from("""\
platform "Orne kerb sweeper" supply 12V return body sleep 10min..15min limit 30mA
battery BAT 95Ah
fuse F1 80A bolted "alternator, cab", F2 60A bolted "heater"
fuse CABF 30A maxi "cab"
alternator ALT supply B+ ground 31
module CTRL "controller" supply 1 ground 2 wake 5 by ground asleep 3mA awake 180mA
module HEAT "heater" supply 1 ground 2 asleep 1mA awake 60mA
switch DOOR "door contact" positions shut, open closes 1 to case in open
BAT.- -> case
BAT.+ -> F1 -> ALT.B+
F1 -> CABF -> CTRL.1
BAT.+ -> F2 -> HEAT.1
DOOR.1 -> CTRL.5
CTRL.2, HEAT.2, ALT.31 -> case
""").platform
CAME = 'at: "07:50", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
DREW = 'at: "08:20", total: 0.54A, read: {F1: 0.54A, F2: 0.00A, CABF: 0.18A}, steady: yes'


@pytest.mark.parametrize(
    ("left", "put_in"),
    [
        ("total: 0.36A, read: {CABF: 0.00A}", ()),  # the rest goes on, and is hunted with it out
        ("total: 0.00A, read: {CABF: 0.00A}", ("DOOR",)),  # nothing goes on: what comes next needs it in
    ],
)
def test_what_is_settled_need_not_go_back_first(left: str, put_in: tuple[str, ...]) -> None:
    found = job(SWEEPER, CAME, DREW, 'at: "08:38", out: [DOOR]', f'at: "09:00", {left}, steady: yes')
    its = diagnose(circuit_of(SWEEPER), found.evidence)
    assert its.tests.put_in == put_in
    assert (its.settled is not None) == (not put_in)
