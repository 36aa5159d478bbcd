"""Something fitted to a car of which two batteries give too much: whether they are joined is read beside what was fitted,
at a fuse in which nothing else flows, before anything wakes the car or is taken out."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.added_first import only_crossing, what_crosses
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_steps_worth_doing import steps
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.diagnosis.test_wires_that_are_left import told

BUS = """\
fuse FD 10A mini, FR 10A mini
module DASH "dash display" supply 1 ground 2 asleep 2mA awake 660mA reach 10min
module RACK "cabin controller" supply 1 ground 2 asleep 2mA awake 510mA reach 10min
network BUS can members DASH, RACK
BA -> FD -> DASH.1
BB -> FR -> RACK.1
DASH.2, RACK.2 -> GND
"""
BOAT = circuit_from(SKIFF + BUS)
"""A network with a member on each battery takes just as much awake as was read: one fault, and no relay, explains both."""
LOCKED = "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes"
BOTH = "at: 09:10, read: {SB: 0.66A, HB: 0.51A}, steady: yes, looked: yes"
FITTED = "at: 09:11, added: {deck sign: FL}"
BESIDE = {("read-fuse", ("FA",)), ("read-fuse", ("FB",)), ("clamp", ("FA",)), ("clamp", ("FB",))}
OWN = {("clamp", ("deck sign",)), ("clamp", ("FL",)), ("read-fuse", ("FL",))}


def asked(*entries: str) -> Diagnosis:
    return told(BOAT, LOCKED, *entries)[0]


def test_what_joins_them_is_read_right_behind_what_was_fitted() -> None:
    assert not BESIDE.intersection(steps(asked(BOTH)))
    found = asked(BOTH, FITTED)
    its = steps(found)
    crossing = next(n for n, step in enumerate(its) if step in BESIDE)
    assert its[0] in OWN and crossing == 1
    assert not any(test.action.is_invasive for test in found.tests.choices[:crossing])


def test_it_is_read_once() -> None:
    read = asked(BOTH, FITTED, "at: 09:15, read: {FA: 0.00A}")
    assert not BESIDE.intersection(steps(read))


def test_only_where_nothing_else_flows() -> None:
    """A load behind the one fuse makes its current say nothing of what crosses: then it is the other one."""
    ready, loaded = (prepared_for(circuit_from(text), {}, Evidence()) for text in (SKIFF, LOADED))
    assert only_crossing(ready.faults, ready.handling) == ("FA", "FB")
    assert only_crossing(loaded.faults, loaded.handling) == ("FB",)
    first = what_crosses(("FA", "FB"), ready.handling, ())
    assert first is not None and first.parts == ("FA",)
    assert what_crosses(("FA", "FB"), ready.handling, ("FB",)) is None


LOADED = SKIFF.replace("BA -> FC -> CLK.1", "FA.2 -> FC -> CLK.1")
