"""A switch that hangs on what is dead while parked brings nothing, closed or not: it is no rival of the module that
reads it, and volts at the pin say so."""

from functools import cache

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

TRUCK = """\
platform "Tipper" sleep 5min..10min limit 50mA
battery BAT 100Ah
box CAB "fuse box"
fuse CAB.F1 10A mini, CAB.F2 15A mini, CAB.F9 10A mini
switch KEY "key switch" positions off, run closes 1 to 2 in run
module LIGHTS "trailer lights" supply 1 ground 2 sense 9 asleep 3mA awake 200mA
module LIFT "tail lift" supply 1 ground 2 asleep 3mA awake 300mA
module GAUGES "gauges" supply 1 ground 2 awake 100mA
switch WORKSW "work light switch" positions off, on closes 1 to 2 in on
network LIN can members LIGHTS (10), LIFT (10)
ground G1
BAT.+ -> CAB.F1 -> LIGHTS.1
BAT.+ -> CAB.F2 -> LIFT.1
BAT.+ -> KEY.1
{fed} -> CAB.F9 -> WORKSW.1
CAB.F9 -> GAUGES.1
WORKSW.2 -> LIGHTS.9
LIGHTS.10 -> LIFT.10
LIGHTS.2, LIFT.2, GAUGES.2 -> G1
BAT.- -> G1
"""


@cache
def truck(fed: str) -> Circuit:
    read, problems = read_text(SourceFile("truck.circuit", TRUCK.replace("{fed}", fed)))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return circuit_of(platform_of([read]))


def found(fed: str, *entries: str) -> Diagnosis:
    said = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.50A, CAB.F1: 0.20A, CAB.F2: 0.30A}", *entries)
    card, problems = read_card(SourceFile("job.yaml", "entries:\n" + "".join(f"- {{{entry}}}\n" for entry in said)))
    evidence, more = evidence_on(truck(fed).platform, card)
    assert (*problems, *more) == ()
    return diagnose(truck(fed), evidence)


def chance(its: Diagnosis, part: str) -> float:
    return next((one.probability for one in its.parts if one.part == part), 0.0)


def test_it_keeps_few_of_its_odds() -> None:
    dead, live = found("KEY.2"), found("BAT.+")
    assert chance(dead, "WORKSW") < 0.2 * chance(dead, "LIGHTS")
    assert chance(live, "WORKSW") > 3.0 * chance(dead, "WORKSW")


@pytest.mark.parametrize(("volts", "less"), [("0.0V", True), ("12.4V", False)])
def test_volts_at_its_pin_tell(volts: str, less: bool) -> None:
    before, after = found("KEY.2"), found("KEY.2", f"at: 09:05, volts: {{LIGHTS.9: {volts}}}")
    assert not [gap for gap in after.incomplete if gap.kind == "volts tell nothing"]
    assert (chance(after, "WORKSW") < 0.5 * chance(before, "WORKSW")) is less
