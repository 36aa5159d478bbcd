"""Nothing is proposed that was done, nobody is told to stop while something seen is not explained, and what is done in
passing comes before what takes half an hour (worked out by hand: what somebody at the car would think)."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.bay.steps import step_values
from circuitmap.reports.suspects.proving import to_mend, was_shown
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

TRAILER = (
    "at: 08:00, state: locked",
    "at: 09:00, read: {BAT: 1.13A, F93: 1.10A, F92: 0.03A, F91: 0A}",
    "at: 09:12, read: {REAR.F70: 0.0mV, REAR.F71: 0.0mV, REAR.F72: 0.0mV, REAR.F73: 0.0mV, REAR.F74: 3.7mV}",
    "at: 09:20, added: {horse trailer: REAR.F74}",
)
OUT = ("at: 09:21, out: [horse trailer]", "at: 10:05, read: {BAT: 0.03A}")
IN = ("at: 10:06, back: [horse trailer]", "at: 10:50, read: {BAT: 1.13A}")
AGAIN = ("at: 10:51, out: [horse trailer]", "at: 11:35, read: {BAT: 0.03A}")


def next_of(vehicle: str, found: Diagnosis) -> str:
    """From NEXT on, in one line."""
    text = " ".join(suspects_text(circuit(vehicle).platform, found).split())
    return text[text.index(" NEXT ") :]


@pytest.mark.parametrize(("tries", "shown"), [((*OUT, *IN), False), ((*OUT, *IN, *AGAIN), True)])
def test_what_was_out_in_and_out_again_is_not_to_be_taken_out_once_more(tries: tuple[str, ...], shown: bool) -> None:
    its = circuit("van")
    found, _ = told(its, *TRAILER, *tries, TOW=True)
    assert was_shown(circuit("van").platform, found, "horse trailer") == shown
    if shown:
        said = next_of("van", found)
        assert "put back, it comes back" not in said and "mend it" in said
        assert suspects_json(its.platform, found, 5)["mend_shown"]


def test_an_out_that_did_nothing_the_second_time_shows_nothing() -> None:
    again = (AGAIN[0], "at: 11:35, read: {BAT: 1.13A}")
    its = circuit("van")
    assert not was_shown(its.platform, told(its, *TRAILER, *OUT, *IN, *again, TOW=True)[0], "horse trailer")


@pytest.mark.parametrize(
    ("tries", "wanted", "done"),
    [
        ((), "taken off, the draw is gone; put back, it comes back; off again, it is gone", "the draw went"),
        (OUT, "the draw went with it out. Put it back and see it come back; out again, it must go", "taken off"),
        ((*OUT, *IN), "came back with it in. Once more out, and it must go again", "taken off"),
        ((*OUT, IN[0], "at: 10:50, read: {BAT: 0.03A}", "at: 11:00, state: locked", "at: 12:00, read: {BAT: 1.13A}"),
         "did not come back by putting it in alone. Once more out while it is there", "taken off"),
    ],
)  # fmt: skip
def test_of_a_proof_only_what_is_left_is_asked_for(tries: tuple[str, ...], wanted: str, done: str) -> None:
    found, _ = told(circuit("van"), *TRAILER, *tries, TOW=True)
    said = to_mend(circuit("van").platform, found, "horse trailer")
    assert wanted in said and done not in said


def test_beside_what_took_its_share_and_stays_out_it_is_one_proof() -> None:
    """With F1's lamp out for good, the module goes, comes back and goes again: that is its own proof."""
    shares = (
        "at: 09:00, read: {B: 0.98A, F1: 0.83A, F2: 0.15A}",
        "at: 09:10, out: [L9]",
        "at: 09:30, read: {B: 0.15A}",
    )
    turns = (
        "at: 09:40, out: [M]",
        "at: 10:00, read: {B: 0.01A}",
        "at: 10:01, back: [M]",
        "at: 10:20, read: {B: 0.15A}",
    )
    its = circuit_from(CABIN)
    found = told(its, "at: 08:00, state: locked", *shares, *turns)[0]
    assert "came back with it in. Once more out" in to_mend(its.platform, found, "M")


def test_with_the_draw_gone_what_is_out_is_put_in_before_anything_else_is_done() -> None:
    out = ("at: 09:30, out: [REAR.F74]", "at: 10:05, read: {BAT: 0.03A}")
    its = circuit("van")
    found = told(its, *TRAILER, *out, TOW=True)[0]
    assert found.tests.put_in == ("REAR.F74",)
    said = next_of("van", found)
    assert "REAR.F74 in again first" in said or "Put REAR.F74 in again, and see the draw come back" in said
    less = told(its, *TRAILER, out[0], "at: 10:05, read: {BAT: 0.60A}", TOW=True)[0]
    assert less.tests.put_in == (), "it is not gone"
    [first, *_] = step_values(its.platform, found, lambda _: True) or [{"first": "REAR.F74"}]
    assert "REAR.F74" in first["first"]
    back = told(its, *TRAILER, *out, "at: 10:06, back: [REAR.F74]", "at: 10:50, read: {BAT: 1.13A}", TOW=True)[0]
    assert back.tests.put_in == () and "in again" not in next_of("van", back)


