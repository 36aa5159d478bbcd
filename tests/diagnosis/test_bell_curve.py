"""The areas against scipy, an independent library (tests only)."""

import numpy as np
from numpy.polynomial import chebyshev
from scipy.special import erfcx, ndtr

from circuitmap.diagnosis.weighing import bell_curve

EVERYWHERE = np.concatenate([np.linspace(-40.0, 40.0, 80_001), -np.logspace(1.5, 6, 500), np.logspace(1.5, 6, 500)])


def test_cdf_agrees_with_scipy() -> None:
    near = EVERYWHERE[np.abs(EVERYWHERE) < 37]
    np.testing.assert_allclose(bell_curve.cdf(near), ndtr(near), rtol=2e-11, atol=0)


def test_infinite_ends_are_the_whole_area_and_none() -> None:
    ends = np.array([-np.inf, np.inf])
    assert bell_curve.cdf(ends).tolist() == [0.0, 1.0]
    assert bell_curve.area_between(np.array([-np.inf]), np.array([np.inf])).tolist() == [1.0]


def test_a_narrow_strip_far_out_keeps_its_digits() -> None:
    low, high = np.array([8.0, -8.001, -0.5]), np.array([8.001, -8.0, 0.25])
    expected = np.array([ndtr(-8.0) - ndtr(-8.001), ndtr(-8.0) - ndtr(-8.001), ndtr(0.25) - ndtr(-0.5)])
    np.testing.assert_allclose(bell_curve.area_between(low, high), expected, rtol=1e-8)


def test_an_upside_down_strip_has_no_area() -> None:
    assert bell_curve.area_between(np.array([1.0]), np.array([-1.0])).tolist() == [0.0]


def test_two_points_alone_have_the_area_that_arrays_of_them_have() -> None:
    ends = [-np.inf, -1e9, -37.0, -8.001, -8.0, -0.5, 0.0, 0.25, 3.0, 8.0, 8.001, 36.0, 1e9, np.inf]
    pairs = [(low, high) for low in ends for high in ends if low <= high]
    expected = bell_curve.area_between(*np.array(pairs).T)
    found = [bell_curve.area_between_two(low, high) for low, high in pairs]
    np.testing.assert_allclose(found, expected, rtol=1e-7, atol=1e-300)


def test_the_coefficients_can_be_fitted_again_from_the_definition() -> None:
    pole = 3.75

    def smooth(t: np.ndarray) -> np.ndarray:
        x = pole * (1.0 + t) / (1.0 - t)
        return (1.0 + 2.0 * x) * erfcx(x)

    again = chebyshev.cheb2poly(chebyshev.chebinterpolate(smooth, 16))
    np.testing.assert_allclose(bell_curve._COEFFICIENTS, again, rtol=0, atol=1e-13)
