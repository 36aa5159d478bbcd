"""A reading is foretold as the meter will show it: all that flows there, but for what was read behind it with a figure.
Laws of the circuit; the currents are those typed in."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import posterior_and_next_test
from circuitmap.diagnosis.explaining.listing import listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.predicting import Predictions, Setting
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from

VAN = """\
platform "Small van" sleep 10min..25min limit 50mA
battery BAT 95Ah
box CAB
fuse F90 60A, FALT 100A
fuse CAB.F1 10A, CAB.F2 10A, CAB.F3 10A
bar CAB.B1 feeds CAB.F1..F3
lamp L1 running 0.4A
lamp L2 running 0.4A
lamp L3 running 0.4A
switch S1 positions off, on closes 1 to 2 in on
switch S2 positions off, on closes 1 to 2 in on
alternator ALT supply B+ control D+
ground G1
BAT.- -> G1
BAT.+ -> F90, FALT in RD 16
F90 -> CAB.B1 in RD 10
FALT.2 -> ALT.B+ in RD 25
CAB.F1 -> S1.1
S1.2 -> L1 -> G1
CAB.F2 -> S2.1
S2.2 -> L2 -> G1
CAB.F3 -> L3 -> G1
"""
CLAMPED = "F90"


@pytest.fixture(scope="module")
def van() -> Circuit:
    return circuit_from(VAN)


def quiet_at(its: Circuit, place: str, setting: Setting, wanted: Fault) -> float:
    """The chance that a clamp at a place shows nothing, if this fault is there."""
    ready = prepared_for(its, {}, Evidence())
    everything = listed(posterior_and_next_test(its, Evidence())[0])
    step = ready.handling.action("clamp", (place,))
    ((_, names, chances),) = Predictions(ready.expectations, ready.faults, everything, setting).of_all([step])
    number = next(n for n, fault in enumerate(ready.faults) if fault.identity == wanted.identity)
    row = next(
        n
        for n, both in enumerate(zip(everything.first.tolist(), everything.second.tolist(), strict=True))
        if both == (number, -1)
    )
    return float(chances[row, names.index("quiet")])


def test_a_fuse_that_draws_without_a_figure_takes_nothing_off_its_feeder(van: Circuit) -> None:
    switch = next(f for f in prepared_for(van, {}, Evidence()).faults if f.part == "S1")
    read = Setting("BAT", 0.4, 0.06, 0.01, frozenset({"CAB.F1"}))
    assert quiet_at(van, CLAMPED, read._replace(no_figure=frozenset({"CAB.F1"})), switch) < 0.1
    assert quiet_at(van, CLAMPED, read, switch) > 0.9, "with a figure it is taken off, and told with it"


def test_the_fuse_in_its_cable_is_above_an_alternator(van: Circuit) -> None:
    """What the battery has left over says nothing of what comes behind a fuse that was read to carry all of it."""
    tree = prepared_for(van, {}, Evidence()).tree
    assert tree.above("ALT") == ("FALT", "BAT")
    leak = next(f for f in prepared_for(van, {}, Evidence()).faults if f.part == "ALT" and f.kind == "unfused")
    assert leak.brings[0].way.places == ("ALT", *tree.above("ALT"))
    room = {"BAT": 0.03, "FALT": 0.45}
    read = Setting("BAT", 0.4, 0.06, 0.01, frozenset({"BAT", "FALT"}), missing=0.01, room=room)
    narrow = read._replace(room={"BAT": 0.03})
    assert quiet_at(van, "ALT", read, leak) < quiet_at(van, "ALT", narrow, leak)
