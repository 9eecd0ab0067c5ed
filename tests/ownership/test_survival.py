"""Survival tables against their published totals, a formula of another source, and the two clocks of a car by hand."""

import re

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, printed, rows

from buildecon.ownership.lives import exponential, lognormal, sure, weibull
from buildecon.ownership.renewals import expected_renewals
from buildecon.ownership.survival import TABLES, SurvivalTable, further_distance, further_years, lifetime_present_value_factor, survival_table, two_clocks
from buildecon.quantities.units import KM_PER_MILE

CASES = rows("nhtsa_survival.csv")
steadily = settings(deadline=None, derandomize=True, max_examples=25)
HAND = SurvivalTable("by hand", "", "", np.array([1.0, 2, 3]), np.array([0.9, 0.5, 0.1]), np.array([100.0, 80, 50]), np.array([1.0, 2, 3]))


@pytest.mark.parametrize("case", CASES, ids=case_ids(CASES))
def test_published_totals(case):
    table = survival_table(case["case"])
    assert further_distance(table) / KM_PER_MILE == printed(case["lifetime_miles"], case["tolerance"])
    if case["table_miles"]:
        assert further_distance(table) / KM_PER_MILE == printed(case["table_miles"])
    assert table.life.median == printed(case["median"])
    if case["factors"]:
        assert lifetime_present_value_factor(table, [0.03, 0.07, 0.10]).tolist() == [printed(text) for text in case["factors"].split(";")]
    if case["miles_after_5_10_15_20"]:
        found = further_distance(table, [5, 10, 15, 20]) / KM_PER_MILE
        assert found.tolist() == [printed(text) for text in case["miles_after_5_10_15_20"].split(";")]


def test_the_remembered_table_of_cars_agrees_with_formulas_that_were_read():
    # Default light-duty parameters in the public source of a national laboratory's fleet model (read): 1 - exp(-exp(A + B age)), cubic for miles.
    table, a = survival_table("NHTSA cars"), np.arange(1.0, 26)
    formula = 1 - np.exp(-np.exp(np.where(a <= 10, 1.649 - 0.121 * a, 3.381 - 0.286 * a)))
    np.testing.assert_allclose(table.share, formula, atol=0.0014)
    np.testing.assert_allclose(table.km / KM_PER_MILE, 14476 - 232.8 * a - 13.2 * a**2 + 0.367 * a**3, atol=9.45)
    assert table.km.sum() / KM_PER_MILE == printed("251987")
    assert table.standing == "from memory, checked against its published totals"


@pytest.mark.parametrize("name", TABLES)
def test_a_table_falls_from_one_and_says_who_it_is_from(name):
    table = survival_table(name)
    assert table.age.size == table.share.size == table.km.size == table.year_end.size > 24
    assert np.all(np.diff(table.age) == 1) and np.all(np.diff(table.share) <= 0) and table.share[0] <= 1
    assert table.source and table.standing
    with pytest.raises(ValueError, match="read-only"):
        table.share[0] = 2


def test_a_small_table_by_hand():
    # .9 x 100 + .5 x 80 + .1 x 50 = 135. Alive at 1: (40 + 5) / .9 = 50; at 1.5, half of year 2: (20 + 5) / .7.
    assert further_distance(HAND, [0, 1, 1.5]).tolist() == pytest.approx([135, 50, 25 / 0.7])
    # Years: .95 + .7 + .3 = 1.95 from new; from 1 on (.7 + .3) / .9.
    assert further_years(HAND, [0, 1]).tolist() == pytest.approx([1.95, 1 / 0.9])
    # At 100 %: (90 / 2^.5 + 40 / 2^1.5 + 5 / 2^2.5) / 135.
    assert lifetime_present_value_factor(HAND, 1.0) == pytest.approx((90 / 2**0.5 + 40 / 2**1.5 + 5 / 2**2.5) / 135)


@steadily
@given(st.sampled_from(list(TABLES)), st.integers(0, 240).map(lambda tenths: tenths / 10))
def test_what_is_still_to_come_shrinks_with_the_miles_and_the_whole_life_grows(name, age):
    table = survival_table(name)
    assert further_distance(table, age) > 0 and np.ndim(further_distance(table, age)) == 0
    assert age + further_years(table, age) >= further_years(table) - 1e-9
    assert further_distance(table, [age, age])[1] == further_distance(table, age)
    assert lifetime_present_value_factor(table, 0.0) == pytest.approx(1)


