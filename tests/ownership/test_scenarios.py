"""The loop over exits: published figures, cases by hand, the months added up one by one, vectors against scalars, refusals."""

import re

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import example, given, settings
from ownership.by_the_month import kept
from ownership.cases import cases, horizons, rates, stacked, terms_of
from ownership.test_keeping_causes import LOADED
from reference.printed import numbers, printed, rows

from buildecon.ownership.keeping import Terms, total_if_kept
from buildecon.ownership.scenarios import blocks, totals
from buildecon.quantities.timevalue import annuity_factor, real_rate

steadily = settings(deadline=None, derandomize=True, max_examples=100)
COSTS = {row["case"]: row for name in ("newnan_costs", "sullivan_costs", "worked_cost_pages") for row in rows(f"{name}.csv")}
WORTHS = {row["case"]: row for row in rows("present_values.csv")}


# Published, each year of it as a month: rates are such that a month discounts and grows as a year did, and 12 a year are 1 a month.


def of_a_month(rate):
    return np.expm1(12 * np.log1p(rate))


def worth(years, rate, **terms):
    """Present cost of leaving after so many years of one option in one scenario, by all three steps where they reach there."""
    single = {name: np.asarray(given, dtype=float)[None, None] for name, given in terms.items() if name != "yearly"}
    one = Terms(**{"money_in": [[0.0]]} | single, yearly={name: [[12 * amount]] for name, amount in terms.get("yearly", {}).items()})
    return totals(one, years, 1, of_a_month(rate))[0, -1, 0]


def test_growing_and_rising_costs_are_worth_what_is_published():
    row = COSTS["car maintenance"]
    assert worth(5, 0.08, energy=[1200 / 1.1], energy_growth=[of_a_month(0.1)]) == printed(row["printed"], row["tolerance"])
    for name, start, rise in (("rising upkeep", 90, 30), ("rising by 50", 100, 50)):
        row = COSTS[name]
        found = worth(len(numbers(row["running"])), float(row["rate"]), upkeep=12 * start, upkeep_by_year=12 * rise / start)
        assert found == printed(row["printed"], row["tolerance"])


def test_an_overhaul_a_pipeline_and_two_machines_cost_what_is_published():
    row = COSTS["overhaul in year 10"]
    found = worth(20, 0.05, money_in=6.5e6, yearly={"upkeep": 25000}, renewal_cost=[5e5, 5000, 5000], first_km=[10, 6, 16], life_km=[99, 1, 1], km_a_year=12)
    assert found / annuity_factor(0.05, 20) == printed(row["printed"], row["tolerance"])
    assert found / annuity_factor(0.05, 20) == pytest.approx(575306.315505019, rel=1e-9)
    pipeline = worth(10, 0.05, money_in=7500, yearly={"pumping": 5500, "maintenance": 500}, value_path=[0] * 10 + [500])
    assert pipeline == printed(COSTS["pipeline"]["printed"])
    assert pipeline / annuity_factor(0.05, 10) == printed(COSTS["pipeline a year"]["printed"])
    for name, first, running, end in (("old machine kept", 7000, 8000, 0), ("new machine", 22000, 5100, 9000)):
        found = worth(5, 0.2, money_in=first, yearly={"running": running}, value_path=[0] * 5 + [end])
        assert found == printed(COSTS[name]["printed"], COSTS[name]["tolerance"])


def test_a_building_costs_what_the_handbook_says():
    total = next(row["present_value"] for row in rows("nist_handbook_135.csv") if row["item"] == "total")
    found = worth(
        20, 0.03, money_in=103000, yearly={"repair": 7000}, energy=[240000], energy_growth=[of_a_month(0.00176368)],
        renewal_cost=[12000], first_km=[12], life_km=[99], km_a_year=12, value_path=[0] * 20 + [3500],
    )  # fmt: skip
    assert found == printed(total, str(3e-5 * 516233))


def test_uneven_payments_are_worth_what_is_published():
    row = WORTHS["numpy-financial docstring"]
    first, *later = numbers(row["flows"])
    found = worth(4, 0.08, money_in=first, renewal_cost=later, first_km=[1, 2, 3, 4], life_km=[99] * 4, km_a_year=12)
    assert found == printed(row["printed"])


