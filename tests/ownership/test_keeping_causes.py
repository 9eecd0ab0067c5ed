"""What building, insurance, upkeep, renewals and enjoyment cost: published figures, cases by hand, the months added up one by one, refusals."""

import re

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import example, given, settings
from ownership.by_the_month import PLAIN, kept
from ownership.cases import cases, horizons, rates, stacked, terms_of
from reference.printed import numbers, printed, rows

from buildecon.ownership.keeping import Terms, level_cost, running_costs, total_if_kept
from buildecon.ownership.terms import renewals_by, value_by_exit

steadily = settings(deadline=None, derandomize=True, max_examples=100)
NEWNAN = {row["case"]: row for row in rows("newnan_costs.csv")}
YEARS = {"periods_a_year": 1}


# Published


@pytest.mark.parametrize("name", ["rising upkeep", "rising by 50"])
def test_upkeep_that_rises_by_the_year_costs_what_is_published(name):
    row = NEWNAN[name]
    first, second, *more = numbers(row["running"])
    terms = Terms(0, upkeep=2 * first - second, upkeep_by_year=(second - first) / (2 * first - second))
    assert total_if_kept(terms, None, 2 + len(more), float(row["rate"]), **YEARS)[-1] == printed(row["printed"], row["tolerance"])


def test_an_overhaul_is_a_renewal_as_published():
    # A km a year; 5,000 more a year from year 6 and again from year 16 are renewed every year from then on.
    row = NEWNAN["overhaul in year 10"]
    terms = Terms(6.5e6, {"upkeep": 25000}, renewal_cost=[500_000, 5000, 5000], first_km=[10, 6, 16], life_km=[1000, 1, 1], km_a_year=1)
    found = level_cost(total_if_kept(terms, None, 20, 0.05, **YEARS), 0.05, **YEARS)[-1]
    assert found == printed(row["printed"], row["tolerance"])
    assert found == pytest.approx(575306.315505019, rel=1e-9)  # the same to all its digits, worked out apart from this package


def test_a_building_with_a_renewal_costs_what_the_handbook_says():
    base = {row["item"]: row for row in rows("nist_handbook_135.csv")}
    terms = Terms(
        103000, {"repair": 7000}, [20000], [0.00176368], renewal_cost=[12000], first_km=[12], life_km=[100], km_a_year=1,
        value_path=np.where(np.arange(21) == 20, 3500, 0),
    )  # fmt: skip
    assert total_if_kept(terms, None, 20, 0.03, **YEARS)[-1] == printed(base["total"]["present_value"], str(3e-5 * 516233))


# By hand


def test_a_build_is_paid_in_equal_parts_and_a_part_of_a_month_costs_its_part():
    costs = running_costs(Terms(0, build_cost=900, build_months=4.5, downtime=100), 6)
    np.testing.assert_allclose(costs["build"], [200, 200, 200, 200, 100, 0], rtol=1e-14)
    np.testing.assert_allclose(costs["second car while building"], [100, 100, 100, 100, 50, 0], rtol=1e-14)
    at_once = Terms([1000, 1000], build_cost=900, build_months=[0, 3])
    np.testing.assert_allclose(total_if_kept(at_once, None, 3), [[1900] * 4, [1000, 1300, 1600, 1900]], rtol=1e-14)


def test_insurance_is_a_share_of_the_value_at_the_start_of_its_year():
    # 10,000 losing a tenth: 5 % is 500, then 450, then 405 a year; selling cost plays no part.
    costs = running_costs(Terms(0, insurance_share=0.05, value=10000, decline_rate=0.1, selling_share=0.2), 25)
    np.testing.assert_allclose(costs["insurance"], [500 / 12] * 12 + [450 / 12] * 12 + [405 / 12], rtol=1e-14)
    path = np.linspace(10000, 7600, 25)
    np.testing.assert_allclose(running_costs(Terms(0, insurance_share=0.05, value_path=path), 24)["insurance"][[0, 11, 12]], [500 / 12, 500 / 12, 440 / 12])
    yearly = running_costs(Terms(0, {"insurance": 60}, insurance_share=0.05, value_path=path[::12]), 2, **YEARS)["insurance"]
    np.testing.assert_allclose(yearly, [560, 500], rtol=1e-14)  # one cause, whatever it is reckoned by


