"""Fuse millivolts against published charts, and the limits of what a display of zero can hide."""

import pytest

from circuitmap.evidence.fuse_drop import (
    ESTIMATES,
    PUBLISHED,
    amps_through,
    cold_resistance,
    hidden_below,
    millivolts_at,
    of_any_style,
)


def resistance(style: str, rating: float):  # type: ignore[no-untyped-def]
    found = cold_resistance(style, rating)
    assert found is not None
    return found


@pytest.mark.parametrize(("style", "rating", "milliamps"), [("regular", 10, 130), ("mini", 15, 218)])
def test_one_millivolt_as_in_published_charts(style: str, rating: float, milliamps: float) -> None:
    """MACS Service Reports, June 2017; mvwautotechniek.nl, "Voltage drop over fuses"."""
    assert 1000 * amps_through(0.001, resistance(style, rating)) == pytest.approx(milliamps, abs=0.5)


@pytest.mark.parametrize(("rating", "milliamps"), [(5, 11), (10, 27), (15, 44), (20, 63), (30, 105)])
def test_what_0_0_millivolts_may_hide_on_a_mini(rating: float, milliamps: float) -> None:
    """Derived: two counts of 0.1 mV over the cold resistance."""
    assert 1000 * hidden_below(resistance("mini", rating)) == pytest.approx(milliamps, abs=0.5)


@pytest.mark.parametrize(
    ("rating", "milliamps"), [(5, 5.6), (10, 13), (15, 21), (20, 30), (25, 40), (30, 51), (40, 70)]
)
def test_what_a_tenth_of_a_millivolt_is(rating: float, milliamps: float) -> None:
    """Derived, regular style."""
    assert 1000 * amps_through(0.0001, resistance("regular", rating)) == pytest.approx(milliamps, rel=0.03)


@pytest.mark.parametrize("style", sorted(ESTIMATES))
def test_estimates_are_as_near_to_the_published_rows_as_they_say(style: str) -> None:
    factor, power, worst = ESTIMATES[style]
    residuals = [abs(factor * rating**power / value - 1) for rating, value in PUBLISHED[style].items()]
    assert max(residuals) == pytest.approx(worst, abs=0.002)


def test_an_estimate_is_called_one() -> None:
    assert resistance("mini", 20).is_estimate
    assert not resistance("mini", 10).is_estimate


@pytest.mark.parametrize("style", ["low", "two-tab", "three-tab", "cartridge", "bolted", "glass", "torpedo", ""])
def test_no_value_is_known_for_other_styles(style: str) -> None:
    assert cold_resistance(style, 10) is None


def test_no_rating_no_value() -> None:
    assert cold_resistance("mini", None) is None
    assert cold_resistance("mini", 100) is None


def test_the_sign_is_the_direction_and_back_again() -> None:
    fuse = resistance("regular", 10)
    assert amps_through(-0.0016, fuse) == pytest.approx(-0.2078, abs=1e-4)
    assert millivolts_at(amps_through(0.0016, fuse), fuse) == pytest.approx(1.6)


@pytest.mark.parametrize("rating", [3.0, 5.0, 10.0, 20.0, 30.0, 40.0])
def test_of_unknown_style_it_is_between_what_the_styles_have_and_surer_of_none(rating: float) -> None:
    known = [one for style in PUBLISHED if (one := cold_resistance(style, rating)) is not None]
    its = of_any_style(rating)
    assert its is not None and its.is_estimate
    assert min(one.milliohms for one in known) <= its.milliohms <= max(one.milliohms for one in known)
    assert all(abs(one.milliohms / its.milliohms - 1.0) < its.relative for one in known)
    assert its.relative > max(one.relative for one in known)


@pytest.mark.parametrize("rating", [None, 1.0, 80.0, 200.0])
def test_of_a_rating_that_one_style_has_at_the_most_nothing_is_known(rating: float | None) -> None:
    assert of_any_style(rating) is None
