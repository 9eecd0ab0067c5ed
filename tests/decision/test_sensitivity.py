"""What moves the answer: a published function and a foreign program, a case by hand, one batch, refusals."""

import numpy as np
import pytest
from reference.printed import printed, rows
from scipy import stats

from buildecon.decision.sensitivity import indices, tornado
from buildecon.quantities.sampling import lognormal, triangular

ISHIGAMI = rows("ishigami.csv")


def ishigami(x):
    return np.sin(x["1"]) + 7 * np.sin(x["2"]) ** 2 + 0.1 * x["3"] ** 4 * np.sin(x["1"])


def evenly(low, high):
    return lambda u: low + (high - low) * np.asarray(u)


AROUND = {name: evenly(-np.pi, np.pi) for name in "123"}


# tornado


def test_a_tornado_by_hand():
    # From 0 to 10 each: 1, 5, 9. All at 5: 5 x 5 - 2 x 5 - 12 = 3. With a at 1: 5 - 10 - 12 = -17, at 9: 23. With b at 1: 5 - 2 - 12 = -9, at 9: 15.
    asked = []

    def answer(x):
        asked.append({name: column.shape for name, column in x.items()})
        return x["a"] * x["b"] - 2 * x["b"] - 12 + 0 * x["c"]

    found = tornado(answer, {"b": evenly(0, 10), "a": evenly(0, 10), "c": evenly(0, 10)})
    assert (found.names, found.middle) == (("b", "a", "c"), pytest.approx(3))
    assert found.low == pytest.approx([-9, -17, 3]) and found.high == pytest.approx([15, 23, 3])
    assert found.flips.tolist() == [True, True, False]
    assert found.widest_first.tolist() == [1, 0, 2]
    assert asked == [{"b": (7,), "a": (7,), "c": (7,)}]  # 2 x 3 + 1 runs, once


def test_a_tornado_stands_at_the_tenth_the_middle_and_the_ninetieth():
    found = tornado(lambda x: x["a"] + 100 * x["b"], {"a": lognormal(800, 1400), "b": triangular(0, 1, 2)})
    middle = np.sqrt(800 * 1400) + 100
    assert found.middle == pytest.approx(middle)
    assert found.low == pytest.approx([900, middle - 100 * (1 - np.sqrt(0.2))])  # a triangle of 0 to 2 is below sqrt(2 x 0.1) in a tenth
    assert found.high == pytest.approx([1500, middle + 100 * (1 - np.sqrt(0.2))])


@pytest.mark.parametrize(
    ("answer", "flips"),
    [
        (lambda x: x["a"] + 6, False),
        (lambda x: 4 - x["a"], False),  # down to 0, not beyond
        (lambda x: 3 - x["a"], True),
        (lambda x: -((x["a"]) ** 2) + 1, True),  # the same at both ends, another in the middle
    ],
)
def test_the_answer_flips_only_if_both_signs_are_met(answer, flips):
    assert tornado(answer, {"a": evenly(-5, 5)}).flips.tolist() == [flips]


def test_equal_bars_stay_in_the_order_of_the_inputs():
    names = [f"x{k}" for k in range(40)]
    found = tornado(lambda x: sum((1 + (k % 2)) * x[name] for k, name in enumerate(names)), {name: evenly(0, 1) for name in names})
    assert found.widest_first.tolist() == [*range(1, 40, 2), *range(0, 40, 2)]


# indices


def test_shares_of_a_published_function_agree_and_scipy_finds_the_same():
    found = indices(ishigami, AROUND, 4096, 1)
    np.testing.assert_allclose(found.first, [float(row["first"]) for row in ISHIGAMI[:3]], atol=0.004)
    np.testing.assert_allclose(found.total, [float(row["total"]) for row in ISHIGAMI[:3]], atol=0.004)
    assert found.variance == pytest.approx(1 / 2 + 49 / 8 + 0.1 * np.pi**4 / 5 + 0.01 * np.pi**8 / 18, rel=0.002)  # 13.8446
    foreign = stats.sobol_indices(
        func=lambda x: ishigami(dict(zip("123", x, strict=True))), n=4096, dists=[stats.uniform(-np.pi, 2 * np.pi)] * 3, rng=np.random.default_rng(1)
    )
    np.testing.assert_allclose(found.first, foreign.first_order, atol=0.006)
    np.testing.assert_allclose(found.total, foreign.total_order, atol=0.006)