def test_upkeep_rises_with_age_and_distance():
    # 120 a year, a tenth more each year and a twentieth more each 10,000 km, 20,000 km a year: a fifth more each year.
    costs = running_costs(Terms(0, upkeep=120, upkeep_by_year=0.1, upkeep_by_km=0.05, km_a_year=20000), 24)["upkeep"]
    np.testing.assert_allclose(costs[[0, 11, 23]], [10 * (1 + 0.2 / 12), 12, 14], rtol=1e-14)


def test_a_renewal_is_paid_in_the_month_in_which_its_distance_is_reached():
    # 1,000 km a month: 3,000 km on the last day of month 3, then every 2,500: 5,500 in month 6, 8,000 in month 8. The other is due now, then each 400.
    terms = Terms(0, renewal_cost=[100, 1], first_km=[3000, 0], life_km=[2500, 400], km_a_year=12000)
    found = running_costs(terms, 8)["renewals"]
    # By the end of month 1: 0, 400, 800 km; by 2: 1200, 1600, 2000; by 3: 2400, 2800; by 4: 3200, 3600, 4000; and so on, 5 in 2 months.
    np.testing.assert_array_equal(found, [3, 3, 102, 3, 2, 103, 2, 103])
    assert "renewals" not in running_costs(Terms(0), 8)
    np.testing.assert_array_equal(running_costs(Terms(0, renewal_cost=[1, 1], first_km=[0, 5], life_km=[5, 5]), 2)["renewals"], [1, 0])


def test_years_times_miles_times_kilometres_fall_short_of_no_renewal():
    # 7,000 miles a year: after n years n times 7,000 miles have been driven, in kilometres as well.
    for years in range(1, 60):
        for mile in (1.609344, 1.609344 * (1 + 2e-16)):
            months = np.arange(12 * years - 1, 12 * years + 1)
            assert list(renewals_by(years * 7000 * 1.609344, 1e9, 7000 * mile * months / 12)) == [0, 1]


def test_enjoyment_is_taken_off():
    np.testing.assert_array_equal(total_if_kept(Terms(1000, enjoyment=120), None, 3), [1000, 990, 980, 970])


def test_a_value_is_that_of_the_path_or_of_the_rate():
    np.testing.assert_allclose(value_by_exit(Terms(0, value=[1000, 500], decline_rate=[0.19, 0]), [0, 0.5, 1]), [[1000, 900, 810], [500] * 3])
    np.testing.assert_allclose(total_if_kept(Terms(1000, value=1000, decline_rate=0.19, selling_share=0.1), None, 12)[[0, 12]], [100, 271])
    with pytest.raises(ValueError, match=re.escape("value_path must have a value for each of 13 exits, got shape (3,).")):
        total_if_kept(Terms(0, value_path=[1, 2, 3]), None, 12)


# The months added up one by one


@st.composite
def drawn(draw):
    discount, months = draw(rates), draw(horizons)
    return draw(cases(discount, months)), months, discount, draw(rates)


LOADED = PLAIN | {
    "energy": [(900.0, 0.03), (300.0, 0.05)], "loan": 6000.0, "loan_rate": 0.06, "loan_months": 18.5, "build_cost": 5000.0, "build_months": 4.25,
    "downtime": 90.0, "insurance_share": 0.04, "upkeep": 300.0, "upkeep_by_year": 0.1, "upkeep_by_km": 0.05, "km_a_year": 12000.0, "enjoyment": 200.0,
    "renewals": [(400.0, 30000.0, 45000.0), (900.0, 0.0, 12000.0), (50.0, 10.0, 300.0)],
}  # fmt: skip


@steadily
@given(drawn())
@example((LOADED, 240, 0.05, 0.02))
@example((LOADED | {"loan_rate": 0.0}, 240, 0.0, 0.0))
@example((LOADED | {"km_a_year": 0.0}, 24, -0.1, 0.02))
@example((LOADED | {"build_months": 0.0, "loan_months": 720.0}, 720, 0.03, 0.03))
def test_the_engine_is_the_months_added_up_one_at_a_time(case):
    case, months, discount, inflation = case
    costs, sizes, _ = kept(case, months, discount, inflation)
    found = total_if_kept(terms_of(case), None, months, discount, inflation)
    assert np.all(np.abs(found - costs) <= 1e-12 * np.array(sizes))


