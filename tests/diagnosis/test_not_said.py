"""What nobody said about the car: how a main switch stands, which equipment it has, and what the answer would be
then."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.failures import WrongUse
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.job.job_text import brief
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_answers import circuit_from, section_of

TWO_BATTERIES = """
platform "Quell motorhome" supply 12V
option BOOST "charging converter"
battery BAT 90Ah
battery LEIS 110Ah
fuse FS1 50A bolted "split charge", CBL 50A bolted "living battery", F9 20A regular
relay KSPLIT "split-charge relay" make if not BOOST
module BOOSTER "charging converter" supply I ground 31 if BOOST
switch LIVSW "main switch" positions off, on closes 1 to 2 in on
key IGN positions off, run closes 30 to 15 in run
splice SP1, SP2
heater FRIDGE "cold box" running 4A
switch COLD positions off, on closes 1 to 2 in on
BAT.+ -> FS1 -> SP1
SP1 -> KSPLIT.30 if not BOOST
KSPLIT.87 -> SP2 if not BOOST
BAT.+ -> IGN.30
IGN.15 -> KSPLIT.86 if not BOOST
KSPLIT.85 -> case if not BOOST
SP1 -> BOOSTER.I if BOOST
BOOSTER.O -> SP2 if BOOST
BOOSTER.31 -> case if BOOST
output BOOSTER.O feeds from I in run if BOOST
SP2 -> LIVSW.2
LEIS.+ -> CBL -> LIVSW.1
SP2 -> F9 -> FRIDGE.1
FRIDGE.2 -> COLD.1
COLD.2 -> case
"""
READ = ("BAT=3.1A", "LEIS=-2.9A", "FS1=3.0A")


@pytest.fixture(scope="module")
def motorhome() -> Circuit:
    return circuit_from(TWO_BATTERIES)


def asked(its: Circuit, *readings: str, positions: tuple[str, ...] = (), **options: bool) -> Diagnosis:
    evidence = evidence_typed(its.platform, TypedEvidence(readings=readings, positions=positions))
    return diagnose(its, evidence, options)


def test_with_the_main_switch_on_what_joins_the_batteries_leads(motorhome: Circuit) -> None:
    found = asked(motorhome, *READ, positions=("LIVSW=on",), BOOST=False)
    assert found.subjects[0].about == "KSPLIT" and found.subjects[0].probability > 0.7
    assert found.worlds == ()
    off = asked(motorhome, *READ, BOOST=False)
    assert not any(flow.key.taken == "between" for fault in off.faults for flow in fault.brings)


def test_a_key_that_sticks_joins_the_batteries_through_the_relay_that_it_pulls_in(motorhome: Circuit) -> None:
    found = asked(motorhome, *READ, positions=("LIVSW=on",), BOOST=False)
    joining = {fault.part for fault in found.faults if any(flow.key.taken == "between" for flow in fault.brings)}
    assert joining == {"KSPLIT", "control wire of KSPLIT", "IGN"}


def test_what_was_not_said_is_asked_before_anything_else(motorhome: Circuit) -> None:
    found = asked(motorhome, *READ)
    said = {(dict(w.positions)["LIVSW"], dict(w.fitting)["BOOST"]): w for w in found.worlds}
    assert said["on", False].subject.about == "KSPLIT" and said["on", True].subject.about == "BOOSTER"
    assert sum(world.probability for world in found.worlds) == pytest.approx(1.0, abs=0.1)
    text = suspects_text(motorhome.platform, found)
    told = section_of(text, "SAY FIRST")
    assert (
        "How does LIVSW, main switch, stand? (Taken as off, as in a parked car: then LEIS is cut off from the rest.) Is BOOST"
        in told
    )
    assert (
        "LIVSW on and without BOOST: relay KSPLIT, split-charge relay: its contact is closed and should be open ("
        in told
    )
    assert "--set LIVSW=.. and --option BOOST or --without BOOST" in told
    assert "MAY BE" not in text
    steps = section_of(text, "NEXT")
    assert "for the likeliest: LIVSW on and without BOOST" in steps and "volts between 86 and 85 (coil)" in steps
    assert "NEXT 1 before it is touched" in steps
    so_far = section_of(text, "SO FAR")
    assert "2.90 A of it goes from BAT into LEIS" in so_far
    assert "KSPLIT (split-charge relay)" in so_far and "BOOSTER (charging converter)" in so_far


def test_each_position_is_told_with_what_it_leads_to() -> None:
    """With LIVSW off LEIS is cut off: the converter does not charge it then, and what FS1 carries stays behind it. The
    relay's contact would still take a current from FS1 to the living area; its control wire, which holds the relays of
    fridge and step as well, would take more than was read. So it leads in one position only."""
    its = circuit("motorhome")
    told = section_of(suspects_text(its.platform, asked(its, *READ)), "SAY FIRST")
    assert "LIVSW on and without BOOST: relay KSPLIT" in told and "(19 in 20)" in told
    assert "LIVSW off and without BOOST: what hangs on FS1" in told
    assert "LIVSW on and with BOOST: BOOSTER, charging converter" in told
    assert "LIVSW off and with BOOST: what hangs on FS1" in told


def test_a_sure_answer_asks_nothing_and_so_does_one_where_it_changes_nothing(motorhome: Circuit) -> None:
    sure = asked(motorhome, *READ, positions=("LIVSW=on",), BOOST=False)
    assert sure.worlds == () and "SAY FIRST" not in suspects_text(motorhome.platform, sure)
    assert asked(motorhome, "BAT=0.5A").worlds == ()


def test_the_parked_car_is_taken_with_the_switch_as_it_stands(motorhome: Circuit) -> None:
    """F9 is then fed from the living-area battery: what draws there is no longer a riddle."""
    read = ("BAT=0A", "LEIS=4A", "F9=3.9A")
    assert [dead.place for dead in asked(motorhome, *read, BOOST=False).dead] == ["F9"]
    on = asked(motorhome, *read, positions=("LIVSW=on",), BOOST=False)
    assert on.dead == () and on.subjects[0].about in ("COLD", "F9")


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("LIVSW=half", "LIVSW stands at off or on, not half."),
        ("KSPLIT=on", "KSPLIT is not a switch with positions."),
        ("IGN=run", "IGN is the key"),
        ("NIX=on", "There is no part NIX"),
        ("LIVSW", "LIVSW: write NAME=POSITION."),
    ],
)
def test_a_position_that_makes_no_sense_is_told(motorhome: Circuit, written: str, message: str) -> None:
    with pytest.raises(WrongUse) as refused:
        evidence_typed(motorhome.platform, TypedEvidence(positions=(written,)))
    assert message in refused.value.message


def test_a_card_says_it_whenever_it_was_found_out(motorhome: Circuit) -> None:
    text = "entries:\n  - {read: {BAT: 3.1A, LEIS: -2.9A, FS1: 3.0A}}\n  - {stands: {livsw: on}, absent: [BOOST]}\n"
    card, problems = read_card(SourceFile("job.yaml", text.replace("livsw", "LIVSW")))
    evidence, more = evidence_on(motorhome.platform, card)
    assert (problems, more) == ((), ())
    assert evidence.positions == {"LIVSW": "on"} and evidence.options == {"BOOST": False}
    assert diagnose(motorhome, evidence, evidence.options).subjects[0].about == "KSPLIT"


def test_the_short_answer_of_a_card_asks_it_and_shows_the_step_that_it_speaks_of(motorhome: Circuit) -> None:
    short = "\n".join(brief(suspects_text(motorhome.platform, asked(motorhome, *READ)).splitlines()))
    assert "SAY FIRST  How does LIVSW" in short and "\n 3 " not in short
    told = suspects_text(motorhome.platform, asked(motorhome, *READ, positions=("LIVSW=on",), BOOST=False))
    assert "TELL BY    NEXT 1 (" in told
    assert "\n 1 " in "\n".join(brief(told.splitlines())) and "\n 3 " not in "\n".join(brief(told.splitlines()))


def test_a_card_speaks_of_one_position(motorhome: Circuit) -> None:
    text = 'entries:\n  - {stands: {LIVSW: "on"}}\n  - {stands: {LIVSW: "off"}}\n'
    card, _ = read_card(SourceFile("job.yaml", text))
    _, (problem,) = evidence_on(motorhome.platform, card)
    assert problem.headline == "LIVSW was at on in an entry before: which readings belong to which?"
    assert problem.span.place() == "job.yaml:3:22"
