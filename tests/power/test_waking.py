"""What is awake: networks, gateways, wake lines and wake pins, stars, run-on."""

from circuitmap.power.networks_apart import NetworkApart, networks_apart
from circuitmap.power.why_awake import kept_awake_by
from tests.power.vehicle import MAY_BE, NO, YES, live, vehicle

HEAD = """
platform "Made up" sleep 20min..40min
naming G* ground
battery BAT 60Ah
BAT.- -> G1
key IGN positions off, run closes 30 to 15 in run
fuse F1 10A, F2 10A
BAT.+ -> F1
BAT.+ -> IGN.30
IGN.15 -> F2
"""


def modules(*names: str, more: str = "") -> str:
    """Modules that are fed all the time."""
    lines = [f"module {name} supply 1 ground 2 {more}\nF1 -> {name}.1\n{name}.2 -> G1" for name in names]
    return "\n".join(lines) + "\n"


def test_any_member_keeps_all_awake() -> None:
    circuit = vehicle(HEAD + modules("A", "B", "C") + "network BODY can members A, B, C\n")
    assert set(live(circuit).awake.values()) == {NO}
    for state in ({"A"}, {"C"}, {"BODY"}):
        powered = live(circuit, awake=frozenset(state))
        assert powered.networks == {"BODY": YES}
        assert set(powered.awake.values()) == {YES}


def test_a_module_without_feed_keeps_nobody_awake() -> None:
    circuit = vehicle(
        HEAD
        + modules("A", "B")
        + """
module RUN supply 1 ground 2
F2 -> RUN.1
RUN.2 -> G1
network BODY can members A, B, RUN
"""
    )
    assert live(circuit, awake=frozenset({"RUN"})).networks == {"BODY": NO}
    assert live(circuit, awake=frozenset({"RUN"}), key="run").networks == {"BODY": YES}
    assert live(circuit, awake=frozenset({"A"})).awake["RUN"] == NO


def gateway(passes: str) -> str:
    return (
        HEAD
        + modules("A", "B", "GW")
        + f"""
network BODY can members A, GW
network DRIVE can members B, GW
gateway GW joins BODY, DRIVE {passes}
"""
    )


def test_waking_crosses_a_gateway_as_the_sheet_says() -> None:
    one_way = vehicle(gateway("passes DRIVE to BODY"))
    assert live(one_way, awake=frozenset({"B"})).networks == {"BODY": YES, "DRIVE": YES}
    assert live(one_way, awake=frozenset({"A"})).networks == {"BODY": YES, "DRIVE": NO}
    assert live(one_way, awake=frozenset({"B"}), unplugged=frozenset({"GW"})).networks == {"BODY": NO, "DRIVE": YES}
    nothing = vehicle(gateway("passes nothing"))
    assert live(nothing, awake=frozenset({"B"})).networks == {"BODY": NO, "DRIVE": YES}
    not_said = vehicle(gateway(""))
    assert live(not_said, awake=frozenset({"B"})).networks == {"BODY": MAY_BE, "DRIVE": YES}


def test_a_part_on_two_networks_that_is_no_gateway_may_carry_waking_across() -> None:
    circuit = vehicle(
        HEAD
        + modules("A", "B", "M")
        + """
network BODY can members A, M
network LIN1 lin members B, M
"""
    )
    assert live(circuit, awake=frozenset({"A"})).networks == {"BODY": YES, "LIN1": MAY_BE}


def test_a_wake_line_wakes_modules_and_these_their_networks() -> None:
    circuit = vehicle(
        HEAD
        + modules("A", "B", "C")
        + """
network LINE wake members A, B
network BODY can members B, C
"""
    )
    assert live(circuit, awake=frozenset({"LINE"})).awake == {"A": YES, "B": YES, "C": YES}
    assert live(circuit, awake=frozenset({"C"})).networks == {"LINE": MAY_BE, "BODY": YES}


def test_a_live_wake_pin_wakes_a_module_and_its_network() -> None:
    circuit = vehicle(HEAD + modules("A", "B", more="wake 3") + "network BODY can members A, B\nF2 -> A.3\n")
    assert live(circuit).networks == {"BODY": NO}
    powered = live(circuit, key="run")
    assert powered.networks == {"BODY": YES}
    assert [(its.kind, its.name) for its in kept_awake_by(powered, "BODY")] == [("wake pin", "A.3")]
    assert kept_awake_by(live(circuit), "BODY") == ()


STAR = vehicle(
    HEAD
    + modules("A", "B", "C", "D")
    + """
network BODY can members A, B, C, D
star X60 on BODY leg A, B leg C
"""
)


