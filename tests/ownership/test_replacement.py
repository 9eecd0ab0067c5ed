"""The end of a car's life: cases by hand, the months added up one by one, what lasts is left alone, refusals."""

import re
from dataclasses import replace

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import example, given, settings
from ownership.by_the_month import kept
from ownership.cases import cases, horizons, rates, stacked, terms_of
from ownership.test_keeping_causes import LOADED

from buildecon.ownership.keeping import Terms, total_if_kept
from buildecon.ownership.replacement import Life, total_if_replaced, totals_if_replaced
from buildecon.ownership.scenarios import totals

steadily = settings(deadline=None, derandomize=True, max_examples=100)


def test_a_car_is_scrapped_and_bought_again_by_hand():
    # 1000 in, 120 a year, 24,000 km in two years, worth 1000 and then half of it each year, scrap 50; the next one costs 1100.
    terms = Terms(1000, {"tax": 120}, value=1000, decline_rate=0.5, km_a_year=12000)
    life = Life(24000, 50, replace(terms, money_in=1100))
    total, when = total_if_replaced(terms, None, 60, life)
    assert when.tolist() == [24, 48]
    # Year 1: 1000 + 120 - 500; year 2, at its end: 1000 + 240 - 50 = 1190; year 3: 1190 + 1100 + 120 - 500; 4: 1190 + 1100 + 240 - 50; 5: 2480 + 720.
    np.testing.assert_allclose(total[::12], [0, 620, 1190, 1910, 2480, 3200], rtol=1e-13, atol=1e-12)
    # The month after: 1190 + 1100 + 10 less what is left of 1000 after a month.
    assert total[25] == pytest.approx(2300 - 1000 * 0.5 ** (1 / 12), rel=1e-13)


def test_prices_go_on_where_the_car_begins_anew():
    # Energy of 120 a year grows all the while, to 1.21 in two years; upkeep of 120 doubles in the first year and begins again at 120.
    terms = Terms(0, energy=[120], energy_growth=[0.1], km_a_year=12000, upkeep=120, upkeep_by_year=1.0)
    total = total_if_replaced(terms, None, 24, Life(12000)).total
    assert total[12] - total[11] == pytest.approx(10 * 1.1 + 20, rel=1e-12)
    assert total[13] - total[12] == pytest.approx(10 * 1.1 ** (13 / 12) + 10 * (1 + 1 / 12), rel=1e-12)
    assert total[24] - total[23] == pytest.approx(10 * 1.21 + 20, rel=1e-12)


def test_replacing_every_year_is_a_published_row_of_equal_years():
    # What a year costs is paid every year: 20,000 in, 13,000 back, 12,000 a year of running: the annual cost of leaving after a year, for ever.
    rate = 0.1
    terms = Terms(20000, {"running": 12000}, value_path=np.linspace(20000, 13000, 25).clip(13000), km_a_year=10000)
    total = total_if_replaced(terms, None, 24, Life(10000, 13000), rate).total
    assert total[24] == pytest.approx(total[12] * (1 + 1 / 1.1), rel=1e-12)


def test_the_last_day_of_the_horizon_brings_scrap_and_no_new_car():
    terms = Terms(1000, value=1000, km_a_year=12000)
    total, when = total_if_replaced(terms, None, 24, Life(24000, 50))
    assert when.size == 0
    np.testing.assert_array_equal(total, [0.0] * 24 + [950])


def test_miles_that_fall_a_hair_short_end_in_the_same_month():
    for miles in (7000, 9999.9, 12345.6):
        terms = Terms(1000, km_a_year=miles * 1.609344)
        assert total_if_replaced(terms, None, 48, Life(3 * miles * 1.609344)).months.tolist() == [36]
        assert total_if_replaced(terms, None, 48, Life(3 * miles * 1.609344 * (1 + 1e-9))).months.tolist() == [37]


# The months added up one by one


@st.composite
def drawn(draw):
    discount, months = draw(rates), draw(horizons)
    case = draw(cases(discount, months))
    again = draw(st.one_of(st.just(case), cases(discount, months)))
    again = again | {"value_path": case["value_path"] if again["value_path"] is None else again["value_path"]}
    month = (case["km_a_year"] or 12000.0) / 12
    km = st.one_of(st.integers(1, months + 2).map(lambda n: n * month), st.floats(100, 1e6), st.just(np.inf), st.just(months * month))
    return case, (draw(km), draw(st.floats(0, 900)), again, draw(km)), months, discount, draw(rates)


CHEAPER = LOADED | {"money_in": 7000.0, "upkeep": 200.0, "energy": [(700.0, 0.01)]}