def test_a_loan_is_paid_in_the_published_payments():
    row = next(row for row in rows("numpy_financial_docs.csv") if row["case"] == "home loan")
    terms = Terms([[0.0]], loan=200000.0, loan_rate=0.075, loan_months=180)
    for step in (1, 3, 12):
        assert (totals(terms, 180, step)[0, -1, 0] + 200000) / 180 == pytest.approx(-float(row["printed"]), rel=1e-13)


@steadily
@given(st.floats(1, 1e5), st.one_of(st.just(0.0), st.floats(1e-6, 0.5)), st.floats(1, 90), st.sampled_from([1, 3, 12]), rates)
def test_a_loan_at_the_discount_rate_is_worth_its_principal_at_every_exit(loan, rate, months, step, inflation):
    discount = real_rate(of_a_month(rate / 12), inflation)
    months = round(months) if rate else months  # a part of a payment comes at the end of its month: a little late for the lender
    terms = Terms([[loan]], loan=loan, loan_rate=rate, loan_months=months)
    np.testing.assert_allclose(totals(terms, 96, step, discount, inflation), loan, rtol=1e-11 if rate else 1)


# By hand


def test_a_year_by_hand_at_every_step():
    # 9000 in; tax 120; upkeep 120 rising a tenth a year: month m costs 10 + m / 12; 12 x 10 + 78 / 12 = 126.5; insurance 5 % of 9000; a renewal of 40
    # at 9,000 km; building 600 in 6 months and 10 a month meanwhile; 24 of enjoyment; worth 8100 less a tenth.
    terms = Terms(
        [[9000.0]], {"tax": 120}, upkeep=120, upkeep_by_year=0.1 * 10 / 12 * 12 / 10, insurance_share=0.05, value=9000, decline_rate=0.1, selling_share=0.1,
        renewal_cost=[40], first_km=[9000], life_km=[9000], km_a_year=12000, build_cost=600, build_months=6, downtime=10, enjoyment=24,
    )  # fmt: skip
    year = 9000 + 120 + 120 + 12 * 78 / 144 * 1 + 450 + 40 + 600 + 60 - 24 - 0.9 * 8100
    for step in (1, 3, 12):
        np.testing.assert_allclose(totals(terms, 12, step)[0, [0, -1], 0], [9000 - 8100, year], rtol=1e-14)


def test_an_empty_horizon_is_selling_at_once():
    np.testing.assert_array_equal(totals(Terms([[500.0, 600.0]], value=500, selling_share=0.1), 0, 12), [[[50, 150]]])


# The months added up one by one


@st.composite
def drawn(draw):
    discount, months = draw(rates), draw(horizons)
    return draw(cases(discount, months)), months, discount, draw(rates)


