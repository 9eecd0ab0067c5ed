"""Renewals: Tijms' table, exact and computed figures, bills and warranties by hand, lists of events against expectations, refusals."""

import math
import re

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, numbers, printed, rows
from scipy.special import gamma, gammaincc
from scipy.stats import qmc

from buildecon.ownership.lives import Life, exponential, lognormal, once_used, sure, weibull
from buildecon.ownership.renewal_lists import drawn_renewal_readings, renewal_readings, renewals_by, share_paid
from buildecon.ownership.renewals import (
    Warranty,
    cost_rate_of_planned_renewal,
    expected_bills,
    expected_renewals,
    renewals_over_many_lives,
    renewals_paid,
    warranty_share,
)

CASES = rows("renewal_functions.csv")
steadily = settings(deadline=None, derandomize=True, max_examples=25)
shapes = st.integers(6, 60).map(lambda tenths: tenths / 10)
shares = st.integers(0, 20).map(lambda twentieths: twentieths / 20)


def by_survival(survival):
    """A life of which only the survival is known, so that no formula can be used."""
    return Life(survival, None, None)


# expected_renewals, renewals_paid


@pytest.mark.parametrize("case", CASES, ids=case_ids(CASES))
def test_published_and_computed_renewals(case):
    shape = float(case["shape"])
    scale = float(case["mean"]) / gamma(1 + 1 / shape) if case["mean"] else 1.0
    warranty = Warranty(float(case["warranty"]), renews=True) if case["warranty"] else None
    found = renewals_paid(weibull(shape, scale), numbers(case["at"]), warranty, float(case["used"]))
    assert found.tolist() == [printed(text, case["tolerance"]) for text in case["printed"].split(";")]


@pytest.mark.parametrize(
    ("name", "survival", "exact"),
    [
        # Standard results: no memory, t / mean; two stages of rate 1, t / 2 - 1 / 4 + exp(-2 t) / 4; even on 0 to 1, exp(t) - 1 up to 1.
        ("no memory", lambda t: np.exp(-np.asarray(t) / 0.5), lambda t: t / 0.5),
        ("two stages", lambda t: gammaincc(2, t), lambda t: t / 2 - 1 / 4 + np.exp(-2 * t) / 4),
        ("even", lambda t: np.clip(1 - np.asarray(t), 0, 1), lambda t: np.exp(t) - 1),
    ],
)
def test_exact_renewals(name, survival, exact):
    at = np.linspace(0, 1, 41)
    np.testing.assert_allclose(expected_renewals(by_survival(survival), at), exact(at), atol=4e-7)


def test_a_smooth_life_settles_on_a_coarse_grid():
    sizes = []

    def survival(t):
        sizes.append(np.size(t))
        return np.exp(-(np.asarray(t) ** 2))

    expected_renewals(by_survival(survival), 5.0)
    assert max(sizes) <= 512


def test_sure_lives_are_counted_by_hand():
    # Every 30,000: at 29,999 none, at 30,000 one, at 100,000 three. Already run 20,000: the first comes at 10,000.
    assert expected_renewals(sure(30_000), [0, 29_999, 30_000, 100_000]).tolist() == [0, 0, 1, 3]
    assert expected_renewals(sure(30_000), [9_999, 10_000, 40_000], used=20_000).tolist() == [0, 1, 2]
    assert expected_renewals(sure(0.1), 0.3) == 3
    # 15,000 and then 5,000 more is the 20,000 of above.
    assert expected_renewals(once_used(sure(30_000), 15_000), [9_999, 10_000, 40_000], used=5_000).tolist() == [0, 1, 2]


def test_renewing_warranty_without_memory_has_a_closed_form():
    # The owner pays exp(-W / mean) (t - W) / mean: mean 1, W .5, t 4: .606531 x 3.5 = 2.122857.
    found = renewals_paid(by_survival(lambda t: np.exp(-np.asarray(t))), 4, Warranty(0.5, renews=True))
    assert found == pytest.approx(math.exp(-0.5) * 3.5, abs=1e-6)
    # One length from the first day: 4 - .5.
    assert renewals_paid(exponential(1), 4, Warranty(0.5)) == 3.5
    # Half of each bill for a year: 4 - .5 x 1.
    assert renewals_paid(exponential(1), [0.5, 4], Warranty(1, share=0.5)).tolist() == [0.25, 3.5]


