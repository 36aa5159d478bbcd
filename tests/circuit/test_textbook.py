"""Two circuits that every book on vehicle electrics has, worked out by hand.

Terminal numbers are those of DIN 72552 (30, 15, 31, 50, 53, 53a, 53b, 31b, 56, 56b, 85, 86, 87). The circuits
themselves are common practice, no source: a headlamp relay switched by the ignition and a light switch; a wiper
whose park switch keeps it running to the end of the sweep and then brakes it.
"""

from circuitmap.circuit.trace import trace

from .told import circuit, told_all

HEADLAMPS = """
battery BAT 60Ah
key IGN positions off, run, start closes 30 to 15 in run closes 30 to 50 in start
switch LIGHTS positions off, on closes 15 to 56 in on
relay K1 "Headlamp relay" make
fuse F1 15A, F2 5A
splice SP1
ground G1, G2
lamp LEFT supply 56b ground 31
lamp RIGHT supply 56b ground 31

sheet "1" "Headlamps"
BAT.- -> G1 in BK 16mm2
BAT.+ -> F1 -> K1.30 in RD 2.5mm2
BAT.+ -> F2 -> IGN.30 in RD 1.5mm2
IGN.15 -> LIGHTS.15 in BK 0.75mm2
LIGHTS.56 -> K1.86 in WH 0.5mm2
K1.85 -> G1 in BN 0.5mm2
K1.87 -> SP1 -> LEFT.56b, RIGHT.56b in YE 1.5mm2
LEFT.31 -> G1 in BN 1.5mm2
RIGHT.31 -> G2 in BN 1.5mm2
"""


def test_a_headlamp_is_fed_through_the_contact_and_the_relay_through_ignition_and_light_switch() -> None:
    its = circuit(HEADLAMPS)
    lamp = trace(its, "LEFT")
    assert told_all(lamp.supply) == [
        "BAT.+ - F1.1 - F1.2 - K1.30 -(K1.87)- K1.87 - SP1 - LEFT.56b [K1 pulled in]",
    ]
    assert told_all(lamp.ground) == ["LEFT.31 - G1 - case"]
    assert lamp.loads == ()
    assert [wire.colour_written for wire in lamp.supply[0].wires] == ["RD", "RD", "YE", "YE"]
    assert lamp.sheets == ("1",)

    relay = trace(its, "K1")
    assert told_all(relay.supply) == [
        "BAT.+ - F1.1 - F1.2 - K1.30",
        "BAT.+ - F2.1 - F2.2 - IGN.30 -(IGN.15)- IGN.15 - LIGHTS.15 -(LIGHTS.56)- LIGHTS.56 - K1.86"
        " [IGN run; LIGHTS on]",
    ]
    assert told_all(relay.ground) == ["K1.85 - G1 - case"]
    assert relay.loads == ("LEFT", "RIGHT")


def test_the_fuse_of_the_lamps_feeds_both_and_the_other_only_the_coil() -> None:
    its = circuit(HEADLAMPS)
    assert trace(its, "F1").loads == ("LEFT", "RIGHT")
    control = trace(its, "F2")
    assert control.loads == ()
    assert [(str(d.taking.terminal), d.taking.kind) for d in control.downstream] == [
        ("K1.86", "coil"),
        ("IGN.50", "end"),
    ]
    (branch,) = trace(its, "F1").branches
    assert str(branch.start) == "F1.2" and str(branch.end) == "SP1"
    assert [str(b.takings[0].terminal) for b in branch.branches] == ["LEFT.56b", "RIGHT.56b"]
    assert [str(pin) for pin, _ in trace(its, "G1").grounded_here] == ["LEFT.31", "K1.85"]


WIPER = """
battery BAT 60Ah
key IGN positions off, run closes 30 to 15 in run
switch STALK "Wiper switch" positions off, slow, fast
    closes 53e to 53 in off   closes 53a to 53 in slow   closes 53a to 53b in fast
switch PARK "Park switch in the wiper motor" positions parked, sweeping
    closes 53e to 31 in parked   closes 53a to 53e in sweeping
motor WIPER supply 53, 53b ground 31
fuse F5 20A
splice SP5
ground G1

BAT.- -> G1
BAT.+ -> IGN.30
IGN.15 -> F5 -> SP5 -> STALK.53a, PARK.53a
PARK.53e -> STALK.53e
PARK.31 -> G1
STALK.53 -> WIPER.53
STALK.53b -> WIPER.53b
WIPER.31 -> G1
"""


def test_a_wiper_runs_on_through_its_park_switch_with_the_stalk_off() -> None:
    wiper = trace(circuit(WIPER), "WIPER")
    feed = "BAT.+ - IGN.30 -(IGN.15)- IGN.15 - F5.1 - F5.2 - SP5 - "
    assert {pin.terminal.pin: told_all(pin.supply) for pin in wiper.pins} == {
        "53": [
            feed + "STALK.53a -(STALK.53a-53)- STALK.53 - WIPER.53 [IGN run; STALK slow]",
            feed + "PARK.53a -(PARK.53e)- PARK.53e - STALK.53e -(STALK.53e-53)- STALK.53 - WIPER.53"
            " [IGN run; PARK sweeping; STALK off]",
        ],
        "53b": [feed + "STALK.53a -(STALK.53b)- STALK.53b - WIPER.53b [IGN run; STALK fast]"],
        "31": [],
    }


def test_a_parked_wiper_is_braked_through_the_park_switch() -> None:
    """Plus and minus of the armature are joined through ground: stalk off, park switch at rest."""
    wiper = trace(circuit(WIPER), "WIPER")
    assert {pin.terminal.pin: told_all(pin.ground) for pin in wiper.pins} == {
        "53": [
            "WIPER.53 - STALK.53 -(STALK.53e-53)- STALK.53e - PARK.53e -(PARK.31)- PARK.31 - G1 - case"
            " [PARK parked; STALK off]"
        ],
        "53b": [],
        "31": ["WIPER.31 - G1 - case"],
    }
