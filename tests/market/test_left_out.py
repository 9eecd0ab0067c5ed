"""Each row judged by the others: the closed form and the points against fitting anew, and the row that is a slip."""

import numpy as np
import pytest
from evidence import BELIEF, CAR, FOUR, believed_cars, between, figures, made_up
from scipy import stats

from buildecon.market.left_out import left_out
from buildecon.market.valuation import Prior, fitted

TARGET = np.array([1.0, 2, -2, 1])


def refitted(rows, prior, x, odd):
    """What left_out says, from a fit without each row; the law of the row's figure from its quantiles' own mixture."""
    whole, found = fitted(rows, prior, odd), []
    for i in range(len(rows.low)):
        others = fitted(rows.without(i), prior, odd)
        middle = others.beta @ rows.x[i]
        line = 0 if others.cov is None else np.array([rows.x[i] @ part @ rows.x[i] for part in others.cov])
        scale = np.sqrt(others.sigma**2 + rows.spread[i] ** 2 + line)
        below = others.share @ (stats.t(4) if odd else stats.norm()).cdf((rows.low[i] - middle) / scale)
        exact = rows.low[i] == rows.high[i]
        judged = (2 * min(below, 1 - below), np.exp(rows.low[i] - others.mean @ rows.x[i])) if exact else (np.nan, np.nan)
        found.append([*judged, (whole.mean - others.mean) @ x])
    return np.transpose(found)


def test_a_row_left_out_by_hand():
    # Belief log 10 000 +- 0.3, spread 0.4, sold 14 000 and 12 000. Without the first: 10 000 x 1.2^0.36, width sqrt(0.0576 + 0.16).
    rows = figures(np.log([14e3, 12e3]), np.ones((2, 1)))
    fit = fitted(rows, Prior([np.log(10e3)], [0.3], spread=0.4, spread_sd=1e-6))
    chance, times, pull = left_out(fit, [1])
    middle = np.log(10e3) + 0.36 * np.log(1.2)
    assert times[0] == pytest.approx(14e3 / np.exp(middle), rel=1e-6)
    assert chance[0] == pytest.approx(2 * stats.norm.sf((np.log(14e3) - middle) / np.sqrt(0.2176)), rel=1e-6)
    # With both, the belief keeps 0.16 / (0.16 + 2 x 0.09): mean log 10 000 + 0.09 / 0.34 x log 1.4 x 1.2.
    assert pull[0] == pytest.approx(0.09 / 0.34 * np.log(1.68) - 0.36 * np.log(1.2), abs=1e-6)


@pytest.mark.parametrize(("spread", "weight"), [(0, 1), ([0, 0, 0, 0.08, 0.08, 0.1, 0, 0], 1), (0.05, [1, 0.5, 2, 0, 1, 1, 0.2, 1])])
def test_the_closed_form_is_a_fit_without_the_row(spread, weight):
    y, x = made_up(8, 6)
    rows = figures(y, x, np.array(spread), np.array(weight))
    np.testing.assert_allclose(left_out(fitted(rows, FOUR), TARGET), refitted(rows, FOUR, TARGET, False), rtol=1e-7, atol=1e-7)
    # With a slip of ten times the spreads of the others are at the edge of what the nodes of all rows show.
    y[2] += np.log(10)
    rows = figures(y, x, np.array(spread), np.array(weight))
    found, wanted = left_out(fitted(rows, FOUR), TARGET), refitted(rows, FOUR, TARGET, False)
    others = np.arange(8) != 2
    np.testing.assert_allclose(np.array(found)[:, others], wanted[:, others], rtol=1e-5, atol=1e-7)
    assert found[0][2] < 1e-4 and found[1][2] == pytest.approx(wanted[1, 2], rel=0.01) and found[2][2] == pytest.approx(wanted[2, 2], abs=0.005)


