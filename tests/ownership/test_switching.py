"""Keep or go over to another: published decisions, cases by hand, all plans compared one by one, refusals."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis.extra.numpy import arrays
from lives import LIVES, case, kept
from reference.printed import case_ids, numbers, printed, rows

from buildecon.ownership.economic_life import economic_life, marginal_cost
from buildecon.ownership.keeping import cost_if_kept, level_cost
from buildecon.ownership.switching import keep_or_switch, keep_until
from buildecon.quantities.timevalue import annuity_factor, discount_factor

steadily = settings(deadline=None, derandomize=True)
DECISIONS = rows("replacement_decisions.csv")
rates = st.sampled_from([0.0, 1e-9, -0.05]) | st.floats(0.001, 0.4)
curves = arrays(float, 9, elements=st.integers(-(10**6), 10**7).map(lambda cents: cents / 100))


def total_of(single_years, rate):
    """Cost if kept of one that is sold at once for what it is worth, from the cost of its single years."""
    single_years = np.asarray(single_years, dtype=float)
    return np.concatenate([[0], np.cumsum(single_years * discount_factor(rate, np.arange(1, single_years.size + 1)))])


# keep_until


@pytest.mark.parametrize("row", DECISIONS, ids=case_ids(DECISIONS))
def test_the_old_machine_is_kept_as_long_as_published(row):
    rate, other = float(row["rate"]), float(row["new_annual_cost"])
    total = kept(case(row["table"])) if row["table"] else total_of(numbers(row["marginal_cost"]), rate)
    assert marginal_cost(total, rate, 1).tolist() == [printed(figure) for figure in row["marginal_cost"].split(";")]
    rule = keep_until(total, other, rate, 1)
    assert (rule.years, rule.status) == (int(row["years"]), "inside")


def test_an_overhaul_now_is_dearer_than_the_new_machine_and_yet_worth_it():
    # Newnan, page 415 (read): 6120 in the first year against 4589, and yet kept 4 years, for the years after it are cheap.
    (row,) = [row for row in DECISIONS if row["case"] == "overhaul now"]
    rule = keep_until(total_of(numbers(row["marginal_cost"]), 0.08), 4589, 0.08, 1)
    assert (rule.first_dearer, rule.lumpy) == (0, True)
    assert rule.one_more.tolist() == [False, True, True, True, False]
    assert rule.on.tolist() == [True, True, True, True, False]


def test_a_first_year_dearer_than_the_new_machine_does_not_decide_by_hand():
    # Newnan, example 13-5 (single years read): 16000, 14000, 13500, 15300, 17500 against 15430 at 15 %. Saved by year, at the start:
    # -570 / 1.15 = -495.65; +1430 / 1.3225 = +1081.29; +1930 / 1.520875 = +1269.01; +130 / 1.74900625 = +74.33; -2070 / 2.0113571875 = -1029.16.
    # Added up: -495.65; 585.63; 1854.64; 1928.97; 899.81.
    total = total_of([16000, 14000, 13500, 15300, 17500], 0.15)
    rule = keep_until(total, 15430, 0.15, 1)
    assert (rule.years, rule.status, rule.first_dearer, rule.lumpy) == (4, "inside", 0, True)
    assert rule.saving == pytest.approx(1928.97, abs=0.02)
    # Its own least annual cost is at 3 years: keeping goes on while the next single year is cheaper than the new machine.
    assert economic_life(total, 0.15, 1).years == 3


def test_the_later_version_of_the_sullivan_choice_by_hand():
    # 7500 now, then 6000, 4500, 3000, 1500, costs 8250, 9900, 11700, 13200 at 10 %:
    # 8250 - 6000 + 8250 = 10500; 6600 - 4500 + 9900 = 12000; 4950 - 3000 + 11700 = 13650; 3300 - 1500 + 13200 = 15000.
    total = cost_if_kept(7500, [8250, 9900, 11700, 13200], [7500, 6000, 4500, 3000, 1500], 0.10, 1)
    np.testing.assert_allclose(marginal_cost(total, 0.10, 1), [10500, 12000, 13650, 15000], rtol=1e-12)
    assert list(level_cost(total, 0.10, 1)[1:]) == [printed(figure) for figure in ("10500.00", "11214.29", "11950.15", "12607.30")]
    found = keep_or_switch(total, kept(case("table 9-2")), 0.10, 1)
    assert (found.other.years, found.keep.years, found.keep.first_dearer) == (3, 2, 2)


def test_a_bill_far_ahead_stops_the_keeping_before_it_unless_cheap_years_follow():
    # 80, 80, 400, 20, 20 against 100 at no interest, saved: 20, 40, -260, -180, -100: go before the bill.
    rule = keep_until([0, 80, 160, 560, 580, 600], 100, periods_a_year=1)
    assert (rule.years, rule.saving, rule.cost, rule.status, rule.lumpy) == (2, 40, 80, "inside", False)
    assert rule.on.tolist() == [True, True, False, True, True]
    assert rule.one_more.tolist() == [True, True, False, True, True]
    # 80, 80, 130, 40, 40: saved 20, 40, 10, 70, 130: through it, to the end of the range.
    rule = keep_until([0, 80, 160, 290, 330, 370], 100, periods_a_year=1)
    assert (rule.years, rule.saving, rule.cost, rule.status, rule.first_dearer) == (5, 130, 74, "or more", 2)
    assert rule.on.all()
    assert rule.searched == 5


def test_one_that_is_dearer_over_every_stretch_goes_at_once():
    rule = keep_until([0, 120, 210, 330], 100, periods_a_year=1)
    assert (rule.years, rule.status, rule.saving, rule.first_dearer) == (0, "at once", 0, 0)
    assert np.isnan(rule.cost) and rule.least == 105  # two years of 120 and 90: the nearest it comes to 100
    assert str(keep_until([0, 1], -5).saving) == "0.0"
    # From the end of year 1 on, another year at 90 would be cheaper: who has come so far keeps it one more.
    assert rule.on.tolist() == [False, True, False]


def test_of_two_that_save_the_same_the_shorter_keeping_is_taken():
    # Every month costs what the other costs: there is no reason to wait.
    assert keep_until(total_of(np.full(6, 100), 0.07), 100, 0.07, 1).years == 0
    # 50, 100, 100, 150: kept for the cheap year and no longer.
    assert keep_until([0, 50, 150, 250, 400], 100, periods_a_year=1).years == 1


def test_with_nothing_to_go_over_to_there_is_no_answer_and_it_says_so():
    rule = keep_until([0, 10, 20], [np.nan, 15], periods_a_year=1)
    assert rule.status.tolist() == ["none", "or more"]
    assert np.isnan(rule.years[0]) and np.isnan(rule.saving[0]) and np.isnan(rule.cost[0]) and np.isnan(rule.first_dearer[0])
    assert rule.lumpy.tolist() == [False, False]
    assert rule.on.tolist() == [[False, False], [True, True]]


def test_without_a_period_there_is_nothing_to_keep_it_for():
    for total in ([5.0], [[5.0], [6.0]]):
        rule = keep_until(total, 3.0)
        assert np.all(rule.years == 0) and np.all(np.isnan(rule.least)) and rule.least.shape == np.shape(total)[:-1] and rule.searched == 0


def test_what_is_lost_in_buying_it_is_gone_either_way():
    # The first figure is the loss of selling at once; a dearer start moves every exit and no answer.
    one, other = keep_until([0, 80, 250], 100, periods_a_year=1), keep_until([500, 580, 750], 100, periods_a_year=1)
    assert (one.years, one.saving, one.cost) == (other.years, other.saving, other.cost) == (1, 20, 80)


def test_months_by_hand():
    # 12 months at 50, then at 150, against 100 a month, no interest: one year, 600 saved.
    rule = keep_until(np.cumsum([0, *[50] * 12, *[150] * 12]), 100)
    assert (rule.years, rule.saving, rule.cost, rule.searched) == (1, 600, 50, 2)

    # At 1 % a month: 50 a month, each worth 1.01^-k, for twelve months.
    rule = keep_until(cost_if_kept(0, [*[50] * 12, *[150] * 12], np.zeros(25), 1.01**12 - 1), 100, 1.01**12 - 1)
    assert (rule.years, rule.saving) == (1, pytest.approx(sum(50 * 1.01**-k for k in range(1, 13)), rel=1e-12))
    assert rule.cost == pytest.approx(50, rel=1e-12)


@steadily
@given(arrays(float, 8, elements=st.floats(0, 1e4)), st.floats(0, 1e4), rates)
def test_where_single_years_only_get_dearer_the_first_dear_one_decides(single, other, rate):
    rule = keep_until(total_of(np.sort(single), rate), other, rate, 1)
    if np.min(np.abs(np.sort(single) - other)) > 1e-3:
        assert (rule.years, rule.first_dearer) == (np.sum(single < other), np.sum(single < other))
        assert not rule.lumpy


@steadily
@given(curves, st.floats(-1e4, 1e5), rates)
def test_the_answer_is_where_keeping_on_stops_and_it_saves_most(total, other, rate):
    rule = keep_until(total, other, rate, 1)
    saving = other * annuity_factor(rate, np.arange(9)) - (total - total[0])
    assert rule.saving >= saving.max() - 1e-6 * (1 + np.abs(saving).max())
    assert rule.saving >= 0
    stops = np.flatnonzero(~rule.on)
    assert rule.years == (stops[0] if stops.size else 8)
    # One more period that is cheaper by itself is reason enough to keep on.
    assert np.all(rule.on | ~rule.one_more)
    assert rule.first_dearer <= rule.years


@steadily
@given(curves, st.floats(-1e4, 1e5), st.floats(0, 1e4), rates)
def test_a_dearer_other_is_never_a_reason_to_go_sooner(total, other, more, rate):
    assert keep_until(total, other + more, rate, 1).years >= keep_until(total, other, rate, 1).years


@steadily
@given(curves, st.floats(-1e4, 1e5), rates, st.integers(-8, 8))
def test_other_money_is_the_same_answer(total, other, rate, power):
    one, scaled = keep_until(total, other, rate), keep_until(total * 2.0**power, other * 2.0**power, rate)
    assert (one.years, one.status, one.first_dearer) == (scaled.years, scaled.status, scaled.first_dearer)
    assert scaled.saving == one.saving * 2.0**power


@pytest.mark.parametrize("row", LIVES, ids=case_ids(LIVES))
def test_another_of_the_same_kind_saves_nothing(row):
    # Kept for its economic life one costs as much as the next one: going over at once is as good, keeping longer is no better.
    life = economic_life(kept(row), float(row["rate"]), 1)
    assert keep_until(kept(row), life.cost, float(row["rate"]), 1).saving == pytest.approx(0, abs=1e-6 * float(row["first_cost"]))
    assert keep_until(kept(row), life.cost + 1e-3, float(row["rate"]), 1).years >= life.years


@steadily
@given(arrays(float, (2, 3, 9), elements=st.floats(0, 1e5)), arrays(float, (2, 3), elements=st.floats(0, 1e5)), arrays(float, 3, elements=st.floats(-0.1, 0.4)))
def test_many_answers_are_each_answer_alone(total, other, rate):
    together = keep_until(total, other, rate)
    for option in range(2):
        for scenario in range(3):
            alone = keep_until(total[option, scenario], other[option, scenario], rate[scenario])
            for name in ("years", "status", "first_dearer", "saving", "cost", "on", "one_more", "lumpy"):
                np.testing.assert_array_equal(getattr(together, name)[option, scenario], getattr(alone, name))


# keep_or_switch


def test_the_assignment_delays_by_one_year_by_a_margin_as_printed():
    # MS303 (read): 21 460.00 against 21 465.46.
    found = keep_or_switch(kept(case("9 old machine of MS303")), kept(case("10 new machine of MS303")), 0.15, 1)
    assert found.saves == printed("5.46")
    assert found.one_more_year == printed("21460.00")
    assert (found.keep.years, found.other.years, found.other.status) == (1, 12, "or more")


def test_the_example_from_memory_keeps_two_years():
    found = keep_or_switch(kept(case("example 9-5 old machine")), kept(case("table 9-1")), 0.10, 1)
    assert (found.keep.years, found.other.years, found.one_more_year) == (2, 3, pytest.approx(7000, rel=1e-12))


def test_one_car_against_many_in_months():
    have = cost_if_kept(5000, np.linspace(100, 500, 60), np.linspace(5000, 2000, 61), 0.04)
    others = cost_if_kept([20000, 9000], np.full((2, 120), 80.0), np.linspace([20000, 9000], [4000, 1000], 121).T, 0.04)
    found = keep_or_switch(have, others, 0.04)
    assert found.saves.shape == found.keep.years.shape == (2,)
    for k in range(2):
        alone = keep_or_switch(have, others[k], 0.04)
        assert (alone.keep.years, alone.saves, alone.keep.saving) == (found.keep.years[k], found.saves[k], found.keep.saving[k])
    assert found.one_more_year == pytest.approx(level_cost(have, 0.04)[12], rel=1e-12)
    assert np.isnan(keep_or_switch(have[:7], others, 0.04).one_more_year)


def chain(money_in, running, end_value, lives, rate, horizon=300):
    """Present value of one car after another, the last life repeated, flow by flow for so many years."""
    flows, start, k = np.zeros(horizon + running.size + 1), 0, 0
    while start < horizon:
        life = lives[min(k, len(lives) - 1)]
        flows[start] += money_in
        flows[start + 1 : start + life + 1] += running[:life]
        flows[start + life] -= end_value[life]
        start, k = start + life, k + 1
    return np.sum(flows * (1 + rate) ** -np.arange(flows.size, dtype=float))


@pytest.mark.parametrize("seed", range(200))
def test_no_plan_of_replacements_is_cheaper_than_the_rule(seed):
    # Keep for 0 to 5 years, then one of the new kind for 1 to 4 years and others of it for 1 to 4 years each, without end.
    rng = np.random.default_rng(seed)
    rate = rng.uniform(0.09, 0.3)
    have_value = np.concatenate([[v := rng.uniform(0, 8000)], v * np.cumprod(rng.uniform(0.5, 1.05, 5))])
    have_running = rng.uniform(500, 4000, 5) + rng.choice([0, 0, 6000], 5)
    value = np.concatenate([[v := rng.uniform(5000, 30000)], v * np.cumprod(rng.uniform(0.4, 0.95, 4))])
    running, money_in = rng.uniform(300, 2500, 4) + rng.choice([0, 0, 0, 5000], 4), value[0] * rng.uniform(1, 1.2)
    plans = {}
    for first in range(1, 5):
        for later in range(1, 5):
            then = chain(money_in, running, value, (first, later), rate)
            for years in range(6):
                own = have_running[:years] @ (1 + rate) ** -np.arange(1.0, years + 1) - have_value[years] * (1 + rate) ** -float(years)
                plans[years, first, later] = own + then * (1 + rate) ** -float(years)
    found = keep_or_switch(cost_if_kept(have_value[0], have_running, have_value, rate, 1), cost_if_kept(money_in, running, value, rate, 1), rate, 1)
    chosen = plans[int(found.keep.years), int(found.other.years), int(found.other.years)]
    assert chosen <= min(plans.values()) + 1e-4
    at_once = plans[0, int(found.other.years), int(found.other.years)]
    assert found.keep.saving == pytest.approx(at_once - chosen, abs=1e-4)


# Refusals


def test_what_is_no_cost_is_refused():
    with pytest.raises(ValueError, match=r"^other_cost must be finite, or NaN where there is nothing to go over to, got inf\.$"):
        keep_until([0, 1], np.inf)
    with pytest.raises(ValueError, match=r"^total must be finite, got nan\.$"):
        keep_until([0, np.nan], 1)
    with pytest.raises(ValueError, match=r"^total must be finite, got inf\.$"):
        keep_or_switch([0, 1], [0, np.inf])
    with pytest.raises(ValueError, match=r"^discount_rate must be above -1, got -2\.0\.$"):
        keep_or_switch([0, 1], [0, 1], discount_rate=-2)