def test_sure_lives_outlast_a_renewing_warranty_or_never_do_by_hand():
    # Every 10: a warranty of 5 pays none of 10, 20, 30, of a part that has run 6 the first, at 4; one of 15, or of 10 itself, pays all.
    at = [4, 9.9, 10, 14, 35]
    assert renewals_paid(sure(10), at, Warranty(5, renews=True)).tolist() == [0, 0, 1, 1, 3]
    assert renewals_paid(sure(10), at, Warranty(5, renews=True), used=6).tolist() == [0, 0, 0, 1, 3]
    for length in (10, 15):
        assert renewals_paid(sure(10), at, Warranty(length, 0.5, renews=True)).tolist() == [0, 0, 0.5, 0.5, 1.5]


@steadily
@given(shapes, shares, st.booleans())
def test_renewals_rise_from_nothing_and_a_warranty_never_adds_any(shape, used, renews):
    life, at = weibull(shape, 1.0), np.linspace(0, 4, 33)
    every = expected_renewals(life, at, used)
    assert every[0] == 0
    assert np.all(np.diff(every) >= 0)
    one = renewals_paid(life, at, Warranty(0.4, 0.8), used)
    again = renewals_paid(life, at, Warranty(0.4, 0.8, renews=True), used)
    assert np.all(one <= every) and np.all(again <= one + 1e-5)
    assert np.all(again >= 0.2 * every - 1e-5)
    paid = again if renews else one
    assert np.all(np.diff(paid) >= -1e-5)
    assert renewals_paid(life, 4.0, Warranty(0.4, 0.8, renews), used) == pytest.approx(paid[-1], abs=1e-5)
    assert np.ndim(expected_renewals(life, 1.0)) == 0


@steadily
@given(shapes, st.integers(1, 10**6).map(float), st.floats(0.1, 5))
def test_renewals_go_by_lives_not_by_the_unit(shape, scale, lives):
    # Grids may differ by rounding: two figures that have settled differ by less than the share asked for.
    assert expected_renewals(weibull(shape, scale), lives * scale) == pytest.approx(expected_renewals(weibull(shape, 1.0), lives), rel=5e-6, abs=5e-6)


@pytest.mark.parametrize("life", [weibull(2.5, 1.0), weibull(0.8, 1.0), lognormal(1.0, 0.6)])
def test_a_used_part_is_as_a_new_one_where_it_has_hardly_run_and_the_long_run_is_told_by_mean_and_spread(life):
    at = np.array([0.5, 2.0, 30.0])
    np.testing.assert_allclose(expected_renewals(life, at, 1e-12), expected_renewals(life, at), atol=1e-5)
    # M(t) -> t / mean + (c^2 - 1) / 2, with E[X^2] = 2 x the integral of the tail.
    ends = np.linspace(0, 60, 600_001)
    second = 2 * np.trapezoid(life.tail(ends), ends)
    assert expected_renewals(life, 30.0) == pytest.approx(30 / life.mean + second / (2 * life.mean**2) - 1, abs=2e-3)


# renewals_over_many_lives


@pytest.mark.parametrize("shape", [0.5, 1, 2, 5, 20])
@pytest.mark.parametrize("used", [0.0, 0.8])
def test_far_ahead_renewals_come_to_their_long_run(shape, used):
    # M(t) -> t / mean + (c^2 - 1) / 2 of a new part; of a used one t / mean + (c^2 + 1) / 2 - (mean left) / mean, with c^2 = gamma(1 + 2 / k) / gamma(1 + 1 / k)^2 - 1.
    life = weibull(shape, 1.0)
    spread = gamma(1 + 2 / shape) / gamma(1 + 1 / shape) ** 2 - 1
    left = life.tail(used) / life.survival(used)
    assert renewals_over_many_lives(life, 1e9 * life.mean, used) == pytest.approx(1e9 + (spread + 1) / 2 - left / life.mean, abs=5e-3)
    near = np.linspace(0, 59, 7) * life.mean
    np.testing.assert_allclose(renewals_over_many_lives(life, near, used), expected_renewals(life, near, used), rtol=1e-5, atol=1e-5)


