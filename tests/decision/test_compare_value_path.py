"""An option with each kind of value path against a loop that steps from month to month in the owner's miles."""

import numpy as np
import pytest
from demos import demo, line, money, small

from buildecon.decision.compare import FROM_TODAY, as_written, compare
from buildecon.ledger.ladder import ladder
from buildecon.project.paths import NEEDS, ValuePath
from buildecon.project.records import Option, Yearly

FACTS = demo("roadster").options[0].facts
PRICE, YEARLY, SELLING, RATE, MILES = 12000, 600, 0.03, 0.05, 6000
END = {"scrap_value": 400, "distance_now": 30000, "lifetime_distance": 75000}  # 45,000 miles: seven years and a half
PATHS = {
    "steady": {"decline_rate": 0.12},
    "years and distance": {"decline_rate": 0.08, "distance_rate": 0.06},
    "two stage": {"decline_rate": 0.2, "first_years": 3, "later_rate": 0.07},
    "floor then rise": {"decline_rate": 0.5, "floor_value": 3000, "rise_rate": 0.04},
    "held then declining": {"held_years": 2, "decline_rate": 0.15},
    "straight line": {"over_years": 8, "end_value": 2400},
    "table": {"table": ({"years": 2, "value": 8400}, {"years": 6, "value": 3600}), "later_rate": 0.1},
    "distance": END,
}
# How the value changes in month k, from the value before it.
STEPS = {
    "steady": lambda value, k: value * 0.88 ** (1 / 12),
    "years and distance": lambda value, k: value * 0.92 ** (1 / 12) * 0.94 ** (500 / 10000),
    "two stage": lambda value, k: value * (0.8 if k <= 36 else 0.93) ** (1 / 12),
    "floor then rise": lambda value, k: value * (0.5 if k <= 24 else 1.04) ** (1 / 12),  # 12,000, 6000, 3000
    "held then declining": lambda value, k: value * (1 if k <= 24 else 0.85) ** (1 / 12),
    "straight line": lambda value, k: value - (9600 / 96 if k <= 96 else 0),
    "table": lambda value, k: value - 150 if k <= 24 else value - 100 if k <= 72 else value * 0.9 ** (1 / 12),
    "distance": lambda value, k: value - 11600 / 90 if k <= 90 else value,
}


def project(build_terms=None, **terms):
    base = small([line("engine", paid=4000)], quoted_option="build")
    build = Option(id="build", name="the build", kind="build", value=money(6000), facts=FACTS, **(build_terms or {"decline_rate": money(0)}))
    other = Option(id="other", name="the other", kind="buy", price=money(PRICE), facts=FACTS, selling_cost_share=money(SELLING), yearly=Yearly(upkeep=money(YEARLY)), **terms)
    use = base.file.use.model_copy(update={"distance_a_year": money(MILES), "discount_rate": money(RATE)})
    return base.model_copy(update={"file": base.file.model_copy(update={"options": (build, other), "use": use})})


def totals_by_hand(step, months, life=None):
    """Cost if kept to the end of each month; in the month that ends its life the car is scrap, and another like it is bought."""
    value, paid, bought, found = PRICE, PRICE, 0, [PRICE - PRICE * (1 - SELLING)]
    for k in range(1, months + 1):
        value, paid, then = step(value, k - bought), paid + YEARLY / 12 / (1 + RATE) ** (k / 12), (1 + RATE) ** (k / 12)
        over = life is not None and k - bought == life
        left = 400 if over else value if life is None else max(value, 400)
        found.append(paid - left * (1 - SELLING) / then)
        if over:
            paid, value, bought = paid + (PRICE - 400 * (1 - SELLING)) / then, PRICE, k
    return found


@pytest.mark.parametrize("kind", PATHS)
def test_the_cost_by_years_kept_follows_the_path(kind):
    found = compare(project(value_path=ValuePath(kind=kind, **PATHS[kind])))
    np.testing.assert_allclose(found.total[1], totals_by_hand(STEPS[kind], 240, life=90 if kind == "distance" else None), rtol=1e-9)


@pytest.mark.parametrize("kind", PATHS)
def test_the_end_of_a_life_is_met_in_the_cost_by_years_kept(kind):
    found = compare(project(value_path=ValuePath(kind=kind, **PATHS[kind] | END)))
    np.testing.assert_allclose(found.total[1], totals_by_hand(STEPS[kind], 240, life=90), rtol=1e-9)
    assert found.replaced[1].tolist() == [90, 180]
    assert set(PATHS) == set(STEPS) == set(NEEDS)


@pytest.mark.parametrize(("kind", "more"), [("years and distance", {}), ("distance", {}), *((kind, END) for kind in ("steady", "table"))])
def test_a_path_by_distance_moves_with_the_distance_slider(kind, more):
    made = project(value_path=ValuePath(kind=kind, **PATHS[kind] | more))
    written = as_written(made, ladder(made))
    none, plain, far = (compare(made, what_if=written.model_copy(update={"distance_a_year": miles})) for miles in (0.0, MILES, 2.0 * MILES))
    assert np.all(none.total[1] <= plain.total[1]) and np.all(plain.total[1] <= far.total[1])
    month = 48  # twice 6000 miles a year for four years: the life is over for the far, and not for the plain
    assert none.total[1, month] <= plain.total[1, month] < far.total[1, month]
    assert none.total[1, 239] < plain.total[1, 239]


def test_a_path_by_years_alone_stays_where_it_is():
    made = project(value_path=ValuePath(kind="two stage", **PATHS["two stage"]))
    written = as_written(made, ladder(made))
    moved = compare(made, what_if=written.model_copy(update={"distance_a_year": 90000.0}))
    assert np.array_equal(moved.total, compare(made).total)


@pytest.mark.parametrize("rate", ["-0.05", "0", "0.12", "1"])
def test_a_rate_of_decline_is_a_steady_path_to_the_last_bit(rate):
    plain = compare(project(decline_rate=money(rate)))
    path = compare(project(value_path=ValuePath(kind="steady", decline_rate=money(rate))))
    assert np.array_equal(plain.total, path.total)


@pytest.mark.parametrize("view", ["whole story", FROM_TODAY])
def test_a_build_has_a_path_too_and_starts_from_the_value_of_its_slider(view):
    made = project({"value_path": ValuePath(kind="straight line", over_years=5, end_value=1000)}, decline_rate=money(0))
    written = as_written(made, ladder(made))
    found, moved = compare(made, view=view), compare(made, what_if=written.model_copy(update={"end_value": 7000.0}), view=view)
    kept = 0.96 / 1.05 ** np.array([0, 2.5, 5, 9])  # the roadster's 4 % to sell
    assert (found.total - moved.total)[0, [0, 30, 60, 108]] == pytest.approx(np.array([1000, 500, 0, 0]) * kept)
