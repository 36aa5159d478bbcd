"""A network by its name: members, their fuses, gateways, star legs, what wakes what."""

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.network_trace import NetworkTrace, network_trace
from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench, network_of, trace_network
from circuitmap.reports.circuit.network_text import network_text

from .told import circuit

NETWORKS = """
option TAIL
battery BAT 72Ah
fuse F1 10A, F2 10A, F3 10A
key IGN positions off, run closes 30 to 15 in run
module HEATER "heater" supply 1 ground 2
module LIFT "lift" supply 1, 5 ground 2 if TAIL
module GATE "gateway" supply 1 ground 2
module FAR "far" supply 1 ground 2
BAT.+ -> F1 -> HEATER.1, LIFT.1
BAT.+ -> F2 -> GATE.1
BAT.+ -> IGN.30
IGN.15 -> F3 -> LIFT.5
network CHASSIS can "chassis network" members HEATER (B1, B2), LIFT, FAR
network BODY can members HEATER
network AXLE can members FAR
gateway GATE joins CHASSIS, BODY, AXLE passes BODY to CHASSIS, CHASSIS to AXLE
star X60 on CHASSIS leg HEATER leg LIFT, GATE at "behind the step"
"""


def of_network(name: str, **fitting: bool) -> NetworkTrace:
    return network_trace(feeding_of(circuit(NETWORKS), fitting), name)


def test_members_with_their_pins_and_fuses() -> None:
    members = {its.part: its for its in of_network("CHASSIS", TAIL=True).members}
    assert list(members) == ["FAR", "HEATER", "LIFT", "GATE"]
    assert members["HEATER"].pins == ("B1", "B2")
    assert [(str(end), fuses) for end, fuses in members["LIFT"].feeds] == [("LIFT.1", ("F1",)), ("LIFT.5", ("F3",))]
    assert members["GATE"].joins == ("AXLE", "BODY")
    assert "LIFT" not in {its.part for its in of_network("CHASSIS", TAIL=False).members}


def test_what_it_wakes_and_what_wakes_it() -> None:
    its = of_network("CHASSIS")
    assert [(woken.network, woken.gateway) for woken in its.wakes] == [("AXLE", "GATE")]
    assert [(woken.network, woken.gateway) for woken in its.woken_from] == [("BODY", "GATE")]
    assert [woken.network for woken in of_network("AXLE").woken_from] == ["BODY", "CHASSIS"]


def test_what_is_not_known_of_its_members() -> None:
    assert {(entry.kind, entry.name) for entry in of_network("CHASSIS").unknown} == {
        ("no supply typed", "FAR.1"),
        ("option not said", "TAIL"),
    }


def test_it_is_told_in_words() -> None:
    bench = Bench(circuit(NETWORKS).platform, {"TAIL": True})
    known = trace_network(bench, "CHASSIS")
    text = network_text(bench.platform, known.trace, known.fed)
    assert "CHASSIS, chassis network; CAN; 4 members." in text
    assert "It keeps awake also AXLE through GATE." in text and "Kept awake by BODY through GATE." in text
    assert "LIFT, lift; F1 always live; F3 live in run" in text
    assert "STAR X60, behind the step: one leg opened takes off the network\n HEATER\n LIFT and GATE\n" in text
    assert "What feeds FAR.1 is not typed in." in text


def test_the_name_of_a_network_or_star_will_do_where_no_part_is_called_so() -> None:
    platform = circuit(NETWORKS).platform
    assert network_of(platform, "CHASSIS") == network_of(platform, "x60") == "CHASSIS"
    assert network_of(platform, "HEATER") == ""
    with pytest.raises(WrongUse, match="no part and no network CHASSI") as caught:
        network_of(platform, "CHASSI")
    assert "CHASSIS" in caught.value.advice
    assert network_of(platform, "HEATR") == network_of(platform, "HEATER.1") == "", "left to the search for parts"


WAKERS = """
battery BAT
fuse F1 10A, F2 10A, F3 10A, F4 10A
naming G* ground
switch D1 positions shut, open closes 1 to case in open
switch MS positions off, on closes 1 to 2 in on
switch S2 positions off, on closes 1 to 2 in on
module A supply 1 ground 2 wake 3 by ground wake 4
module B supply 1 ground 2 wake 3
module C supply 1 ground 2 wake 3
module D supply 1 ground 2
output A.5 feeds from 1 while awake
BAT.+ -> F1 -> A.1
BAT.+ -> F2 -> B.1
BAT.+ -> F3 -> C.1, D.1
A.3 -> D1.1
BAT.+ -> F4 -> MS.1
MS.2 -> S2.1
S2.2 -> A.4
A.5 -> B.3, C.3
network N can members A, B, C listens, D
network W wake members A (5) drives, B (3) listens, C (3) listens
"""


def test_who_can_keep_it_awake_and_what_wakes_each_of_them() -> None:
    bench = Bench(circuit(WAKERS).platform, {})
    known = trace_network(bench, "N")
    assert [(its.part, [str(pin.terminal) for pin in its.pins]) for its in known.trace.wakers] == [
        ("A", ["A.3", "A.4"]),
        ("B", ["B.3"]),
        ("D", []),
    ]
    text = network_text(bench.platform, known.trace, known.fed)
    assert (
        "WHO CAN KEEP IT AWAKE\n A       A.3 grounded when D1 is open\n         A.4 live with MS on and S2 on\n"
        " B       B.3 live when A.5 is on\n others  D: by themselves; no wake pin is wired, as far as was typed in\n"
    ) in text
    assert [its.part for its in trace_network(bench, "W").trace.wakers] == ["A"], "listeners keep nobody awake"


def test_resistors_at_its_lines_and_how_long_a_pin_keeps_it_awake() -> None:
    text = WAKERS.replace("members A, B, C listens, D", "members A (7, 8), B (7, 8), C listens, D")
    text = text.replace("wake 3 by ground wake 4", "wake 3 by ground for 10min wake 4")
    text += "resistor RT 120ohm\nA.7 -> B.7\nA.8 -> B.8\nA.7 -> RT -> A.8\n"
    bench = Bench(circuit(text).platform, {})
    known = trace_network(bench, "N")
    told = " ".join(network_text(bench.platform, known.trace, known.fed).split())
    assert "A.7, B.7 resistor RT (120 ohm)" in told and "A.8, B.8 resistor RT (120 ohm)" in told
    assert "A.3 grounded when D1 is open, at most 10 min" in told
