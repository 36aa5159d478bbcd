"""A module that hangs holds its network and its relays: one thing, not two. And what is seen once it was reset says
nothing of what it held. Worked out by hand: A4 of CRANE's two coils and of two modules that are awake hang on CRANE."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

CRANE = """\
platform "Dorn lorry with a loading crane" supply 24V return body sleep 5min..10min limit 60mA
battery BAT 140Ah 24V
box CAB
fuse CAB.F1 10A mini "crane control", CAB.F2 10A mini "frame lamps", CAB.F3 10A mini "hydraulic heater"
fuse CAB.F4 15A mini "work lamps"
bar CAB.B1 feeds CAB.F1..F4
module CRANE "crane control" supply 1 ground 2 sense 9 asleep 2mA awake 100mA
module FRAME "frame lamps" supply 1 ground 2 asleep 2mA awake 80mA
module HYDR "hydraulic heater" supply 1 ground 2 asleep 1mA awake 60mA
relay K1 "work lamp relay, left" make running 100mA
relay K2 "work lamp relay, right" make running 100mA
relay K3 "horn relay" make running 100mA
lamp LAMPL "work lamp, left" running 2A
lamp LAMPR "work lamp, right" running 2A
horn HORN running 4A
switch STOW "crane stowed contact" positions stowed, out closes 1 to 2 in out
ground G1
network BODY can members CRANE (7, 8), FRAME (7, 8), HYDR (7, 8)
output CRANE.11, CRANE.12, CRANE.13 feeds from 1 "relay coils"
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> CRANE.1 in RD 1
CAB.F2 -> FRAME.1 in RD 1
CAB.F3 -> HYDR.1 in RD 1
CRANE.2, FRAME.2, HYDR.2 -> G1 in BN 1
CRANE.9 -> STOW.1 in GY
STOW.2 -> G1 in BN
CRANE.11 -> K1.86 in GN
CRANE.12 -> K2.86 in GN/RD
CRANE.13 -> K3.86 in GN/BK
K1.85, K2.85, K3.85 -> G1 in BN
K1.87 -> LAMPL.1 in BK
K2.87 -> LAMPR.1 in BK
K3.87 -> HORN.1 in BK
LAMPL.2, LAMPR.2, HORN.2 -> G1 in BN
CRANE.7 -> FRAME.7 in YE
FRAME.7 -> HYDR.7 in YE
CRANE.8 -> FRAME.8 in GN
FRAME.8 -> HYDR.8 in GN
"""
"""The lamps' fuse is out of its slot: K1.30 has no wire, so their contacts carry nothing."""
DREW = (
    "at: 08:00, state: locked, meter: low current clamp, zeroed: yes",
    "at: 09:00, total: 0.44A, read: {F1: 0.30A, F2: 0.08A, F3: 0.06A, F4: 0.00A}",
    "at: 09:05, network: {BODY: 2.5V}, relays: {K1: held, K2: held, K3: open}, volts: {K1.86: 24.2V, K2.86: 24.1V}",
)
RESET = ("at: 09:10, out: [F1]", "at: 09:30, total: 0.005A", "at: 09:32, back: [F1]")
QUIET = "at: 09:50, total: 0.005A{}"
OPEN = ", relays: {K1: open, K2: open}, volts: {K1.86: 0.0V, K2.86: 0.0V}, network: {BODY: 0.0V}"


@pytest.fixture(scope="module")
def lorry() -> Circuit:
    return circuit_from(CRANE)


def chance_of(answer: Diagnosis, part: str) -> float:
    return sum(its.probability for its in answer.parts if its.part == part)


def test_two_relays_and_the_network_are_one_fault(lorry: Circuit) -> None:
    answer, _ = told(lorry, *DREW)
    said = " ".join(suspects_text(lorry.platform, answer).split())
    assert answer.two_faults < 0.2
    assert chance_of(answer, "CRANE") > 0.5
    assert "THEN CRANE" not in said
    best = answer.rows[0].faults[0]
    assert len(best) == 1 and best[0].hangs == ("CRANE.11", "CRANE.12")


def test_what_hangs_by_an_input_is_kept(lorry: Circuit) -> None:
    """What the contact tells may turn the lamps on: as long as nobody looked, both stay."""
    answer, _ = told(lorry, *DREW)
    fine, _ = told(lorry, *DREW, "at: 09:08, inputs: {STOW: right}")
    assert chance_of(answer, "STOW") > 3.0 * chance_of(fine, "STOW")
    assert chance_of(fine, "CRANE") > 0.85


def test_what_was_seen_after_the_reset_is_of_another_state(lorry: Circuit) -> None:
    """The same answer, be it written down or not that all had let go once it was reset."""
    bare, seen = (told(lorry, *DREW, *RESET, QUIET.format(more))[0] for more in ("", OPEN))
    assert {p.part: p.probability for p in bare.parts} == {p.part: p.probability for p in seen.parts}
    assert chance_of(seen, "CRANE") > 0.5


def test_what_was_seen_with_it_out_is_of_another_state(lorry: Circuit) -> None:
    out = (
        "at: 09:10, out: [CRANE]",
        "at: 09:30, total: 0.005A{}",
        "at: 09:32, back: [CRANE]",
        "at: 09:50, total: 0.44A",
    )
    let_go = ", relays: {K1: open, K2: open}, inputs: {STOW: right}"
    bare, seen = (told(lorry, *DREW, *(one.format(more) for one in out))[0] for more in ("", let_go))
    assert {p.part: p.probability for p in bare.parts} == {p.part: p.probability for p in seen.parts}


def test_a_try_that_took_nothing_away_sets_nothing_aside(lorry: Circuit) -> None:
    """K1 found open with the frame lamps out, and all drawing on: it is open."""
    out = ("at: 09:10, out: [FRAME]", "at: 09:30, total: 0.36A{}")
    bare, seen = (told(lorry, *DREW, *(one.format(more) for one in out))[0] for more in ("", ", relays: {K1: open}"))
    assert {p.part: p.probability for p in bare.parts} != {p.part: p.probability for p in seen.parts}
