"""What nobody typed acquits nobody: a timer on an ignition bar may take next to nothing, and the relay that feeds it was
measured. Source: the circuit; that such a timer takes some mA at rest is common practice, no source."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.subjects import Subject
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

IGNITION = """\
platform "Small lorry" sleep 5min..10min limit 30mA
battery BAT 95Ah
box A
fuse A.F1 10A mini, A.F2 10A mini, A.F3 40A maxi, A.F5 10A mini
bar A.B30 feeds A.F1, A.F2, A.F3, A.F5
box B
fuse B.F7 20A mini, B.F8 10A mini
bar B.B15 feeds B.F7, B.F8
key S1 positions off, run closes 30 to 15 in run
relay B.K1 "ignition" make
module N1 "engine controller" supply 1 ground 2 wake 4 by plus asleep 2mA awake 450mA
module N2 "body controller" supply 1 ground 2 asleep 2mA awake 180mA
{timer}
output K3.S feeds from 15 while I "now and then"
switch S4 "wiper switch" positions off, on closes 1 to 2 in on
motor M2 "wiper" running 4A
ground G1
network NET can members N1 (8, 9), N2 (8, 9)
BAT.- -> G1
BAT.+ -> A.B30 in RD 16
A.F1 -> N1.1 in RD 1
A.F2 -> N2.1 in RD 1
A.F3 -> B.K1.30 in RD 6
A.F5 -> S1.30 in RD 1
S1.15 -> B.K1.86 in BK 1
B.K1.87 -> B.B15 in RD 6
B.F8 -> N1.4 in BK 0.5
B.F7 -> SP1 in GN 1
SP1 -> K3.15, S4.1 in GN 1
S4.2 -> K3.I in GN 1
K3.S -> M2 -> G1 in GN 1
B.K1.85, N1.2, N2.2, K3.31 -> G1 in BN 1
N1.8 -> N2.8 in YE 0.35
N1.9 -> N2.9 in GN 0.35
splice SP1
"""
TIMER = 'module K3 "wiper timer" supply 15 ground 31 sense I'


def bus(takes: str = "") -> Circuit:
    return circuit_from(IGNITION.replace("{timer}", TIMER + takes))


READ = (
    "at: 09:00, state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes",
    "at: 09:36, read: {BAT: 0.63A, A.F1: 0.45A, A.F2: 0.18A, A.F5: 0A}",
    "at: 09:45, state: key off, volts: {N1.4: 12.4V}",
)
QUIET = "at: 09:50, read: {BAT: 0.63A, A.F3: 0.00A}"


def leading(its: Circuit, *entries: str) -> tuple[Subject, float]:
    found = told(its, *entries)[0]
    return found.subjects[0], {s.about: s.probability for s in found.subjects}.get("B.K1", 0.0)


def test_a_timer_that_nobody_typed_does_not_acquit_the_relay_before_it() -> None:
    subject, before = leading(bus(), *READ)
    assert subject.about == "B.K1"
    subject, since = leading(bus(), *READ, QUIET)
    assert subject.about == "B.K1" and since > 0.8 * before


def test_measured_as_stuck_it_stays_so() -> None:
    _, chance = leading(bus(), *READ, QUIET, "at: 09:52, relays: {B.K1: stuck}")
    assert chance > 0.9


def test_what_is_typed_in_does_acquit() -> None:
    typed = bus(" asleep 2mA awake 150mA")
    subject, chance = leading(typed, *READ, QUIET)
    assert subject.about == "NET" and chance < 0.3


@pytest.mark.parametrize("entries", [(), READ])
def test_plus_on_the_wire_that_the_contact_feeds_feeds_all_that_the_contact_feeds(entries: tuple[str, ...]) -> None:
    its = bus()
    faults = told(its, *entries)[0].faults if entries else prepared_for(its, {}, Evidence()).faults
    wire = next(f for f in faults if f.part.startswith("wake wire of N1.4"))
    contact = next(f for f in faults if f.contact == "B.K1.87")
    assert {flow.key for flow in wire.brings} == {flow.key for flow in contact.brings}
    assert wire.odds < 0.25 * contact.odds
