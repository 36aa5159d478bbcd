"""What a step is foretold to end is what the same step, once made, is weighed as having ended: for every single part.
Laws, no figures of any vehicle: they need no other source. That a module is dead without its own fuse, awake or not, is
plain from the drawing."""

from collections.abc import Iterator
from functools import cache

import pytest

from circuitmap.diagnosis.next_test.expectations import NOTHING
from circuitmap.diagnosis.prepared import Prepared, prepared_for
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_netting import circuit as circuit_from
from tests.diagnosis.test_without import judged, predicted, total_of

TIPPER = """
platform "Orrest tipper" supply 24V return body
battery BAT 120Ah
box BX
fuse BX.F1 10A mini "bed control", BX.F2 10A mini "cab lamps", BX.F3 5A mini "bed contact", BX.F4 30A maxi "bed"
bar BX.B1 feeds BX.F4, BX.F2
connector X5 "bed plug" at "behind the cab"
switch BEDSW "bed contact" positions down, up closes 1 to 2 in up
module BEDC "bed control" supply 1 ground 2 wake 6 by plus asleep 2mA awake 250mA
module LAMPC "cab lamps" supply 1 ground 2 asleep 2mA awake 120mA
network NET can members BEDC (7, 8), LAMPC (7, 8)
BAT.- -> case
BAT.+ -> BX.B1
BX.F4 -> BX.F1
BX.F4 -> BX.F3
BX.F1 -> BEDC.1
BX.F2 -> LAMPC.1
BX.F3 -> BEDSW.1
BEDSW.2 -> X5.3 -> BEDC.6
BEDC.2, LAMPC.2 -> case
BEDC.7 -> LAMPC.7
BEDC.8 -> LAMPC.8
"""
KINDS = ("wrong-input", "keeps-awake")
PASSIVE = ("battery", "ground", "box", "bar", "splice", "joint", "open end")


@cache
def ready_for(name: str) -> Prepared:
    return prepared_for(circuit_from(TIPPER) if name == "tipper" else circuit(name), {}, Evidence())


def each_part(ready: Prepared) -> Iterator[tuple[str, ...]]:
    for name, part in ready.parked.platform.parts.items():
        if part.kind not in PASSIVE:
            yield (name,)


@pytest.mark.parametrize("name", ("tipper", "sweeper", "motorhome"))
def test_what_ends_with_a_part_out_ends_in_the_forecast_and_in_the_weighing(name: str) -> None:
    ready = ready_for(name)
    place = total_of(ready)
    differ, ended = [], 0
    for out in each_part(ready):
        for number, fault in enumerate(ready.faults):
            if fault.kind not in KINDS or not fault.lives_by:  # its supply is on no sheet
                continue
            foretold = predicted(ready.expectations, number, out, place)
            weighed = judged(ready, fault, out, place)
            ended += weighed == NOTHING
            if (foretold.mean < 0.003) != (weighed.mean < 0.003):
                differ.append((out, fault.part, foretold.mean, weighed.mean))
    assert differ == []
    assert ended > 10


@pytest.mark.parametrize(
    ("out", "ends"),
    [("BX.F1", True), ("BX.F3", True), ("BX.F4", True), ("X5", True), ("BX.F2", False), ("LAMPC", False)],
)
def test_a_contact_that_wakes_a_module_ends_with_the_module_s_own_fuse(out: str, ends: bool) -> None:
    ready = ready_for("tipper")
    number = next(n for n, fault in enumerate(ready.faults) if fault.part == "BEDSW" and fault.kind == "wrong-input")
    foretold = predicted(ready.expectations, number, (out,), "BAT")
    assert (foretold == NOTHING) == ends
    assert (judged(ready, ready.faults[number], (out,), "BAT") == NOTHING) == ends
