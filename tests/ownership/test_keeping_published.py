"""The keeping engine against published life-cycle costs, annual costs and economic lives, with a year as the period."""

from fractions import Fraction

import numpy as np
import pytest
from lives import LIVES, case, kept
from reference.printed import case_ids, printed, rows

from buildecon.ownership.keeping import Terms, cost_if_kept, level_cost, running_costs
from buildecon.quantities.timevalue import discount_factor, growing_annuity_factor

COSTS = [
    row
    for name in ("newnan_costs", "sullivan_costs", "white_replacement", "park_engineering_economics", "worked_cost_pages")
    for row in rows(f"{name}.csv")
]

# The same cases to all their digits, worked out apart from this package with plain formulas; not published.
EXACT = {
    "car maintenance": 480.4302232741507, "rising upkeep": 766.6447034488166, "falling cost": 15712.992889463432, "overhaul in year 10": 575306.315505019,
    "old machine kept": 30924.897119341564, "new machine": 33635.2237654321, "pipeline": 53523.45294833853, "pipeline a year": 6931.532024758197,
}  # fmt: skip
EXACT_TO_CENTS = {
    "example 13-1": "8600.00;5330.77;4643.62;4589.55;4778.84;5081.62;5442.31", "problem P13-10": "18000.00;17569.38;17328.57;17240.11;17273.37;17403.37",
    "4 a fifth lost a year": "23000.00;22714.29;22655.59;22776.34;23037.84;23408.57", "8 accountancy question": "66000.00;44883.72;38146.87",
}  # fmt: skip


def annual(row):
    """Equivalent annual cost of leaving at the end of year 1, 2, ..."""
    return level_cost(kept(row), float(row["rate"]), periods_a_year=1)[1:]


def exact_annual(row):
    """The same in fractions, from P CRF + sum of costs - salvage, all at the end of the year."""
    rate, worth, factors, found = Fraction(row["rate"]), Fraction(row["first_cost"]), Fraction(0), []
    years = zip(row["running"].split(";"), row["end_value"].split(";"), strict=True)
    for year, (cost, end) in enumerate(years, start=1):
        factor = 1 / (1 + rate) ** year
        worth, factors = worth + Fraction(cost) * factor, factors + factor
        found.append(float((worth - Fraction(end) * factor) / factors))
    return found


@pytest.mark.parametrize("row", COSTS, ids=case_ids(COSTS))
def test_costs_agree_with_worked_examples(row):
    found = kept(row)[-1] if row["measure"] == "present" else annual(row)[-1]
    assert found == printed(row["printed"], row["tolerance"])
    if row["case"] in EXACT:
        assert found == pytest.approx(EXACT[row["case"]], rel=1e-9)


def test_the_fixed_horizons_of_white_hold_all_their_digits():
    later, at_once = (annual(row)[-1] for row in rows("white_replacement.csv")[:2])
    assert (later, at_once) == (pytest.approx(8532.3419, abs=5e-5), pytest.approx(8615.2453, abs=5e-5))
    assert later - at_once == printed("-82.90", "0.1")
    assert annual(rows("white_replacement.csv")[3])[-1] == pytest.approx(-428.6356, abs=5e-5)


def test_the_pipeline_and_the_machine_are_kept_or_replaced_as_published():
    old, new = (kept(row)[-1] for row in rows("sullivan_costs.csv"))
    assert old < new


@pytest.mark.parametrize("row", LIVES, ids=case_ids(LIVES))
def test_annual_costs_agree_with_published_tables(row):
    found = annual(row)
    for year, figure in enumerate(row["annual_cost"].split(";")):
        if figure:
            assert found[year] == printed(figure, row["tolerance"]), f"year {year + 1}"


@pytest.mark.parametrize("row", LIVES, ids=case_ids(LIVES))
def test_annual_costs_are_exact_in_every_published_case(row):
    np.testing.assert_allclose(annual(row), exact_annual(row), rtol=1e-12)


@pytest.mark.parametrize("name", EXACT_TO_CENTS)
def test_annual_costs_agree_to_the_cent_with_those_worked_out_elsewhere(name):
    assert list(annual(case(name))) == [printed(figure) for figure in EXACT_TO_CENTS[name].split(";")]


# A whole life-cycle cost: NIST Handbook 135, table 5-2.

HANDBOOK = {row["item"]: row for row in rows("nist_handbook_135.csv")}
ELECTRICITY_GROWTH = 0.00176368  # the constant growth that gives the printed factor of 15.13, which comes from price indices


def test_the_printed_factors_of_the_handbook_are_ours_rounded():
    assert discount_factor(0.03, [12, 20]).tolist() == [printed(HANDBOOK[item]["factor"]) for item in ("fan replacement", "residual value")]
    assert growing_annuity_factor(0.03, 0, 20) == printed(HANDBOOK["operation and repair"]["factor"])
    assert growing_annuity_factor(0.03, ELECTRICITY_GROWTH, 20) == pytest.approx(float(HANDBOOK["electricity"]["factor"]), abs=1e-6)


def test_a_building_costs_what_the_handbook_says():
    base = {item: float(row["base_amount"] or 0) for item, row in HANDBOOK.items()}
    terms = Terms(base["initial investment"], {"upkeep": base["operation and repair"]}, [base["electricity"]], [ELECTRICITY_GROWTH])
    costs = running_costs(terms, 20, periods_a_year=1)
    costs["fan"] = np.where(np.arange(1, 21) == 12, base["fan replacement"], 0)
    end_value = np.where(np.arange(21) == 20, -base["residual value"], 0)
    worth = {item: cost_if_kept(0, flows, np.zeros(21), 0.03, periods_a_year=1)[-1] for item, flows in costs.items()}
    total = cost_if_kept(terms.money_in, sum(costs.values()), end_value, 0.03, periods_a_year=1)[-1]
    assert total == pytest.approx(516221.017, abs=0.05)
    assert total == printed(HANDBOOK["total"]["present_value"], str(3e-5 * 516233))
    # The handbook multiplies by rounded factors: each part to half a digit of its factor.
    assert worth["fan"] == printed(HANDBOOK["fan replacement"]["present_value"], str(12000 * 5e-4))
    assert worth["upkeep"] == printed(HANDBOOK["operation and repair"]["present_value"], str(7000 * 5e-3))
    assert worth["energy"] == printed(HANDBOOK["electricity"]["present_value"], str(20000 * 5e-3))
    assert (worth["fan"], worth["upkeep"]) == (pytest.approx(8416.5586, abs=5e-5), pytest.approx(104142.3240, abs=5e-5))
