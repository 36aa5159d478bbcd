"""One display, two currents: what a meter's resolution and its zero leave of an argument.

Our own worked case. A module asleep draws about 1 mA (median; sigma 1), awake about 150 mA (sigma .8).
"""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from circuitmap.diagnosis.weighing import reading_chance
from circuitmap.diagnosis.weighing.decibans import NATS_TO_DECIBANS, decibans
from circuitmap.diagnosis.weighing.log_normal import Spread, spread_of_moments
from circuitmap.diagnosis.weighing.reading_chance import Strip, chance_of, weigh

ASLEEP, AWAKE = Spread(0.001, 1.0), Spread(0.150, 0.8)
MEANS = np.array([ASLEEP.mean, AWAKE.mean])
VARIANCES = np.array([ASLEEP.variance, AWAKE.variance])

IN_SERIES = Strip(-0.005, 0.005)
GENERAL_CLAMP = Strip(-0.005, 0.005, blur=0.030)
LOW_CURRENT_CLAMP = Strip(-0.005, 0.005, blur=0.003)


def argument(strip: Strip, misread: float = 0.0) -> float:
    if misread == 0.0:
        asleep, awake = chance_of(strip, MEANS, VARIANCES)
        return decibans(asleep / awake)
    asleep, awake = weigh(strip, MEANS, VARIANCES, misread)
    return NATS_TO_DECIBANS * (asleep - awake)


def test_a_meter_in_series_that_shows_nothing() -> None:
    asleep, awake = chance_of(IN_SERIES, MEANS, VARIANCES)
    assert asleep == pytest.approx(0.946240, abs=5e-7)
    assert awake == pytest.approx(1.0617e-5, abs=5e-10)
    assert argument(IN_SERIES) == pytest.approx(49.5, abs=0.05)


def test_that_it_may_be_misread_takes_most_of_that_away() -> None:
    assert argument(IN_SERIES, misread=0.02) == pytest.approx(19.7, abs=0.05)


def test_a_general_clamp_says_far_less() -> None:
    asleep, awake = chance_of(GENERAL_CLAMP, MEANS, VARIANCES)
    assert asleep == pytest.approx(0.131863, abs=5e-7)
    assert awake == pytest.approx(0.0076013, abs=5e-8)
    assert argument(GENERAL_CLAMP) == pytest.approx(12.39, abs=0.005)
    assert argument(GENERAL_CLAMP, misread=0.02) == pytest.approx(9.02, abs=0.005)


def test_a_low_current_clamp_is_nearly_as_good_as_in_series() -> None:
    assert argument(LOW_CURRENT_CLAMP) == pytest.approx(40.65, abs=0.005)
    assert argument(LOW_CURRENT_CLAMP, misread=0.02) == pytest.approx(19.09, abs=0.005)


@pytest.mark.parametrize("seed", range(60))
def test_the_blurred_strip_agrees_with_scipys_quadrature(seed: int) -> None:
    rng = np.random.default_rng(seed)
    shown = rng.choice([0.0, 10 ** rng.uniform(-3, 0.5)])
    half, blur = 10 ** rng.uniform(-3.5, -1), 10 ** rng.uniform(-4, -0.8)
    current = Spread(10 ** rng.uniform(-4, 0.5), rng.uniform(0.25, 2.2))
    strip = Strip(shown - half, shown + half, blur=blur)

    def integrand(x: float) -> float:
        amps = np.exp(x)
        seen = norm.cdf((strip.highest - amps) / blur) - norm.cdf((strip.lowest - amps) / blur)
        return float(norm.pdf(x, np.log(current.median), current.sigma) * seen)

    middle, reach = np.log(current.median), 8.5 * current.sigma
    ends = [strip.lowest - 5 * blur, strip.lowest, strip.highest, strip.highest + 5 * blur]
    edges = np.log(np.clip(ends, 1e-12, None))
    points = sorted({float(e) for e in edges if abs(e - middle) < reach} | {float(middle)})
    expected = sum(
        quad(integrand, a, b, limit=200)[0]
        for a, b in zip([middle - reach, *points], [*points, middle + reach], strict=True)
    )
    ours = chance_of(strip, np.array([current.mean]), np.array([current.variance]))[0]
    assert ours == pytest.approx(expected, rel=2e-3, abs=1e-8)


def test_an_empty_fuse_is_exactly_nothing() -> None:
    nothing = np.array([0.0])
    assert chance_of(IN_SERIES, nothing, nothing)[0] == 1.0
    assert chance_of(Strip(0.1, 0.2), nothing, nothing)[0] == 0.0
    assert chance_of(GENERAL_CLAMP, nothing, nothing)[0] == pytest.approx(norm.cdf(1 / 6) - norm.cdf(-1 / 6))


def test_draws_is_everything_above_what_the_meter_hides() -> None:
    draws = Strip(0.02, np.inf)
    asleep, awake = chance_of(draws, MEANS, VARIANCES)
    assert asleep == pytest.approx(norm.sf(np.log(20.0)))
    assert awake == pytest.approx(norm.sf(np.log(20.0 / 150.0) / 0.8))


def test_sums_match_two_moments_and_a_simulation() -> None:
    """ln 110 and ln 100 with sigma .25 and .15: mu 5.3575, sigma .151; drawn at random 5.3576, .1497."""
    parts = (Spread(110.0, 0.25), Spread(100.0, 0.15))
    together = spread_of_moments(sum(part.mean for part in parts), sum(part.variance for part in parts))
    assert np.log(together.median) == pytest.approx(5.3575, abs=5e-5)
    assert together.sigma == pytest.approx(0.151, abs=5e-4)
    rng = np.random.default_rng(20)
    drawn = np.log(sum(rng.lognormal(np.log(p.median), p.sigma, 400_000) for p in parts))
    assert np.mean(drawn) == pytest.approx(5.3576, abs=1e-3)
    assert np.std(drawn) == pytest.approx(0.1497, abs=1e-3)
    back = spread_of_moments(together.mean, together.variance)
    assert (back.median, back.sigma) == pytest.approx((together.median, together.sigma))


@pytest.mark.parametrize(("factor", "dB"), [(2.0, 3.01), (10.0, 10.0)])
def test_weight_of_evidence(factor: float, dB: float) -> None:
    """I. J. Good, "Weight of evidence: a brief survey" (1985): ten times the decimal logarithm of the factor."""
    assert decibans(factor) == pytest.approx(dB, abs=0.005)


@pytest.mark.parametrize("strip", [IN_SERIES, Strip(0.455, 0.465), Strip(0.1, 0.102, blur=0.01), Strip(0.02, np.inf)])
def test_one_reading_never_says_more_than_30_decibans(strip: Strip) -> None:
    medians, sigmas = np.meshgrid(np.logspace(-6, 2, 200), np.linspace(0.25, 2.5, 12))
    means = medians * np.exp(sigmas**2 / 2)
    said = weigh(strip, means.reshape(-1), (means**2 * np.expm1(sigmas**2)).reshape(-1))
    assert np.isfinite(said).all()
    assert NATS_TO_DECIBANS * np.ptp(said) < 30.0


def test_the_nodes_and_weights_are_those_of_gauss_and_legendre() -> None:
    """Against numpy's own, which the program does not import for eight numbers."""
    nodes, weights = np.polynomial.legendre.leggauss(8)
    np.testing.assert_allclose(reading_chance._NODES, nodes, rtol=1e-14)
    np.testing.assert_allclose(reading_chance._WEIGHTS, weights, rtol=1e-14)
