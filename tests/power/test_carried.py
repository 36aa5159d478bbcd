"""What each battery and each fuse carries: by pin where that was typed, shares told apart, fuses in parallel as one."""

from circuitmap.power.carried import Carried, carried
from circuitmap.power.expected import expected_draw
from circuitmap.quantities import Band
from tests.power.vehicle import live, vehicle

TEXT = """
platform "Two batteries, two fuses side by side"
battery A
battery B
splice SP1
fuse F1 50A, F2 10A, F3 10A, F4 10A, F5 10A, F6 10A
lamp L1 running 2A
lamp L2
module M supply 1, 2 ground 3 asleep 2mA on 1, 1mA on 2
module N supply 1, 2 ground 3 asleep 5mA
alternator G supply B+ control D+ ground 31 asleep 1mA
switch S positions off, on closes 1 to 2 in on
A.-, B.-, L1.2, L2.2, M.3, N.3, G.31 -> case
A.+ -> F1 -> SP1
SP1 -> F2, F3
F2, F3 -> S.1
S.2 -> L1.1, L2.1
SP1 -> F4 -> M.1, N.1
B.+ -> F5 -> M.2, N.2
A.+ -> F6 -> G.B+
S.2 -> G.D+
"""
CIRCUIT = vehicle(TEXT)


def amps(value: float) -> Band:
    return Band(value, value)


def found(**state: object) -> dict[tuple[str, ...], Carried]:
    constant = {"M": True, "N": True, "G": True}
    return {its.names: its for its in carried(live(CIRCUIT, **state), constant)}


def test_a_current_typed_by_pin_is_on_that_pins_fuse_and_one_typed_whole_is_shared() -> None:
    asleep = found()
    assert asleep[("F4",)] == Carried("fuse", ("F4",), amps(0.002), ("M",), (), ("N",))
    assert asleep[("F5",)] == Carried("fuse", ("F5",), amps(0.001), ("M",), (), ("N",))
    assert asleep[("B",)].amps == amps(0.001) and asleep[("B",)].shared == ("N",)


def test_what_waits_at_its_control_pin_takes_what_it_takes_asleep() -> None:
    assert found()[("F6",)] == Carried("fuse", ("F6",), amps(0.001), ("G",), (), ())


def test_fuses_side_by_side_carry_their_current_together_and_what_is_not_typed_is_named() -> None:
    lit = found(switches={"S": "on"})
    assert lit[("F2", "F3")] == Carried("fuse", ("F2", "F3"), amps(2.0), ("L1",), ("L2",), ())
    assert lit[("F1",)].amps == amps(2.002)
    assert ("F2", "F3") not in found()


def test_a_fuse_that_is_out_shares_nothing() -> None:
    assert found(switches={"S": "on"}, pulled=frozenset({"F3"}))[("F2",)].amps == amps(2.0)


def test_two_supply_pins_on_one_fuse_share_nothing() -> None:
    circuit = vehicle(TEXT.replace("B.+ -> F5 -> M.2, N.2", "F4 -> M.2, N.2"))
    assert {its.names: its.amps for its in carried(live(circuit), {"M": True, "N": True})}[("F4",)] == amps(0.008)


def test_where_two_batteries_are_joined_only_the_last_fuse_is_sure() -> None:
    circuit = vehicle(
        """
platform "Joined"
battery A
battery B
fuse F1 50A, F2 50A, F3 10A
lamp L running 2A
relay K make
splice SP1
A.-, B.-, K.85, L.2 -> case
A.+ -> F1 -> SP1
SP1 -> F3 -> L.1
SP1 -> K.30
K.87 -> F2 -> B.+
"""
    )
    apart = {its.names: its for its in carried(live(circuit), {})}
    assert apart[("A",)].amps == apart[("F1",)].amps == amps(2.0) and ("F2",) not in apart
    both = {its.names: its for its in carried(live(circuit, stuck=frozenset({"K.87"})), {})}
    assert both[("A", "B")].amps == both[("F3",)].amps == amps(2.0)
    assert both[("F1",)].shared == ("L",) and not both[("F1",)].parts


CUT_OFF = """
platform "A switch in the minus"
battery A
ground FR
fuse F1 10A, F2 10A, F3 10A, F4 10A
switch CUT positions out, in closes 1 to 2 in in
module VAULT supply 1 ground 2 asleep 20mA
module GATE supply 1, 2 ground 3 needs 1 asleep 7mA on 1, 4mA on 2
alternator DYN supply B+ control D+ ground 31 asleep 2mA
module CLOCK supply 1 ground 2 asleep 1mA
A.- -> CUT.1
CUT.2, VAULT.2, GATE.3, DYN.31 -> FR
CLOCK.2 -> A.-
A.+ -> F1 -> VAULT.1, DYN.B+
A.+ -> F2 -> GATE.1
A.+ -> F3 -> GATE.2
A.+ -> F4 -> CLOCK.1
"""
"""By hand: with CUT out only the clock has a way back to the minus."""


def test_what_has_no_way_back_to_its_battery_takes_nothing() -> None:
    circuit = vehicle(CUT_OFF)

    def drawn(**state: object) -> dict[str, tuple[float, tuple[str, ...]]]:
        its = carried(live(circuit, **state), dict.fromkeys(("VAULT", "GATE", "CLOCK"), True))
        return {one.names[0]: (round(one.amps.high, 4), one.parts) for one in its}

    assert drawn() == {"A": (0.001, ("CLOCK",)), "F4": (0.001, ("CLOCK",))}
    assert expected_draw(circuit, {}).total == amps(0.001)
    inside = drawn(switches={"CUT": "in"})
    assert inside["A"] == (0.034, ("CLOCK", "DYN", "GATE", "VAULT")) and inside["F1"] == (0.022, ("DYN", "VAULT"))
    lacking = drawn(switches={"CUT": "in"}, pulled=frozenset({"F2"}))
    assert "F3" not in lacking and lacking["A"][0] == 0.023, "without the supply it needs a module takes nothing"
