"""Battery arithmetic against published pairs and tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitmap.battery.capacity import cold_factor, rated_at_exponent, rated_from_reserve
from circuitmap.battery.charge import state_of_charge
from circuitmap.battery.parked_time import (
    Enough,
    ParkedBattery,
    Usable,
    draw_that_explains,
    enough_for,
    hours_to_no_start,
    usable_charge,
)
from circuitmap.quantities import Band


# Source: a published table of typical Peukert exponents from 20 h rating and reserve minutes, deep-cycle types (seen).
@pytest.mark.parametrize(
    ("reserve", "rated", "exponent"),
    [(130, 70, 1.13), (167, 86, 1.12), (135, 85, 1.23), (160, 105, 1.28), (225, 130, 1.24), (450, 216, 1.17)],
)
def test_the_rating_of_published_pairs(reserve: float, rated: float, exponent: float) -> None:
    """The exponents are rounded to .01, which moves a rating by up to 2 in 100."""
    assert rated_at_exponent(reserve, exponent) == pytest.approx(rated, rel=0.02)


# Same table: the rating worked out from the reserve must enclose the published rating, type by type exponent.
@pytest.mark.parametrize(("reserve", "rated"), [(135, 85), (160, 105), (225, 130)])
def test_a_rating_from_reserve_encloses_the_published_one(reserve: float, rated: float) -> None:
    band = rated_from_reserve(reserve, "flooded")
    assert band.low <= rated <= band.high


# Source: a state-of-charge table giving BCI as its source, 26.7 C, rested (seen).
@pytest.mark.parametrize(
    ("volts", "charge"), [(12.65, 1.0), (12.45, 0.75), (12.24, 0.5), (12.06, 0.25), (11.89, 0.0), (13.1, 1.0), (9, 0)]
)
def test_volts_at_rest_of_a_flooded_battery(volts: float, charge: float) -> None:
    assert state_of_charge(volts, "flooded") == pytest.approx((charge, charge))


# Source: published AGM bands (seen).
@pytest.mark.parametrize(
    ("volts", "charge"),
    [(12.9, (1, 1)), (12.7, (0.75, 1.0)), (12.5, (0.5, 0.75)), (12.1, (0.25, 0.5)), (11.5, (0, 0.25)), (13.4, (1, 1))],
)
def test_volts_at_rest_of_an_agm_battery(volts: float, charge: tuple[float, float]) -> None:
    assert state_of_charge(volts, "agm") == charge


def test_volts_of_a_lithium_battery_say_nothing() -> None:
    assert state_of_charge(13.2, "lithium") is None


# Days from full to half, no self-discharge (derived: 0.5 x Ah / A / 24).
@pytest.mark.parametrize(
    ("rated", "amps", "days"),
    [(60, 0.05, 25), (60, 0.1, 12.5), (60, 0.5, 2.5), (60, 1.0, 1.25), (80, 0.05, 33.3), (80, 0.1, 16.7),
     (80, 0.5, 3.33), (80, 1.0, 1.67)],
)  # fmt: skip
def test_days_from_full_to_half(rated: float, amps: float, days: float) -> None:
    usable = usable_charge(ParkedBattery(rated=Band(rated, rated), charge=Band(1.0, 1.0)))
    assert usable is not None
    hours = hours_to_no_start(usable, Band(amps, amps))
    assert hours is not None
    assert hours.low / 24 == hours.high / 24 == pytest.approx(days, rel=0.01)


def test_cold_takes_capacity() -> None:
    assert cold_factor(0.0) == Band(0.8, 0.8)
    assert cold_factor(-18.0) == Band(0.4, 0.5)
    assert cold_factor(-30.0) == Band(0.4, 0.5)
    assert cold_factor(40.0) == Band(1.0, 1.0)


def test_what_is_not_known_is_said() -> None:
    usable = usable_charge(ParkedBattery(rated=Band(72, 72), worn=True, celsius=-5.0))
    assert usable is not None
    text = " ".join(usable.assumed)
    assert "not measured" in text and "in frost" in text and "age" in text
    assert usable_charge(ParkedBattery()) is None


def test_a_draw_is_held_against_the_complaint() -> None:
    usable = Usable(ampere_hours=Band(15.0, 25.0), assumed=())
    two_days = Band(40.0, 56.0)
    assert draw_that_explains(usable, two_days) == pytest.approx((15 / 56, 25 / 40))
    assert enough_for(usable, Band(0.05, 0.07), two_days) is Enough.TOO_LITTLE
    assert enough_for(usable, Band(0.0, 0.5), two_days) is Enough.PERHAPS  # a coarse clamp at a sound car
    assert enough_for(usable, Band(0.4, 0.5), two_days) is Enough.ENOUGH
    assert enough_for(usable, Band(2.0, 2.1), two_days) is Enough.MORE_THAN_ENOUGH


@given(st.floats(1, 400), st.floats(0, 1), st.floats(-40, 50), st.booleans(), st.floats(0.001, 50))
def test_more_draw_never_stands_longer(rated: float, charge: float, celsius: float, worn: bool, amps: float) -> None:
    usable = usable_charge(
        ParkedBattery(rated=Band(rated, rated), charge=Band(charge, charge), celsius=celsius, worn=worn)
    )
    assert usable is not None and 0 <= usable.ampere_hours.low <= usable.ampere_hours.high <= rated
    less, more = hours_to_no_start(usable, Band(amps, amps)), hours_to_no_start(usable, Band(2 * amps, 2 * amps))
    assert less is not None and more is not None
    assert more.low <= less.low and more.high <= less.high
