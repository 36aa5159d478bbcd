"""Traces of every kind of part, from notation."""

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import trace
from circuitmap.reports.circuit.grounded_text import grounded_lines
from circuitmap.unknown import Unknown

from .told import circuit, told_all

VAN = """
option TOW "towing socket"
battery BAT 72Ah
fuse F1 60A, F2 20A, F3 5A, F4 10A
bar B1 feeds F2, F3, F4, K1.30
relay K1 make
splice SP1, SP2
connector X1
ground G1, G2
module BCM supply A1 ground A8 sense B4
output BCM.C1 feeds while awake
output BCM.C2 grounds
lamp REAR supply 58 ground 31
lamp SIDE supply 58 ground 31 if TOW
horn HORN
switch PUSH positions off, on closes 1 to case in on
network BODY can members BCM

sheet "1" "Power"
BAT.- -> G1
BAT.+ -> F1 -> B1 in RD 16mm2
F2 -> X1.1 -> BCM.A1 in RD/GN 2.5mm2
BCM.A8 -> SP2 -> G2 in BN
sheet "2" "Lamps"
BCM.C1 -> SP1 -> REAR.58, SIDE.58 in GY 0.75mm2
REAR.31 -> SP2
SIDE.31 -> G2
SP1 -> ? "goes on to sheet 9"
F3 -> K1.86 in BK
K1.85 -> BCM.C2
K1.87 -> X1.2 -> HORN -> PUSH.1 in WH
"""


def test_a_module_feeds_what_hangs_on_its_outputs() -> None:
    bcm = trace(circuit(VAN), "BCM")
    feed = "BAT.+ - F1.1 - F1.2 - B1 - F2.1 - F2.2 - X1.1 - X1.1 - BCM.A1"
    pins = {pin.terminal.pin: pin for pin in bcm.pins}
    assert (pins["A1"].role, pins["A8"].role) == ("supply", "ground")
    assert told_all(pins["A1"].supply) == [feed]
    assert told_all(pins["A8"].ground) == ["BCM.A8 - SP2 - G2 - case"]
    assert bcm.loads == ("REAR", "SIDE")
    assert bcm.networks == ("BODY",)
    assert [str(pin) for pin, _ in bcm.grounded_here] == ["K1.85"], "the relay's coil is grounded through the module"
    assert told_all(bcm.downstream[0].paths) == [feed + " -(BCM.C1)- BCM.C1 - SP1 - REAR.58 [BCM awake; BCM.C1 feeds]"]
    assert bcm.open_ends == (Unknown("open end", "SP1", "goes on to sheet 9", ("2",)),)
    assert Unknown("option not said", "TOW") in bcm.unknown
    assert bcm.sheets == ("1", "2")


def test_with_the_option_absent_its_lamp_is_gone_and_nothing_is_left_unsaid() -> None:
    bcm = trace(circuit(VAN), "BCM", {"TOW": False})
    assert bcm.loads == ("REAR",)
    assert bcm.unknown == ()
    fitted = trace(circuit(VAN), "BCM", {"TOW": True})
    assert fitted.loads == ("REAR", "SIDE") and fitted.unknown == ()


def test_a_fuse_is_not_fed_by_its_own_outgoing_side() -> None:
    fuse = trace(circuit(VAN), "F2")
    assert told_all(fuse.supply) == ["BAT.+ - F1.1 - F1.2 - B1 - F2.1"]
    assert [d.part for d in fuse.downstream] == ["BCM", "REAR", "SIDE", "?SP1"]
    main = trace(circuit(VAN), "F1")
    assert {d.part: d.fuses for d in main.downstream if d.taking.kind != "end"} == {
        "BCM": ("F2",), "REAR": ("F2",), "SIDE": ("F2",), "?SP1": ("F2",), "HORN": (), "K1": ("F3",),
    }  # fmt: skip
    assert {str(d.taking.terminal) for d in main.downstream if d.taking.kind == "end"} == {"F4.2"}


def test_what_hangs_on_a_splice_a_connector_a_contact_and_a_ground() -> None:
    its = circuit(VAN)
    assert trace(its, "SP1").loads == ("REAR", "SIDE")
    assert trace(its, "X1").loads == ("BCM", "HORN", "REAR", "SIDE")
    assert trace(its, "K1").loads == ("HORN",)
    assert [str(pin) for pin, _ in trace(its, "G2").grounded_here] == ["BCM.A8", "REAR.31", "SIDE.31", "K1.85"]
    assert [str(pin) for pin, _ in trace(its, "SP2").grounded_here] == ["BCM.A8", "REAR.31", "K1.85"]
    push = trace(its, "PUSH")
    assert [str(pin) for pin, _ in push.grounded_here] == ["HORN.2"]
    horn = trace(its, "HORN")
    assert told_all(horn.ground) == ["HORN.2 - PUSH.1 -(PUSH.1)- PUSH.case - case [PUSH on]"]
    assert not [entry for entry in horn.unknown if entry.kind == "role assumed"]  # it works either way round


