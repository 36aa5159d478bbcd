"""Coils fed or grounded through another load: they may pull in, and what feeds them is told."""

from circuitmap.circuit.trace import trace
from circuitmap.power.checks import problems_of

from .vehicle import live, vehicle

HEAD = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery B1 70Ah
fuse F1 10A, F2 10A, F3 10A
relay K1 make
lamp L2
switch S1 positions off, on closes 1 to 2 in on
B1.- -> G1
B1.+ -> F1
B1.+ -> F2 -> K1.30
K1.87 -> L2 -> G1
B1.+ -> F3 -> S1.1
"""
THROUGH_A_LAMP = HEAD + "lamp L1\nF1 -> L1 -> SP5 -> K1.86\nK1.85 -> G1\nS1.2 -> SP9\nlamp L9\nSP9 -> L9 -> G1\n"
TO_GROUND_THROUGH_A_HEATER = HEAD + "heater H\nF1 -> K1.86\nK1.85 -> SP5 -> H -> G1\nS1.2 -> SP5\n"


def codes(text: str) -> set[str]:
    return {problem.code for problem in problems_of(vehicle(text))}


def test_a_coil_behind_a_lamp_is_fed_through_it() -> None:
    circuit = vehicle(THROUGH_A_LAMP)
    assert live(circuit).energised["K1"].words == "may be"
    pins = {str(pin.terminal): pin for pin in trace(circuit, "K1").pins}
    assert pins["K1.86"].through == ("L1",) and pins["K1.85"].through == ()
    assert not codes(THROUGH_A_LAMP) & {"never-live", "relay-never-pulls-in"}


def test_a_coil_with_plus_on_both_sides_pulls_in_while_one_of_them_is_off() -> None:
    """A heater of 1 ohm holds the coil's other side at ground until the switch puts plus there: 11 V on the coil."""
    circuit = vehicle(TO_GROUND_THROUGH_A_HEATER)
    assert live(circuit).energised["K1"].words == "may be"
    assert live(circuit, switches={"S1": "on"}).energised["K1"].words == "no"
    assert "relay-never-pulls-in" not in codes(TO_GROUND_THROUGH_A_HEATER)


def test_a_coil_between_two_fuses_of_one_battery_never_pulls_in() -> None:
    assert "relay-never-pulls-in" in codes(HEAD + "F1 -> K1.86\nK1.85 -> F3\nS1.2 -> SP9\nlamp L9\nSP9 -> L9 -> G1\n")


def test_a_lamp_that_only_a_coil_leads_to_is_not_called_dead() -> None:
    text = HEAD + "lamp L3\nF1 -> K1.86\nK1.85 -> SP6\nSP6 -> S1.2\nSP6 -> L3 -> G1\n"
    assert "never-live" not in codes(text)
