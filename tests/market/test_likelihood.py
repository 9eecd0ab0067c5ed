"""The likelihood of figures, intervals and bounds: by hand, against finite differences, in the far tails, and what it refuses."""

import hypothesis.strategies as st
import numpy as np
import pytest
from evidence import between, figures
from hypothesis import given, settings
from scipy import stats

from buildecon.market.likelihood import Rows, cumulative, log_density, row_terms

steadily = settings(deadline=None, derandomize=True)
freedoms = st.sampled_from([np.inf, 4.0, 2.5, 7.0])
ONE = np.ones((1, 1))
KINDS = {"figure": (0.0, 0.0), "interval": (-0.1, 0.3), "narrow": (0.0, 0.01), "bound from below": (0.0, np.inf), "bound from above": (-np.inf, 0.0)}


def terms(low, high, mu, sigma, freedom=np.inf, spread=0.0, weight=1.0):
    """The four terms of one row."""
    return [float(values[0]) for values in row_terms(between([low], [high], ONE, spread, weight), np.array([float(mu)]), sigma, freedom)]


# row_terms


def test_a_figure_and_a_bound_by_hand():
    # z = (1.2 - 1) / 0.2 = 1: -1/2 - log(2 pi)/2 - log 0.2 = -0.5 - 0.9189385 + 1.6094379; slope z / s = 5; bend 1 / s^2 = 25; by log s z^2 - 1 = 0.
    np.testing.assert_allclose(terms(1.2, 1.2, 1, 0.2), [0.1904994, 5, 25, 0], atol=1e-7)
    # A bound at the middle: log 1/2, slope -phi(0) / (s / 2) = -2 x 0.3989423 / 0.2, bend its square, nothing by log s.
    np.testing.assert_allclose(terms(-np.inf, 1, 1, 0.2), [-0.6931472, -3.9894228, 15.9154943, 0], atol=1e-7)
    # A spread of its own: s^2 = 0.3^2 + 0.4^2 = 0.5^2; z = 1; by log sigma (z^2 - 1) sigma^2 / s^2 = 0, at z = 2 3 x 0.09 / 0.25 = 1.08.
    np.testing.assert_allclose(terms(1.5, 1.5, 1, 0.3, spread=0.4), [-0.5 - 0.9189385 + 0.6931472, 2, 4, 0], atol=1e-7)
    assert terms(2, 2, 1, 0.3, spread=0.4)[3] == pytest.approx(1.08)
    # Student-t with 4 degrees at z = 1, s = 1: density 3/8 x (5/4)^(-5/2); slope 5 z / (4 + z^2) = 1; expected bend 5/7; by log s z x 1 - 1 = 0.
    np.testing.assert_allclose(terms(1, 1, 0, 1, 4.0), [np.log(0.375 * 1.25**-2.5), 1, 5 / 7, 0], atol=1e-12)


@steadily
@given(st.sampled_from(sorted(KINDS)), st.floats(-8, 8), st.floats(0.05, 2), st.floats(0, 0.5), st.floats(0, 3), freedoms)
def test_the_log_likelihood_is_that_of_the_standard_distributions(kind, mu, sigma, spread, weight, freedom):
    low, high = KINDS[kind]
    scale = np.hypot(sigma, spread)
    error = stats.norm(mu, scale) if np.isinf(freedom) else stats.t(freedom, mu, scale)
    mass = error.sf(low) - error.sf(high) if low > mu else error.cdf(high) - error.cdf(low)
    if low != high and mass < 1e-200:
        return
    wanted = error.logpdf(low) if low == high else np.log(mass)
    assert terms(low, high, mu, sigma, freedom, spread, weight)[0] == pytest.approx(weight * wanted, rel=1e-9, abs=1e-9)


@steadily
@given(st.sampled_from(sorted(KINDS)), st.floats(-30, 30), st.floats(0.05, 2), st.floats(0, 0.5), st.floats(0.1, 3), freedoms)
def test_the_derivatives_are_those_of_finite_differences(kind, z, sigma, spread, weight, freedom):
    low, high = KINDS[kind]
    mu, step = z * np.hypot(sigma, spread), 1e-5 * sigma
    at = lambda mu, sigma: terms(low, high, mu, sigma, freedom, spread, weight)
    found, up, down = at(mu, sigma), at(mu + step, sigma), at(mu - step, sigma)
    wide, thin = at(mu, sigma * np.exp(1e-5)), at(mu, sigma * np.exp(-1e-5))
    assert np.all(np.isfinite(found))
    size = weight / np.hypot(sigma, spread)
    assert found[1] == pytest.approx((up[0] - down[0]) / (2 * step), rel=1e-4, abs=1e-4 * size)
    assert found[3] == pytest.approx((wide[0] - thin[0]) / 2e-5, rel=1e-4, abs=1e-4 * weight)
    bend = -(up[1] - down[1]) / (2 * step)
    if np.isinf(freedom):
        assert found[2] == pytest.approx(bend, rel=2e-3, abs=2e-3 * size / np.hypot(sigma, spread))
        assert found[2] >= 0
    elif kind == "figure":
        assert found[2] == pytest.approx(weight * (freedom + 1) / (freedom + 3) / (sigma**2 + spread**2), rel=1e-12)  # the expected one, above 0 everywhere
    else:
        assert found[2] == pytest.approx(bend, rel=2e-3, abs=2e-3 * size / np.hypot(sigma, spread)) or found[2] > 0 > bend - 2e-3 * weight / (
            sigma**2 + spread**2
        )


