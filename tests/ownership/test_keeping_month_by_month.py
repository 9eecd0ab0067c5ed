"""The keeping engine against the same sums done one month at a time, and many options and scenarios against each alone."""

import hypothesis.strategies as st
import numpy as np
from hypothesis import example, given, settings
from hypothesis.extra.numpy import arrays

from buildecon.ownership.keeping import Terms, total_if_kept

MONTHS = 30
steadily = settings(deadline=None, derandomize=True, max_examples=150)
money = st.floats(0, 1e5)
rates = st.one_of(st.just(0.0), st.floats(-0.1, 0.4))


def month_by_month(case, end_value, discount, inflation):
    """Cost of leaving at the end of each month, and the sum of all amounts that met on the way."""
    monthly_rate = case["loan_rate"] / 12
    payment = case["loan"] / sum((1 + monthly_rate) ** -k for k in range(1, case["loan_months"] + 1))
    spent, owed = case["money_in"] - case["loan"], case["loan"]
    costs, size = [spent - (end_value[0] - owed)], case["money_in"] + 2 * case["loan"] + end_value[0]
    for month in range(1, MONTHS + 1):
        worth_now, prices = (1 + discount) ** (-month / 12), (1 + inflation) ** (month / 12)
        paid = sum(case["yearly"]) / 12
        for amount, growth in zip(case["energy"], case["energy_growth"], strict=True):
            paid += amount / 12 * (1 + growth) ** (month / 12)
        if month <= case["loan_months"]:
            paid += payment / prices
            owed = owed * (1 + monthly_rate) - payment
        if month == case["loan_months"]:
            owed = 0.0
        spent += paid * worth_now
        costs.append(spent - (end_value[month] - owed / prices) * worth_now)
        size += (paid + end_value[month] + owed / prices) * worth_now
    return np.array(costs), size


def terms_of(case):
    """The case as the engine takes it."""
    yearly = {f"cost {k}": amount for k, amount in enumerate(case["yearly"])}
    return Terms(case["money_in"], yearly, case["energy"], case["energy_growth"], case["loan"], case["loan_rate"], case["loan_months"])


@st.composite
def cases(draw, sources=st.integers(0, 3)):
    """One option's terms, with the edges drawn often: nothing borrowed, no interest, no energy, growth equal to the discount."""
    discount, inflation, n = draw(rates), draw(rates), draw(sources)
    growths = st.one_of(st.just(discount), st.just(0.0), st.floats(-0.2, 0.3))
    return {
        "money_in": draw(money),
        "yearly": draw(st.lists(money, max_size=3)),
        "energy": draw(arrays(float, n, elements=money)),
        "energy_growth": draw(arrays(float, n, elements=growths)),
        "loan": draw(st.one_of(st.just(0.0), st.floats(1, 1e5))),
        "loan_rate": draw(st.one_of(st.just(0.0), st.floats(1e-9, 0.5))),
        "loan_months": draw(st.integers(1, 2 * MONTHS)),
    }, discount, inflation


PLAIN = {
    "money_in": 9000.0, "yearly": [480.0, 650.0], "energy": np.array([900.0]), "energy_growth": np.array([0.03]),
    "loan": 6000.0, "loan_rate": 0.06, "loan_months": 18,
}  # fmt: skip
END = np.linspace(9000, 4000, MONTHS + 1)
NO_ENERGY = {"energy": np.zeros(0), "energy_growth": np.zeros(0)}


@steadily
@given(cases(), arrays(float, MONTHS + 1, elements=money))
@example((PLAIN, 0.03, 0.02), END)
@example((PLAIN, 0.0, 0.0), END)
@example((PLAIN | {"loan_rate": 0.0}, 0.03, 0.02), END)
@example((PLAIN | {"loan_months": MONTHS}, 0.03, 0.02), END)
@example((PLAIN | {"loan_months": MONTHS + 1}, 0.03, 0.02), END)
@example((PLAIN | {"loan_months": 1}, 0.03, 0.02), END)
@example((PLAIN | {"energy_growth": np.array([0.08])}, 0.08, 0.02), END)
@example((PLAIN | NO_ENERGY, 0.03, 0.02), END)
@example((PLAIN | NO_ENERGY | {"yearly": [], "loan": 0.0}, 0.03, 0.02), END)
def test_the_engine_is_the_months_added_up_one_at_a_time(case, end_value):
    case, discount, inflation = case
    costs, size = month_by_month(case, end_value, discount, inflation)
    found = total_if_kept(terms_of(case), end_value, MONTHS, discount, inflation)
    np.testing.assert_allclose(found, costs, rtol=0, atol=1e-12 * size)


@st.composite
def grids(draw):
    """Two options in three scenarios, each with its own numbers, two sources of energy and one yearly cost."""
    drawn = [[draw(cases(sources=st.just(2)))[0] for _ in range(3)] for _ in range(2)]
    for option in drawn:
        for case in option:
            case["yearly"] = [draw(money)]
    return drawn, draw(arrays(float, (2, 3, MONTHS + 1), elements=money)), draw(rates), draw(rates)


@settings(steadily, max_examples=40)
@given(grids())
def test_options_in_scenarios_cost_what_each_costs_alone(grid):
    drawn, end_value, discount, inflation = grid

    def stacked(name):
        return np.array([[case[name] for case in option] for option in drawn])

    terms = Terms(
        stacked("money_in"), {"cost 0": stacked("yearly")[..., 0]}, stacked("energy"), stacked("energy_growth"),
        stacked("loan"), stacked("loan_rate"), stacked("loan_months"),
    )  # fmt: skip
    together = total_if_kept(terms, end_value, MONTHS, discount, inflation)
    assert together.shape == (2, 3, MONTHS + 1)
    for option, scenarios in enumerate(drawn):
        for scenario, case in enumerate(scenarios):
            alone = total_if_kept(terms_of(case), end_value[option, scenario], MONTHS, discount, inflation)
            _, size = month_by_month(case, end_value[option, scenario], discount, inflation)
            np.testing.assert_allclose(together[option, scenario], alone, rtol=0, atol=1e-14 * size)


def test_an_option_without_a_loan_beside_one_with_is_not_touched_by_it():
    both = Terms(np.array([9000.0, 9000.0]), loan=np.array([0.0, 6000.0]), loan_rate=np.array([0.0, 0.06]), loan_months=np.array([1.0, 18.0]))
    found = total_if_kept(both, np.array([END, END]), MONTHS, 0.03)
    np.testing.assert_array_equal(found[0], total_if_kept(Terms(9000.0), END, MONTHS, 0.03))
    assert np.all(found[1, 1:] > found[0, 1:])  # 6 % a year, a twelfth a month, is dearer than 3 %
