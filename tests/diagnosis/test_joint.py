"""Two faults that do more together than each apart: a stuck relay feeds a module, and a network keeps it awake."""

from itertools import combinations

import pytest

from circuitmap.diagnosis.diagnose import diagnose, posterior_and_next_test
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from tests.diagnosis.test_netting import circuit

NOTATION = """
platform "Marlow Linnet" supply 12V return body
battery BAT 72Ah
bar B1 feeds F1, F2, K1.30
fuse F1 10A mini, F2 10A mini, F3 10A mini
relay K1 "Run relay" make
module HEATER supply 1 ground 31 asleep 1mA awake 90mA..110mA
module TOWMOD supply 1 ground 31 wake 9 asleep 1mA awake 380mA..420mA
network BODY can members HEATER, TOWMOD
switch KEYSW positions off, on closes 1 to 2 in on
sheet "1"
BAT.+ -> B1
BAT.- -> case
F1 -> HEATER.1
HEATER.31, TOWMOD.31 -> case
F2 -> KEYSW.1
KEYSW.2 -> K1.86
K1.85 -> case
K1.87 -> F3 -> TOWMOD.1
"""
READINGS = ("F1=0.100A", "F2=0.000A", "F3=0.400A")


def test_the_towing_module_is_awake_only_under_both() -> None:
    ready = prepared_for(circuit(NOTATION), {}, Evidence())
    numbers = {fault.identity: n for n, fault in enumerate(ready.faults)}
    stuck = next(n for i, n in numbers.items() if i[0] == "contact" and i[1] == "K1")
    keeps = next(n for i, n in numbers.items() if i[0] == "keeps-awake" and i[1] == "HEATER")
    pair = next(t for t in ready.together if {t.first, t.second} == {stuck, keeps})
    joint = ready.joint[pair.as_fault - len(ready.faults)]
    awake = ("TOWMOD", "1", "awake")
    assert awake in {flow.key for flow in joint.brings}
    assert awake not in {flow.key for n in (stuck, keeps) for flow in ready.faults[n].brings}


def test_readings_that_only_both_explain_point_to_both() -> None:
    its = circuit(NOTATION)
    once = tuple(written_reading(its.platform, word, meter_named("series", 0.001)) for word in READINGS)
    diagnosis = diagnose(its, Evidence(readings=(*once, *once)))
    pairs = [row for row in diagnosis.rows if len(row.explanation.kinds) == 2]
    told = {frozenset(fault.part for fault in member) for row in pairs[:8] for member in row.faults}
    assert frozenset({"K1", "HEATER"}) in told
    chance = {part.part: part.probability for part in diagnosis.parts}
    assert chance["K1"] > 0.03


def test_the_pairs_add_up_to_the_chance_of_two() -> None:
    """A pair that does more together takes the place of the two side by side; both would count it twice."""
    its = circuit(NOTATION)
    once = tuple(written_reading(its.platform, word, meter_named("series", 0.001)) for word in READINGS)
    weighing, _ = posterior_and_next_test(its, Evidence(readings=once))
    assert weighing.together
    alone = [n for n in range(len(weighing.odds)) if weighing.odds[n] > 0.0]
    pairs = sum(weighing.pair(a, b) for a, b in combinations(alone, 2))
    assert weighing.pairs_in_all == pytest.approx(pairs, rel=1e-9)
