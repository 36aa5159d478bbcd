"""What is told to keep a network awake: only what would keep it awake if the network itself woke nobody."""

import pytest

from circuitmap.circuit.common import in_common_in
from circuitmap.circuit.trace import trace_in
from circuitmap.flows.questions import Bench, network_of, trace, trace_network
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.why_awake import kept_awake_by
from circuitmap.reports.circuit.network_text import network_text
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.reports.live.live_text import live_text
from circuitmap.wiring.fitting import Answer
from tests.power.random_platforms import random_circuit, random_state
from tests.power.vehicle import live, vehicle

TEXT = """
platform "Rings"
naming G* ground, F* fuse
battery BAT
BAT.- -> G1
BAT.+ -> F1, F2, F3, F4
module GW supply 1 ground 2 wake 3 by ground
module LISTENER supply 1 ground 2
module TALKER supply 1 ground 2 wake 3 by plus
module DOORM supply 1 ground 2 wake 3 by opening
switch DOOR positions shut, open closes 1 to case in open
switch LATCH positions shut, open, ajar closes 1 to case in shut
switch KNOB positions off, on closes 1 to 2 in on
F1 -> GW.1, LISTENER.1
F2 -> TALKER.1, DOORM.1
GW.2, LISTENER.2, TALKER.2, DOORM.2 -> G1
DOOR.1 -> GW.3
LATCH.1 -> DOORM.3
F3 -> KNOB.1
KNOB.2 -> TALKER.3
network BODY can members GW, TALKER, DOORM
network SEATS lin members GW, LISTENER listens
gateway GW joins BODY, SEATS passes BODY to SEATS, SEATS to BODY
"""


def reasons(powered: Powered, network: str) -> list[tuple[str, str]]:
    return [(its.kind, its.name) for its in kept_awake_by(powered, network)]


def test_a_network_that_only_the_gateway_wakes_does_not_wake_back() -> None:
    powered = live(vehicle(TEXT), switches={"KNOB": "on"})
    assert reasons(powered, "BODY") == [("wake pin", "TALKER.3")]
    assert reasons(powered, "SEATS") == [("network", "BODY")]


def test_a_member_that_talks_wakes_through_the_gateway() -> None:
    powered = live(vehicle(TEXT.replace("LISTENER listens", "LISTENER")), awake=frozenset({"LISTENER"}))
    assert reasons(powered, "BODY") == [("network", "SEATS")]
    assert reasons(powered, "SEATS") == [("said", "LISTENER")]


WAKE_LINE = """
output GW.4 feeds from 1 while awake
module LATE supply 1 ground 2 wake 3 by plus
F4 -> LATE.1
LATE.2 -> G1
GW.4 -> LATE.3
network LINE wake members GW (4) drives, LATE (3) listens
network TAIL can members LATE, DOORM
gateway DOORM joins BODY, TAIL passes TAIL to BODY
"""


def test_a_wake_pin_that_an_awake_module_feeds_is_no_reason_for_what_wakes_that_module() -> None:
    powered = live(vehicle(TEXT + WAKE_LINE), switches={"KNOB": "on"})
    assert ("wake pin", "LATE.3") in reasons(powered, "TAIL")
    assert reasons(powered, "BODY") == [("wake pin", "TALKER.3")]
    assert reasons(powered, "LINE") == [("output", "GW.4")]
    # Woken by a door, GW itself is the reason for TAIL, which then talks back.
    assert reasons(live(vehicle(TEXT + WAKE_LINE), switches={"DOOR": "open"}), "BODY") == [
        ("wake pin", "GW.3"),
        ("network", "TAIL"),
    ]


PULSE = WAKE_LINE.replace("while awake", '"one second"')


def test_a_line_that_an_output_drives_at_times_is_told_by_that_output() -> None:
    circuit = vehicle(TEXT + PULSE)
    powered = live(circuit, switches={"KNOB": "on"})
    assert reasons(powered, "LINE") == [("output", "GW.4")]
    assert " LINE may be: while GW.4 is on" in told(powered)


def told(powered: Powered) -> str:
    return " ".join(live_text(powered, classes_of(powered.circuit, {})).split())


def test_what_is_at_a_wake_pin_is_said_as_it_wakes() -> None:
    circuit = vehicle(TEXT)
    assert "BODY wake pin GW.3 grounded" in told(live(circuit, switches={"DOOR": "open"}))
    assert "BODY wake pin TALKER.3 live" in told(live(circuit, switches={"KNOB": "on"}))
    assert "BODY wake pin DOORM.3 without its ground" in told(live(circuit, switches={"LATCH": "ajar"}))


@pytest.mark.parametrize("seed", range(120))
def test_reasons_never_lead_in_a_ring(seed: int) -> None:
    """From network to network that is told to wake it, somebody comes to what is no network."""
    circuit = random_circuit(seed)
    powered = evaluate(circuit, random_state(circuit, seed))
    its = {name: kept_awake_by(powered, name) for name, answer in powered.networks.items() if answer == Answer.YES}
    by_itself = {
        name
        for name, found in its.items()
        if any(why.kind not in ("network", "wake line") for why in found if why.answer == Answer.YES)
    }
    found = True
    while found:
        found = {name for name in its.keys() - by_itself if any(why.name in by_itself for why in its[name])}
        by_itself |= found
    assert by_itself == its.keys()


def test_trace_says_who_wakes_whom_as_live_does() -> None:
    ring = Bench(vehicle(TEXT).platform, {})
    known = trace_network(ring, network_of(ring.platform, "BODY"))
    text = network_text(ring.platform, *known)
    assert "It keeps awake also SEATS through GW." in text and "Kept awake by" not in text
    known = trace_network(ring, "SEATS")
    text = network_text(ring.platform, *known)
    assert "Kept awake by BODY through GW." in text and "It keeps awake also" not in text


def test_what_two_fuses_share_is_not_woken_by_what_only_the_gateway_wakes() -> None:
    def waking(text: str) -> set[str]:
        found = in_common_in(Bench(vehicle(text).platform, {}).feeding, ["F1", "F2"]).networks
        return {its.name for its in found if any(woken.network == "BODY" for woken in its.through)}

    assert "SEATS" not in waking(TEXT)
    assert "SEATS" in waking(TEXT.replace("LISTENER listens", "LISTENER"))


def test_a_wake_pin_by_opening_is_told_by_what_opens_it() -> None:
    text = TEXT + 'output DOORM.4 feeds from 1 "wake line"\nlamp L\nDOORM.4 -> L -> G1\n'
    for said in (" by opening", ""):
        bench = Bench(vehicle(text.replace(" by opening", said)).platform, {})
        told = " ".join(trace_text(bench.platform, *trace(bench, "L")).split())
        assert "wake pin DOORM.3: wakes when its ground opens, with LATCH open or ajar" in told
        members = network_text(bench.platform, *trace_network(bench, "BODY"))
        assert "DOORM.3 wakes when its ground opens, with LATCH open or ajar" in members
        assert "GW.3 grounded when DOOR is open" in members
    assert trace_in(bench.feeding, "L").worked
