"""A contact that is wrong by being open: unplugged it is as open, so that nothing is cleared. Source: the circuit itself;
what a door contact that is closed with the door shut says when its plug is off."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.standing import standing_of
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.tried_text import try_sentence
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

CABIN = """\
platform "Small bus" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3
module DOORC "door controller" supply 1 ground 2 wake 5{by} sense 6 asleep 2mA awake 300mA
module LAMPS "lamp controller" supply 1 ground 2 asleep 2mA awake 150mA
switch DOOR "door contact" positions shut, open closes 1 to 2 in {door}
switch STEP "step contact" positions in, out closes 1 to 2 in out
ground G1
network NET can members DOORC (8, 9), LAMPS (8, 9)
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> DOORC.1 in RD 1
CAB.F2 -> LAMPS.1 in RD 1
CAB.F3 -> open
DOOR.1 -> DOORC.5 in GY 0.5
STEP.1 -> DOORC.6 in WH 0.5
DOOR.2, STEP.2, DOORC.2, LAMPS.2 -> G1 in BN 1
DOORC.8 -> LAMPS.8 in YE 0.35
DOORC.9 -> LAMPS.9 in GN 0.35
"""
READ = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.45A, F1: 0.30A, F2: 0.15A, F3: 0A}")
STAYS = ("at: 09:10, out: [DOOR]", "at: 09:40, total: 0.45A")
GOES = ("at: 09:10, out: [DOOR]", "at: 09:40, total: 0.01A")


def cabin(by: str, door: str) -> Circuit:
    return circuit_from(CABIN.replace("{by}", by).replace("{door}", door).replace("CAB.F3 -> open\n", ""))


def of(by: str, door: str, *entries: str) -> float:
    return chances(told(cabin(by, door), *READ, *entries)[0]).get("DOOR", 0.0)


def verdict(its: Circuit, *entries: str) -> tuple[str, str]:
    text = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(its.platform, card)
    assert not problems and not more
    (one,) = standing_of(its.platform, card, evidence, its).tries
    return one.verdict, try_sentence(its.platform, one, Clock())


def test_out_for_nothing_clears_a_contact_that_closes_and_none_that_opens() -> None:
    closes, opens = of("", "open"), of(" by opening", "shut")
    assert of("", "open", *STAYS) < 0.05 * closes, "it is out, and what it closed goes on"
    assert of(" by opening", "shut", *STAYS) > 0.6 * opens, "what is less is its wire, which is told by itself now"


def test_what_clears_nothing_counts_nothing_where_no_sheet_says_how_the_input_works() -> None:
    before = of("", "shut")
    said, words = verdict(cabin("", "shut"), *READ, *STAYS)
    assert said == "cannot-tell" and "clears nothing" in words
    assert of("", "shut", *STAYS) == pytest.approx(before, rel=0.01)
    its = cabin("", "shut")
    assert "with DOOR out" not in " ".join(suspects_text(its.platform, told(its, *READ, *STAYS)[0]).split())
    assert of("", "shut", *GOES) > 3.0 * before, "if the draw goes with it, the contact did it all the same"


def test_the_card_says_why_nothing_is_cleared_and_what_would_clear_it() -> None:
    assert verdict(cabin("", "open"), *READ, *STAYS)[0] == "cleared"
    told_of, words = verdict(cabin(" by opening", "shut"), *READ, *STAYS)
    assert told_of == "cannot-tell" and "clears nothing" in words and "in the half of the plug with the wires" in words
    assert verdict(cabin(" by opening", "shut"), *READ, *GOES)[0] == "involved"


def test_a_change_over_contact_out_is_not_what_it_is_in_use() -> None:
    text = CABIN.replace("CAB.F3 -> open\n", "").replace("{by}", " by plus")
    text = (
        text.replace("closes 1 to 2 in {door}", "closes 1 to 2 in shut closes 1 to 3 in open")
        + "CAB.F3 -> DOOR.3 in RD 1\n"
    )
    assert verdict(circuit_from(text), *READ, *STAYS)[0] == "cleared"


MINIBUS = Path(__file__).parents[1] / "papers" / "minibus" / "text"


@pytest.mark.slow
def test_volts_at_the_pin_are_not_contradicted_by_the_plug_that_is_off() -> None:
    entries = (
        "at: 17:00, state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes",
        "at: 18:20, read: {G1: 0.93A, G2: 0.43A}",
        "at: 18:25, volts: {A6.6: 11.6V}",
        "at: 18:30, out: [S12]",
        "at: 19:40, read: {G1: 0.93A, G2: 0.43A}",
    )
    its = circuit_of(open_platform(MINIBUS))
    found = told(its, *entries, HF=False, TR=False)[0]
    assert next(iter(chances(found))) == "S12"