def test_far_ahead_a_sure_life_is_still_counted_by_whole_lives():
    assert renewals_over_many_lives(sure(10), [9, 10, 12_345]).tolist() == [0, 1, 1234]
    with pytest.raises(ValueError, match=r"^reading must be at least 0, got -1\.0\.$"):
        renewals_over_many_lives(weibull(2, 1), -1)


# warranty_share, expected_bills


def test_bills_by_hand():
    # Parts 900 and labour 600: parts only is 900 / 1500 = .6; all is 1; half the labour too is .8.
    assert warranty_share(900, 600) == pytest.approx(0.6)
    assert warranty_share(900, 600, labour_share=1.0) == 1
    assert warranty_share(900, [600, 0], 1.0, 0.5).tolist() == pytest.approx([0.8, 1])
    # Every 10,000 km at 500: 4,000 km a month, months 3, 5 and 8 hold 10, 20 and 30 thousand; a warranty of 15,000 pays 60 % of the first.
    clock = 4_000 * np.arange(9)
    assert expected_bills(sure(10_000), 500, clock).tolist() == [0, 0, 500, 0, 500, 0, 0, 500]
    assert expected_bills(sure(10_000), 500, clock, Warranty(15_000, 0.6)).tolist() == pytest.approx([0, 0, 200, 0, 500, 0, 0, 500])
    assert expected_bills(sure(10_000), [500, 100], clock, used=7_000).tolist() == [[500, 0, 0, 500, 0, 500, 0, 0], [100, 0, 0, 100, 0, 100, 0, 0]]


@steadily
@given(shapes, st.integers(1, 40))
def test_bills_add_up_to_all_renewals_whatever_the_periods(shape, periods):
    clock = np.linspace(0, 3, periods + 1)
    assert expected_bills(weibull(shape, 1.0), 100.0, clock).sum() == pytest.approx(100 * expected_renewals(weibull(shape, 1.0), 3.0), rel=5e-6)


# cost_rate_of_planned_renewal


def test_planned_renewal_by_hand():
    # Even life on 0 to 2 by a table: at age 1 half have failed, mean time in use 1 - 1/4 = .75: (100 x .5 + 400 x .5) / .75 = 333.33.
    from buildecon.ownership.lives import life_from_table

    assert cost_rate_of_planned_renewal(life_from_table([0, 2], [1, 0]), 1.0, 100, 400) == pytest.approx(1000 / 3)
    # Just before a sure life ends: only planned bills, 100 / 9; never planned: 400 / 10.
    assert cost_rate_of_planned_renewal(sure(10), [9, np.inf], 100, 400).tolist() == pytest.approx([100 / 9, 40])
    for life in (weibull(2.5, 3.0), lognormal(3.0, 0.5), exponential(3.0)):
        assert cost_rate_of_planned_renewal(life, np.inf, 100, 400) == pytest.approx(400 / life.mean)


@steadily
@given(st.floats(0.1, 10), st.integers(1, 50))
def test_without_memory_planning_never_pays(age, more):
    rate = cost_rate_of_planned_renewal(exponential(2.0), age, 100, 100 + more)
    assert rate >= (100 + more) / 2 - 1e-9


# renewal_readings, drawn_renewal_readings, share_paid, renewals_by