def test_what_lies_on_a_ground_point_is_apart_from_what_comes_over_it() -> None:
    """Whoever cleans a bolt counts its lugs: also one that leads to a switch, a plug or another ground point."""
    text = (
        """
battery BAT
fuse F1 10A
naming G* ground
ground G2 wired
lamp L1, L2
switch S1 positions off, on closes 1 to 2 in on
option TOW
lamp L3 if TOW
""".replace("lamp L1, L2", "lamp L1\nlamp L2")
        + """
BAT.- -> G1
BAT.+ -> F1
F1 -> L1 -> G1 in BN 1
F1 -> L2 -> S1.1
S1.2 -> G1 in BN 0.5
G2 -> G1 in BK 16
F1 -> L3 -> G2
L3.2 -> G1 in BN 2.5 if TOW
"""
    )
    told = trace(circuit(text), "G1")
    assert sorted(str(lug.at) for lug in told.lugs) == ["BAT.-", "G2", "L1.2", "L3.2", "S1.2"]
    assert {str(pin) for pin, _ in told.grounded_here} == {"L1.2", "L2.2", "L3.2"}
    without = trace(circuit(text), "G1", {"TOW": False})
    assert "L3.2" not in {str(lug.at) for lug in without.lugs}
    words = grounded(circuit(text), "G1")
    assert "ON THE POINT ITSELF 5" in words
    assert "COMES OVER THESE WIRES 1 L2.2 when S1 is on; over S1.2" in words
    assert trace(circuit(text), "L1").lugs == ()


def grounded(its: Circuit, part: str) -> str:
    traced = trace(its, part)
    return " ".join(" ".join(" ".join(lines) for lines in grounded_lines(its.platform, traced, 96)).split())


def test_everything_hangs_on_the_battery() -> None:
    battery = trace(circuit(VAN), "BAT")
    assert battery.supply == ()
    assert battery.loads == ("BCM", "HORN", "REAR", "SIDE")
    (branch,) = battery.branches
    assert str(branch.end) == "B1"


def test_a_ground_point_is_ground_and_shows_its_lead_to_the_battery() -> None:
    assert told_all(trace(circuit(VAN), "G1").ground) == ["G1 - BAT.-", "G1 - case"]


def test_a_chart_says_who_hangs_there_and_that_the_wires_are_missing() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F50 10A, F51 10A
BAT.+ -> F50
F50 feeds WASHER, ECU
module WASHER supply 1
module ECU supply 1, 2
""")
    fuse = trace(its, "F50")
    assert fuse.loads == ("ECU", "WASHER")
    assert Unknown("wires not typed in", "WASHER", "F50") in fuse.unknown
    assert {Unknown("terminal assumed", "ECU.1"), Unknown("terminal assumed", "ECU.2")} <= set(fuse.unknown)
    washer = trace(its, "WASHER")
    assert told_all(washer.supply) == ["BAT.+ - F50.1 - F50.2 - WASHER.1"]
    assert Unknown("no ground typed", "WASHER") in washer.unknown
    assert trace(its, "F51").unknown == (Unknown("no supply typed", "F51.1"),)


def test_a_feed_that_comes_from_another_sheet_is_a_supply_unknown() -> None:
    its = circuit("""
splice SP1
lamp L supply 1 ground 2
? "from sheet 7" -> SP1 -> L.1
L.2 -> ? "ground, sheet 8"
""")
    lamp = trace(its, "L")
    assert told_all(lamp.supply) == ["? ?SP1 - SP1 - L.1"]
    assert told_all(lamp.ground) == ["? L.2 - ?L.2"]
    assert {(entry.name, entry.detail) for entry in lamp.open_ends} == {
        ("SP1", "from sheet 7"),
        ("L.2", "ground, sheet 8"),
    }
    assert Unknown("no supply typed", "L.1") in lamp.unknown


def test_a_second_battery_is_fed_through_the_split_charge_relay() -> None:
    its = circuit("""
