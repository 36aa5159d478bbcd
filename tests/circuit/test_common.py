"""What drawing fuses share, and how the quiet ones weaken it."""

from circuitmap.circuit.common import InCommon, Shared, in_common
from circuitmap.reports.circuit.common_text import common_text
from circuitmap.unknown import Unknown

from .told import circuit

NETWORKS = """
option TAIL
battery BAT 72Ah
switch MS "Battery master switch" positions on, off closes 1 to 2 in on
fuse F1 10A, F2 10A, F3 10A, F4 10A, F5 10A, F6 10A
bar B1 feeds F1..F6
ground G1, G2, G3
BAT.+ -> MS.1
MS.2 -> B1
module HEATER supply 1 ground 2
module LIFT supply 1 ground 2 if TAIL
module LAMPS supply 1 ground 2
module CAB supply 1 ground 2
module RADIO supply 1 ground 2
module GATE supply 1 ground 2
lamp DOME supply 1 ground 2
F1 -> HEATER.1
F2 -> LAMPS.1
F3 -> CAB.1
F3 -> DOME.1
F4 -> RADIO.1
F5 -> GATE.1
HEATER.2 -> G1
LAMPS.2 -> G2
CAB.2 -> G3
DOME.2 -> G3
RADIO.2 -> G1
network CHASSIS can members HEATER, LAMPS, LIFT
network BODY can members CAB, RADIO
gateway GATE joins CHASSIS, BODY passes BODY to CHASSIS
"""


def networks(answer: InCommon) -> dict[str, tuple[str, ...]]:
    return {network.name: network.unlisted for network in answer.networks}


def test_fuses_that_share_nothing_but_a_network() -> None:
    answer = in_common(circuit(NETWORKS), ["F1", "F2", "F5"], ["F4"])
    assert answer.loads == {"HEATER": ("F1",), "LAMPS": ("F2",), "GATE": ("F5",)}
    assert answer.common_loads == answer.common_splices == answer.grounds == ()
    chassis = answer.networks[0]
    assert (chassis.name, chassis.fuses, chassis.missing, chassis.quiet) == ("CHASSIS", ("F1", "F2", "F5"), (), ())
    assert chassis.unlisted == ("LIFT",)
    assert chassis.through == ()
    assert {member.part: member.fuses for member in chassis.members} == {
        "GATE": ("F5",), "HEATER": ("F1",), "LAMPS": ("F2",), "LIFT": (),
    }  # fmt: skip


def test_a_network_that_wakes_the_other_through_the_gateway_is_weakened_by_a_quiet_member() -> None:
    answer = in_common(circuit(NETWORKS), ["F1", "F2", "F3", "F5"], ["F4"])
    assert [(n.name, n.missing, n.quiet) for n in answer.networks] == [
        ("BODY", (), ("F4",)),
        ("CHASSIS", ("F3",), ()),
    ]
    (woken,) = answer.networks[0].through
    assert (woken.network, woken.gateway, woken.by, woken.sure) == ("CHASSIS", "GATE", "BODY", True)
    assert answer.networks[0].others == ("DOME",)
    assert networks(answer) == {"BODY": ("LIFT",), "CHASSIS": ("LIFT",)}


def test_waking_does_not_cross_against_the_gateway() -> None:
    answer = in_common(circuit(NETWORKS), ["F3", "F4"])
    assert networks(answer) == {"BODY": ("GATE",)}


def test_a_member_that_is_not_fitted_is_no_candidate() -> None:
    answer = in_common(circuit(NETWORKS), ["F1", "F2", "F5"], fitting={"TAIL": False})
    assert networks(answer)["CHASSIS"] == ()


def test_the_nearest_common_supply_and_the_contacts_that_feed_all() -> None:
    answer = in_common(circuit(NETWORKS), ["F1", "F2"], ["F4"])
    assert answer.supply.nearest is not None and answer.supply.nearest.name == "B1"
    assert [point.name for point in answer.supply.chain] == ["BAT.+", "MS.1", "MS.2", "MS.2", "B1"]
    assert answer.contacts == ("MS.2",)
    assert answer.supply_quiet == ("F4",)
    assert next(s for s in answer.shared if s.name == "B1").quiet == ("F4",)


def test_of_two_shared_things_the_one_that_no_quiet_fuse_shares_comes_first() -> None:
    loads = {"L1": ("F1", "G1"), "L2": ("F2", "G1"), "L3": ("F1", "G2"), "L4": ("F2", "G2"), "L5": ("F3", "G1")}
    lines = [f"lamp {load}\n{fuse} -> {load} -> {ground}" for load, (fuse, ground) in loads.items()]
    text = "battery BAT 72Ah\nfuse F1 10A, F2 10A, F3 10A\nground G1, G2\nBAT.+ -> F1\nBAT.+ -> F2\nBAT.+ -> F3\n"
    its = circuit(text + "\n".join(lines) + "\n")
    assert [ground.name for ground in in_common(its, ["F1", "F2"]).grounds] == ["G1", "G2"]
    assert [ground.name for ground in in_common(its, ["F1", "F2"], ["F3"]).grounds] == ["G2", "G1"]


