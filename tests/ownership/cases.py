"""Made-up cases for the cost engines, their edges drawn often, and the same numbers as `Terms`."""

import hypothesis.strategies as st
import numpy as np

from buildecon.ownership.terms import Terms

PLAIN_NAMES = (
    "money_in", "loan", "loan_rate", "loan_months", "build_cost", "build_months", "downtime", "insurance_share", "upkeep", "upkeep_by_year",
    "upkeep_by_km", "km_a_year", "enjoyment", "value", "decline_rate", "selling_share",
)  # fmt: skip

money = st.floats(0, 1e5)
rates = st.one_of(st.just(0.0), st.floats(-0.1, 0.4), st.sampled_from([1e-15, -1e-12, 1e-7, 2e-311]))
horizons = st.one_of(st.sampled_from([12, 36, 720]), st.integers(1, 20).map(lambda years: 12 * years))


def or_none(some):
    """Nothing, in a good share of the cases."""
    return st.one_of(st.just(0.0), some)


def length(months):
    """Whole months, half months, any, on a step's end, on the last day, longer than the horizon."""
    return st.one_of(st.integers(1, 60).map(float), st.floats(0.05, 90), st.sampled_from([2.5, 12.0, 13.0, 24.5, float(months), months + 1.0, months - 0.5]))


@st.composite
def renewals(draw, km_a_year):
    """Often due on the last day of a month, or at once, or very far away."""
    month = (km_a_year or 12000.0) / 12
    distances = st.one_of(st.integers(1, 300).map(lambda n: n * month), st.floats(50, 4e5), st.just(1e12))
    return draw(money), draw(st.one_of(st.just(0.0), distances)), draw(st.one_of(distances, st.just(month / 3)))


@st.composite
def cases(draw, discount, months, parts=st.integers(0, 3)):
    """One case for `by_the_month.kept`."""
    growths = st.one_of(st.just(discount), st.just(0.0), st.floats(-0.2, 0.3))
    km = draw(st.one_of(st.sampled_from([0.0, 12000.0, 10000.0, 7000 * 1.609344, 3e7]), st.floats(1, 60000)))
    return {
        "money_in": draw(st.floats(-1e4, 1e5)),
        "yearly": draw(st.lists(money, min_size=1, max_size=1)),
        "energy": [(draw(money), draw(growths)) for _ in range(draw(parts))],
        "loan": draw(or_none(st.floats(1, 1e5))),
        "loan_rate": draw(st.one_of(st.just(0.0), st.floats(1e-9, 0.5), st.floats(-0.9, -1e-9))),
        "loan_months": draw(length(months)),
        "build_cost": draw(or_none(money)),
        "build_months": draw(or_none(length(months))),
        "downtime": draw(or_none(st.floats(0, 900))),
        "insurance_share": draw(or_none(st.floats(0, 0.2))),
        "upkeep": draw(or_none(st.floats(0, 5000))),
        "upkeep_by_year": draw(or_none(st.floats(0, 1))),
        "upkeep_by_km": draw(or_none(st.floats(0, 1))),
        "renewals": [draw(renewals(km)) for _ in range(draw(parts))],
        "km_a_year": km,
        "enjoyment": draw(or_none(st.floats(0, 5000))),
        "value": draw(money),
        "decline_rate": draw(st.one_of(st.sampled_from([0.0, 1.0, -0.03]), st.floats(0, 0.6))),
        "selling_share": draw(st.one_of(st.sampled_from([0.0, 1.0]), st.floats(0, 0.3))),
        "value_path": draw(st.one_of(st.none(), st.integers(0, 99).map(lambda seed: np.random.default_rng(seed).uniform(0, 3e4, months + 1)))),
    }


def terms_of(case, step=1):
    """The case as the engine takes it."""
    sources, parts, path = case["energy"] or [(0.0, 0.0)], case["renewals"] or [(0.0, 0.0, 1.0)], case["value_path"]
    return Terms(
        **{name: case[name] for name in PLAIN_NAMES},
        yearly={f"cost {k}": amount for k, amount in enumerate(case["yearly"])},
        energy=np.array([amount for amount, _ in sources]), energy_growth=np.array([growth for _, growth in sources]),
        renewal_cost=np.array([part[0] for part in parts]), first_km=np.array([part[1] for part in parts]), life_km=np.array([part[2] for part in parts]),
        value_path=None if path is None else path[::step],
    )  # fmt: skip


def stacked(cases, step=1):
    """Options, each a list of cases in its scenarios, as one `Terms`; all have as many costs, energies and components."""
    single = [[terms_of(case, step) for case in option] for option in cases]

    def together(name):
        return np.array([[getattr(terms, name) for terms in option] for option in single])

    names = (*PLAIN_NAMES, "energy", "energy_growth", "renewal_cost", "first_km", "life_km")
    yearly = {name: np.array([[terms.yearly[name] for terms in option] for option in single]) for name in single[0][0].yearly}
    path = None if single[0][0].value_path is None else together("value_path")
    return Terms(yearly=yearly, value_path=path, **{name: together(name) for name in names})
