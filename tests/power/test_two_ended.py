"""Loads with two ends: wires conduct both ways, and no arrow makes a ground that nobody drew."""

import pytest

from circuitmap.power.rests_on import unknown_of_load

from .vehicle import drawing, live, vehicle

HEAD = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery BAT 70Ah
fuse F1 10A
BAT.- -> G1
BAT.+ -> F1
"""


@pytest.mark.parametrize("middle", ["L1.2 -> SP2\nSP2 -> L2.1", "SP2 -> L1.2\nSP2 -> L2.1", "SP2 -> L1.2\nL2.1 -> SP2"])
@pytest.mark.parametrize("last", ["L2.2 -> G1", "G1 -> L2.2"])
def test_two_lamps_in_a_row_stay_in_a_row(middle: str, last: str) -> None:
    circuit = vehicle(f"{HEAD}lamp L1\nlamp L2\nF1 -> L1.1\n{middle}\n{last}\n")
    powered = live(circuit)
    assert powered.in_series == ("L1", "L2")
    assert not circuit.unknown_supplies and not circuit.unknown_grounds
    assert not powered.loads["L1"].ground_assumed and not powered.loads["L2"].ground_assumed


REVERSING = """
motor M
switch SW positions rest, up, down
    closes 30 to A in up   closes 31 to A in rest, down   closes 30 to B in down   closes 31 to B in rest, up
F1 -> SW.30
SW.31 -> G1
"""


@pytest.mark.parametrize("wires", ["SW.A -> M.1\nSW.B -> M.2", "SW.A -> M.1\nM.2 -> SW.B", "M.1 -> SW.A\nM.2 -> SW.B"])
def test_a_motor_between_two_changeover_contacts_runs_both_ways(wires: str) -> None:
    circuit = vehicle(HEAD + REVERSING + wires + "\n")
    assert not drawing(live(circuit))
    up, down = (live(circuit, switches={"SW": position}).loads["M"] for position in ("up", "down"))
    assert up.draws.words == down.draws.words == "yes"
    for its, pin in ((up, "1"), (down, "2")):
        assert [str(p.terminal) for p in its.pins if p.live.words == "yes"] == [f"M.{pin}"]
        assert not its.ground_assumed


def test_a_motor_between_two_relays_at_rest_takes_nothing() -> None:
    circuit = vehicle(
        HEAD + "motor M\nrelay K1 changeover\nrelay K2 changeover\nF1 -> K1.87, K2.87\nK1.87a, K2.87a -> G1\n"
        "K1.30 -> M.1\nK2.30 -> M.2\nK1.85, K2.85 -> G1\nF1 -> S1.1, S2.1\nS1.2 -> K1.86\nS2.2 -> K2.86\n"
        "switch S1 positions off, on closes 1 to 2 in on\nswitch S2 positions off, on closes 1 to 2 in on\n"
    )
    for first, second in (("off", "off"), ("on", "on"), ("on", "off"), ("off", "on")):
        runs = {"M": "yes"} if first != second else {}
        assert drawing(live(circuit, switches={"S1": first, "S2": second})) == runs


def test_two_speeds_are_two_feeds_and_the_ground_is_the_one_not_drawn() -> None:
    circuit = vehicle(
        HEAD + "motor W\nswitch WS positions off, slow, fast closes 1 to 2 in slow closes 1 to 3 in fast\n"
        "F1 -> WS.1\nWS.2 -> W.53\nWS.3 -> W.53b\n"
    )
    for position in ("slow", "fast"):
        its = live(circuit, switches={"WS": position}).loads["W"]
        assert its.draws.words == "yes" and its.ground_assumed


def test_of_one_declared_end_the_other_is_the_opposite() -> None:
    circuit = vehicle(
        HEAD + "lamp L1 supply 1\nF1 -> L1.1\nSP1 -> L1.2\nSP1 -> S.1\nS.2 -> G1\n"
        "switch S positions off, on closes 1 to 2 in on\n"
    )
    assert circuit.platform.parts["L1"].roles == {"1": "supply", "2": "ground"}  # type: ignore[attr-defined]
    assert drawing(live(circuit)) == {} and drawing(live(circuit, switches={"S": "on"})) == {"L1": "yes"}


def test_what_the_ends_of_a_lamp_do_is_not_worth_a_word() -> None:
    powered = live(vehicle(HEAD + "lamp L1\nF1 -> L1 -> G1\nmodule E\nF1 -> E.1\nE.2 -> G1\n"))
    assert unknown_of_load(powered, "L1", ()) == ()
    assert {entry.kind for entry in unknown_of_load(powered, "E", ())} == {"role assumed"}