@pytest.mark.parametrize("freedom", [np.inf, 4.0, 7.0])
@pytest.mark.parametrize("z", [8.0, 30.0, 100.0, 1000.0])
def test_the_far_tails_stay_finite_and_alike_on_both_sides(z, freedom):
    for low, high in ((-np.inf, -z), (-z - 0.3, -z), (-z, -z)):
        left, right = terms(low, high, 0, 1, freedom), terms(-high, -low, 0, 1, freedom)
        assert np.all(np.isfinite(left))
        np.testing.assert_allclose(left, np.array(right) * [1, -1, 1, 1], rtol=1e-12)
        if np.isinf(freedom) and low != high:  # the tail of the normal: log likelihood near -z^2 / 2, slope near z, bend between 0 and 1
            assert left[0] == pytest.approx(-0.5 * z**2 - np.log(z) - 0.918938, abs=0.15)
            assert abs(left[1]) == pytest.approx(z, rel=0.02)
            assert 0.9 < left[2] <= 1 + 1e-4


@steadily
@given(st.floats(-5, 5), freedoms)
def test_a_narrow_interval_is_a_figure_times_its_width(mu, freedom):
    figure = terms(0, 0, mu, 0.5, freedom)
    for width in (1e-4, 1e-6):
        interval = terms(-width / 2, width / 2, mu, 0.5, freedom)
        assert interval[0] - np.log(width) == pytest.approx(figure[0], abs=1e-6)
        np.testing.assert_allclose([interval[1], interval[3]], [figure[1], figure[3]], rtol=1e-5, atol=1e-5)
    assert terms(0, 1e-12, mu, 0.5, freedom) == figure  # so narrow that it is taken for one


def test_an_interval_without_ends_says_nothing():
    assert terms(-np.inf, np.inf, 3, 0.2)[:4] == [0, 0, 0, 0]
    assert terms(-np.inf, np.inf, 3, 0.2, 4.0)[0] == 0


def test_many_middles_and_spreads_at_once_are_one_each():
    low, high = np.array([0.1, -np.inf, -0.4, 0.2]), np.array([0.1, 0.3, 0.1, np.inf])
    rows, rng = between(low, high, np.ones((4, 1)), [0, 0.1, 0.2, 0], [1, 0.5, 2, 1]), np.random.default_rng(1)
    mu, sigma = rng.normal(size=(3, 2, 4)), rng.uniform(0.1, 1, (3, 1))
    for freedom in (np.inf, 4.0):
        together = row_terms(rows, mu, np.broadcast_to(sigma, (3, 2)), freedom)
        for i, j in np.ndindex(3, 2):
            np.testing.assert_allclose([values[i, j] for values in together], row_terms(rows, mu[i, j], sigma[i, 0], freedom), rtol=1e-13)


# log_density, cumulative


@steadily
@given(st.floats(-50, 50), freedoms)
def test_density_and_chance_are_those_of_the_standard_distributions(z, freedom):
    error = stats.norm() if np.isinf(freedom) else stats.t(freedom)
    assert log_density(np.array(z), freedom) == pytest.approx(error.logpdf(z), rel=1e-12)
    assert cumulative(np.array(z), freedom) == pytest.approx(error.cdf(z), rel=1e-9, abs=1e-15)


# Rows


def test_a_row_less_and_which_rows_are_figures():
    rows = between([1, -np.inf, 2, 0], [1, 3, 2 + 1e-12, 1], np.arange(8).reshape(4, 2), [0.1, 0.2, 0.3, 0.4], [1, 2, 3, 4])
    assert list(rows.exact) == [True, False, True, False]
    less = rows.without(1)
    assert list(less.low) == [1, 2, 0] and list(less.high) == [1, 2 + 1e-12, 1]
    assert list(less.spread) == [0.1, 0.3, 0.4] and list(less.weight) == [1, 3, 4]
    assert less.x.tolist() == [[0, 1], [4, 5], [6, 7]]


NAN = np.nan


@pytest.mark.parametrize(
    ("low", "high", "spread", "weight", "x", "said"),
    [
        ([2], [1], [0], [1], ONE, "low must be at most high in every row, and neither may be NaN."),
        ([NAN], [1], [0], [1], ONE, "low must be at most high in every row, and neither may be NaN."),
        ([1], [NAN], [0], [1], ONE, "low must be at most high in every row, and neither may be NaN."),
        ([np.inf], [np.inf], [0], [1], ONE, "low must be below infinity and high above minus infinity in every row."),
        ([-np.inf], [-np.inf], [0], [1], ONE, "low must be below infinity and high above minus infinity in every row."),
        ([1], [1], [-0.1], [1], ONE, "spread and weight must be at least 0 and finite in every row."),
        ([1], [1], [NAN], [1], ONE, "spread and weight must be at least 0 and finite in every row."),
        ([1], [1], [0], [-1], ONE, "spread and weight must be at least 0 and finite in every row."),
        ([1], [1], [0], [np.inf], ONE, "spread and weight must be at least 0 and finite in every row."),
        ([1], [1], [0], [1], [[NAN]], "x must be finite in every row."),
        ([1], [1], [0], [1], [[np.inf]], "x must be finite in every row."),
        ([1, 2], [1], [0], [1], ONE, "low, high, spread, weight and x must have one entry a row, got [2, 1, 1, 1, 1]."),
        ([1], [1], [0], [1], [1], "low, high, spread, weight and x must have one entry a row, got [1, 1, 1, 1, 1]."),
    ],
)
def test_rows_that_make_no_sense_are_refused(low, high, spread, weight, x, said):
    with pytest.raises(ValueError) as refused:
        Rows(low, high, spread, weight, x)
    assert str(refused.value) == said


def test_what_was_given_is_not_written_to():
    y, x = np.array([1.0, 2]), np.ones((2, 1))
    row_terms(figures(y, x), np.zeros(2), 0.2)
    assert list(y) == [1, 2] and x.tolist() == [[1], [1]]
