"""The value model by hand, what must hold for any evidence, and how it stands up to little, odd or contradictory evidence."""

import hypothesis.strategies as st
import numpy as np
import pytest
from evidence import FOUR, believed_cars, between, figures, flat, made_up
from hypothesis import given, settings
from scipy import special, stats

from buildecon.market.likelihood import Rows
from buildecon.market.valuation import SPREAD, SPREAD_SD, Fit, Prior, fitted, likeliest

steadily = settings(deadline=None, derandomize=True, max_examples=25)
SHARES = np.array([0.05, 0.1, 0.5, 0.9, 0.95])
LEVEL = Prior([np.log(40e3)], [0.7])
CAR = np.array([1.0, 2, -2, 1])
NONE = np.inf


def level(low, high=None, spread=0.0, weight=1.0):
    """Rows of which nothing is known but the figure."""
    low = np.log(np.asarray(low, dtype=float))
    return between(low, low if high is None else np.log(np.asarray(high, dtype=float)), np.ones((len(low), 1)), spread, weight)


def mixed(n, seed):
    """Half figures, and intervals and bounds."""
    y, x = made_up(n, seed)
    low, high = y.copy(), y.copy()
    low[1::4] -= 0.2
    high[3::4] = np.inf
    return between(low, high, x, np.where(np.arange(n) % 3 == 2, 0.08, 0))


def same(first, second, **tolerance):
    """Whether two fits say the same of one car and of the line."""
    for line in (False, True):
        np.testing.assert_allclose(
            first.quantiles(CAR[: first.beta.shape[1]], SHARES, line), second.quantiles(CAR[: first.beta.shape[1]], SHARES, line), **tolerance
        )


# fitted, by hand


def test_one_sale_by_hand_where_the_spread_is_known():
    # Belief log 10 000 +- 0.3, one sale of 14 000, spread 0.4: precisions 1/0.09 and 1/0.16, so the belief keeps 0.16 / 0.25 = 0.64 of the weight.
    fit = fitted(level([14e3]), Prior([np.log(10e3)], [0.3], spread=0.4, spread_sd=1e-6))
    assert fit.mean[0] == pytest.approx(np.log(10e3) + 0.36 * np.log(1.4), abs=1e-9)
    assert fit.covariance[0, 0] == pytest.approx(0.09 * 0.64, abs=1e-9)
    assert fit.prior_share[0] == pytest.approx(0.64, abs=1e-9)
    assert fit.spread == pytest.approx(0.4, abs=1e-5)
    assert fit.leverage([1]) == pytest.approx(0.09 * 0.64 / 0.16, abs=1e-5)
    # One car lies 1.2815516 sds of sqrt(0.0576 + 0.16) = 0.4664762 around it four times out of five, the line of 0.24.
    assert fit.quantiles([1], [0.9])[0] == pytest.approx(fit.mean[0] + 1.2815516 * 0.4664762, abs=1e-6)
    assert fit.quantiles([1], [0.1], line=True)[0] == pytest.approx(fit.mean[0] - 1.2815516 * 0.24, abs=1e-6)
    assert fit.chance_above([1], [fit.mean[0] + 0.4664762])[0] == pytest.approx(0.1586553, abs=1e-6)


def test_a_margin_makes_a_row_count_less_by_hand():
    # A spread of 0.3 of its own on top of 0.4: 0.25 in all; the belief keeps 0.25 / (0.25 + 0.09) of the weight.
    fit = fitted(level([14e3], spread=0.3), Prior([np.log(10e3)], [0.3], spread=0.4, spread_sd=1e-6))
    assert fit.prior_share[0] == pytest.approx(0.25 / 0.34, abs=1e-9)


def test_two_bounds_by_hand_where_the_spread_is_known():
    # A belief without end to speak of, one price above 0 and one below 0: the level is as likely above as below.
    fit = fitted(between([0, -NONE], [NONE, 0], np.ones((2, 1))), Prior([0], [50], spread=0.4, spread_sd=1e-6))
    assert fit.mean[0] == pytest.approx(0, abs=0.01)
    assert fit.chance_above([1], [0.0])[0] == pytest.approx(0.5, abs=0.01)


# properties


