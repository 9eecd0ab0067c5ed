"""Drawing what is not known: moments in closed form, rank correlation out as in, an honest error, refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from buildecon.quantities.estimate import estimate
from buildecon.quantities.sampling import correlated, drawn, empirical, lognormal, of_estimate, pert, points, triangular, with_error

EVEN = (np.arange(200_000) + 0.5) / 200_000


def test_the_triangle_s_moments():
    figures = triangular(1, 2, 6)(EVEN)
    assert figures.mean() == pytest.approx(3, abs=1e-5)
    assert figures.var() == pytest.approx((1 + 4 + 36 - 2 - 6 - 12) / 18, rel=1e-4)  # (a^2 + b^2 + c^2 - ab - ac - bc) / 18
    np.testing.assert_allclose(triangular(1, 2, 6)(EVEN[::500]), stats.triang(0.2, 1, 5).ppf(EVEN[::500]), rtol=1e-9)


@pytest.mark.parametrize("ends", [(4220, 6230, 9780), (0, 0, 1), (0, 1, 1), (-3, 2, 4)])
def test_the_pert_s_moments_and_scipy_s_beta(ends):
    low, likely, high = ends
    figures, mean = pert(*ends)(EVEN), (low + 4 * likely + high) / 6
    assert figures.mean() == pytest.approx(mean, abs=1e-5 * (high - low))
    assert figures.var() == pytest.approx((mean - low) * (high - mean) / 7, rel=1e-3)
    share = (likely - low) / (high - low)
    wanted = stats.beta(1 + 4 * share, 5 - 4 * share, low, high - low).ppf(EVEN[::997])
    np.testing.assert_allclose(pert(*ends)(EVEN[::997]), wanted, atol=1e-6 * (high - low))


def test_the_lognormal_gives_back_what_was_entered():
    quantile = lognormal(800, 1400)
    assert quantile([0.1, 0.9]) == pytest.approx([800, 1400], rel=1e-12)
    assert quantile(0.5) == pytest.approx(np.sqrt(800 * 1400))


def test_what_was_seen_is_never_left():
    quantile = empirical([5, 3, 9])
    assert quantile([0, 0.5, 1]).tolist() == [3, 5, 9]


def test_an_estimate_of_the_files_is_a_triangle_or_a_pert():
    one = estimate("1000/1150/1400")
    assert of_estimate(one)(0.5) == pytest.approx(triangular(1000, 1150, 1400)(0.5))
    assert of_estimate(one, pert)(0.5) == pytest.approx(pert(1000, 1150, 1400)(0.5))
    assert of_estimate(estimate("7"))(np.array([0.1, 0.9])).tolist() == [7, 7]


def test_rank_correlation_comes_out_as_it_went_in():
    wanted = np.array([[1, 0.6, -0.3], [0.6, 1, 0.1], [-0.3, 0.1, 1]])
    together = correlated(wanted)
    assert together.moved == 0
    sample = drawn({"a": triangular(0, 1, 4), "b": lognormal(1, 9), "c": pert(0, 2, 3)}, 4096, 1, together)
    found = stats.spearmanr(np.stack(list(sample.values()), axis=1)).statistic
    np.testing.assert_allclose(found, wanted, atol=0.01)


def test_what_cannot_go_together_is_moved_and_told():
    impossible = np.array([[1, 0.9, 0.9], [0.9, 1, -0.9], [0.9, -0.9, 1]])
    together = correlated(impossible)
    assert together.moved == pytest.approx(0.4, abs=0.02)
    np.testing.assert_allclose(together.root @ together.root.T, together.matrix, atol=1e-12)
    assert np.all(np.linalg.eigvalsh(together.matrix) > 0)


def test_a_chance_by_hand_and_its_error():
    # The sum of four standard normals less 0.5 is below 0 with chance Phi(0.25).
    def chance(seed):
        scores = stats.norm.ppf(points(1024, 4, seed))
        return np.mean(scores.sum(axis=1) < 0.5)

    exact = stats.norm.cdf(0.25)
    inside = 0
    for block in range(40):
        mean, error = with_error(chance, range(8 * block, 8 * block + 8))
        inside += abs(mean - exact) <= stats.t(7).ppf(0.975) * error
        assert error < np.sqrt(exact * (1 - exact) / 8192)  # such points are better than chance
    assert 33 <= inside <= 40  # 95 % of 40 is 38; fewer than 33 has a chance below 1 in 1,000


def test_shared_draws_make_a_difference_sure():
    sample = drawn({"price": triangular(1, 2, 3), "own": triangular(0, 1, 2)}, 1024, 3)
    first, second = 5 * sample["price"] + 1, 5 * sample["price"]
    assert np.var(first - second) == pytest.approx(0, abs=1e-20)


def test_the_same_seed_gives_the_same_bits_and_another_gives_others():
    one, again, other = (points(256, 3, seed) for seed in (5, 5, 6))
    assert np.array_equal(one, again) and not np.array_equal(one, other)
    assert np.all((one > 0) & (one < 1))
    assert np.abs(one.mean(axis=0) - 0.5).max() < 0.01


@settings(deadline=None, max_examples=60, derandomize=True)
@given(st.lists(st.floats(-1e6, 1e6), min_size=3, max_size=3).map(sorted), st.sampled_from([triangular, pert]))
def test_a_quantile_rises_and_stays_between_its_ends(ends, shape):
    figures = shape(*ends)(np.linspace(0, 1, 41))
    slack = 1e-9 * (1 + max(map(abs, ends)))
    assert np.all(np.diff(figures) >= -slack)
    assert ends[0] - slack <= figures.min() and figures.max() <= ends[2] + slack


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: triangular(3, 2, 4), "low, likely and high must rise, got 3.0, 2.0 and 4.0."),
        (lambda: pert(1, float("nan"), 4), "likely must be"),
        (lambda: lognormal(5, 4), "tenth must be at most ninetieth"),
        (lambda: lognormal(0, 4), "tenth must be at least"),
        (lambda: empirical([]), "figures must hold at least one, got none."),
        (lambda: points(1000, 2, 1), "n must be a power of two, got 1,000. Write 1024 or 4096."),
        (lambda: correlated([[1, 0.5], [0.4, 1]]), "wanted must be symmetric with 1 on its diagonal."),
        (lambda: correlated([[1, 2], [2, 1]]), "wanted must be"),
        (lambda: with_error(lambda seed: 1.0, [1]), "seeds must be at least two, got 1."),
    ],
)
def test_what_cannot_be_drawn_is_refused(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert message in str(refused.value)


def test_nothing_to_draw_is_nothing():
    assert drawn({}, 1024, 1) == {}