def test_the_closed_form_for_published_cars():
    rows = figures(*believed_cars(30))
    np.testing.assert_allclose(left_out(fitted(rows, BELIEF), CAR), refitted(rows, BELIEF, CAR, False), rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("odd", [False, True])
@pytest.mark.parametrize("n", [5, 12])
def test_the_points_weighted_anew_say_nearly_what_a_fit_without_the_row_says(n, odd):
    y, x = made_up(n, 8)
    low, high = y.copy(), y.copy()
    low[1::4] -= 0.2
    high[3::4] = np.inf
    rows = between(low, high, x, np.where(np.arange(n) % 4 == 0, 0.15, 0))
    chance, times, pull = left_out(fitted(rows, FOUR, odd), TARGET)
    wanted = refitted(rows, FOUR, TARGET, odd)
    np.testing.assert_allclose(chance, wanted[0], atol=0.03)
    np.testing.assert_allclose(times, wanted[1], rtol=0.03)
    np.testing.assert_allclose(pull, wanted[2], atol=0.01)
    assert np.all(np.isnan(chance) == (low != high)) and np.all(np.isnan(times) == (low != high))


@pytest.mark.parametrize("odd", [False, True])
def test_bounds_alone_are_left_out_too(odd):
    asks = np.log([45e3, 52e3, 60e3, 70e3])
    prior = Prior([np.log(40e3)], [0.7])
    chance, _, pull = left_out(fitted(between(np.full(4, -np.inf), asks, np.ones((4, 1))), prior, odd), [1])
    assert np.all(np.isnan(chance))
    assert np.all(pull < 0.01) and pull[0] < -0.05  # the lowest ask says most
    assert np.all(np.diff(pull) > -0.01)


@pytest.mark.parametrize("odd", [False, True])
def test_a_row_however_far_off_does_not_drown_the_others(odd):
    near, prior = np.log([20e3, 21e3, 19e3]), Prior([np.log(20e3)], [0.7])
    for far in (1e6, 1e12):
        rows = figures(np.append(near, np.log(far)), np.ones((4, 1)))
        chance, times, pull = left_out(fitted(rows, prior, odd), [1])
        assert times[3] == pytest.approx(far / 20e3, rel=0.05)
        assert chance[3] < 1e-4 < chance[:3].min()
        assert np.all(np.isfinite(pull))


@pytest.mark.parametrize("odd", [False, True])
@pytest.mark.parametrize("slip", [10, 0.1])
def test_a_row_ten_times_too_dear_or_too_cheap_is_found_and_the_others_are_not(slip, odd):
    for seed in range(8):
        y, x = made_up(10, seed)
        y, x = y - x[:, 1:] @ [-0.08, -0.03, 0.25], x[:, :1]
        prior = Prior(FOUR.mean[:1], FOUR.sd[:1])
        clean, _, _ = left_out(fitted(figures(y, x), prior, odd), [1])
        y[4] += np.log(slip)
        chance, times, pull = left_out(fitted(figures(y, x), prior, odd), [1])
        assert clean.min() > 0.01
        assert chance[4] < 0.01 < np.delete(chance, 4).min()
        assert times[4] == pytest.approx(slip, rel=0.6)
        assert np.sign(pull[4]) == np.sign(np.log(slip))


@pytest.mark.parametrize("odd", [False, True])
def test_a_row_without_which_nothing_is_known_has_no_pull(odd):
    # No belief about the level, sd 0.05 about the slope. Without the first row the others leave 400 x 0.05 = 20 in logs, without the second next to nothing changes.
    prior, x = Prior([np.log(5e3), 0], [100, 0.05]), np.array([[1.0, 0], [1, 0.1], [1, 400]])
    alone, two, far = (left_out(fitted(figures(np.log([6e3, 6.5e3, 6.5e3])[rows], x[rows]), prior, odd), [1, 0])[2] for rows in ([0], [0, 1], [0, 2]))
    assert np.isnan(alone[0]) and np.all(np.isfinite(two))
    assert np.isnan(far[0]) and np.isfinite(far[1])
    sides = between(np.log([6e3, 5e3]) + [-np.inf, 0], np.log([6e3, 5e3]) + [0, np.inf], np.ones((2, 1)))
    assert np.all(np.isnan(left_out(fitted(sides, Prior([np.log(5e3)], [100]), odd), [1])[2]))


def test_a_row_three_times_off_among_twelve_is_found_nearly_always_and_a_clean_one_hardly_ever():
    # A second program: 94.7 % of the rows three times too dear or too cheap, and none of 150 checks of a clean row.
    found, false = [], []
    for seed in range(150):
        y, x = made_up(12, seed)
        false.append(left_out(fitted(figures(y, x), FOUR), TARGET)[0][7] < 0.01)
        y[4] += np.log(3) * (1 if seed % 2 else -1)
        found.append(left_out(fitted(figures(y, x), FOUR), TARGET)[0][4] < 0.01)
    assert np.mean(found) == pytest.approx(0.947, abs=0.04)
    assert np.mean(false) < 0.03


def test_no_rows_no_verdicts():
    found = left_out(fitted(figures(np.zeros(0), np.zeros((0, 4))), FOUR), TARGET)
    assert [values.shape for values in found] == [(0,), (0,), (0,)]


def test_clean_rows_are_found_odd_as_often_as_chance_has_it():
    # The chance of each row by the others is even between 0 and 1 where the truth is drawn from the belief: 600 rows, 1 % and 20 % of them.
    rng, chances = np.random.default_rng(12), []
    for seed in range(300):
        _, x = made_up(8, seed)
        sigma = 0.2 * np.exp(0.5 * rng.normal())
        y = x @ rng.normal(FOUR.mean, FOUR.sd) + sigma * rng.normal(size=8)
        chances.extend(left_out(fitted(figures(y, x), FOUR), TARGET)[0][:2])
    assert stats.kstest(chances, "uniform").pvalue > 0.01
