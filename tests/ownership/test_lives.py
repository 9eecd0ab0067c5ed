"""Lives of components: formulas by hand, what survival, quantile and tail owe each other, used parts, refusals."""

import math
import re

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings

from buildecon.ownership.lives import exponential, life_from_table, lognormal, once_used, sure, weibull

steadily = settings(deadline=None, derandomize=True, max_examples=40)
shapes = st.integers(5, 80).map(lambda tenths: tenths / 10)
scales = st.integers(1, 10**6).map(float)
some_life = st.one_of(
    st.builds(weibull, shapes, scales),
    st.builds(lognormal, scales, st.integers(1, 20).map(lambda tenths: tenths / 10)),
    st.builds(exponential, scales),
    st.builds(lambda long: life_from_table([0, long / 2, 2 * long], [1, 0.7, 0.2]), scales),
)
shares = st.integers(1, 99).map(lambda percent: percent / 100)


def test_a_weibull_life_by_hand():
    # exp(-1) = .3679 last beyond the scale; shape 2: mean scale sqrt(pi) / 2 = .886227 scale; B10 = scale sqrt(-ln .9) = .324593 scale.
    life = weibull(2, 1000)
    assert life.survival(1000) == pytest.approx(math.exp(-1), rel=1e-14)
    assert life.mean == pytest.approx(1000 * math.sqrt(math.pi) / 2, rel=1e-14)
    assert life.quantile(0.9) == pytest.approx(324.5928, abs=5e-5)


def test_a_lognormal_life_by_hand():
    # Mean = median exp(spread^2 / 2): 200,000 x exp(.125) = 226,629.7; one spread down, 200,000 exp(-.5) = 121,306.1, 84.13 % last.
    life = lognormal(200_000, 0.5)
    assert (life.median, life.mean) == (pytest.approx(200_000), pytest.approx(226_629.7, abs=0.05))
    assert life.survival(121_306.1319) == pytest.approx(0.8413447, abs=5e-8)
    assert (life.survival(0), life.tail(np.inf)) == (1, 0)


def test_a_table_of_lives_by_hand():
    # 1 to .6 over 10 years, .6 to .2 over the next 10, then the end: 8 + 4 = 12 on average. From 5 on: (.8 + .6) / 2 x 5 + 4 = 7.5.
    life = life_from_table([0, 10, 20], [1, 0.6, 0.2])
    assert (life.mean, life.tail(5), life.median) == (pytest.approx(12), pytest.approx(7.5), pytest.approx(12.5))
    assert life.survival([0, 5, 19.999, 20]).tolist() == pytest.approx([1, 0.8, 0.20004, 0])
    assert life.quantile([0.1, 0.0]).tolist() == [20, 20]


def test_a_used_part_by_hand():
    # A sure life of 10 that has run 4 has 6 left. Without memory nothing is lost. Of a table: (.3 / .6) last from 10 to 17.5.
    assert once_used(sure(10), 4).mean == 6
    assert once_used(exponential(7), 100).mean == pytest.approx(7)
    assert once_used(life_from_table([0, 10, 20], [1, 0.6, 0.2]), 10).survival(7.5) == pytest.approx(0.5)


@steadily
@given(some_life, shares)
def test_the_quantile_undoes_the_survival_and_scalars_are_as_arrays(life, share):
    reading = life.quantile(share)
    assert reading >= 0
    if life.survival(reading) > 0:
        assert life.survival(reading) == pytest.approx(share, rel=1e-9)
    many = np.array([0.0, reading, 2 * reading])
    for function in (life.survival, life.tail, life.failed):
        assert function(many)[1] == pytest.approx(float(function(reading)), rel=1e-12, abs=1e-15)
        assert np.ndim(function(reading)) == 0


@steadily
@given(some_life)
def test_the_tail_is_the_integral_of_the_survival(life):
    ends = np.linspace(0, life.mean, 2001)
    middles = (ends[1:] + ends[:-1]) / 2
    assert life.tail(0.0) - life.tail(life.mean) == pytest.approx(np.sum(life.survival(middles)) * life.mean / 2000, rel=2e-3)
    assert np.all(np.diff(life.tail(ends)) <= 1e-9 * life.mean)


@steadily
@given(some_life, shares, shares)
def test_what_has_run_twice_has_run_the_sum(life, first, second):
    one, two = 0.4 * life.quantile(first), 0.4 * life.quantile(second)
    ahead = np.linspace(0, life.mean, 5)
    np.testing.assert_allclose(once_used(once_used(life, one), two).survival(ahead), once_used(life, one + two).survival(ahead), rtol=1e-9, atol=1e-12)


@steadily
@given(st.integers(11, 60), shares)
def test_a_part_that_wears_out_has_less_left_when_used_and_one_that_fails_early_more(tenths, share):
    wears, early = weibull(tenths / 10, 1.0), weibull(10 / tenths, 1.0)
    assert once_used(wears, 1 - share).mean < wears.mean
    assert once_used(early, 1 - share).mean > early.mean


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: weibull(0, 1), "shape must be at least 1e-09, got 0.0."),
        (lambda: weibull(2, np.nan), "scale must be at least 1e-09, got nan."),
        (lambda: lognormal(-5, 1), "median must be at least 1e-09, got -5.0."),
        (lambda: lognormal(5, 0), "spread must be at least 1e-09, got 0.0."),
        (lambda: exponential(0), "mean must be at least 1e-09, got 0.0."),
        (lambda: sure(-1), "length must be at least 1e-09, got -1.0."),
        (lambda: once_used(sure(10), 10), "used must be a reading that some reach, got 10.0. A part that has outlasted its life needs a longer life."),
        (lambda: once_used(sure(10), -1), "used must be at least 0, got -1.0."),
        (lambda: life_from_table([0, 1], [1, 0.5, 0]), "survival must be as many as readings, two or more, got 3 and 2."),
        (lambda: life_from_table([1, 2], [1, 0]), "readings must start at 0 and rise, got [1.0, 2.0]."),
        (lambda: life_from_table([0, 1, 2], [1, 0.4, 0.5]), "survival must start at 1 and never rise, got [1.0, 0.4, 0.5]."),
    ],
)
def test_a_life_that_cannot_be_is_refused(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
