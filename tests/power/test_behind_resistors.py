"""A load behind resistors takes less than was typed of it, and that is said."""

import pytest

from circuitmap.power.behind_resistors import behind_resistors
from circuitmap.power.carried import carried
from circuitmap.power.classes import classes_of
from circuitmap.reports.live.live_text import live_text
from tests.power.vehicle import live, vehicle

CABIN = """
platform "Forest tractor" supply 12V
naming E* ground, F* fuse
battery B 12V
resistor SH 0.0005ohm
B.- -> SH -> E1
fuse F1 30A
motor FAN running 6A
resistor RA 1ohm, RB 0.5ohm
switch ST positions off, slow, mid, full closes 1 to S in slow closes 1 to M in mid closes 1 to H in full
B.+ -> F1 -> ST.1
ST.S -> RA -> ST.M
ST.M -> RB -> ST.H
ST.H -> FAN -> E1
"""


@pytest.mark.parametrize(("step", "resistors"), (("slow", ("RA", "RB")), ("mid", ("RB",)), ("full", ())))
def test_each_step_has_its_resistors(step: str, resistors: tuple[str, ...]) -> None:
    """By Ohm's law with the 6 A that are typed: 1 ohm takes 6 V of 12, 0.5 ohm 3 V; the shunt 3 mV, which is nothing."""
    circuit = vehicle(CABIN)
    powered = live(circuit, switches={"ST": step})
    assert set(behind_resistors(powered, "FAN")) == set(resistors)
    fuse = next(its for its in carried(powered, {}) if its.names == ("F1",))
    assert (fuse.parts, fuse.shared) == (((), ("FAN",)) if resistors else (("FAN",), ()))
    text = " ".join(live_text(powered, classes_of(circuit, {})).split())
    assert ("running 6 A, less here, behind" in text) == bool(resistors)
    assert ("F1 a share of FAN" in text) == bool(resistors)


def test_what_does_not_run_is_behind_nothing() -> None:
    assert behind_resistors(live(vehicle(CABIN)), "FAN") == ()


def test_a_resistor_in_the_ground_counts_as_well() -> None:
    text = CABIN.replace("ST.H -> FAN -> E1", "resistor RG 2ohm\nST.H -> FAN -> RG -> E1")
    assert behind_resistors(live(vehicle(text), switches={"ST": "full"}), "FAN") == ("RG",)