@pytest.mark.parametrize("odd", [False, True])
def test_no_rows_is_the_belief(odd):
    nodes, node_weight = np.polynomial.hermite_e.hermegauss(80)
    share, sigma = node_weight / node_weight.sum(), SPREAD * np.exp(SPREAD_SD * nodes)
    fit = fitted(figures(np.zeros(0), np.zeros((0, 4))), FOUR, odd)
    error = stats.t(4) if odd else stats.norm()
    middle, wide = FOUR.mean @ CAR, np.sqrt(CAR**2 @ FOUR.sd**2)
    if not odd:
        at = fit.quantiles(CAR, SHARES)
        np.testing.assert_allclose([share @ error.cdf((q - middle) / np.sqrt(wide**2 + sigma**2)) for q in at], SHARES, atol=1e-7)
    np.testing.assert_allclose(fit.quantiles(CAR, SHARES, line=True), middle + wide * special.ndtri(SHARES), atol=0.05 if odd else 1e-7)
    np.testing.assert_allclose(fit.mean, FOUR.mean, atol=0.02 if odd else 1e-12)
    np.testing.assert_allclose(fit.prior_share, 1, atol=0.04 if odd else 1e-9)
    assert fit.spread == pytest.approx(SPREAD, rel=0.01)


@steadily
@given(st.integers(1, 20), st.integers(0, 99), st.booleans(), st.booleans())
def test_the_order_of_rows_does_not_matter_and_the_same_rows_give_the_same_bits(n, seed, bounds, odd):
    rows = mixed(n, seed) if bounds else figures(*made_up(n, seed))
    order = np.random.default_rng(seed).permutation(n)
    turned = Rows(rows.low[order], rows.high[order], rows.spread[order], rows.weight[order], rows.x[order])
    first, again = fitted(rows, FOUR, odd), fitted(rows, FOUR, odd)
    assert first.quantiles(CAR, SHARES).tobytes() == again.quantiles(CAR, SHARES).tobytes()
    assert np.all(np.diff(first.quantiles(CAR, SHARES)) > 0)
    same(first, fitted(turned, FOUR, odd), rtol=0, atol=1e-7 if bounds or odd else 1e-11)


@steadily
@given(st.integers(0, 15), st.integers(0, 99), st.booleans(), st.booleans(), st.floats(-8, 20))
def test_other_money_moves_every_range_by_its_rate(n, seed, bounds, odd, log_rate):
    rows = mixed(n, seed) if bounds else figures(*made_up(n, seed))
    moved = Rows(rows.low + log_rate, rows.high + log_rate, rows.spread, rows.weight, rows.x)
    believed = Prior(FOUR.mean + [log_rate, 0, 0, 0], FOUR.sd)
    first, second = fitted(rows, FOUR, odd), fitted(moved, believed, odd)
    for line in (False, True):
        np.testing.assert_allclose(second.quantiles(CAR, SHARES, line) - log_rate, first.quantiles(CAR, SHARES, line), rtol=0, atol=1e-6)
    np.testing.assert_allclose(second.chance_above(CAR, [9 + log_rate]), first.chance_above(CAR, [9]), atol=1e-6)


@steadily
@given(st.integers(1, 15), st.integers(0, 99), st.booleans(), st.booleans())
def test_a_row_without_weight_is_no_row(n, seed, bounds, odd):
    rows = mixed(n, seed) if bounds else figures(*made_up(n, seed))
    i = seed % n
    weight = np.where(np.arange(n) == i, 0.0, 1.0)
    left = rows.without(i)
    if not odd and left.exact.all() != rows.exact.all():
        return  # the one is worked out by points and the other in closed form: alike only as test_valuation_by_force.py has it
    same(fitted(Rows(rows.low, rows.high, rows.spread, weight, rows.x), FOUR, odd), fitted(left, FOUR, odd), rtol=0, atol=1e-7)


def test_twice_the_weight_is_the_row_twice():
    y, x = made_up(8, 5)
    doubled = fitted(figures(np.append(y, y[2]), np.vstack([x, x[2]])), FOUR)
    same(fitted(figures(y, x, weight=np.where(np.arange(8) == 2, 2.0, 1.0)), FOUR), doubled, rtol=0, atol=1e-10)