def test_the_same_ground_as_a_quiet_fuse_is_told() -> None:
    answer = in_common(circuit(NETWORKS), ["F1"], ["F4", "F2"])
    assert answer.grounds == (
        Shared("ground", "G1", ("F1",), (), ("F4",), {"F1": ("ground side",), "F4": ("ground side",)}),
    )


RELAY = """
battery BAT 72Ah
fuse F70 80A, F72 30A, F73 5A, F27 10A, F21 10A
bar B1 feeds F70, F27, F21
relay K2 make
connector X20
splice SP31
BAT.+ -> B1
F70 -> K2.30
K2.87 -> F72, F73
F27 -> X20.7 -> K2.86
K2.85 -> X20.8 -> BCM.C14
module BCM supply A1 ground A8
output BCM.C14 grounds in run
key IGN positions off, run closes 30 to 15 in run
lamp SCREEN supply 1 ground 2
lamp MIRROR supply 1 ground 2
F72 -> SP31 -> SCREEN.1
F73 -> MIRROR.1
F21 -> BCM.A1
BCM.A8 -> G1
SCREEN.2 -> G2
MIRROR.2 -> G2
ground G1, G2
SP31 -> ?
"""


def test_a_relay_with_its_coil_on_one_drawing_fuse_and_its_contact_before_the_others() -> None:
    answer = in_common(circuit(RELAY), ["F72", "F73", "F27"], ["F21"])
    (relay,) = answer.relays
    assert (relay.name, relay.missing, relay.quiet) == ("K2", (), ())
    assert relay.how == {"F72": ("feed",), "F73": ("feed",), "F27": ("coil",)}
    assert answer.supply.nearest is not None and answer.supply.nearest.name == "B1"
    two = in_common(circuit(RELAY), ["F72", "F73"], ["F21"])
    assert two.contacts == ("K2.87",)
    assert two.supply.nearest is not None and two.supply.nearest.name == "K2.87"
    assert two.supply_quiet == ()
    assert [ground.name for ground in two.grounds] == ["G2"]


def test_a_feeding_fuse_is_told_above_its_own() -> None:
    answer = in_common(circuit(RELAY), ["F70", "F72"])
    assert answer.above == {"F70": (), "F72": ("F70",)}
    assert answer.loads == {"MIRROR": ("F70",), "SCREEN": ("F70", "F72")}
    assert [load.name for load in answer.common_loads] == ["SCREEN"]


def test_what_is_not_typed_in_is_part_of_the_answer() -> None:
    answer = in_common(circuit(RELAY + "module NEW supply 1, 2 ground 3\nF21 -> NEW.1\n"), ["F72", "F21"])
    assert Unknown("open end", "SP31", "", ()) in answer.incomplete
    assert Unknown("no network typed", "BCM") in answer.incomplete
    assert Unknown("may hang here", "NEW.2") not in answer.incomplete, "NEW is on F21 anyway"
    other = in_common(circuit(RELAY + "module NEW supply 1, 2 ground 3\n"), ["F72", "F27"])
    assert Unknown("may hang here", "NEW.2") in other.incomplete
    assert in_common(circuit("fuse F9 5A\nbattery B 9Ah\n"), ["F9"]).incomplete == (
        Unknown("no load typed", "F9"),
        Unknown("no supply typed", "F9"),
    )


def test_a_wake_line_joins_modules_on_different_fuses() -> None:
    answer = in_common(
        circuit("""
battery BAT 72Ah
fuse F1 10A, F2 10A, F3 10A
bar B1 feeds F1, F2, F3
BAT.+ -> B1
module A supply 1 ground 2 wake 3
module B supply 1 ground 2 wake 3
module C supply 1 ground 2
output C.7 feeds
F1 -> A.1
F2 -> B.1
F3 -> C.1
C.7 -> A.3, B.3
network LINE wake members A, C
"""),
        ["F1", "F2"],
    )
    assert [(line.name, line.fuses, line.kind) for line in answer.wake_lines] == [("C.7", ("F1", "F2"), "wake")]


