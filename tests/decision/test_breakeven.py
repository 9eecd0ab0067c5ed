"""Where curves cross: published roots, crossings by hand, hidden and double roots, jumps, and what must hold for any line."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, numbers, printed, rows

from buildecon.decision.breakeven import break_even, find_crossings
from buildecon.ownership.keeping import cost_if_kept
from buildecon.quantities.timevalue import annuity_factor, discount_factor, present_value

steadily = settings(deadline=None, derandomize=True)
RATES = rows("internal_rates.csv")
PAGES = {row["case"]: row for row in rows("break_even_pages.csv")}
ANNUITIES = {(row["case"], row["what"]): row for row in rows("annuity_rates.csv")}


def zeros(difference, low, high):
    return find_crossings(difference, low, high).at


# break_even, on a broken line


def test_the_old_machine_of_newnan_is_cheaper_from_year_2_and_dearer_from_year_5():
    # D. Newnan et al., example 13-5 (read): one more year of the old machine costs this, the new one 15 430 a year.
    one_more_year = np.array([16000, 14000, 13500, 15300, 17500])
    found = break_even(one_more_year - 15430, [1, 2, 3, 4, 5])
    assert [(meeting.kind, meeting.cheaper_before, meeting.cheaper_after) for meeting in found.crossings] == [
        ("crossing", "second", "first"),
        ("crossing", "first", "second"),
    ]
    # By hand: 1 + 570 / 2000 = 1.285 and 4 + 130 / 2200.
    assert found.at == (pytest.approx(1.285, rel=1e-14), pytest.approx(4 + 130 / 2200, rel=1e-14))


def test_a_saving_pays_back_when_a_worked_page_says():
    # A homework page (read): 25 000 paid for 15 000 a year at 18 % is paid back after 2.166 years, read off between the years.
    left = cost_if_kept(25000, [-15000, -15000, -15000], np.zeros(4), 0.18, periods_a_year=1)
    (at,) = break_even(left, [0, 1, 2, 3]).at
    assert at == printed("2.166", "0.001")
    assert at == pytest.approx(2.1659866666666665, rel=1e-9)


@pytest.mark.parametrize(
    ("difference", "at", "kinds", "verdict", "at_end"),
    [
        # From 2 to -2 in one step: the middle. From 1 to -3: a quarter of the way.
        ([2, -2, -2], [0.5], ["crossing"], "changes", "first"),
        ([3, 1, -3], [1.25], ["crossing"], "changes", "first"),
        ([-3, 1, 1], [0.75], ["crossing"], "changes", "second"),
        # Exactly equal on a point of the grid is one meeting, crossed or only touched; an equal stretch counts from where it starts.
        ([1, 0, -1], [1], ["crossing"], "changes", "first"),
        ([1, 0, 1], [], ["touch"], "second always", "second"),
        ([-1, 0, -1], [], ["touch"], "first always", "first"),
        ([1, 0, 0, -1], [1], ["crossing"], "changes", "first"),
        ([1, -1, 1], [0.5, 1.5], ["crossing", "crossing"], "changes", "second"),
        ([1, 2, 3], [], [], "second always", "second"),
        ([-1, -2, -3], [], [], "first always", "first"),
        ([0, 0, 0], [], [], "equal", "neither"),
        ([0, 1, 2], [], [], "second always", "second"),
    ],
)
def test_a_broken_line_by_hand(difference, at, kinds, verdict, at_end):
    found = break_even(difference, np.arange(len(difference)))
    assert found.at == tuple(pytest.approx(place, rel=1e-14) for place in at)
    assert [meeting.kind for meeting in found.crossings] == kinds
    assert (found.verdict, found.cheaper_at_end, found.low, found.high) == (verdict, at_end, 0.0, len(difference) - 1.0)


@steadily
@given(st.lists(st.integers(-50, 50).filter(bool), min_size=2, max_size=30))
def test_a_broken_line_is_zero_where_it_crosses_and_each_crossing_changes_hands(difference):
    grid = np.linspace(0, 10, len(difference))
    found = break_even(difference, grid)
    np.testing.assert_allclose(np.interp(found.at, grid, difference), 0, atol=1e-9)
    assert len(found.at) == np.sum(np.diff(np.sign(difference)) != 0)
    assert list(found.at) == sorted(found.at)
    hands = [found.crossings[0].cheaper_before, *(meeting.cheaper_after for meeting in found.crossings)] if found.crossings else []
    assert all(before != after for before, after in zip(hands[:-1], hands[1:], strict=True))
    assert found.cheaper_at_end == ("first" if difference[-1] < 0 else "second")


@steadily
@given(st.lists(st.integers(-50, 50), min_size=2, max_size=30), st.floats(0.01, 1e6))
def test_a_break_even_does_not_depend_on_the_currency_and_swapping_the_two_swaps_the_names(difference, scale):
    grid = np.arange(len(difference))
    plain, dearer, swapped = (break_even(factor * np.array(difference, dtype=float), grid) for factor in (1, scale, -1))
    np.testing.assert_allclose(dearer.at, plain.at, rtol=1e-12, atol=1e-12)
    assert swapped.at == plain.at
    assert dearer.verdict == plain.verdict
    other = {"first": "second", "second": "first", "neither": "neither"}
    assert swapped.cheaper_at_end == other[plain.cheaper_at_end]


@pytest.mark.parametrize("hole", [np.nan, np.inf, -np.inf])
def test_a_difference_with_a_hole_is_refused(hole):
    with pytest.raises(ValueError, match=r"^difference must be finite at every point of the grid\.$"):
        break_even([1, hole, -1], [0, 1, 2])
    with pytest.raises(ValueError, match=r"^difference must be finite from 0 to 10\.$"):
        find_crossings(lambda x: np.where(x > 5, hole, 1.0), 0, 10)


# find_crossings: internal rates of return are crossings of a present value with nothing

# Every real rate above -95 %, worked out apart from this package; the published figures are some of these.
ALL_RATES = {
    "Lorie and Savage oil pump": [0.25, 4], "analyst exam question": [(3 - 5**0.5) / 2, (3 + 5**0.5) / 2], "worked page": [-0.76489011, 0.36790518],
    "Park Contemporary chapter 7": [0.10, 0.20], "Park Contemporary 5e 7.6": [-0.4472136, 0.4472136],
    "numpy-financial docstring b": [-0.87020125, 0.08859834, 0.70955953],
    "openstudio test of 2 years": [-0.44350694], "openstudio test of 3 years": [-0.18213746], "openstudio test of 4 years": [-0.02124485],
    "openstudio test of 5 years": [0.08663095], "finance slides": [0.34371734], "numpy-financial test": [0.05243289],
}  # fmt: skip


@pytest.mark.parametrize("row", RATES, ids=case_ids(RATES))
def test_rates_of_return_agree_with_published_ones_and_none_is_missed(row):
    flows = numbers(row["flows"])
    found = zeros(lambda rate: present_value(flows, rate), -0.95, 6)
    figures = row["printed"].split(";")
    tolerances = row["tolerance"].split(";") if ";" in row["tolerance"] else [row["tolerance"]] * len(figures)
    for figure, tolerance in zip(figures, tolerances, strict=True):
        assert any(100 * at == printed(figure, tolerance) for at in found), f"{figure} is not among {found}"
    if row["case"] in ALL_RATES:
        np.testing.assert_allclose(found, ALL_RATES[row["case"]], rtol=0, atol=1e-7 if len(found) > 1 else 1e-8)


def test_two_rates_that_are_exact_are_found_to_nine_digits():
    np.testing.assert_allclose(zeros(lambda rate: present_value([-1600, 10000, -10000], rate), -0.5, 6), [0.25, 4], rtol=1e-9)
    np.testing.assert_allclose(zeros(lambda rate: present_value([-1000, 2300, -1320], rate), -0.5, 6), [0.10, 0.20], rtol=1e-9)
    # 2000 (1 + r)^2 - 10000 (1 + r) + 10000 = 0: r = (3 -+ sqrt 5) / 2.
    found = zeros(lambda rate: present_value([-2000, 10000, -10000], rate), -0.5, 6)
    np.testing.assert_allclose(found, [0.3819660112501051, 2.618033988749895], rtol=1e-9)


def test_a_flow_that_never_pays_has_no_rate():
    # -1 + 2 v - 2 v^2 has the discriminant 4 - 8, below 0.
    found = find_crossings(lambda rate: present_value([-1, 2, -2], rate), -0.9, 6)
    assert (found.crossings, found.verdict) == ((), "first always")


def test_a_double_rate_is_a_touch():
    # -1 + 2.4 v - 1.44 v^2 = -(1 - 1.2 v)^2 touches 0 at 20 % and is nowhere above it.
    found = find_crossings(lambda rate: present_value([-1, 2.4, -1.44], rate), 0, 1)
    (touch,) = found.crossings
    assert (touch.kind, touch.cheaper_before, touch.cheaper_after, found.verdict, found.at) == ("touch", "first", "first", "first always", ())
    assert touch.at == pytest.approx(0.20, abs=1e-6)


@pytest.mark.parametrize(
    ("case", "difference", "low", "high", "exact"),
    [
        ("1", lambda x: 15000 + 140 * x + 0.04 * x**2 - (300 * x - 0.06 * x**2), 0, 3000, [100, 1500]),
        ("2", lambda q: 3 * q + 2 - 5 * np.sqrt(q), 0, 5, [4 / 9, 1]),
        ("3", lambda d: 73000 + 83 * d - (180 * d - 0.02 * d**2), 0, 6000, [931.4723, 3918.5277]),
    ],
)
def test_costs_and_revenues_cross_where_published(case, difference, low, high, exact):
    found = find_crossings(difference, low, high)
    np.testing.assert_allclose(found.at, exact, rtol=1e-9 if case != "3" else 6e-8)
    for at, figure in zip(found.at, PAGES[case]["printed"].split(";"), strict=True):
        assert at == printed(figure, PAGES[case]["tolerance"])
    # Revenue exceeds cost only between the two.
    assert [meeting.cheaper_after for meeting in found.crossings] == ["first", "second"]


ANNUITY_CASES = {
    "rates where 50 - 30 a(10) + 400 v^10 is 0": (lambda i: 50 - 30 * annuity_factor(i, 10) + 400 * discount_factor(i, 10), 0, 2, 100),
    "yearly rate at which 3000 a month for 360 months clears 500000": (lambda i: 3000 * annuity_factor(i / 12, 360) - 500000, 0, 1, 100),
    "monthly rate at which 514.55 for 60 months clears 24500": (lambda i: 514.55 * annuity_factor(i, 60) - 24500, 0, 0.1, 100),
    "months of 150 that clear 8000 at 7 % a year": (lambda n: 150 * annuity_factor(0.07 / 12, n) - 8000, 0, 240, 1),
    "years of 2000 that save 100000 at 7.5 %": (lambda n: 2000 * annuity_factor(0.075, n) / discount_factor(0.075, n) - 100000, 0, 60, 1),
    "years of 2000 that save 100000 at 0 %": (lambda n: 2000 * annuity_factor(0, n) / discount_factor(0, n) - 100000, 0, 60, 1),
}


@pytest.mark.parametrize("key", ANNUITIES, ids=[" ".join(key) for key in ANNUITIES])
def test_rates_and_terms_of_annuities_agree_with_published_ones(key):
    difference, low, high, scale = ANNUITY_CASES[key[1]]
    found, figures = zeros(difference, low, high), ANNUITIES[key]["printed"].split(";")
    for at, figure in zip(found, figures, strict=True):
        assert scale * at == printed(figure, ANNUITIES[key]["tolerance"])


@pytest.mark.parametrize(("years", "low", "high", "exact"), [(10, 0.15, 0.155, 0.15098414), (20, 0.19, 0.21, 0.19425795)])
def test_the_rate_of_a_payback_of_five_years_agrees_with_masters(years, low, high, exact):
    # G. Masters, Renewable and Efficient Electric Power Systems, example 5.6 (read): "just over 15 %" and "19-21 %".
    (at,) = zeros(lambda rate: annuity_factor(rate, years) - 5, 0, 1)
    assert low < at < high
    assert at == pytest.approx(exact, abs=1e-8)


def test_two_straight_costs_cross_by_hand():
    # 12 000 + 150 t = 6000 + 250 t at t = 6000 / 100 = 60; before it the second is cheaper.
    found = find_crossings(lambda t: 12000 + 150 * t - (6000 + 250 * t), 0, 240)
    (crossing,) = found.crossings
    assert crossing.at == pytest.approx(60, rel=1e-12)
    assert (crossing.kind, crossing.cheaper_before, crossing.cheaper_after, found.verdict, found.cheaper_at_end) == (
        "crossing",
        "second",
        "first",
        "changes",
        "first",
    )
    # Finishing, 6487 worth now and 23 765 still to pay, against a sale of the finished car that keeps 97 %: 30 252 / 0.97 = 31 187.63.
    assert zeros(lambda value: 6487 + 23765 - 0.97 * value, 0, 100000) == (pytest.approx(30252 / 0.97, rel=1e-12),)


@pytest.mark.parametrize(
    ("difference", "roots", "kinds"),
    [
        (lambda t: (t - 3) * (t - 7.123456), [3, 7.123456], ["crossing", "crossing"]),
        (lambda t: (t - 5.030) * (t - 5.034), [5.030, 5.034], ["crossing", "crossing"]),  # between two points of the scan, 0.039 apart
        (lambda t: -(t - 5.030) * (t - 5.034), [5.030, 5.034], ["crossing", "crossing"]),
        (lambda t: (t - 5.0321) ** 2, [5.0321], ["touch"]),
        (lambda t: (t - 5.0321) ** 2 + 0.001, [], []),
        (lambda t: (t - 5) ** 3, [5], ["crossing"]),
        (lambda t: np.where(t < 4.2, -1.0, 2.0), [4.2], ["jump"]),
        (lambda t: t - 4 + np.where(t < 4.2, -1.0, 2.0), [4.2], ["jump"]),
        (lambda t: 0 * t, [], []),
    ],
)
def test_hidden_roots_touches_and_jumps_are_told_apart(difference, roots, kinds):
    found = find_crossings(difference, 0, 10)
    np.testing.assert_allclose([meeting.at for meeting in found.crossings], roots, rtol=0, atol=1e-6 if kinds == ["touch"] else 1e-8)
    assert [meeting.kind for meeting in found.crossings] == kinds
    assert (found.low, found.high) == (0, 10)


def test_every_zero_of_a_wave_is_found():
    np.testing.assert_allclose(zeros(np.sin, 1, 60), np.pi * np.arange(1, 20), rtol=1e-12)


@steadily
@given(st.floats(-1e5, 1e5), st.floats(-1e3, 1e3).filter(lambda slope: abs(slope) > 1e-2), st.floats(0.5, 9.5))
def test_a_straight_line_crosses_where_it_was_put(offset, slope, at):
    # The same whatever is added to both costs.
    assert zeros(lambda t: offset + slope * t - (offset + slope * at), 0, 10) == (pytest.approx(at, abs=1e-6),)


@steadily
@given(st.lists(st.integers(2, 98), min_size=1, max_size=3, unique=True))
def test_every_root_of_a_polynomial_is_found_in_order(tenths):
    roots = np.sort(tenths) / 10 + 0.003
    found = find_crossings(lambda t: np.prod(t[:, None] - roots, axis=1), 0, 10)
    np.testing.assert_allclose(found.at, roots, rtol=0, atol=2e-4)
    assert all(meeting.kind == "crossing" for meeting in found.crossings)


def test_of_two_thousand_random_cubics_a_coarse_scan_misreads_but_a_few():
    # Roots anywhere in 0 to 10, 129 points: those with two roots all but equal are called a touch. A plain scan loses about 49.
    rng, wrong = np.random.default_rng(1), 0
    for roots in np.sort(rng.uniform(0, 10, (2000, 3)), axis=1):
        at = find_crossings(lambda t, r=roots: (t - r[0]) * (t - r[1]) * (t - r[2]), 0, 10, 129).at
        wrong += len(at) != 3 or not np.allclose(at, roots, rtol=0, atol=1e-8)
    assert wrong <= 4


def test_a_crossing_is_found_where_the_difference_is_far_larger_elsewhere():
    assert zeros(lambda t: np.exp(t) - 1.001, -30, 30) == (pytest.approx(np.log(1.001), abs=1e-6),)


def test_a_root_beside_a_point_of_the_scan_is_still_found_to_its_digits():
    roots = np.array([0.103, 0.203, 0.503, 0.703])
    np.testing.assert_allclose(zeros(lambda t: np.prod(t[:, None] - roots, axis=1), 0, 10), roots, rtol=0, atol=1e-8)


@pytest.mark.parametrize("roots", [(0.001, 0.002), (9.998, 9.999)])
def test_two_roots_at_the_edge_of_the_range_are_found(roots):
    assert len(zeros(lambda t: (t - roots[0]) * (t - roots[1]), 0, 10)) == 2


@pytest.mark.parametrize(
    ("difference", "verdict", "at_end"),
    [
        (lambda t: t + 1, "second always", "second"),
        (lambda t: -(t + 1), "first always", "first"),
        (lambda t: 0 * t, "equal", "neither"),
        (lambda t: 1e-7 * np.cos(t), "equal", "neither"),  # less than a millionth of the money apart
        (lambda t: t**2, "second always", "second"),  # equal at the start
        (lambda t: -np.maximum(t - 8, 0), "first always", "first"),  # equal to 8
        (lambda t: t - 10, "first always", "first"),  # equal at the end
        (lambda t: -((t - 5) ** 2), "first always", "first"),
    ],
)
def test_what_never_changes_hands_is_told_with_the_range_that_was_searched(difference, verdict, at_end):
    found = find_crossings(difference, 0, 10)
    assert (found.verdict, found.at, found.cheaper_at_end, found.low, found.high) == (verdict, (), at_end, 0, 10)
    assert all(meeting.kind == "touch" for meeting in found.crossings)


def counted(difference):
    asked = []

    def counting(t):
        asked.append(np.shape(t))
        return difference(t)

    return counting, asked


@pytest.mark.parametrize(
    ("difference", "most"),
    [
        (lambda t: t + 1e4, 1),  # far from 0: the scan alone
        (lambda t: t - 3.3, 1 + 5),  # the scan, and five narrowings
        (lambda t: np.sin(20 * t), 1 + 8 + 5),  # 63 zeros at once
        (lambda t: (t - 5.03) * (t - 5.034), 1 + 8 + 5),  # a dip is looked into first
        (lambda t: np.where(t < 4.2, -1.0, 2.0), 1 + 8 + 5),
    ],
)
def test_the_difference_is_asked_a_few_times_whatever_is_found(difference, most):
    counting, asked = counted(difference)
    find_crossings(counting, 0, 10)
    assert asked[0] == (257,) and 1 <= len(asked) <= most and all(len(shape) == 1 for shape in asked)


@pytest.mark.parametrize("hole", [np.nan, np.inf])
def test_a_difference_that_is_no_number_is_refused_with_the_range(hole):
    with pytest.raises(ValueError) as refused:
        find_crossings(lambda t: np.where(t > 9, hole, t), 0, 10)
    assert str(refused.value) == "difference must be finite from 0 to 10."