@steadily
@given(st.integers(2, 15), st.integers(0, 99), st.booleans())
def test_an_interval_without_ends_is_no_row(n, seed, odd):
    rows = mixed(n, seed)
    wider = Rows(np.append(rows.low, -NONE), np.append(rows.high, NONE), np.append(rows.spread, 0), np.append(rows.weight, 1), np.vstack([rows.x, CAR]))
    # With t errors the points are drawn from a shape that the empty row narrows a little.
    same(fitted(wider, FOUR, odd), fitted(rows, FOUR, odd), rtol=0, atol=0.03 if odd else 1e-7)


@pytest.mark.parametrize("width", [1e-12, 1e-6, 1e-3])
def test_an_interval_that_narrows_becomes_a_figure(width):
    y, x = made_up(10, 7)
    exact, interval = fitted(figures(y, x), FOUR), fitted(between(y - width / 2, y + width / 2, x), FOUR)
    same(exact, interval, rtol=0, atol=1e-9 if width == 1e-12 else 0.02)
    np.testing.assert_allclose(interval.mean, exact.mean, atol=0.05 * np.sqrt(np.diag(exact.covariance)).min())


@steadily
@given(st.integers(0, 20), st.integers(0, 99), st.booleans(), st.booleans(), st.lists(st.floats(7, 12), min_size=1, max_size=4))
def test_chances_turn_quantiles_round(n, seed, bounds, odd, prices):
    fit = fitted(mixed(n, seed) if bounds else figures(*made_up(n, seed)), FOUR, odd)
    np.testing.assert_allclose(fit.chance_above(CAR, fit.quantiles(CAR, SHARES)), 1 - SHARES, atol=1e-9)
    np.testing.assert_allclose(fit.chance_above(CAR, fit.quantiles(CAR, SHARES, line=True), line=True), 1 - SHARES, atol=0.03)
    chances = fit.chance_above(CAR, np.sort(prices))
    assert np.all(np.diff(chances) <= 1e-12) and np.all((chances >= -1e-12) & (chances <= 1 + 1e-12))
    assert fit.share.sum() == pytest.approx(1)


def test_evidence_narrows_the_range_on_average_and_beliefs_give_way_to_it():
    sizes = (0, 3, 8, 25)
    fits = [[fitted(figures(*made_up(n, seed)), FOUR) for seed in range(40)] for n in sizes]
    widths = [np.mean([np.diff(fit.quantiles(CAR, [0.1, 0.9])) for fit in some]) for some in fits]
    shares = [np.mean([fit.prior_share for fit in some], axis=0) for some in fits]
    assert np.all(np.diff(widths) < 0)
    assert np.all(np.diff(shares, axis=0) < 0)


def test_all_that_is_not_known_is_in_the_range_not_only_the_best_fit():
    # Six rows, four columns: the range is far wider than 2 x 1.28 spreads of the best fit would make it.
    y, x = made_up(6, 3)
    _, sigma, _, _ = likeliest(figures(y, x))
    assert np.diff(fitted(figures(y, x), FOUR).quantiles(CAR, [0.1, 0.9]))[0] > 2 * 2.563 * sigma


# few, one-sided, contradictory, collinear, far off


@pytest.mark.parametrize("odd", [False, True])
@pytest.mark.parametrize("n", [0, 1, 2])
def test_hardly_any_rows_give_a_wide_range(n, odd):
    fit = fitted(level([30e3, 45e3][:n]), LEVEL, odd)
    low, high = np.exp(fit.quantiles([1], [0.1, 0.9]))
    assert high / low == pytest.approx([6.7, 2.25, 2.1][n], rel=0.25)
    assert np.all((fit.prior_share >= 0) & (fit.prior_share <= 1))


def test_no_rows_lead_to_the_figures_of_the_belief():
    # Belief 40 000 +- 0.7 with a spread around 0.2: four times out of five between 15 435 and 103 663 (a second program).
    np.testing.assert_allclose(np.exp(fitted(level([]), LEVEL).quantiles([1], [0.1, 0.5, 0.9])), [15435, 40000, 103663], rtol=1e-4)


