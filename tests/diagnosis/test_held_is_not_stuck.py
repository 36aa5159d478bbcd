"""An outcome that points to all there is about a relay does not call its contact stuck while something may hold it; where
the contact itself is what leads, it does."""

import re

import pytest

from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_left_so import answer

FLOAT = """\
platform "Carnival float" sleep 5min..10min limit 50mA
battery BAT 110Ah
box DECK
box CAB
fuse DECK.F1 15A mini, DECK.F2 5A mini, DECK.F3 10A mini, CAB.F5 10A mini, CAB.F6 10A mini
bar DECK.B1 feeds DECK.F1, DECK.F2, DECK.F3
bar CAB.B1 feeds CAB.F5, CAB.F6
relay DECK.K4 "hatch lamps" make running 150mA
lamp HL1 "hatch lamps" running 1.2A
switch HA "hatch contact, left" positions shut, open closes 1 to case in open
switch HB "hatch contact, right" positions shut, open closes 1 to case in open
switch HC "hatch contact, rear" positions shut, open closes 1 to case in open
module LOCKS "locks" supply 1 ground 2 asleep 2mA awake 300mA
module HEATER "heater" supply 1 ground 2 asleep 2mA awake 300mA
module HOIST "hoist" supply 1 ground 2 asleep 2mA awake 300mA
splice SPH
BAT.+ -> DECK.B1
BAT.+ -> CAB.B1
BAT.- -> case
DECK.F1 -> DECK.K4.30
DECK.K4.87 -> HL1.1
DECK.F2 -> DECK.K4.86
DECK.K4.85 -> SPH -> HA.1, HB.1, HC.1
DECK.F3 -> HOIST.1
CAB.F5 -> LOCKS.1
CAB.F6 -> HEATER.1
HL1.2, LOCKS.2, HEATER.2, HOIST.2 -> case
"""
LOCKED = 'at: "08:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'


@pytest.fixture(scope="module")
def float_() -> Platform:
    return platform_of([read_text(SourceFile("float.circuit", FLOAT))[0]])


def said(platform: Platform, total: str, coil: str) -> str:
    read = f"{{BAT: {total}, DECK.F1: 1.20A, DECK.F2: {coil}, DECK.F3: 0.00A}}"
    its = answer(platform, LOCKED, f'at: "09:00", read: {read}, steady: yes')
    return " ".join(suspects_text(platform, its).split())


def pointed_to(text: str) -> set[str]:
    return {words for words in re.findall(r"\bthen ([^()]*) \(", text) if "DECK.K4" in words}


@pytest.mark.parametrize("total", ["1.36A", "1.75A"])  # nothing else draws; something in the cab does, too
def test_a_relay_that_is_held_is_not_called_stuck(float_: Platform, total: str) -> None:
    text = said(float_, total, "0.15A")
    assert "NOT DECK.K4 stuck" in text
    assert pointed_to(text) == {"what holds DECK.K4"}
    assert text.count("DECK.K4 stuck") == text.split("COUNT ")[0].count("DECK.K4 stuck")


def test_a_relay_whose_contact_leads_is_called_stuck(float_: Platform) -> None:
    assert pointed_to(said(float_, "1.20A", "0.00A")) == {"DECK.K4 stuck"}


def test_while_it_may_be_either_the_relay_is_named_alone(float_: Platform) -> None:
    its = answer(float_, LOCKED, 'at: "09:00", read: {BAT: 1.30A, DECK.F1: 1.20A}, steady: yes')
    text = " ".join(suspects_text(float_, its).split())
    assert "DECK.K4" in pointed_to(text)
