"""What the vehicle should draw asleep, and how much of it is assumed."""

import pytest

from circuitmap.power.expected import expected_draw
from circuitmap.power.typical import ASLEEP_SEEN, MODULE_ASLEEP, RELAY_COIL, at_voltage
from circuitmap.quantities import Band
from tests.power.vehicle import vehicle

TEXT = """
platform "Made up" supply {volts}V limit 50mA
naming G* ground
option TOW
battery BAT 60Ah
key IGN positions off, run closes 30 to 15 in run
fuse F1 10A
relay K make
module A supply 1 ground 2 asleep 3mA..5mA
module B supply 1 ground 2
module T supply 1 ground 2 asleep 4mA if TOW
module SLEEPLESS supply 1 ground 2 wake 3 asleep 2mA awake 200mA
module RUN supply 1 ground 2 asleep 9mA
socket SOCK
lamp CLOCKL running 20mA
BAT.- -> G1
BAT.+ -> F1
BAT.+ -> IGN.30
F1 -> A.1
F1 -> B.1
F1 -> T.1
F1 -> SLEEPLESS.1
F1 -> SLEEPLESS.3
IGN.15 -> RUN.1
A.2 -> G1
B.2 -> G1
T.2 -> G1
SLEEPLESS.2 -> G1
RUN.2 -> G1
F1 -> SOCK -> G1
F1 -> CLOCKL -> G1
F1 -> K.86
K.85 -> G1
"""


def test_part_by_part() -> None:
    expected = expected_draw(vehicle(TEXT.format(volts=12)), {})
    draws = {its.part: (its.amps, its.assumed, its.surely) for its in expected.draws}
    assert draws == {
        "SLEEPLESS": (Band(0.2, 0.2), False, True),
        "K": (RELAY_COIL.amps, True, True),
        "CLOCKL": (Band(0.02, 0.02), False, True),
        "A": (Band(0.003, 0.005), False, True),
        "B": (MODULE_ASLEEP.amps, True, True),
        "T": (Band(0.0, 0.004), False, False),
    }
    assert next(iter(draws)) == "SLEEPLESS"
    assert expected.limit == 0.05
    assert expected.assumed_parts == ("K", "B")
    assert [its.part for its in expected.perhaps] == ["T"]


def test_the_total_is_the_sum_of_what_surely_draws() -> None:
    expected = expected_draw(vehicle(TEXT.format(volts=12)), {"TOW": True})
    assert expected.total.low == pytest.approx(0.2 + 0.09 + 0.02 + 0.003 + 0.0004 + 0.004)
    assert expected.total.high == pytest.approx(0.2 + 0.2 + 0.02 + 0.005 + 0.007 + 0.004)
    assert expected.transcribed == pytest.approx((0.227, 0.229))
    without = expected_draw(vehicle(TEXT.format(volts=12)), {"TOW": False})
    assert without.perhaps == ()


def test_a_coil_of_the_same_power_takes_half_at_24_volts() -> None:
    draws = {its.part: its for its in expected_draw(vehicle(TEXT.format(volts=24)), {}).draws}
    assert draws["K"].amps == pytest.approx((0.045, 0.1))
    assert draws["K"].typical is not None
    assert draws["K"].typical.mark == "derived"
    assert draws["CLOCKL"].amps == Band(0.02, 0.02), "a transcribed value stays as it is"


def test_the_range_by_kind_is_that_of_the_list_it_was_derived_from() -> None:
    """Source: the workshop texts of the reference list (seen)."""
    assert MODULE_ASLEEP.amps == Band(0.0004, 0.007)
    assert all(MODULE_ASLEEP.amps.low <= its.amps.low <= its.amps.high <= 0.007 for _, its in ASLEEP_SEEN)
    assert at_voltage(MODULE_ASLEEP, 12.0) is MODULE_ASLEEP


def test_a_current_typed_by_pin_counts_where_that_pin_is_live() -> None:
    """A controller with a memory pin before the main switch and its supply behind it."""
    circuit = vehicle(
        """
platform "By pin"
battery BAT
switch MAIN positions off, on closes 1 to 2 in on
module M supply 1, 2 ground 3 asleep 2mA on 1, 1mA on 2
BAT.-, M.3 -> case
BAT.+ -> M.2, MAIN.1
MAIN.2 -> M.1
"""
    )
    assert expected_draw(circuit, {}).total == Band(0.001, 0.001)
    both = vehicle(
        'platform "t"\nbattery BAT\nmodule M supply 1, 2 ground 3 asleep 2mA on 1, 1mA on 2\n'
        "BAT.-, M.3 -> case\nBAT.+ -> M.1, M.2"
    )
    assert expected_draw(both, {}).total == Band(0.003, 0.003)