@pytest.mark.parametrize("odd", [False, True])
def test_bounds_from_one_side_stay_on_it_and_follow_the_belief(odd):
    asks, nothing = np.array([45e3, 52e3, 60e3, 70e3]), np.zeros(4)
    medians = {}
    for sd in (0.4, 0.7, 1.2, 2.0):
        with np.errstate(divide="ignore"):
            below, above = level(nothing, asks), level(asks, np.full(4, np.inf))
        medians[sd] = [np.exp(fitted(rows, Prior(LEVEL.mean, [sd]), odd).quantiles([1], [0.5])[0]) for rows in (below, above)]
    down, up = np.transpose(list(medians.values()))
    assert np.all(np.diff(down) < 0) and np.all(down < 45e3)
    assert np.all(np.diff(up) > 0) and np.all(up > 45e3)


def test_contradiction_widens_the_spread():
    # Sold at 30 000, 45 000 refused, not sold at 25 000.
    agreed = fitted(level([30e3, 28e3, 1e-300], [30e3, 1e300, 33e3]), LEVEL)
    torn = fitted(level([30e3, 45e3, 1e-300], [30e3, 1e300, 25e3]), LEVEL)
    assert torn.spread > 1.5 * agreed.spread
    assert torn.spread == pytest.approx(0.366, abs=0.004)  # by the grid of test_valuation_by_force.py; its mean is .40


def test_columns_that_rise_together_are_kept_and_the_range_off_their_line_is_wide():
    y, x = made_up(9, 2)
    x[:, 2] = 0.5 * x[:, 1]
    assert np.linalg.matrix_rank(x) == 3
    for odd in (False, True):
        fit = fitted(figures(y, x), FOUR, odd)
        apart = np.sqrt(np.diag(fit.covariance)[1:3])
        assert np.sqrt(fit.covariance[1:3, 1:3] @ [1, 0.5] @ [1, 0.5]) < 0.7 * apart[0]  # the sum is known better than either
        on, off = [1, 6, 3, 0], [1, 6, -6, 0]
        assert fit.leverage(on) < 1 < fit.leverage(off)
        assert np.diff(fit.quantiles(off, [0.1, 0.9])) > 1.3 * np.diff(fit.quantiles(on, [0.1, 0.9]))


@pytest.mark.parametrize("odd", [False, True])
@pytest.mark.parametrize("money", [1.0, 1e12])
def test_a_currency_of_tiny_or_huge_units_is_no_trouble(money, odd):
    fit = fitted(level(money * np.array([1.0, 1.1, 0.9]), money * np.array([1.0, 1.3, 0.9])), Prior([np.log(money)], [0.7]), odd)
    low, high = np.exp(fit.quantiles([1], [0.1, 0.9])) / money
    assert 0.5 < low < 1 < high < 2


@pytest.mark.parametrize("odd", [False, True])
@pytest.mark.parametrize("far", [1e-3, 1e6, 1e12])
def test_a_row_of_any_kind_however_far_off_gives_finite_ranges(far, odd):
    near = np.array([20e3, 21e3, 19e3])
    for low, high in ((far, far), (far, 1.1 * far), (far, 1e300), (1e-300, far), (far, far * (1 + 1e-15))):
        fit = fitted(level([*near, low], [*near, high]), LEVEL, odd)
        assert np.all(np.isfinite(fit.quantiles([1], SHARES))) and np.all(np.diff(fit.quantiles([1], SHARES)) > 0)
        if odd:
            assert np.exp(fit.quantiles([1], [0.5])[0]) == pytest.approx(20e3, rel=0.2)


def test_odd_row_errors_hold_the_line_where_one_row_is_ten_times_too_dear():
    near = 45e3 * np.exp(0.15 * special.ndtri((np.arange(10) + 0.5) / 10))
    wrong = near.copy()
    wrong[4] *= 10
    median = lambda rows, odd: np.exp(fitted(rows, LEVEL, odd).quantiles([1], [0.5], line=True)[0])
    clean, plain, tails = median(level(near), False), median(level(wrong), False), median(level(wrong), True)
    assert plain / clean > 1.1
    assert tails / clean == pytest.approx(1, abs=0.04)


def test_points_are_doubled_until_enough_of_them_count():
    # Bids alone under a belief that is hardly one: of 31 x 128 points fewer than 200 would count.
    rows, once = level([45e3, 52e3], [NONE, NONE]), 31 * 128
    wide, narrow = (fitted(rows, Prior([np.log(40e3)], [sd])) for sd in (5.0, 0.7))
    assert len(narrow.share) == once < len(wide.share)
    for fit in (wide, narrow):
        assert 1 / np.sum(fit.share**2) >= 200


