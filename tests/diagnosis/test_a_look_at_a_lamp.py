"""A lamp that the leading fault lets burn is looked at before a module is unplugged, also after a look round that did
not name it; what is seen there is written down, and not asked for again (worked out by hand)."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.found_there import written_found
from circuitmap.failures import WrongUse
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

PONTOON = """\
platform "Hallow pontoon" supply 12V return body sleep 5min..10min limit 30mA
battery BAT 95Ah
fuse F1 10A mini "pump controller", F2 10A mini "deck controller", F3 10A mini "radio"
module CTRL "deck controller" supply 1 ground 2 asleep 2mA awake 150mA at "stern locker" reach 12min
output CTRL.9 feeds from 1 "deck lamp"
lamp DECK "deck lamp" running 1.5A at "below the deck, seen from the water" reach 3min
module PUMP "pump controller" supply 1 ground 2 asleep 2mA
module RADIO "radio" supply 1 ground 2 asleep 2mA
ground G1
BAT.- -> G1
BAT.+ -> F1 -> PUMP.1 in RD 1
PUMP.2 -> G1 in BN 1
BAT.+ -> F2 -> CTRL.1 in RD 1
CTRL.9 -> DECK.1 in GY 0.5
DECK.2, CTRL.2 -> G1 in BN 1
BAT.+ -> F3 -> RADIO.1 in RD 1
RADIO.2 -> G1 in BN 1
"""
READ = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:00, total: 1.50A, steady: yes, looked: yes",
    "at: 09:05, read: {F1: 0.0mV, F2: 1.50A, F3: 0.0mV}",
)


def pontoon() -> Circuit:
    return circuit_from(PONTOON)


def steps(found: Diagnosis) -> list[tuple[str, tuple[str, ...]]]:
    return [(test.action.doing, test.action.parts) for test in found.tests.choices]


def test_it_is_looked_at_before_its_module_is_unplugged() -> None:
    its = pontoon()
    found = told(its, *READ)[0]
    assert steps(found)[0] == ("look-at", ("DECK",))
    text = " ".join(suspects_text(its.platform, found).split())
    assert "Look at DECK, deck lamp, below the deck, seen from the water: does it burn?" in text
    assert "Written down as found DECK burning, or dark." in text
    assert "secured before anybody goes under it" in text


def test_what_was_seen_there_counts_and_is_not_asked_for_again() -> None:
    before = chances(told(pontoon(), *READ)[0])["CTRL"]
    for sign in ("burning", "dark"):
        found = told(pontoon(), *READ, f"at: 09:10, found: {{DECK: {sign}}}")[0]
        assert ("look-at", ("DECK",)) not in steps(found), sign
        chance = chances(found)["CTRL"]
        assert chance > 0.95 if sign == "burning" else chance < 0.5 * before, sign


def test_before_anybody_looked_round_that_look_comes_first() -> None:
    entries = (READ[0], READ[1].replace(", looked: yes", ""), READ[2])
    assert not any(doing == "look-at" for doing, _ in steps(told(pontoon(), *entries)[0]))


def test_a_lamp_that_is_not_likely_to_burn_is_not_looked_at() -> None:
    entries = (*READ[:2], "at: 09:05, read: {F1: 0.0mV, F2: 0.0mV, F3: 1.50A}")
    assert not any(doing == "look-at" for doing, _ in steps(told(pontoon(), *entries)[0]))


def test_dark_is_said_of_lamps_alone() -> None:
    platform = pontoon().platform
    assert written_found(platform, "DECK", "unlit").sign == "dark"
    with pytest.raises(WrongUse, match="RADIO is no lamp"):
        written_found(platform, "RADIO", "dark")


TENDER = """\
platform "Fenmere tender" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 70Ah
fuse F1 10A mini "locker lamps", F2 10A mini "radio"
module CTRL "lamp controller" supply 1 ground 2 asleep 2mA awake 150mA at "helm" reach 8min
module RADIO "radio" supply 1 ground 2 asleep 2mA
lamp LOCKL "locker lamp" running 10W at "stern locker, left side" reach 2min
switch LOCKSW "locker lid switch" positions shut, open closes 1 to 2 in open at "stern locker lid, in the latch" reach 6min
ground G1
BAT.- -> G1
BAT.+ -> F1 -> LOCKL -> LOCKSW.1 in BN/GN 1
LOCKSW.2 -> G1 in BN 1
F1 -> CTRL.1 in RD 1
CTRL.2 -> G1 in BN 1
BAT.+ -> F2 -> RADIO.1 in RD 1
RADIO.2 -> G1 in BN 1
"""
AT_THE_LID = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:00, total: 0.84A, steady: yes, looked: yes",
    "at: 09:05, read: {F1: 0.84A, F2: 0.0mV}",
)


def test_a_lamp_of_a_shut_locker_is_looked_at_before_the_plug_in_its_latch() -> None:
    its = circuit_from(TENDER)
    found = told(its, *AT_THE_LID)[0]
    assert found.parts[0].part == "LOCKSW"
    assert steps(found)[0] == ("look-at", ("LOCKL",))
    text = " ".join(suspects_text(its.platform, found).split())
    assert "Look at LOCKL, locker lamp, stern locker, left side: does it burn?" in text
    assert "Leave it shut, for opening it lights the lamp: look in by a crack, or leave a telephone filming" in text
    assert "Leave it shut" not in " ".join(suspects_text(pontoon().platform, told(pontoon(), *READ)[0]).split())


def test_what_was_seen_in_the_shut_locker_counts() -> None:
    before = chances(told(circuit_from(TENDER), *AT_THE_LID)[0])["LOCKSW"]
    for sign in ("burning", "dark"):
        found = told(circuit_from(TENDER), *AT_THE_LID, f"at: 09:10, found: {{LOCKL: {sign}}}")[0]
        assert ("look-at", ("LOCKL",)) not in steps(found), sign
        chance = chances(found).get("LOCKSW", 0.0)
        assert chance > before if sign == "burning" else chance < 0.5 * before, sign