def test_an_open_star_leaves_each_leg_by_itself() -> None:
    assert live(STAR, awake=frozenset({"A"})).awake == dict.fromkeys("ABCD", YES)
    opened = live(STAR, awake=frozenset({"A"}), unplugged=frozenset({"X60"}))
    assert opened.awake == {"A": YES, "B": YES, "C": NO, "D": NO}
    one_leg = live(STAR, awake=frozenset({"A"}), unplugged=frozenset({"X60.2"}))
    assert one_leg.awake == {"A": YES, "B": YES, "C": NO, "D": YES}
    somebody = live(STAR, awake=frozenset({"BODY"}), unplugged=frozenset({"X60"}))
    assert set(somebody.awake.values()) == {MAY_BE}, "nobody knows on which leg the culprit is"


def test_off_the_network_by_its_plug() -> None:
    circuit = vehicle(
        HEAD
        + """
module A supply A.1 ground A.2
module B supply 1 ground 2
F1 -> A.A.1
A.A.2 -> G1
F1 -> B.1
B.2 -> G1
network BODY can members A (B.7, B.8), B
"""
    )
    assert live(circuit, awake=frozenset({"A"})).awake["B"] == YES
    assert live(circuit, awake=frozenset({"A"}), unplugged=frozenset({"A.B"})).awake["B"] == NO
    assert live(circuit, awake=frozenset({"A"}), unplugged=frozenset({"A.A"})).awake == {"A": NO, "B": NO}


def test_running_on_is_a_state_with_a_time() -> None:
    circuit = vehicle(HEAD + modules("A", more="run-on 3min..10min") + modules("B") + "network BODY can members B\n")
    assert live(circuit, minutes=1.0).awake["A"] == YES
    assert live(circuit, minutes=5.0).awake["A"] == MAY_BE
    assert live(circuit, minutes=15.0).awake["A"] == NO
    assert live(circuit).awake["A"] == NO
    assert live(circuit, minutes=15.0).networks == {"BODY": MAY_BE}, "it had no time to fall asleep yet"
    assert live(circuit, minutes=45.0).networks == {"BODY": NO}


def test_equipment_that_may_be_missing_may_keep_awake() -> None:
    text = (
        HEAD
        + modules("A")
        + """
module TOWMOD supply 1 ground 2 if TOW
F1 -> TOWMOD.1
TOWMOD.2 -> G1
network BODY can members A, TOWMOD
option TOW
"""
    )
    circuit = vehicle(text)
    assert live(circuit, awake=frozenset({"TOWMOD"})).awake["A"] == MAY_BE
    assert live(circuit, awake=frozenset({"TOWMOD"}), fitting={"TOW": True}).awake["A"] == YES
    assert live(circuit, awake=frozenset({"TOWMOD"}), fitting={"TOW": False}).awake["A"] == NO


PAIR = (
    HEAD
    + modules("A", "B", "C")
    + """
naming SP* splice, X* connector
network BODY can members A (8, 9), B (8, 9), C (8, 9)
A.8 -> SP1
B.8 -> SP1
SP1 -> X1.1 -> C.8
A.9 -> SP2
B.9 -> SP2
SP2 -> X1.2 -> C.9
"""
)


def test_members_that_a_plug_parts_no_longer_wake_one_another() -> None:
    circuit = vehicle(PAIR)
    parted = live(circuit, awake=frozenset({"C"}), unplugged=frozenset({"X1"}))
    assert parted.awake == {"A": NO, "B": NO, "C": YES}
    assert networks_apart(parted) == (NetworkApart("BODY", (("A", "B"), ("C",)), False),)
    assert live(circuit, awake=frozenset({"A"}), unplugged=frozenset({"X1"})).awake == {"A": YES, "B": YES, "C": NO}
    assert networks_apart(live(circuit, awake=frozenset({"A"}))) == ()


def test_one_wire_of_a_pair_may_or_may_not_wake() -> None:
    """Common practice, no source: some transceivers wake on the edges of one wire, others do not."""
    powered = live(vehicle(PAIR), awake=frozenset({"C"}), unplugged=frozenset({"X1.1"}))
    assert powered.awake == {"A": MAY_BE, "B": MAY_BE, "C": YES}
    assert networks_apart(powered) == (NetworkApart("BODY", (("A", "B"), ("C",)), True),)


def test_a_splice_taken_apart_parts_all_that_it_joins_and_another_wire_parts_nobody() -> None:
    circuit = vehicle(PAIR)
    alone = live(circuit, awake=frozenset({"A"}), unplugged=frozenset({"SP1", "SP2"}))
    assert alone.awake == {"A": YES, "B": NO, "C": NO}
    assert [its.pieces for its in networks_apart(alone)] == [(("A",), ("B",), ("C",))]
    assert live(circuit, awake=frozenset({"A"}), unplugged=frozenset({"B"})).awake["C"] == YES


def test_a_member_whose_wires_nobody_typed_stays_on_the_larger_piece() -> None:
    circuit = vehicle(PAIR + modules("D") + "network BODY can members D\n")
    parted = live(circuit, awake=frozenset({"A"}), unplugged=frozenset({"X1"}))
    assert parted.awake == {"A": YES, "B": YES, "C": NO, "D": YES}
