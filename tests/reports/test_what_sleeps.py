"""A fuse that carries what sleeps behind it is not told as one that draws."""

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_figures_that_fit import platform

SIX = "".join(
    f'module A{n} "controller {n}" supply 1 ground 2 wake 3 by ground asleep 1mA awake 200mA\n'
    f"switch D{n} positions shut, open closes 1 to 2 in open\n"
    f"SPA -> A{n}.1\nA{n}.2 -> G1\nA{n}.3 -> D{n}.1\nD{n}.2 -> G1\n"
    for n in range(6)
)
TEXT = """\
platform "Tractor" sleep 5min..10min limit 30mA
battery B 95Ah
box F "Box"
fuse F.F1 10A mini, F.F2 10A mini, F.F3 10A mini
module A "implement controller" supply 1 ground 2 asleep {asleep} awake 200mA
module C "display" supply 1 ground 2 asleep 1mA awake 300mA
lamp E1 "work lamp" supply 1 ground 2 running 21W
switch S1 positions off, on closes 1 to 2 in on
ground G1
B.+ -> F.F1 -> SPA
splice SPA
SPA -> A.1
B.+ -> F.F2 -> C.1
B.+ -> F.F3 -> S1.1
S1.2 -> E1.1
E1.2 -> G1
A.2 -> G1
C.2 -> G1
B.- -> G1
"""


def said(asleep: str, *readings: str) -> str:
    its = platform(TEXT.format(asleep=asleep) + SIX)
    evidence = evidence_typed(its, TypedEvidence(readings=readings, meter="low-current-clamp", resolution="1mA"))
    return " ".join(suspects_text(its, diagnose(circuit_of(its), evidence)).split())


def test_what_sleeps_is_told_as_that_and_what_draws_as_drawing() -> None:
    text = said("2mA", "F1=8mA", "B=1.76A", "F3=1.75A")
    assert "F.F1 shows no more than what sleeps there takes (8 mA)" in text
    assert "F.F3 (1.75 A: E1) draws" in text and "F.F3 (1.75 A: E1) and F.F1" not in text


def test_the_same_current_draws_where_less_sleeps_there() -> None:
    assert "F.F1 (0.06 A" in said("1mA", "F1=60mA", "F3=1.75A", "B=1.79A")
    assert "no more than what sleeps" not in said("1mA", "F1=60mA", "F3=1.75A", "B=1.79A")


def test_so_far_it_is_not_counted_among_what_draws() -> None:
    text = said("2mA", "F1=8mA", "B=1.76A")
    assert "F.F1 shows no more than what sleeps there takes (8 mA)" in text and "F.F1 (0.01 A) draws" not in text