@steadily
@given(drawn())
@example((LOADED, 240, 0.05, 0.02))
@example((LOADED | {"loan_rate": 0.0, "energy": [(900.0, 0.0)]}, 240, 0.0, 0.0))
@example((LOADED | {"energy": [(900.0, 0.05)]}, 240, 0.05, -0.05))
@example((LOADED | {"km_a_year": 0.0}, 24, -0.1, 0.02))
@example((LOADED | {"build_months": 0.0, "loan_months": 720.0}, 720, 0.03, 0.03))
@example((LOADED | {"renewals": [(1.0, 1000.0 * k, 1000.0 * k) for k in range(1, 13)]}, 240, 0.03, 0.0))
def test_the_loop_over_exits_is_the_months_added_up_one_at_a_time(case):
    case, months, discount, inflation = case
    costs, sizes, _ = kept(case, months, discount, inflation)
    one_by_one = total_if_kept(terms_of(case), None, months, discount, inflation)
    for step in (1, 3, 12):
        found = totals(stacked([[case]], step), months, step, discount, inflation)
        assert found.shape == (1, months // step + 1, 1)
        allowed = 1e-12 * np.array(sizes)[::step]
        assert np.all(np.abs(found[0, :, 0] - costs[::step]) <= allowed)
        assert np.all(np.abs(found[0, :, 0] - one_by_one[::step]) <= allowed)


@settings(steadily, max_examples=40)
@given(st.data(), st.lists(rates, min_size=4, max_size=4), st.lists(rates, min_size=4, max_size=4), st.booleans())
def test_options_in_scenarios_cost_what_each_costs_alone(data, discount, inflation, by_path):
    grid = [[data.draw(cases(rate, 36, st.just(2))) for rate in discount] for _ in range(2)]
    for case in grid[0] + grid[1]:
        case["value_path"] = data.draw(st.integers(0, 99).map(lambda seed: np.random.default_rng(seed).uniform(0, 3e4, 37))) if by_path else None
    for step in (1, 3, 12):
        together = totals(stacked(grid, step), 36, step, discount, inflation)
        for option, scenarios in enumerate(grid):
            for scenario, case in enumerate(scenarios):
                costs, sizes, _ = kept(case, 36, discount[scenario], inflation[scenario])
                assert np.all(np.abs(together[option, :, scenario] - costs[::step]) <= 1e-12 * np.array(sizes)[::step])


def many(scenarios=10):
    """Three options, their own numbers by option, by scenario and by both."""
    rng = np.random.default_rng(5)
    return Terms(
        rng.uniform(5e3, 2e4, (3, 1)), {"tax": rng.uniform(100, 300, (1, scenarios))}, rng.uniform(300, 900, (3, scenarios, 2)), [0.02, -0.01],
        loan=rng.uniform(0, 5e3, (3, 1)), loan_rate=0.05, loan_months=rng.uniform(10, 50, (3, scenarios)), renewal_cost=rng.uniform(1, 900, (3, 1, 2)),
        first_km=rng.uniform(0, 9e4, (1, scenarios, 2)), life_km=[5e4, 9e4], km_a_year=rng.uniform(0, 2e4, (3, scenarios)), value=9000, decline_rate=0.1,
    )  # fmt: skip


def test_chunks_change_nothing():
    whole = totals(many(), 60, 3, np.linspace(0, 0.1, 10))
    for chunk in (1, 3, 10, 4096):
        found = np.full_like(whole, np.nan)
        for where, block in blocks(many(), 60, 3, np.linspace(0, 0.1, 10), chunk=chunk):
            assert block.shape[-1] <= chunk
            found[:, :, where] = block
        np.testing.assert_allclose(found, whole, rtol=1e-13)


def test_a_reduction_sees_every_block_and_its_results_stay():
    scenarios = 9000
    terms = Terms([[9000.0], [8000.0]], {"tax": np.linspace(0, 900, scenarios)[None]}, value=5000, decline_rate=0.1)
    whole = totals(terms, 24, 12, 0.03)
    kept_back = totals(terms, 24, 12, 0.03, reduce=lambda block: block[0])
    assert [part.shape[-1] for part in kept_back] == [4096, 4096, 808]
    np.testing.assert_array_equal(np.concatenate(kept_back, axis=-1), whole[0])
    assert sum(totals(terms, 24, 12, 0.03, reduce=lambda block: int((block[0] > block[1]).sum()))) == 3 * scenarios


def test_a_month_is_a_contiguous_row_and_inputs_are_left_alone():
    terms = many()
    before = {name: np.array(getattr(terms, name)) for name in ("money_in", "energy", "loan_months", "first_km", "km_a_year")}
    found = totals(terms, 24, 1, 0.03)
    assert found.shape == (3, 25, 10)
    assert found.flags.c_contiguous
    assert found.dtype == float
    for name, was in before.items():
        np.testing.assert_array_equal(getattr(terms, name), was)
    np.testing.assert_array_equal(totals(terms, 24, 1, 0.03), found)


# Refusals


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((Terms([[1.0]]), 24, 6), "step must be 1, 3 or 12 months, got 6."),
        ((Terms([[1.0]]), 25, 12), "months must be a whole number of steps of 12, at least 0, got 25."),
        ((Terms([[1.0]]), -12, 12), "months must be a whole number of steps of 12, at least 0, got -12."),
        ((Terms([[1.0]]), 24, 12, -1.0), "discount_rate must be at least -0.999999999, got -1.0."),
        ((Terms([[1.0]]), 24, 12, 0.0, np.nan), "inflation_rate must be at least -0.999999999, got nan."),
        ((Terms([1.0, 2.0]), 24), "terms must have two leading axes, options and scenarios, got (2,). Numbers by option alone are (options, 1)."),
        ((Terms([[1.0]], value_path=np.ones(25)), 24, 12), "value_path must have a value for each of 3 exits, got shape (25,)."),
    ],
)
def test_what_cannot_be_is_refused(arguments, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        totals(*arguments)
    with pytest.raises(ValueError, match="^chunk must be at least 1, got 0.$"):
        blocks(Terms([[1.0]]), 24, chunk=0)
