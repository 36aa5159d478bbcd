"""Volts at any pin count, or the answer says why they tell nothing. Source: the circuit; what comes to a pin by a wire
that goes on to no sheet may ask by plus or by ground (common practice, no source)."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_asks_for_an_output import CELLAR, DRAWS
from tests.diagnosis.test_wires_that_are_left import told

HEATED = """\
platform "Small van" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2
module HEAT "heater" supply 1 ground 2 sense 9 asleep 2mA awake 300mA
module RADIO "radio" supply 1 ground 2 asleep 2mA awake 150mA
connector X14 "roof plug"
ground G1
network NET can members HEAT (7, 8), RADIO (7, 8)
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> HEAT.1 in RD 1
CAB.F2 -> RADIO.1 in RD 1
X14.9 -> HEAT.9 in BU
HEAT.2, RADIO.2 -> G1 in BN 1
HEAT.7 -> RADIO.7 in YE 0.35
HEAT.8 -> RADIO.8 in GN 0.35
"""
READ = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.45A, F1: 0.30A, F2: 0.15A}")


@pytest.fixture(scope="module")
def van() -> Circuit:
    return circuit_from(HEATED)


def answer(its: Circuit, *entries: str) -> Diagnosis:
    return told(its, *READ, *entries)[0]


def asked_from_outside(found: Diagnosis) -> float:
    alone = ((row.probability / len(row.faults), its[0]) for row in found.rows for its in row.faults if len(its) == 1)
    return sum(chance for chance, fault in alone if fault.kind == "wrong-input" and fault.part == "HEAT")


def test_plus_at_a_pin_whose_wire_goes_on_to_no_sheet_says_that_somebody_asks(van: Circuit) -> None:
    without, plus, none = (
        answer(van, *entries)
        for entries in ((), ("at: 09:10, volts: {HEAT.9: 12.3V}",), ("at: 09:10, volts: {HEAT.9: 0V}",))
    )
    assert asked_from_outside(plus) > 1.2 * asked_from_outside(without) > 1.4 * asked_from_outside(none)


@pytest.mark.parametrize(
    ("volts", "says"),
    [
        ("HEAT.9: 12.3V", "Plus at HEAT.9: something asks for it there"),
        ("HEAT.9: 0.0V", "No plus at HEAT.9: nothing asks by plus"),
        ("HEAT.9: 5.0V", "The volts at HEAT.9 are neither ground nor plus"),
        ("CAB.F1: 12.4V", "The volts at CAB.F1"),
        ("HEAT.1: 12.4V", "The volts at HEAT.1 tell nothing"),
    ],
)
def test_what_tells_nothing_is_said_with_the_reason(van: Circuit, volts: str, says: str) -> None:
    text = " ".join(suspects_text(van.platform, answer(van, f"at: 09:10, volts: {{{volts}}}")).split())
    assert says in text


def test_volts_that_part_only_what_other_readings_ruled_out_tell_nothing(van: Circuit) -> None:
    """Nothing at F1 says that the heater is not it, whatever asks for it at its pin."""
    silent = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.45A, F1: 0.0mV, F2: 0.45A}")
    found = told(van, *silent, "at: 09:10, volts: {HEAT.9: 0.0V}")[0]
    text = " ".join(suspects_text(van.platform, found).split())
    assert "The volts at HEAT.9 tell nothing: they would be the same whatever of all this is wrong." in text


STUCK = """\
platform "Small truck" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 20A mini, CAB.F2 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2
relay CAB.K1 "seat relay" make
switch SEAT "seat switch" positions off, on closes 1 to 2 in on
heater PAD "seat pad" running 8A
ground G1
BAT.- -> G1
BAT.+ -> CAB.B1
CAB.F1 -> CAB.K1.30
CAB.F2 -> SEAT.1
SEAT.2 -> CAB.K1.86
CAB.K1.85 -> G1
CAB.K1.87 -> PAD -> G1
"""


def test_volts_at_the_coil_of_a_relay_are_told_by_how_it_was_found() -> None:
    truck = circuit_from(STUCK)
    read = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 8.0A, F1: 8.0A, F2: 0A}")
    volts = "at: 09:10, volts: {K1.86: 0.0V, K1.85: 0.0V}"
    unsaid = " ".join(suspects_text(truck.platform, told(truck, *read, volts)[0]).split())
    assert "The volts at CAB.K1.85 tell nothing" in unsaid
    text = suspects_text(truck.platform, told(truck, *read, volts, "at: 09:11, relays: {K1: stuck}")[0])
    assert "no volts at its coil, yet its contact is closed" in " ".join(text.split())
    assert "tell nothing" not in text


def test_volts_that_parted_what_a_try_ruled_out_once_more_told_something() -> None:
    """No volts at the pin that asks for the chiller cleared the door controller; so did the chiller's controller out."""
    tried = ("at: 10:00, out: [CHILM]", "at: 10:30, total: 8.48A, steady: yes", "at: 10:31, back: [CHILM]")
    volts = "at: 09:30, volts: {CHILM.4: 0.0V}"
    cart = circuit_from(CELLAR)
    for entries in ((volts,), (volts, *tried)):
        found = told(cart, *DRAWS, *entries)[0]
        assert not [its for its in found.incomplete if its.kind == "volts tell nothing"], entries
        assert {part.part: part.probability for part in found.parts}.get("DOORM", 0.0) < 0.02


def silent(found: Diagnosis) -> list[str]:
    return [gap.name for gap in found.incomplete if gap.kind == "volts tell nothing"]


def test_volts_with_something_out_are_told_with_that(van: Circuit) -> None:
    out = ("at: 09:10, out: [X14]", "at: 09:20, read: {BAT: 0.45A}, volts: {RADIO.1: 12.3V}")
    assert silent(answer(van, *out)) == ["RADIO.1 (with X14 out)"]
    assert silent(answer(van, "at: 09:20, volts: {RADIO.1: 12.3V}")) == ["RADIO.1"]


FLAP = HEATED.replace("X14.9 -> HEAT.9 in BU", "FLAP.1 -> HEAT.9 in BU\nFLAP.2 -> G1 in BN 1").replace(
    'connector X14 "roof plug"', 'switch FLAP "flap contact" positions shut, open closes 1 to 2 in open'
)


def test_a_signal_that_went_with_its_switch_is_no_riddle() -> None:
    its = circuit_from(FLAP)
    seen = ("at: 09:05, volts: {HEAT.9: 0.0V}", "at: 09:10, out: [FLAP]", "at: 09:11, volts: {HEAT.9: 12.0V}")
    assert silent(answer(its, *seen)) == []
