"""Three small vehicles against a general Bayes-net library (pyAgrum), which knows nothing of pairs and rows.

Every fault is a node of its own, every reading a node that hangs on the faults that touch it; a chain of counters says
that at most two faults are there.
"""

from itertools import product

import pyagrum as gum
import pytest

from circuitmap.diagnosis.faults.fault_kinds import ODDS_OF_NOTHING
from circuitmap.diagnosis.prepared import none_of_these, prepared_for
from circuitmap.diagnosis.seen.netting import netted
from circuitmap.diagnosis.seen.observing import currents_seen, lines_seen
from circuitmap.diagnosis.weighing.sightings import CurrentSighting, StateSighting
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.diagnosis.weighing.weights import Weighing, weighed
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_names import written_line
from circuitmap.evidence.written_readings import written_reading
from tests.diagnosis.test_against_listing import chance
from tests.diagnosis.test_netting import circuit

HEATED = """
platform "Marlow Linnet" supply 12V return body
battery BAT 72Ah
fuse F1 10A mini, F2 10A mini
module HEATER supply 1 ground 31 asleep 1mA awake 100mA..200mA
module LOCKS supply 1 ground 31 asleep 1mA awake 50mA..100mA
network BODY can members HEATER, LOCKS
sheet "1"
BAT.+ -> F1 -> HEATER.1
BAT.+ -> F2 -> LOCKS.1
HEATER.31, LOCKS.31 -> case
BAT.- -> case
"""
TOWED = """
platform "Tarn Hauler" supply 24V return body
battery BAT 72Ah
fuse F1 15A mini, F2 5A mini, F3 20A regular
relay K1 make
module TOWMOD supply 1 ground 31
heater DEFROST running 2A
bar B1 feeds F1, F2, K1.30
sheet "1"
BAT.+ -> B1
F1 -> TOWMOD.1
TOWMOD.31 -> case
F2 -> K1.86
K1.85 -> TOWMOD.C1
K1.87 -> F3 -> DEFROST -> case
output TOWMOD.C1 grounds
BAT.- -> case
"""
LIT = """
platform "Ostrey Dunlin" supply 12V return body
battery BAT 95Ah
fuse F1 10A mini, F2 7.5A mini
lamp DOME running 800mA
switch DOOR positions shut, open closes 1 to case in open
module ALARM supply 1, 2 ground 31
sheet "1"
BAT.+ -> F1 -> DOME -> DOOR.1
BAT.+ -> F2 -> ALARM.1
F1 -> ALARM.2
ALARM.31 -> case
BAT.- -> case
"""
CASES = (
    (HEATED, ("F1=0.14A", "F2=0.00A"), ("BODY", "awake")),
    (TOWED, ("F1=0.0mV", "F2=2.4mV", "F3=2.1A"), None),
    (LIT, ("F1=0.82A", "F2=0.05A"), None),
)


@pytest.mark.parametrize("case", CASES, ids=["heating", "towing", "lighting"])
def test_the_same_probabilities_as_a_bayes_net(case: tuple[str, tuple[str, ...], tuple[str, str] | None]) -> None:
    text, words, line = case
    its = circuit(text)
    readings = tuple(written_reading(its.platform, word, meter_named("series")) for word in words)
    ready = prepared_for(its, {}, Evidence())
    nets = netted(readings, ready.tree, ready.routes)
    faults = (*ready.faults, *none_of_these(nets, ready.tree, ready.parked))
    sightings: list[CurrentSighting | StateSighting] = [*currents_seen(nets, faults, ready.parked, ready.tree)]
    if line is not None:
        sightings += lines_seen((written_line(its.platform, *line),), faults, ready.parked)
    odds = [fault.odds for fault in faults]
    ours = weighed(tables_of(sightings, len(faults)), odds, odds_of_nothing=ODDS_OF_NOTHING)  # type: ignore[arg-type]
    theirs = by_bayes_net(sightings, odds)
    for number, expected in enumerate(theirs):
        got = float(ours.given_something[number]) * ours.something_wrong
        assert got == pytest.approx(expected, rel=1e-6, abs=1e-12), faults[number].identity
    assert isinstance(ours, Weighing)


def by_bayes_net(sightings: list[CurrentSighting | StateSighting], odds: list[float]) -> list[float]:
    """Probability of each fault, given the observations and that there are at most two."""
    net = gum.BayesNet()
    for number, its in enumerate(odds):
        net.add(gum.LabelizedVariable(f"f{number}", "", 2))
        net.cpt(f"f{number}").fillWith([1.0 / (1.0 + its), its / (1.0 + its)])
    for number in range(len(odds)):
        net.add(gum.LabelizedVariable(f"count{number}", "", 4))
        if number:
            net.addArc(f"count{number - 1}", f"count{number}")
        net.addArc(f"f{number}", f"count{number}")
        for before, there in product(range(4 if number else 1), range(2)):
            row = [0.0] * 4
            row[min(before + there, 3)] = 1.0
            at = {f"f{number}": there, **({f"count{number - 1}": before} if number else {})}
            net.cpt(f"count{number}")[at] = row
    for number, sighting in enumerate(sightings):
        is_current = isinstance(sighting, CurrentSighting)
        touching = sorted({*sighting.brought, *sighting.taken} if is_current else sighting.touched)
        net.add(gum.LabelizedVariable(f"seen{number}", "", 2))
        for fault in touching:
            net.addArc(f"f{fault}", f"seen{number}")
        for there in product(range(2), repeat=len(touching)):
            present = tuple(fault for fault, yes in zip(touching, there, strict=True) if yes)
            its_chance = chance(sighting, present) if len(present) <= 2 else 0.0
            at = {f"f{fault}": yes for fault, yes in zip(touching, there, strict=True)}
            net.cpt(f"seen{number}")[at] = [1.0 - its_chance, its_chance]
    query = gum.LazyPropagation(net)
    seen = {f"seen{number}": 1 for number in range(len(sightings))}
    query.setEvidence({**seen, f"count{len(odds) - 1}": [1.0, 1.0, 1.0, 0.0]})
    query.makeInference()
    return [float(query.posterior(f"f{number}")[1]) for number in range(len(odds))]
