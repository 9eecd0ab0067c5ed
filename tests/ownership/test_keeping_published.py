"""The keeping engine against published life-cycle costs, annual costs and economic lives, with a year as the period."""

from fractions import Fraction

import numpy as np
import pytest
from lives import LIVES, case, kept
from reference.printed import case_ids, printed, rows

from buildecon.ownership.keeping import Terms, cost_if_kept, level_cost, running_costs, total_if_kept
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
    "problem 13-24 forklift": "9400.00;8542.86;7638.67;7076.58;6673.87;6365.91;6122.40;5926.29;5766.79;5901.93",
    "problem 9.6": "62000.00;55953.49;54958.96;56168.77;56922.40",
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


ALTERNATIVE = {row["item"]: row for row in rows("nist_handbook_135_alternative.csv")}


def plant(initial, fan, residual, electricity, repair, growth=ELECTRICITY_GROWTH):
    """Cost if kept to the end of each year, and the worth of each cause to the end of the last; the fan is renewed after 12 years, a year a mile."""
    terms = Terms(initial, {"upkeep": repair}, [electricity], [growth], renewal_cost=[fan], first_km=[12], life_km=[100], km_a_year=1)
    end = np.where(np.arange(21) == 20, -residual, 0)
    worth = {cause: cost_if_kept(0, flows, np.zeros(21), 0.03, 1)[-1] for cause, flows in running_costs(terms, 20, periods_a_year=1).items()}
    return total_if_kept(terms, end, 20, 0.03, periods_a_year=1), worth


def test_the_parts_of_the_handbook_by_its_own_factors_are_its_total():
    # 103000 + 12000 x .701 - 3500 x .554 + 20000 x 15.13 + 7000 x 14.88 = 516233.
    worths = [Fraction(row["base_amount"]) * Fraction(row["factor"]) for row in HANDBOOK.values() if row["base_amount"]]
    assert worths == [int(row["present_value"]) for row in HANDBOOK.values() if row["base_amount"]]
    assert sum(worths) == int(HANDBOOK["total"]["present_value"])


def test_the_alternative_of_the_handbook_saves_what_its_factors_say():
    amounts = [float(ALTERNATIVE[item]["amount"]) for item in ("initial investment", "fan replacement", "residual value", "electricity", "operation and repair")]
    usual, saving = plant(103000, 12000, -3500, 20000, 7000), plant(*amounts)
    # Half a digit of each factor: 12500 x 5e-4 + 3700 x 5e-4 + 8000 x 5e-3; electricity has the printed factor.
    assert saving[0][-1] == printed(ALTERNATIVE["total"]["printed"], str(12500 * 5e-4 + 3700 * 5e-4 + 8000 * 5e-3))
    net = usual[0][-1] - saving[0][-1]
    assert net == printed(ALTERNATIVE["net savings"]["printed"], str(500 * 5e-4 + 200 * 5e-4 + 1000 * 5e-3))
    lower = sum(usual[1][cause] - saving[1][cause] for cause in ("energy", "upkeep"))
    extra = 7000 + saving[1]["renewals"] - usual[1]["renewals"] - 200 * discount_factor(0.03, 20)
    assert lower == printed(ALTERNATIVE["savings"]["printed"], "5") and extra == printed(ALTERNATIVE["extra investment"]["printed"], "0.35")
    assert net == pytest.approx(lower - extra, rel=1e-12)  # an identity
    assert lower / extra == printed(ALTERNATIVE["savings to investment"]["printed"], "0.002")


def test_the_alternative_pays_back_in_its_second_year():
    apart = plant(103000, 12000, -3500, 20000, 7000, 0.0)[0] - plant(110000, 12500, -3700, 13000, 8000, 0.0)[0]
    assert apart[1:3].tolist() == [printed(ALTERNATIVE[f"balance after year {year}"]["printed"]) for year in (1, 2)]
    assert apart[0] == -7000 and 7000 / 6000 == printed(ALTERNATIVE["simple payback"]["printed"])