# two_clocks


def test_two_sure_clocks_by_hand():
    # Shell 20 years, 12 old: 8 left. Engine 200,000 km, run 140,000, at 10,000 a year: 6 years. The engine goes first; one engine more lasts beyond.
    found = two_clocks(sure(20), sure(200_000), 10_000, shell_age=12, engine_km=140_000)
    assert (found.first, found.chance_engine_first, found.engine_renewals) == ("engine", 1, 1)
    assert (found.years, found.years_if_given_up, found.engine_years) == (8, 6, 6)
    # A new engine in that shell would do 20 years: the shell ends it after 8.
    crate = two_clocks(sure(20), sure(200_000), 10_000, shell_age=12)
    assert (crate.first, crate.chance_engine_first, crate.engine_renewals, crate.years_if_given_up) == ("shell", 0, 0, 8)


def test_two_clocks_without_memory_by_hand():
    # Shell mean 10 years, engine 150,000 km at 10,000 a year is 15: the engine goes first with (1/15) / (1/10 + 1/15) = .4; first end after 6; 10 / 15 renewals.
    found = two_clocks(exponential(10), exponential(150_000), 10_000, shell_age=3, engine_km=80_000)
    assert (found.first, found.chance_engine_first) == ("shell", pytest.approx(0.4, abs=1e-4))
    assert (found.years, found.engine_years) == (pytest.approx(10), pytest.approx(15))
    assert (found.years_if_given_up, found.engine_renewals) == (pytest.approx(6, abs=1e-3), pytest.approx(10 / 15, abs=1e-3))


@steadily
@given(st.integers(15, 50), st.integers(50, 400), st.integers(2, 40), st.integers(0, 20), st.integers(0, 250))
def test_a_newer_engine_goes_later_and_a_sure_shell_needs_no_average(shape, scale, pace, age, run):
    shell, engine = survival_table("EPA pickups").life, weibull(shape / 10, 1000.0 * scale)
    old, new = (two_clocks(shell, engine, 1000.0 * pace, age, km) for km in (min(run, scale) * 1000.0, 0.0))
    assert old.years == new.years == pytest.approx(float(further_years(survival_table("EPA pickups"), age)))
    assert new.chance_engine_first <= old.chance_engine_first + 1e-12
    assert new.engine_renewals >= new.chance_engine_first - 1e-5
    for found in (old, new):
        assert found.years_if_given_up <= min(found.years, found.engine_years) * (1 + 1e-3)
        assert found.first == ("engine" if found.chance_engine_first > 0.5 else "shell")
    held = two_clocks(sure(9), engine, 1000.0 * pace)
    assert held.engine_renewals == pytest.approx(expected_renewals(engine, 9000.0 * pace), rel=1e-5, abs=1e-5)
    assert held.chance_engine_first == pytest.approx(engine.failed(9000.0 * pace), rel=1e-9, abs=1e-12)


def test_a_crate_engine_in_an_old_shell_seldom_gets_to_use_itself_up():
    # The owner's own engine life, log-normal with 300,000 km as B50; a fleet shell of 15 years; 12,000 km a year.
    shell = survival_table("NHTSA cars").life
    tired, crate = (two_clocks(shell, lognormal(300_000, 0.4), 12_000, 15, km) for km in (290_000, 0))
    assert tired.chance_engine_first > crate.chance_engine_first
    assert crate.first == "shell" and crate.engine_years > 5 * crate.years


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: survival_table("cars"), "name must be one of NHTSA cars, NHTSA light trucks, EPA cars, EPA pickups, got 'cars'."),
        (lambda: further_distance(survival_table("NHTSA cars"), 25), "age must be below 25, where the table NHTSA cars ends, got 25."),
        (lambda: further_years(survival_table("EPA cars"), [5, 31]), "age must be below 30, where the table EPA cars ends, got 31."),
        (lambda: further_years(survival_table("EPA cars"), -1), "age must be at least 0, got -1.0."),
        (lambda: two_clocks(sure(1), sure(1), 0), "km_a_year must be at least 1e-09, got 0.0."),
        (
            lambda: two_clocks(sure(20), sure(1), 5, shell_age=20),
            "used must be a reading that some reach, got 20.0. A part that has outlasted its life needs a longer life.",
        ),
    ],
)
def test_what_no_table_tells_is_refused(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
