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