@settings(steadily, max_examples=30)
@given(st.data(), rates, rates)
def test_options_in_scenarios_cost_what_each_costs_alone(data, discount, inflation):
    grid = [[data.draw(cases(discount, 36, st.just(2))) | {"value_path": None} for _ in range(3)] for _ in range(2)]
    together = total_if_kept(stacked(grid), None, 36, discount, inflation)
    assert together.shape == (2, 3, 37)
    for option, scenarios in enumerate(grid):
        for scenario, case in enumerate(scenarios):
            _, sizes, _ = kept(case, 36, discount, inflation)
            alone = total_if_kept(terms_of(case), None, 36, discount, inflation)
            assert np.all(np.abs(together[option, scenario] - alone) <= 1e-13 * np.array(sizes))


@steadily
@given(drawn())
def test_the_causes_add_up_to_the_total(case):
    case, months, discount, inflation = case
    costs = running_costs(terms_of(case), months, inflation)
    for name, of in (("build", "build_cost"), ("upkeep", "upkeep"), ("enjoyment", "enjoyment"), ("insurance", "insurance_share")):
        assert (name in costs) == (case[of] != 0)
    without = terms_of(case | {"enjoyment": 0.0, "build_cost": 0.0, "renewals": []})
    _, sizes, _ = kept(case, months, discount, inflation)
    factor = (1 + discount) ** (-np.arange(1, months + 1) / 12)
    apart = np.cumsum(sum(costs.get(name, np.zeros(months)) for name in ("enjoyment", "build", "renewals")) * factor)
    apart += case["build_cost"] * (case["build_months"] == 0)
    found = total_if_kept(terms_of(case), None, months, discount, inflation) - total_if_kept(without, None, months, discount, inflation)
    assert np.all(np.abs(found[1:] - apart) <= 1e-12 * np.array(sizes[1:]))


@steadily
@given(drawn(), st.sampled_from(["money_in", "build_cost", "downtime", "insurance_share", "upkeep", "upkeep_by_year", "upkeep_by_km", "selling_share"]))
def test_what_costs_more_never_makes_it_cheaper(case, name):
    case, months, discount, inflation = case
    _, sizes, _ = kept(case, months, discount, inflation)
    more = case | {name: min(case[name] + 0.5, 1.0) if name == "selling_share" else case[name] + 0.5}
    cost, dearer = (total_if_kept(terms_of(one), None, months, discount, inflation) for one in (case, more))
    assert np.all(dearer >= cost - 1e-12 * np.array(sizes))


@steadily
@given(drawn())
def test_longer_lived_parts_and_enjoyment_never_make_it_dearer(case):
    case, months, discount, inflation = case
    discount = abs(discount)  # below 0 it pays to pay early
    _, sizes, _ = kept(case, months, discount, inflation)
    longer = case | {"renewals": [(cost, 2 * first, 2 * life) for cost, first, life in case["renewals"]], "enjoyment": case["enjoyment"] + 1}
    cost, cheaper = (total_if_kept(terms_of(one), None, months, discount, inflation) for one in (case, longer))
    assert np.all(cheaper <= cost + 1e-12 * np.array(sizes))


# Refusals


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"upkeep": -1}, "upkeep must be at least 0, got -1.0."),
        ({"value": [1, np.nan]}, "value must be at least 0, got nan."),
        ({"money_in": np.nan}, "money_in must be finite, got nan."),
        ({"money_in": [np.inf, -np.inf]}, "money_in must be finite, got inf."),
        ({"energy": [-5]}, "energy must be at least 0, got -5.0."),
        ({"energy_growth": [-1]}, "energy_growth must be at least -0.999999999, got -1.0."),
        ({"life_km": [0]}, "life_km must be at least 1e-09, got 0.0."),
        ({"first_km": [-0.5]}, "first_km must be at least 0, got -0.5."),
        ({"loan_months": 0}, "loan_months must be at least 1e-09, got 0.0."),
        ({"decline_rate": 1.5}, "decline_rate must be at most 1, got 1.5."),
        ({"selling_share": 2}, "selling_share must be at least 0 and at most 1, got 2.0."),
        ({"build_months": -1}, "build_months must be at least 0, got -1.0."),
        ({"yearly": {"tax": np.nan}}, "yearly['tax'] must be finite, got nan."),
        ({"value_path": [1, -1]}, "value_path must be at least 0, got -1.0."),
    ],
)
def test_what_cannot_be_is_refused(wrong, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        Terms(**{"money_in": 0} | wrong)