battery BAT 72Ah
battery AUX 95Ah
relay K9 make
fuse F1 50A, F2 50A, F3 15A
load FRIDGE supply 1 ground 2
BAT.+ -> F1 -> K9.30
K9.87 -> F2 -> AUX.+
AUX.+ -> F3 -> FRIDGE.1
""")
    fridge = trace(its, "FRIDGE")
    assert told_all(fridge.supply) == [
        "AUX.+ - F3.1 - F3.2 - FRIDGE.1",
        "BAT.+ - F1.1 - F1.2 - K9.30 -(K9.87)- K9.87 - F2.1 - F2.2 - AUX.+ - F3.1 - F3.2 - FRIDGE.1 [K9 pulled in]",
    ]
    assert trace(its, "F1").loads == ("FRIDGE",)
    assert told_all(trace(its, "AUX").supply)[0].startswith("BAT.+ - F1.1")


def test_a_way_back_through_a_contact_into_a_live_wire_is_roundabout() -> None:
    """Two fuses reach the horn, each over its own contact: the lamp of the second does not hang on the first."""
    its = circuit("""
battery BAT 72Ah
fuse F1 10A, F2 10A
switch S positions off, on closes 1 to 2 in on
switch T positions off, on closes 1 to 2 in on
splice SP2
horn HORN
lamp LAMP
BAT.+ -> F1 -> S.1
BAT.+ -> F2 -> SP2 -> T.1
SP2 -> LAMP
S.2 -> HORN
T.2 -> HORN
""")
    assert trace(its, "F1").loads == ("HORN",)
    assert set(trace(its, "F2").loads) == {"HORN", "LAMP"}
    assert told_all(trace(its, "LAMP").supply) == [
        "BAT.+ - F2.1 - F2.2 - SP2 - LAMP.1",
        "~ BAT.+ - F1.1 - F1.2 - S.1 -(S.2)- S.2 - HORN.1 - T.2 -(T.2)- T.1 - SP2 - LAMP.1 [S on; T on]",
    ]


def test_a_load_with_two_feeds_to_one_pin_hangs_on_both() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F1 10A, F2 10A
switch S positions off, on closes 1 to 2 in on
horn HORN
BAT.+ -> F1 -> HORN
BAT.+ -> F2 -> S.1
S.2 -> HORN
""")
    assert trace(its, "F1").loads == ("HORN",)
    assert trace(its, "F2").loads == ("HORN",)


def test_a_fuse_typed_the_wrong_way_round_still_feeds() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F1 10A
lamp L supply 1 ground 2
BAT.+ -> F1.2
F1.1 -> L.1
""")
    fuse = trace(its, "F1")
    assert fuse.loads == ("L",)
    assert told_all(fuse.supply) == ["BAT.+ - F1.2"]
    assert fuse.unknown == ()


def test_a_motor_that_runs_both_ways_is_fed_and_grounded_at_both_pins() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F1 20A, F2 20A
relay K1 changeover
relay K2 changeover
ground G1
motor WIN supply 1 ground 2
BAT.+ -> F1 -> K1.87
BAT.+ -> F2 -> K2.87
K1.87a -> G1
K2.87a -> G1
K1.30 -> WIN.1
WIN.2 -> K2.30
""")
    window = trace(its, "WIN")
    assert told_all(window.supply) == [
        "BAT.+ - F1.1 - F1.2 - K1.87 -(K1.87)- K1.30 - WIN.1 [K1 pulled in]",
        "BAT.+ - F2.1 - F2.2 - K2.87 -(K2.87)- K2.30 - WIN.2 [K2 pulled in]",
    ]
    assert told_all(window.ground) == [
        "WIN.1 - K1.30 -(K1.87a)- K1.87a - G1 - case [K1 at rest]",
        "WIN.2 - K2.30 -(K2.87a)- K2.87a - G1 - case [K2 at rest]",
    ]
    assert trace(its, "F2").loads == ("WIN",)


def test_copied_sheets_and_undeclared_parts_are_told() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F1 20A
lamp L supply 1 ground 2
sheet "7" copied "Marlow Linnet 2.0"
BAT.+ -> F1 in RD
F1 -> THING.3
THING.4 -> L.1
""")
    lamp = trace(its, "L")
    assert told_all(lamp.supply) == ["? THING.4 - L.1"]
    assert Unknown("not declared", "THING") in lamp.unknown
    assert trace(its, "F1").loads == ("THING",)
    assert Unknown("copied", "BAT.+ - F1.1", "Marlow Linnet 2.0", ("7",)) in trace(its, "F1").unknown


def test_a_way_back_through_a_fuse_from_its_outgoing_side_is_roundabout() -> None:
    """A ring of two fuses feeds the load: what else hangs ahead of one of them does not hang on the other."""
    its = circuit("""