def test_events_by_hand():
    # Without memory, mean 10: u = exp(-.5) is a life of 5, exp(-2) one of 20: at 5, 25 and, beyond 30, never.
    uniforms = np.exp([[-0.5, -2.0, -1.0]])
    found = renewal_readings(exponential(10), 30, uniforms)
    assert found.tolist() == [[pytest.approx(5), pytest.approx(25), np.inf]]
    assert renewals_by(found, [0, 5.1, 24, 30]).tolist() == [[0, 1, 1, 2]]
    # A warranty of 6: the first at 5 is in it either way; the second, a life of 20, is not. Of 21 from the first day: at 5 only; again for each: both.
    assert share_paid(found, Warranty(6, 0.75)).tolist() == [[0.25, 1, 0]]
    assert share_paid(found, Warranty(21)).tolist() == [[0, 1, 0]]
    assert share_paid(found, Warranty(21, renews=True)).tolist() == [[0, 0, 0]]
    assert share_paid(found, None).tolist() == [[1, 1, 0]]
    assert renewals_by(found, [30], share_paid(found, Warranty(6, 0.75))).tolist() == [[1.25]]
    # One that ends on the last day of its warranty is paid for, as in `renewals_paid`.
    sure_ones = renewal_readings(sure(10), 29, np.full(3, 0.5))
    assert share_paid(sure_ones, Warranty(10)).tolist() == [0, 1, 0]
    assert share_paid(sure_ones, Warranty(10, renews=True)).tolist() == [0, 0, 0]
    # A sure life of 10 that has run 4 fails at 6, 16, 26.
    assert renewal_readings(sure(10), 29, np.full(4, 0.5), used=4).tolist() == [6, 16, 26, np.inf]


@pytest.mark.parametrize("warranty", [None, Warranty(0.5, 0.7), Warranty(0.5, 0.7, renews=True)])
@pytest.mark.parametrize("used", [0.0, 0.8])
def test_lists_of_events_agree_with_expectations(used, warranty):
    life, clock = weibull(2.5, 1.0), np.array([0.5, 1.0, 2.0, 4.0])
    wanted = renewals_paid(life, clock, warranty, used)
    drawn = drawn_renewal_readings(life, 4.0, 40_000, np.random.default_rng(7), used)
    counts = renewals_by(drawn, clock, share_paid(drawn, warranty))
    error = counts.std(axis=0) / math.sqrt(counts.shape[0])
    assert np.all(np.abs(counts.mean(axis=0) - wanted) < 4 * error)
    even = renewal_readings(life, 4.0, qmc.Sobol(32, rng=3).random(4096), used)
    assert renewals_by(even, clock, share_paid(even, warranty)).mean(axis=0) == pytest.approx(wanted, abs=0.01)


def test_the_same_seed_draws_the_same_lists():
    one, two = (drawn_renewal_readings(weibull(1.5, 1.0), 30.0, 50, np.random.default_rng(1)) for _ in range(2))
    np.testing.assert_array_equal(one, two)
    assert np.all(np.isfinite(one).any(axis=0)) and one[np.isfinite(one)].max() <= 30
    assert drawn_renewal_readings(sure(10), 5, 3, np.random.default_rng(1)).shape == (3, 0)


STEEP = "reading must be fewer lives ahead, or the life less steep, for the count to settle, got 1e+06. A life that hardly varies can be a sure one."


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: expected_renewals(weibull(2, 1), -1), "reading must be at least 0, got -1.0."),
        (lambda: expected_renewals(weibull(2, 1), np.nan), "reading must be at least 0, got nan."),
        (lambda: expected_renewals(weibull(2, 1), 1_000_000), STEEP),
        (lambda: renewals_paid(weibull(2, 1), 1, Warranty(-1)), "length must be at least 0, got -1.0."),
        (lambda: renewals_paid(weibull(2, 1), 1, Warranty(1, 1.5)), "share must be at least 0 and at most 1, got 1.5."),
        (lambda: warranty_share(0, 0), "parts and labour must add up to more than 0, got 0."),
        (lambda: expected_bills(sure(1), 1, [0, 2, 1]), "clock must never run back, got [0.0, 2.0, 1.0]."),
        (lambda: expected_bills(sure(1), -1, [0, 1]), "bill must be at least 0, got -1.0."),
        (lambda: cost_rate_of_planned_renewal(sure(1), 0, 1, 1), "age must be above 0, got 0.0."),
        (lambda: cost_rate_of_planned_renewal(sure(1), np.nan, 1, 1), "age must be above 0, got nan."),
        (lambda: renewal_readings(sure(1), 5, [0.5, 1.0]), "uniforms must be above 0 and below 1, got 1.0."),
        (
            lambda: renewal_readings(sure(1), 5, [0.5, 0.5]),
            "uniforms must be enough lives to pass the horizon 5 in every row, got 2 lives that end at 2.0.",
        ),
    ],
)
def test_what_cannot_be_counted_is_refused(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