def test_two_feeds_of_one_module() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F40 30A, F41 20A
bar B1 feeds F40, F41
BAT.+ -> B1
module LIFT supply 1, 2 ground 3
splice SP4
F40 -> LIFT.1
F41 -> SP4 -> LIFT.2
LIFT.3 -> G1
ground G1
""")
    answer = in_common(its, ["F40", "F41"])
    assert [load.name for load in answer.common_loads] == ["LIFT"]
    assert answer.common_splices == ()
    assert [ground.name for ground in answer.grounds] == ["G1"]


def test_a_network_that_only_wakes_the_shared_one_comes_after_it_whatever_is_quiet() -> None:
    its = NETWORKS.replace("passes BODY to CHASSIS", "passes BODY to CHASSIS, AXLE to CHASSIS")
    its = its.replace("joins CHASSIS, BODY", "joins CHASSIS, BODY, AXLE") + "network AXLE can members LIFT\n"
    answer = in_common(circuit(its), ["F1", "F2", "F5"], ["F4"])
    assert [(n.name, n.direct, n.by_gateway) for n in answer.networks] == [
        ("CHASSIS", ("F1", "F2", "F5"), False),
        ("AXLE", ("F5",), True),
        ("BODY", ("F5",), True),
    ]
    quiet = in_common(circuit(its), ["F2", "F5"], ["F1"])
    assert [n.name for n in quiet.networks] == ["CHASSIS", "AXLE", "BODY"], "a quiet member does not send it last"


SPLIT = """
battery BAT 72Ah
battery LEIS 95Ah
switch MAIN positions off, on closes 1 to 2 in on
relay KSPLIT make
fuse F1 10A, F2 10A, F8 10A, F20 10A, F21 10A, FS 10A
bar B1 feeds F1, F2, F8
bar B2 feeds F20, F21, FS
ground G1
BAT.+ -> B2
FS -> KSPLIT.30
KSPLIT.87 -> B1
LEIS.+ -> MAIN.1
MAIN.2 -> B1
lamp L1
lamp L2
lamp L8
lamp L20
lamp L21
F1 -> L1 -> G1
F2 -> L2 -> G1
F8 -> L8 -> G1
F20 -> L20 -> G1
F21 -> L21 -> G1
"""


def test_a_quiet_fuse_behind_a_contact_that_is_open_when_parked_does_not_weaken_the_feed() -> None:
    answer = in_common(circuit(SPLIT), ["F1", "F2"], ["F8", "F20"])
    assert answer.supply.nearest is not None and answer.supply.nearest.name == "B1"
    assert answer.supply_quiet == ("F8",)
    assert answer.supply_open == {"F20": ("KSPLIT.87",)}


def test_a_break_contact_is_closed_when_parked() -> None:
    its = SPLIT.replace("KSPLIT make", "KSPLIT changeover").replace("KSPLIT.87 ->", "KSPLIT.87a ->")
    answer = in_common(circuit(its), ["F1", "F2"], ["F20"])
    assert (answer.supply_quiet, answer.supply_open) == (("F20",), {})


TWO_BATTERIES = """
option LEISURE
battery BAT 90Ah
battery BAT2 110Ah if LEISURE
fuse F1 125A, F3 15A, F4 10A, F9 20A, F20 40A
bar B1 feeds F3, F4, F9, F20
relay KSPLIT make
ground G3
lamp L3
lamp L4
lamp L9
BAT.+ -> F1 -> B1
F3 -> L3 -> G3
F4 -> L4
F9 -> L9 -> G3
F20 -> KSPLIT.30
KSPLIT.87 -> BAT2.+
"""


def test_what_lies_only_on_the_way_from_the_second_battery_is_not_shared() -> None:
    answer = in_common(circuit(TWO_BATTERIES), ["F3", "F9"])
    assert answer.of_kind("contact", "relay") == ()
    assert answer.main_supply == ("F1",)
    (second,) = answer.second
    assert (second.batteries, second.contacts, second.fuses) == (("BAT2",), ("KSPLIT.87",), ("F3", "F9"))
    assert {(subject.name, *states) for subject, states in second.demands.items()} == {
        ("LEISURE", "fitted"),
        ("KSPLIT", "pulled in"),
    }


def test_a_neighbour_on_the_same_bar_is_no_parent_by_a_way_back_from_the_second_battery() -> None:
    answer = in_common(circuit(TWO_BATTERIES), ["F3", "F4", "F9"], ["F20"])
    assert set(answer.above.values()) == {()}
    assert {fuse: [(its.fuse, its.batteries) for its in perhaps] for fuse, perhaps in answer.above_if.items()} == {
        fuse: [("F20", ("BAT2",))] for fuse in ("F3", "F4", "F9")
    }
    (ground,) = answer.grounds
    assert (ground.missing, ground.quiet) == (("F4",), ()), "what hangs on its neighbours does not hang on F20"
    assert answer.supply_quiet == ("F20",)
    assert in_common(circuit(TWO_BATTERIES), ["F1", "F3"], ["F20"]).above == {"F1": (), "F3": ("F1",), "F20": ("F1",)}


def test_what_lies_on_one_of_two_ways_says_so_and_what_closes_it() -> None:
    answer = in_common(circuit(SPLIT), ["F1", "F2"])
    relay = next(entry for entry in answer.shared if entry.name == "KSPLIT.87")
    assert relay.how == {"F1": ("some feeds",), "F2": ("some feeds",)}
    assert relay.partly is not None and (relay.partly.on, relay.partly.of) == (1, 2)
    assert [(subject.name, states) for subject, states in relay.partly.demands.items()] == [("KSPLIT", {"pulled in"})]
    bar = next(entry for entry in answer.shared if entry.name == "B1")
    assert (bar.how["F1"], bar.partly) == (("feed",), None), "every way passes it"
    assert answer.second == ()


def test_ways_that_need_contacts_that_the_other_battery_needs_anyway_do_not_count() -> None:
    its = SPLIT + "module CHG supply 1 ground 2\noutput CHG.S feeds from 1\nLEIS.+ -> CHG.1\nCHG.S -> B2\nCHG.2 -> G1\n"
    answer = in_common(circuit(its), ["F1", "F2"])
    assert {entry.partly.of for entry in answer.shared if entry.partly} == {2}
    assert [(second.batteries, set(second.contacts)) for second in answer.second] == [
        (("LEIS",), {"CHG.S", "KSPLIT.87"})
    ]
    base = in_common(circuit(its), ["F20", "F21"])
    assert all(entry.partly is None for entry in base.shared), "BAT drives them, whatever LEIS may add"


APART = """
battery BAT
fuse F1 10A, F2 10A
connector X
switch S positions rest, pressed closes 1 to 2 in pressed closes 3 to 4 in pressed
lamp L1
lamp L2
BAT.-, L1.2, L2.2 -> case
BAT.+ -> F1, F2
F1 -> S.1
S.2 -> X.1 -> L1.1
F2 -> S.3
S.4 -> X.2 -> L2.1
"""


def test_a_plug_and_a_switch_are_shared_that_both_pass_in_places_of_their_own() -> None:
    shared = in_common(circuit(APART), ("F1", "F2"))
    assert {(entry.kind, entry.name) for entry in shared.of_kind("connector", "switch")} == {
        ("connector", "X"),
        ("switch", "S"),
    }
    text = " ".join(common_text(circuit(APART).platform, shared).split())
    assert "Connector X: behind both (F1 in 1, F2 in 2)." in text and "Switch S: behind both." in text


def test_a_plug_is_told_where_one_cavity_is_shared_and_others_are_not() -> None:
    both = APART.replace("L1.2, L2.2 -> case", "X.3 -> case").replace("X.1 -> L1.1", "X.1 -> L1 -> X.3")
    text = both.replace("X.2 -> L2.1", "X.2 -> L2 -> X.3")
    shared = in_common(circuit(text), ("F1", "F2"))
    told = " ".join(common_text(circuit(text).platform, shared).split())
    assert "Connector cavity X.3: on the ground side of both." in told
    assert "(F1 in 1 and 3, F2 in 2 and 3)" in told


JOINED = """
battery A
battery B
fuse F1 50A, F2 50A, F3 10A, F4 10A
relay K make
switch SA positions off, on closes 1 to 2 in on
switch SB positions off, on closes 1 to 2 in on
splice SP1, SP2
lamp L3
lamp L4
A.-, B.-, K.85, L3.2, L4.2 -> case
A.+ -> F1 -> K.30
K.87 -> F2 -> B.+
B.+ -> SP1
SP1 -> F3 -> L3.1
SP1 -> SB.1
A.+ -> SA.1
SA.2, SB.2 -> SP2
SP2 -> F4 -> L4.1
"""


def test_a_relay_between_two_batteries_is_shared_by_the_fuses_beside_it() -> None:
    shared = in_common(circuit(JOINED), ("F1", "F2"))
    assert [(entry.name, dict(entry.how)) for entry in shared.relays] == [("K", {"F1": ("joins",), "F2": ("joins",)})]
    assert not [entry for entry in shared.incomplete if entry.kind == "no load typed"]


def test_what_is_common_only_in_the_easiest_position_is_told_with_it() -> None:
    shared = in_common(circuit(JOINED), ("F3", "F4"))
    assert shared.supply.nearest is None and shared.main_nearest is None
    assert str(shared.easiest_nearest) == "SP1"
    assert {subject.name: states for subject, states in shared.easiest_needs.items()} == {"SB": frozenset({"on"})}
