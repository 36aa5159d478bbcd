"""A fuse behind a feeder that was read as carrying next to nothing is not pulled: out, it would take away no more."""

import numpy as np
import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.next_test.actions import Actions
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from tests.wiring.written import platform_from

PLATFORM = platform_from(
    """\
platform "Wryneck" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 70Ah
fuse M1 40A maxi, M2 40A maxi, F1 10A mini, F2 10A mini, F3 10A mini
lamp L1 running 0.5A
module A supply 1 ground 2 awake 300mA
module B supply 1 ground 2 awake 300mA
network N can members A, B
ground G
BAT.- -> G
BAT.+ -> M1 -> F1 -> A.1
M1 -> F2 -> L1.1
L1.2 -> G
A.2 -> G
BAT.+ -> M2 -> F3 -> B.1
B.2 -> G
"""
)


def pulled(*words: str) -> set[tuple[str, ...]]:
    readings = tuple(written_reading(PLATFORM, word, meter_named("clamp"), total=2.0) for word in words)
    evidence = Evidence(readings=readings)
    ready = prepared_for(circuit_of(PLATFORM), {}, evidence)
    hand = ready.handling
    actions = Actions(hand, ready.faults, readings={one.place: one for one in readings})
    many = len(ready.faults)
    listed = Listed(np.arange(many), np.full(many, -1), np.full(many, 1.0 / many))
    asked: list[Action] = [one for one in actions.all(listed, set(), set()) if one.doing == "pull-fuses"]
    return {one.parts for one in asked}


def test_nothing_read_leaves_all_of_them() -> None:
    assert {("F1",), ("F3",)} <= pulled("BAT=2.00A")


@pytest.mark.parametrize(("zero", "left"), [("M2=0.00A", False), ("M2=0.50A", True)])
def test_behind_what_carries_nothing_none_is_pulled(zero: str, left: bool) -> None:
    found = pulled("BAT=2.00A", zero)
    assert ("F1",) in found
    assert (("F3",) in found) == left


def test_where_as_much_may_hide_as_flows_it_still_is() -> None:
    assert ("F3",) in pulled("BAT=0.10A", "M2=0.00A")
