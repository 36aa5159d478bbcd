"""A zero that only an assumed current speaks against is no reading to doubt, while all else fits."""

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

SWEEPER = """\
platform "Sweeper" sleep 10min..20min limit 30mA
battery BAT 110Ah
box CAB "Cab fuse box"
fuse CAB.F1 10A mini, CAB.F2 15A mini, CAB.F3 10A mini
module BODYC "body controller" supply 4, 5 ground 6 wake 8 asleep 4mA awake 0.32A
module HEATC "heater controller" supply 1 ground 2 asleep 2mA awake 0.18A
motor LOCK "door lock" supply 1 ground 2 running 4A
switch KEYIN "key contact" positions out, in closes 1 to 2 in in
network BODY can members BODYC, HEATC
ground G1
BAT.+ -> CAB.F1 -> BODYC.4
BAT.+ -> CAB.F2 -> BODYC.5
BAT.+ -> CAB.F3 -> HEATC.1
BODYC.6 -> G1
HEATC.2 -> G1
BAT.+ -> KEYIN.1
KEYIN.2 -> BODYC.8
output BODYC.9 feeds from 5 "LOCK, pulse"
BODYC.9 -> LOCK.1
LOCK.2 -> G1
BAT.- -> G1
"""


def sweeper(**said: str) -> Circuit:
    text = SWEEPER
    for was, now in said.items():
        text = text.replace({"awake": "awake 0.32A", "pins": "supply 4, 5"}[was], now)
    notation, problems = read_text(SourceFile("sweeper.circuit", text))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return circuit_of(platform_of([notation]))


def asked(its: Circuit, *entries: str) -> tuple[Diagnosis, str]:
    card, problems = read_card(SourceFile("job.yaml", "entries:\n" + "".join(f"- {{{e}}}\n" for e in entries)))
    assert problems == ()
    evidence, more = evidence_on(its.platform, card)
    assert more == ()
    found = diagnose(its, evidence)
    return found, " ".join(suspects_text(its.platform, found).split())


FITS = (
    "at: 10:00, state: locked",
    "at: 11:00, meter: low current clamp, resolution: 10mA, zeroed: yes, read: {BAT: 0.50A}, steady: yes",
    "at: 11:10, read: {CAB.F1: 0.32A, CAB.F2: 0.00A, CAB.F3: 0.18A}",
    "at: 11:15, network: {BODY: 2.5V}",
)


def test_how_a_part_shares_its_current_between_two_pins_is_a_guess() -> None:
    found, text = asked(sweeper(), *FITS)
    assert found.subjects[0].about == "BODY"
    assert "CAB.F2 (0.00 A) unexplained" not in text
    assert "Read CAB.F2 again" not in text
    assert not any(test.action.doing == "read-again" for test in found.tests.choices)


def test_what_a_pin_is_said_to_take_is_no_guess() -> None:
    """The sheet says what flows at either pin: then the zero at one of them is not explained."""
    its = sweeper(awake="awake 0.32A on 4, 0.16A on 5")
    found, text = asked(its, *FITS)
    assert [misfit.segment.place for misfit in found.misfits] == ["CAB.F2"]
    assert "CAB.F2 (0.00 A) unexplained" in text and "Read CAB.F2 again" in text


def test_all_pins_together_are_no_guess() -> None:
    """What the part takes is typed in, and its only pin shows nothing."""
    its = sweeper(pins="supply 5")
    found, _ = asked(its, *FITS[:2], "at: 11:10, read: {CAB.F2: 0.00A, CAB.F3: 0.18A}", FITS[3])
    assert "CAB.F2" in [misfit.segment.place for misfit in found.misfits]


def test_where_all_its_pins_show_nothing_it_is_no_matter_of_shares() -> None:
    its = sweeper()
    its_entries = (*FITS[:2], "at: 11:10, read: {CAB.F1: 0.00A, CAB.F2: 0.00A, CAB.F3: 0.18A}", FITS[3])
    found, _ = asked(its, *its_entries)
    assert [misfit.segment.place for misfit in found.misfits] == ["CAB.F1", "CAB.F2"]
