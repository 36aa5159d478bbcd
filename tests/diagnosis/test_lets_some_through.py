"""An output that should be off and lets a part of its load's current through. Source: the circuit, and Ohm's law for
what a load shows that gets a part of its current; how often outputs fail so is judgement."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.bay.steps import tap_of
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

FRIDGE = """\
platform "Small reefer" supply 12V sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 30A maxi, CAB.F2 10A mini, CAB.F3 15A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3
module REEF "cooling controller" supply 1 ground 2 asleep 2mA awake 300mA
module FANREG "condenser fan regulator" supply 1 ground 2 sense 4 asleep 1mA care hot
module LAMPM "load-space light module" supply 1 ground 2 asleep 2mA awake 90mA
motor FAN "condenser fan" running 16A care starts-itself
lamp LOADL "load-space lamp" running 2A
ground G1
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> FANREG.1 in RD 4
CAB.F2 -> REEF.1 in RD 1
CAB.F3 -> LAMPM.1 in RD 1
REEF.5 -> FANREG.4 in WH 0.5
output REEF.5 feeds from 1 "fan command"
output FANREG.3 feeds from 1 while 4 "condenser fan, as much as is asked for"
output LAMPM.7 feeds from 1 "load-space lamp"
FANREG.3 -> FAN.1 in BK 4
LAMPM.7 -> LOADL.1 in YE 1
FAN.2, LOADL.2, FANREG.2, REEF.2, LAMPM.2 -> G1 in BN 2.5
"""
METER = "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes"
FAN_DRAWS = (METER, "at: 09:00, total: 1.36A, steady: yes, looked: yes", "at: 09:10, read: {F1: 1.35A, F2: 0A, F3: 0A}")
LAMP_DRAWS = (
    METER,
    "at: 09:00, total: 0.31A, steady: yes, looked: yes",
    "at: 09:10, read: {F1: 0A, F2: 0A, F3: 0.30A}",
)
OUT, GONE, BACK, AGAIN = (
    "at: 09:20, out: [{}]",
    "at: 09:30, total: 0.01A, steady: yes",
    "at: 09:31, back: [{}]",
    ("at: 09:40, total: {}, steady: yes"),
)


@pytest.fixture(scope="module")
def reefer() -> Circuit:
    return circuit_from(FRIDGE)


def answer(its: Circuit, *entries: str) -> Diagnosis:
    return told(its, *entries)[0]


def tried(part: str, amps: str) -> tuple[str, ...]:
    return OUT.format(part), GONE, BACK.format(part), AGAIN.format(amps)


def chance(found: Diagnosis, contact: str, partly: bool) -> float:
    alone = [(row.probability / len(row.faults), its[0]) for row in found.rows for its in row.faults if len(its) == 1]
    return sum(its for its, fault in alone if (fault.contact, fault.partly) == (contact, partly))


def of(found: Diagnosis, contact: str, partly: bool) -> Fault:
    return next(fault for fault in found.faults if (fault.contact, fault.partly) == (contact, partly))


def words(its: Circuit, found: Diagnosis) -> str:
    return " ".join(suspects_text(its.platform, found).split())


def test_what_lets_some_through_and_what_asks_for_some_stand_beside_each_other(reefer: Circuit) -> None:
    """1.35 A of 16 A: not all of it, whoever turns it on."""
    found = answer(reefer, *FAN_DRAWS)
    assert chance(found, "FANREG.3", partly=False) < 0.01
    assert chance(found, "FANREG.3", partly=True) > 0.1 < chance(found, "REEF.5", partly=False)


def test_a_form_takes_its_odds_from_its_own_output_alone(reefer: Circuit) -> None:
    found = answer(reefer, *FAN_DRAWS)
    whole, part, other = of(found, "LAMPM.7", False), of(found, "LAMPM.7", True), of(found, "REEF.5", False)
    assert part.odds < whole.odds and part.odds + whole.odds == pytest.approx(other.odds)
    assert of(found, "FANREG.3", False).odds + of(found, "FANREG.3", True).odds == pytest.approx(other.odds)


def test_it_ends_with_the_module_the_pin_and_the_load(reefer: Circuit) -> None:
    for part in ("FANREG", "FANREG.3", "FAN"):
        found = answer(reefer, *FAN_DRAWS, *tried(part, "1.36A"))
        assert chance(found, "FANREG.3", partly=True) > chance(answer(reefer, *FAN_DRAWS), "FANREG.3", partly=True)
    held = answer(reefer, *FAN_DRAWS, OUT.format("FAN"), "at: 09:30, total: 1.36A, steady: yes")
    assert chance(held, "FANREG.3", partly=True) < 0.01


def test_a_whole_current_is_an_output_that_does_not_turn_off(reefer: Circuit) -> None:
    read = METER, "at: 09:00, total: 2.0A", "at: 09:10, read: {F1: 0A, F2: 0A, F3: 2.0A}"
    found = answer(reefer, *read, *tried("LOADL", "2.0A"))
    assert chance(found, "LAMPM.7", partly=False) > 5.0 * chance(found, "LAMPM.7", partly=True)
    assert "its output LAMPM.7 does not turn off" in words(reefer, found)


def test_some_volts_at_a_load_that_should_be_dead_speak_for_it(reefer: Circuit) -> None:
    before = answer(reefer, *FAN_DRAWS)
    none, some = (answer(reefer, *FAN_DRAWS, f"at: 09:20, volts: {{FAN.1: {volts}}}") for volts in ("0.0V", "0.6V"))
    leaks = [chance(its, "FANREG.3", partly=True) for its in (none, before, some)]
    asks = [chance(its, "REEF.5", partly=False) for its in (none, before, some)]
    assert leaks[0] < 0.5 * leaks[1] < 0.5 * leaks[2] and asks[0] < 0.5 * asks[1] < 0.5 * asks[2]
    both = answer(reefer, *FAN_DRAWS, "at: 09:20, volts: {FAN.1: 0.6V, FANREG.4: 0.0V}")
    assert both.subjects[0].about == "FANREG" and both.subjects[0].probability > 0.9
    assert "its output FANREG.3 lets current through without being asked" in words(reefer, both)
    assert "+++ FAN.1 has 0.6 V to ground" in words(reefer, both)


def test_the_display_s_last_digit_is_no_volts(reefer: Circuit) -> None:
    none, step = (answer(reefer, *FAN_DRAWS, f"at: 09:20, volts: {{FAN.1: {volts}}}") for volts in ("0.0V", "0.1V"))
    finer = answer(reefer, *FAN_DRAWS, "at: 09:20, volts: {FAN.1: 0.10V}")
    assert chance(none, "FANREG.3", partly=True) == pytest.approx(chance(step, "FANREG.3", partly=True))
    assert chance(finer, "FANREG.3", partly=True) > 0.3


def test_some_volts_at_a_pin_that_only_listens_say_what_they_said(reefer: Circuit) -> None:
    """Up to a tenth of the supply a command that comes to no load is none."""
    none, some = (answer(reefer, *FAN_DRAWS, f"at: 09:20, volts: {{FANREG.4: {volts}}}") for volts in ("0.0V", "0.6V"))
    asked = [chance(its, "REEF.5", partly=False) for its in (none, some)]
    assert asked[0] == pytest.approx(asked[1]) and asked[0] < 0.05


def test_with_the_load_out_plus_speaks_for_what_lets_some_through(reefer: Circuit) -> None:
    volts = (f"at: 09:35, volts: {{FANREG.3: {its}}}" for its in ("0.0V", "12.2V"))
    none, plus = (answer(reefer, *FAN_DRAWS, OUT.format("FAN"), its) for its in volts)
    assert chance(plus, "FANREG.3", partly=True) > 1.2 * chance(none, "FANREG.3", partly=True)


def test_volts_at_the_load_are_read_before_anything_is_parted(reefer: Circuit) -> None:
    found = answer(reefer, *FAN_DRAWS)
    steps = [(test.action.doing, test.action.parts) for test in found.tests.choices]
    at = steps.index(("load-volts", ("FAN.1",)))
    assert tap_of(found.tests.choices[at], "none").lines == ("volts FAN.1 0.0V",)
    assert tap_of(found.tests.choices[at], "volts") == ((), "FAN.1")
    assert not any(test.action.takes_out for test in found.tests.choices[:at])
    text = words(reefer, found)
    assert "Volts to ground at FAN.1, the feed of FAN, condenser fan" in text
    assert "0 V: none comes there" in text and "The same at FANREG.4: volts there ask for it" in text
    assert "It may start by itself" in text and "Probe from behind" in text
    read = answer(reefer, *FAN_DRAWS, "at: 09:20, volts: {FAN.1: 0.0V}")
    assert not any(test.action.doing == "load-volts" for test in read.tests.choices)


def test_the_load_alone_is_not_what_is_to_be_mended(reefer: Circuit) -> None:
    found = answer(reefer, *FAN_DRAWS, "at: 09:15, volts: {FAN.1: 0.6V, FANREG.4: 0.0V}", *tried("FAN", "1.36A"))
    assert found.parts[0].part == "FANREG" and not found.unexplained_tries


def test_a_glowing_lamp_is_told_as_such(reefer: Circuit) -> None:
    found = answer(reefer, *LAMP_DRAWS, *tried("LOADL", "0.31A"))
    assert "its output LAMPM.7 lets current through without being asked" in words(reefer, found)


KEYED = """\
platform "Small van" supply 12V sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
key IGN "ignition" positions off, run closes 30 to 15 in run
fuse CAB.F1 30A maxi, CAB.F2 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2
module LOCK "locking" supply 1 ground 2 asleep 2mA awake 90mA
switch VENTSW "fan switch" positions off, on closes 1 to 2 in on
motor VENT "roof fan" running 12A
ground G1
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> IGN.30 in RD 4
IGN.15 -> VENTSW.1 in BK 4
VENTSW.2 -> VENT.1 in BK 4
CAB.F2 -> LOCK.1 in RD 1
VENT.2, LOCK.2 -> G1 in BN 2.5
"""


def test_a_try_that_nothing_foretells_is_told_with_where_to_look() -> None:
    """Two contacts in a row are open: no single fault of the sheet feeds the fan."""
    van = circuit_from(KEYED)
    found = answer(van, METER, "at: 09:00, total: 0.62A, read: {F1: 0.60A, F2: 0A}", *tried("VENT", "0.62A"))
    assert [(one.tried.attempt.out, one.through) for one in found.unexplained_tries] == [
        (("VENT",), ("VENTSW", "IGN")),
    ]
    text = words(van, found)
    assert "with VENT out the draw went, and with it in it came back: nothing that is supposed here would" in text
    assert "Its current comes through VENTSW and IGN" in text and "STOP" not in text
    once = answer(van, METER, "at: 09:00, total: 0.62A, read: {F1: 0.60A, F2: 0A}", OUT.format("VENT"), GONE)
    assert not once.unexplained_tries


def test_some_volts_that_nothing_brings_are_told_as_such() -> None:
    read = METER, "at: 09:00, total: 0.62A, read: {F1: 0.60A, F2: 0A}", "at: 09:10, volts: {VENT.1: 0.4V}"
    text = words(van := circuit_from(KEYED), answer(van, *read))
    assert "At VENT.1 there are some volts: nothing should come there" in text
    none = answer(van, *read[:2], "at: 09:10, volts: {VENT.1: 0.0V}")
    assert "there are some volts" not in words(van, none)


def test_some_volts_that_something_brings_are_not(reefer: Circuit) -> None:
    found = answer(reefer, *FAN_DRAWS, "at: 09:20, volts: {FAN.1: 0.6V}")
    assert "there are some volts" not in words(reefer, found)
