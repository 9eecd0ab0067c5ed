"""Curves through draws: the same as a foreign program's, with and without a fold; bins by hand; what is left out is left out."""

import numpy as np
import pytest
from scipy.interpolate import make_lsq_spline

from buildecon.decision.smoothing import FOLDS, smooth


@pytest.mark.parametrize(("n", "knots"), [(4096, 6), (1000, 6), (777, 12), (128, 12)])
def test_the_curves_are_those_of_scipy_with_and_without_the_own_fold(n, knots):
    rng = np.random.default_rng(n)
    x = rng.gamma(2, size=(2, n))
    y = np.sin(x[0]) + x[1] + rng.standard_normal(n)
    fitted, left_out, seen = smooth(x, np.stack([y, x[0]]), knots)  # the input itself as a figure says which draw stands where
    there = np.isfinite(seen[0, :, :, 0]) & (seen[0, :, :, 1] != 0)
    assert there.sum() == n and fitted.shape == left_out.shape == seen.shape == (2, knots + 1, FOLDS, 2, -(-(-(-n // (knots + 1))) // FOLDS))
    rising = np.sort(x[0])
    inner = rising[np.arange(1, knots + 1) * n // (knots + 1)]
    order = np.argsort(x[0])
    t = np.r_[[rising[0]] * 4, inner, [rising[-1]] * 4]
    whole = make_lsq_spline(rising, y[order], t)
    np.testing.assert_allclose(fitted[0, :, :, 0][there], whole(seen[0, :, :, 1][there]), atol=1e-6)
    np.testing.assert_allclose(fitted[0, :, :, 1][there], seen[0, :, :, 1][there], atol=1e-6)  # a cubic curve can be the line itself
    for fold in (0, 5):
        own = there[:, fold]
        others = np.delete(there, fold, axis=1)
        at, of = np.delete(seen[0, :, :, 1], fold, axis=1)[others], np.delete(seen[0, :, :, 0], fold, axis=1)[others]
        sorting = np.argsort(at)
        without = make_lsq_spline(at[sorting], of[sorting], t)
        wanted = without(seen[0, :, fold, 1][own])
        np.testing.assert_allclose(left_out[0, :, fold, 0][own], wanted, atol=1e-6)


def test_two_values_are_two_means_by_hand():
    # 192 draws: the value 7 in every third, its figures 5 and 9 by turns; the value 2 elsewhere, always 1.
    x, y = np.full(192, 2.0), np.full(192, 1.0)
    x[::3] = 7
    y[::3] = np.tile([5, 9], 32)
    fitted, left_out, seen = smooth(x[None], np.stack([y, x]), 6)  # the value as a figure says which draw stands where
    value = seen[0, :, :, 1]
    np.testing.assert_allclose(fitted[0, :, :, 0][value == 2], 1)
    np.testing.assert_allclose(fitted[0, :, :, 0][value == 7], 7)  # (5 + 9) / 2
    for fold in range(FOLDS):
        others = np.delete(seen[0, :, :, 0], fold, axis=1)[np.delete(value, fold, axis=1) == 7]
        np.testing.assert_allclose(left_out[0, :, fold, 0][value[:, fold] == 7], others.mean())


def test_few_values_have_a_mean_each_whatever_their_order():
    # Twelve values of 160 draws, 1,920^(1/3) being above 12; no cubic curve of ten heights would pass through twelve heights drawn by lot.
    rng = np.random.default_rng(2)
    height, x = rng.standard_normal(12), np.repeat(np.arange(12.0), 160)
    fitted, left_out, seen = smooth(x[None], np.stack([height[x.astype(int)], x + 1]), 6)
    np.testing.assert_allclose(fitted[0, :, :, 0], seen[0, :, :, 0], atol=1e-12)
    np.testing.assert_allclose(left_out[0, :, :, 0], seen[0, :, :, 0], atol=1e-12)


def test_many_ties_go_into_bins_that_never_part_equal_values():
    # Half the draws at 0, the rest spread out: n^(1/3) = 16 bins, the first of which is all of the half.
    rng = np.random.default_rng(3)
    x = np.maximum(0, rng.permutation(np.linspace(-1, 1, 4096)))
    y = 3 * (x > 0) + x
    fitted, _, seen = smooth(x[None], np.stack([y, x + 1]), 6)
    at, there = seen[0, :, :, 1] - 1, seen[0, :, :, 1] > 0
    np.testing.assert_allclose(fitted[0, :, :, 0][there & (at == 0)], 0)
    assert len(np.unique(np.round(fitted[0, :, :, 0][there], 9))) == 9  # 1 and 8 of 256 draws
    assert np.abs(fitted[0, :, :, 0] - seen[0, :, :, 0])[there].max() < 1 / 8 + 1e-9


def test_a_constant_is_the_mean_and_an_input_beside_it_does_not_care():
    rng = np.random.default_rng(4)
    x, y = rng.standard_normal((2, 512)), rng.standard_normal(512)
    alone, _, _ = smooth(x[:1], y[None], 6)
    x[1] = 4.0
    both, _, seen = smooth(x, y[None], 6)
    assert np.array_equal(both[0], alone[0])
    np.testing.assert_allclose(both[1][seen[1] != 0], y.mean(), atol=1e-12)


def test_the_curve_keeps_the_mean_and_no_figure_is_written_to():
    rng = np.random.default_rng(5)
    x, y = rng.standard_normal((3, 1000)), rng.standard_normal((2, 1000))
    given = x.copy(), y.copy()
    fitted, _, _ = smooth(x, y, 6)
    np.testing.assert_allclose(fitted.sum(axis=(1, 2, 4)) / 1000, np.tile(y.mean(axis=1), (3, 1)), atol=1e-8)
    assert np.array_equal(x, given[0]) and np.array_equal(y, given[1])


def test_scale_and_place_of_an_input_do_not_matter():
    rng = np.random.default_rng(6)
    x, y = rng.standard_normal((1, 1024)), rng.standard_normal((1, 1024))
    plain, _, _ = smooth(x, y, 6)
    far, _, _ = smooth(1e-6 * x + 3, y, 6)
    np.testing.assert_allclose(far, plain, atol=1e-6)