battery BAT 72Ah
fuse F8 60A, F9 60A, F1 30A, F2 30A, F5 5A
bar B1 feeds F1
bar B2 feeds F2, F5
splice SP1
load PUMP supply 1 ground 2
lamp LAMP supply 1 ground 2
BAT.+ -> F8 -> B1
BAT.+ -> F9 -> B2
F1 -> SP1 -> PUMP.1
F2 -> SP1
F5 -> LAMP.1
""")
    assert trace(its, "F1").loads == trace(its, "F2").loads == ("PUMP",)
    assert [path.roundabout for path in trace(its, "LAMP").supply] == [False, True]
    assert trace(its, "F9").loads == ("LAMP", "PUMP")


def test_an_option_that_a_way_needs_does_not_make_another_roundabout() -> None:
    its = circuit("""
option RING
battery BAT 72Ah
fuse F1 10A, F2 10A
switch S positions off, on closes 1 to 2 in on
switch T positions off, on closes 1 to 2 in on
splice SP1, SP2
lamp LAMP supply 1 ground 2
BAT.+ -> F1 -> S.1
S.2 -> SP1 -> T.1
T.2 -> SP2 -> LAMP.1
BAT.+ -> F2 -> SP2 if RING
""")
    assert [path.roundabout for path in trace(its, "LAMP").supply] == [False, False]
    assert trace(its, "F1").loads == ("LAMP",), "in a vehicle without RING it is the only way"


def test_two_wires_in_one_crimp_do_not_go_through_the_module() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F1 10A
module BCM supply A1 ground A8
module RADIO supply 1 ground 2
BAT.+ -> F1 -> BCM.A1 -> RADIO.1
""")
    assert trace(its, "BCM").loads == ()
    assert trace(its, "F1").loads == ("BCM", "RADIO")
    assert its.opened_by("BCM") == frozenset(its.inside["BCM"])


TWO_BATTERIES = """
option LEISURE
battery BAT 90Ah
battery BAT2 110Ah if LEISURE
fuse F1 125A, F3 15A, F20 40A
bar B1 feeds F3, F20
relay KSPLIT make
switch MAIN positions off, on closes 1 to 2 in on
fuse F30 10A
lamp L3
lamp L30
BAT.+ -> F1 -> B1
F3 -> L3 -> case
F20 -> KSPLIT.30
KSPLIT.87 -> F30, MAIN.2
F30 -> L30 -> case
BAT2.+ -> MAIN.1
IGN.15 -> KSPLIT.86
KSPLIT.85 -> case
key IGN positions off, run closes 30 to 15 in run
B1 -> IGN.30
"""


def test_what_is_fed_backwards_from_the_other_battery_is_told_apart() -> None:
    split = trace(circuit(TWO_BATTERIES), "KSPLIT")
    assert split.loads == ("L30",)
    assert [(d.part, told_all(d.paths)) for d in split.backwards if d.taking.kind == "load"] == [
        (
            "L3",
            [
                "BAT2.+ - MAIN.1 -(MAIN.2)- MAIN.2 - KSPLIT.87 -(KSPLIT.87)- KSPLIT.30 - F20.2 - F20.1 - B1 - F3.1 "
                "- F3.2 - L3.1 [LEISURE fitted; KSPLIT pulled in; MAIN on]"
            ],
        )
    ]
    coil = next(pin for pin in split.pins if pin.terminal.pin == "86")
    assert [(path.start.part, path.second) for path in coil.supply] == [("BAT", False), ("BAT2", True)]
    fuse = trace(circuit(TWO_BATTERIES), "F20")
    assert fuse.loads == ("L30",), "its neighbour on the bar does not hang on it"


def test_batteries_that_a_part_lies_between_are_listed() -> None:
    for name in ("KSPLIT", "F20", "BAT", "BAT2"):
        its = trace(circuit(TWO_BATTERIES), name)
        (join,) = its.joins
        assert (join.battery, join.others, set(join.contacts)) == ("BAT", ("BAT2",), {"KSPLIT.87", "MAIN.2"})
        assert [d.part for d in its.downstream if d.taking.kind == "battery"] == ([] if name == "BAT2" else ["BAT2"])
    assert trace(circuit(TWO_BATTERIES), "F3").joins == ()


def test_what_is_nearest_comes_first_downstream() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F1 10A
splice SP1, SP2, SP3
lamp A1
lamp Z9
BAT.+ -> F1 -> SP1 -> SP2 -> SP3 -> A1 -> case
SP1 -> Z9 -> case
""")
    (branch,) = trace(its, "F1").branches
    assert [[taking.part for taking in after.takings] for after in branch.branches] == [["Z9"], ["A1"]]