def test_the_spread_is_read_between_the_nodes_also_where_each_holds_many_points():
    # The same evidence, once in closed form and once by points: an interval so narrow that it is nearly a figure.
    y, x = made_up(7, 3)
    exact, points = fitted(figures(y, x), FOUR), fitted(between(y - 5e-7, y + 5e-7, x), FOUR)
    assert exact.cov is not None and points.cov is None
    assert points.spread == pytest.approx(exact.spread, rel=0.01)


# likeliest


def test_the_likeliest_of_three_figures_by_hand():
    # 1, 2 and 6: middle 3, spread sqrt((4 + 1 + 9) / 3); its own error is spread / sqrt 3, that of log spread 1 / sqrt 6; -3/2 (log 2 pi s^2 + 1).
    beta, sigma, error, log_likelihood = likeliest(figures(np.array([1.0, 2, 6]), np.ones((3, 1))))
    assert beta[0] == pytest.approx(3) and sigma == pytest.approx(np.sqrt(14 / 3))
    np.testing.assert_allclose(error, [np.sqrt(14) / 3, 1 / np.sqrt(6)], rtol=1e-6)
    assert log_likelihood == pytest.approx(-1.5 * (np.log(2 * np.pi * 14 / 3) + 1))


def test_the_likeliest_is_where_flat_beliefs_and_a_thousand_rows_end():
    y, x = made_up(1000, 1)
    beta, sigma, _, _ = likeliest(figures(y, x))
    fit = fitted(figures(y, x), flat(4))
    np.testing.assert_allclose(fit.mean, beta, atol=1e-7)
    assert fit.spread == pytest.approx(sigma, rel=0.004)


# refusals


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"mean": [0, 0], "sd": [1, 0]}, "sd must be above 0 for every coefficient, got [1. 0.]."),
        ({"mean": [0], "sd": [-1]}, "sd must be above 0 for every coefficient, got [-1.]."),
        ({"mean": [0], "sd": [np.nan]}, "sd must be above 0 for every coefficient, got [nan]."),
        ({"mean": [np.nan], "sd": [1]}, "mean must be one finite number for each of the 1 coefficients, got [nan]."),
        ({"mean": [0, 0, 0], "sd": [1, 1]}, "mean must be one finite number for each of the 2 coefficients, got [0. 0. 0.]."),
        ({"mean": [0], "sd": [1], "spread": 0}, "spread and spread_sd must be above 0, got 0 and 0.5."),
        ({"mean": [0], "sd": [1], "spread": np.nan}, "spread and spread_sd must be above 0, got nan and 0.5."),
        ({"mean": [0], "sd": [1], "spread_sd": 0.0}, "spread and spread_sd must be above 0, got 0.2 and 0.0."),
    ],
)
def test_beliefs_that_make_no_sense_are_refused(given, said):
    with pytest.raises(ValueError) as refused:
        Prior(**given)
    assert str(refused.value) == said


@pytest.mark.parametrize("n", [0, 1, 3])
def test_as_many_beliefs_as_columns_are_needed(n):
    y, x = made_up(3, 0)
    with pytest.raises(ValueError) as refused:
        fitted(figures(y[:n], x[:n]), LEVEL)
    assert str(refused.value) == "prior must hold one belief for each of the 4 columns, got 1."


@pytest.mark.parametrize("odd", [False, True])
def test_every_price_is_above_nothing_and_below_everything(odd):
    fit = fitted(level([20e3, 25e3]), LEVEL, odd)
    for line in (False, True):
        assert fit.chance_above([1], [-np.inf, np.inf], line).tolist() == pytest.approx([1, 0])


def test_a_fit_leaves_what_it_was_given_as_it_was():
    y, x = believed_cars(5)
    kept = y.copy(), x.copy()
    assert isinstance(fitted(figures(y, x), Prior([9.6, -0.08, -0.06], [0.5, 0.05, 0.06]), True), Fit)
    assert np.array_equal(y, kept[0]) and np.array_equal(x, kept[1])