@steadily
@given(drawn())
@example((LOADED, (60000.0, 700.0, CHEAPER, 50000.0), 240, 0.05, 0.02))
@example((LOADED, (60000.0, 700.0, LOADED, 60000.0), 240, 0.0, 0.0))
@example((LOADED, (500.0, 700.0, CHEAPER, 500.0), 240, 0.03, 0.0))
@example((LOADED, (240000.0, 700.0, CHEAPER, 500.0), 240, 0.03, 0.0))
@example((LOADED, (33000.0, 0.0, CHEAPER, 3000.0), 720, -0.1, 0.4))
def test_lives_joined_are_the_months_added_up_one_at_a_time(case):
    case, life, months, discount, inflation = case
    costs, sizes, when = kept(case, months, discount, inflation, life)
    km, scrap, again, again_km = life
    few = total_if_replaced(terms_of(case), None, months, Life(km, scrap, terms_of(again), again_km), discount, inflation)
    assert few.months[np.isfinite(few.months)].tolist() == when
    assert np.all(np.abs(few.total - costs) <= 1e-12 * np.array(sizes))
    for step in (1, 3, 12):
        many = totals_if_replaced(stacked([[case]]), months, Life(km, scrap, stacked([[again]]), again_km), step, discount, inflation)
        assert many.months[0, 0].tolist() == when
        assert np.all(np.abs(many.total[0, :, 0] - costs[::step]) <= 1e-12 * np.array(sizes)[::step])


@settings(steadily, max_examples=30)
@given(st.data(), st.lists(rates, min_size=3, max_size=3))
def test_every_scenario_has_a_life_of_its_own(data, discount):
    grid = [[data.draw(cases(rate, 60, st.just(2))) | {"value_path": None} for rate in discount] for _ in range(2)]
    km, again_km = (np.array([[data.draw(st.floats(500, 1e5)) for _ in discount] for _ in grid]) for _ in range(2))
    for step in (1, 12):
        many = totals_if_replaced(stacked(grid), 60, Life(km, 300, again_km=again_km), step, discount, 0.02)
        for option, scenarios in enumerate(grid):
            for scenario, case in enumerate(scenarios):
                costs, sizes, when = kept(case, 60, discount[scenario], 0.02, (km[option, scenario], 300, case, again_km[option, scenario]))
                assert np.all(np.abs(many.total[option, :, scenario] - costs[::step]) <= 1e-12 * np.array(sizes)[::step])
                months = many.months[option, scenario]
                assert months[np.isfinite(months)].tolist() == when


def test_options_have_their_own_lives_beside_an_end_value_given_from_outside():
    terms = Terms([1000, 1000], {"tax": 120}, km_a_year=[12000, 12000])
    end = np.array([np.linspace(1000, 400, 61), np.linspace(900, 100, 61)])
    total, when = total_if_replaced(terms, end, 60, Life([24000, 90000], 50), 0.05)
    assert when[0].tolist() == [24, 48]
    assert np.all(np.isnan(when[1]))
    np.testing.assert_array_equal(total[1], total_if_kept(terms, end, 60, 0.05)[1])
    np.testing.assert_array_equal(total[0, :24], total_if_kept(terms, end, 60, 0.05)[0, :24])
    by_hand = total[0, 24] + (1000 + sum(10 * 1.05 ** (-k / 12) for k in range(1, 13)) - end[0, 12] / 1.05) / 1.05**2
    assert total[0, 36] == pytest.approx(by_hand, rel=1e-12)


def test_what_lasts_beyond_the_horizon_is_untouched_to_the_bit():
    rng = np.random.default_rng(3)
    terms = stacked([[LOADED | {"money_in": float(price)} for price in rng.uniform(1e3, 2e4, 6)] for _ in range(2)])
    km = np.array([[240_000 + 1e-3] * 6, [1e5, 9e9, np.inf, 2e5, 3e5, 5e4]])  # 12,000 km a year
    for step in (1, 3, 12):
        plain, (found, when) = totals(terms, 240, step, 0.04, 0.02), totals_if_replaced(terms, 240, Life(km, 100), step, 0.04, 0.02)
        lasts = km > 240_000
        np.testing.assert_array_equal(found.transpose(0, 2, 1)[lasts], plain.transpose(0, 2, 1)[lasts])
        assert np.all(found.transpose(0, 2, 1)[~lasts][:, -1] != plain.transpose(0, 2, 1)[~lasts][:, -1])
        assert np.all(np.isnan(when[lasts]))
    few = terms_of(LOADED)
    np.testing.assert_array_equal(total_if_replaced(few, None, 240, Life(240_001), 0.04).total, total_if_kept(few, None, 240, 0.04))
    still = replace(few, km_a_year=0.0)
    np.testing.assert_array_equal(total_if_replaced(still, None, 240, Life(1.0), 0.04).total, total_if_kept(still, None, 240, 0.04))


@steadily
@given(st.floats(0, 900), st.floats(0.01, 500), st.floats(1000, 2e5))
def test_more_scrap_is_never_dearer(scrap, more, km):
    few = terms_of(LOADED)
    low, high = (total_if_replaced(few, None, 240, Life(km, worth), 0.04).total for worth in (scrap, scrap + more))
    assert np.all(high <= low + 1e-7)


@pytest.mark.parametrize("km", [0.0, -5000.0, np.nan])
def test_a_life_that_is_over_is_refused(km):
    said = f"must be above 0, got {km:,}. A car past its life cannot be kept: scrap it first."
    with pytest.raises(ValueError, match=f"^{re.escape('km left to the end of its life ' + said)}$"):
        Life([1000.0, km])
    with pytest.raises(ValueError, match=f"^{re.escape('again_km left to the end of its life ' + said)}$"):
        Life(1000.0, again_km=km)
    with pytest.raises(ValueError, match=r"^scrap_value must be finite, got nan\.$"):
        Life(1000.0, np.nan)