CABIN = """\
platform "Crane" sleep 5min..10min limit 30mA
battery B 95Ah
fuse F1 10A mini, F2 10A mini
lamp L9 "reading lamp" supply 1 ground 2 running 10W
switch L9.K inside L9 positions off, on closes 1 to 3 in on
module M "controller" supply 1 ground 2 asleep 2mA awake 150mA
ground G1
B.+ -> F1 -> L9.3
L9.2 -> G1
B.+ -> F2 -> M.1
M.2 -> G1
B.- -> G1
"""
CABIN_DRAWS = (
    "at: 08:00, state: locked, meter: low-current clamp",
    "at: 09:00, read: {B: 0.835A, F1: 0.833A, F2: 0.002A}",
)
LAMP_TRIES = (
    "at: 09:05, out: [L9]", "at: 09:20, total: 0.002A", "at: 09:21, back: [L9]", "at: 09:40, total: 0.835A",
    "at: 09:41, out: [L9]", "at: 09:55, total: 0.002A",
)  # fmt: skip


@pytest.mark.parametrize(("tries", "shown"), [(LAMP_TRIES[:4], False), (LAMP_TRIES, True)])
def test_a_contact_inside_a_lamp_is_shown_by_the_lamp(tries: tuple[str, ...], shown: bool) -> None:
    its = circuit_from(CABIN)
    found, _ = told(its, *CABIN_DRAWS, *tries)
    assert found.parts[0].part == "L9.K" and was_shown(its.platform, found, "L9.K") == shown
    said = " ".join(suspects_text(its.platform, found).split())
    assert ("it is in L9, which was out, in and out again" in said) == shown


LAMP = (
    "at: 13:00, state: locked",
    "at: 13:46, read: {BAT: 0.847A, MAIN.F1: 0.005A, MAIN.F2: 0.006A, MAIN.F3: 0.803A, MAIN.F5: 0.001A}",
    "at: 13:58, read: {F51: 5.9mV}",
)


@pytest.mark.parametrize("seen", [False, True])
def test_a_switch_that_was_seen_at_off_is_not_asked_after(seen: bool) -> None:
    stands = ('at: 14:05, stands: {BODYLSW: "off"}',) if seen else ()
    found, _ = told(circuit("truck"), *LAMP, *stands, "at: 14:20, found: {BODYL2: burning}")
    said = next_of("truck", found)
    assert ("is it really at off?" in said) == (not seen)
    assert "volts to ground at BODYLSW.2, with it at off: battery volts say that it does not open" in said


def sweeper(*lines: str) -> Diagnosis:
    its = circuit("sweeper")
    typed = TypedEvidence(
        readings=("BAT=0.598A", "CAB.F5=4.4mV"), networks=lines, meter="low-current-clamp", found=("E12=burning",)
    )
    return diagnose(its, evidence_typed(its.platform, typed), {"FUELH": True})


@pytest.mark.parametrize(("volts", "open_still"), [("2.5V", ("BODY",)), ("0.0V", ())])
def test_nobody_stops_while_a_network_seen_awake_is_not_explained(volts: str, open_still: tuple[str, ...]) -> None:
    found = sweeper(f"BODY={volts}")
    text = " ".join(suspects_text(circuit("sweeper").platform, found).split())
    assert found.subjects[0].about == "E12.S"
    assert found.tests.unexplained == open_still
    assert ("STOP looking" in text) == (found.tests.mend != "") == (not open_still)
    assert ("does not say why" in text) == bool(open_still)
    if open_still:
        assert found.tests.choices, "there is something to look for"


def test_what_is_plugged_in_is_unplugged_before_a_wire_is_followed() -> None:
    its = circuit("van")
    read = ("BAT=1.13A", "F93=1.10A", "REAR.F74=3.7mV", "REAR.F70=0mV", "REAR.F71=0mV", "REAR.F72=0mV")
    found = diagnose(its, evidence_typed(its.platform, TypedEvidence(readings=read)), {"TOW": True})
    steps = [(test.action.doing, test.action.parts) for test in found.tests.choices]
    assert steps[0] == ("unplug", ("TSOCK",))
    assert ("follow", ("REAR.F74",)) in steps[1:]