def test_several_scramblings_come_to_the_printed_digits_and_say_how_near():
    found = indices(ishigami, AROUND, 4096, 1, scramblings=8)
    exact = [float(row["total"]) for row in ISHIGAMI[:3]]
    assert found.total[2] == printed(ISHIGAMI[3]["total"])
    assert np.all(np.abs(found.total - exact) < 5 * found.total_error + 5e-5)  # t of 7 degrees: beyond 5 in 1 of 600
    assert np.all(np.abs(found.first - [float(row["first"]) for row in ISHIGAMI[:3]]) < 5 * found.first_error + 5e-5)
    assert np.all(found.total_error < 0.001) and np.all(found.first_error < 0.003)
    assert np.all(np.isnan(indices(ishigami, AROUND, 64, 1).total_error))


def test_shares_of_a_sum_are_those_of_the_squares():
    # Variances of 3 a, -2 b, c over 0 to 1: 9, 4, 1 twelfths; nothing is done together, so both indices are the same.
    found = indices(lambda x: 40 + 3 * x["a"] - 2 * x["b"] + x["c"] + 0 * x["d"], {name: evenly(0, 1) for name in "abcd"}, 1024, 3)
    np.testing.assert_allclose(found.first, np.array([9, 4, 1, 0]) / 14, atol=0.002)
    np.testing.assert_allclose(found.total, np.array([9, 4, 1, 0]) / 14, atol=0.002)
    assert (found.first[3], found.total[3]) == (0, 0)
    assert found.variance == pytest.approx(14 / 12, rel=1e-3)


def test_shares_of_a_product_are_by_themselves_and_together_by_hand():
    # (1 + a) b with a, b of mean 0 and variances 1/3: of b by itself 1/3, together 1/9, so b 3/4 and in all 1, a 0 and in all 1/4.
    found = indices(lambda x: (1 + x["a"]) * x["b"], {"a": evenly(-1, 1), "b": evenly(-1, 1)}, 4096, 2)
    assert found.first == pytest.approx([0, 0.75], abs=0.003)
    assert found.total == pytest.approx([0.25, 1], abs=0.003)


def test_one_batch_of_all_runs_and_no_unit():
    asked = []

    def answer(x):
        asked.append(x["a"].shape)
        return x["a"] + x["b"] ** 2

    names = {"a": evenly(0, 1), "b": evenly(0, 2)}
    plain = indices(answer, names, 256, 5)
    assert asked == [(1024,)]  # 256 x (2 + 2)
    scaled = indices(lambda x: 1e5 + 100 * (x["a"] + x["b"] ** 2), names, 256, 5)
    np.testing.assert_allclose([scaled.first, scaled.total], [plain.first, plain.total], rtol=1e-8)
    assert scaled.variance == pytest.approx(1e4 * plain.variance)


def test_nothing_shares_in_an_answer_that_never_changes():
    found = indices(lambda x: 0 * x["a"] + 7, {"a": evenly(0, 1)}, 64, 1)
    assert (found.first.tolist(), found.total.tolist(), found.variance) == ([0], [0], 0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: tornado(lambda x: 1, {}), "quantiles must hold at least one input, got none."),
        (lambda: indices(lambda x: 1, {}, 64, 1), "quantiles must hold at least one input, got none."),
        (lambda: tornado(lambda x: np.where(x["a"] > 8, np.nan, 1), {"a": evenly(0, 10)}), "answer must be finite, got nan at a 9."),
        (lambda: tornado(lambda x: 7.0, {"a": evenly(0, 10)}), "answer must give one figure a run, 3, got shape ()."),
        (lambda: indices(lambda x: x["a"], {"a": evenly(0, 10)}, 100, 1), "n must be a power of two, got 100. Write 1024 or 4096."),
        (lambda: indices(lambda x: x["a"], {"a": evenly(0, 10)}, 64, 1, 0), "scramblings must be at least 1, got 0."),
    ],
)
def test_what_cannot_be_asked_is_refused(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert str(refused.value) == message
