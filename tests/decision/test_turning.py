"""Break-even in anything: by hand, against two runs of a straight difference, the nearest change, the border between two dials."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings

from buildecon.decision.turning import border, nearest_changes, turning_points
from buildecon.ownership.keeping import total_if_kept
from buildecon.ownership.terms import Terms

steadily = settings(deadline=None, derandomize=True)

# A build against a car bought, both made up.
BUILD = dict(
    money_in=9000.0, build_cost=6000.0, build_months=6.0, energy=[1500.0], upkeep=600.0, upkeep_by_year=0.03, km_a_year=10000.0, enjoyment=400.0,
    renewal_cost=[900.0], first_km=[62000.0], life_km=[80000.0], value=12000.0, decline_rate=0.08, selling_share=0.03,
)  # fmt: skip
BOUGHT = dict(money_in=21000.0, energy=[1200.0], upkeep=300.0, km_a_year=10000.0, value=20000.0, decline_rate=0.12, loan=8000.0, loan_rate=0.05,
              loan_months=48.0)  # fmt: skip


def kept(terms, **moved):
    """Cost if kept eight years, at all the places of the dial that is moved at once."""
    return total_if_kept(Terms(**{**terms, **moved}), None, 96, 0.03)[..., -1]


DIALS = {
    "build cost": lambda x: kept(BUILD, build_cost=x) - kept(BOUGHT),
    "enjoyment": lambda x: kept(BUILD, enjoyment=x) - kept(BOUGHT),
    "value of the build": lambda x: kept(BUILD, value=x) - kept(BOUGHT),
    "km a year": lambda x: kept(BUILD, km_a_year=x) - kept(BOUGHT, km_a_year=x),
}
RANGES = {"build cost": (0, 30000, 6000), "enjoyment": (-2000, 2000, 400), "value of the build": (0, 30000, 12000), "km a year": (0, 30000, 10000)}


# turning_points


def test_where_two_straight_costs_meet_by_hand():
    # 12,000 + 150 x against 6,000 + 250 x: equal at 60. From 48 it is 12 more: a quarter of 48, a tenth of the 120 looked at.
    found = turning_points({"months": lambda x: 12000 + 150 * x - (6000 + 250 * x)}, {"months": (0, 120, 48)})["months"]
    assert (found.name, found.now, found.cheaper_now, found.found.verdict) == ("months", 48, "second", "changes")
    assert (found.nearest, found.change) == (pytest.approx(60), pytest.approx(12))
    assert (found.share_of_now, found.share_of_range) == (pytest.approx(0.25), pytest.approx(0.1))


def test_the_nearest_of_several_on_either_side_and_all_are_told():
    found = turning_points({"dial": lambda x: (x - 1) * (x - 4) * (x - 9)}, {"dial": (0, 10, 6)})["dial"]
    np.testing.assert_allclose(found.found.at, [1, 4, 9], atol=1e-7)
    assert found.nearest == pytest.approx(4) and found.change == pytest.approx(-2)
    assert found.share_of_now == pytest.approx(-1 / 3) and found.share_of_range == pytest.approx(-0.2)
    assert found.cheaper_now == "first"


def test_a_share_of_what_is_below_0_has_the_sign_of_the_change():
    found = turning_points({"dial": lambda x: x + 2}, {"dial": (-10, 0, -8)})["dial"]
    assert (found.change, found.share_of_now) == (pytest.approx(6), pytest.approx(0.75))


def test_a_jump_turns_the_answer_and_a_touch_does_not():
    found = turning_points(
        {"jump": lambda x: np.where(x < 4.2, -1.0, 2.0), "touch": lambda x: (x - 5.0321) ** 2, "equal": lambda x: 0 * x, "below": lambda x: x - 20},
        {"jump": (0, 10, 3), "touch": (0, 10, 3), "equal": (0, 10, 3), "below": (0, 10, 3)},
    )
    assert found["jump"].nearest == pytest.approx(4.2) and found["jump"].found.crossings[0].kind == "jump"
    assert [found[name].found.verdict for name in ("touch", "equal", "below")] == ["second always", "equal", "first always"]
    assert [found[name].cheaper_now for name in ("touch", "equal", "below")] == ["second", "neither", "first"]
    assert all(np.isnan([found[name].nearest, found[name].change, found[name].share_of_range]).all() for name in ("touch", "equal", "below"))


def test_what_is_left_of_rounding_turns_nothing():
    found = turning_points({"dial": lambda x: 1e-9 * np.sin(x)}, {"dial": (0, 10, 3)})["dial"]
    assert (found.cheaper_now, found.found.verdict, found.found.at) == ("neither", "equal", ()) and np.isnan(found.nearest)


@pytest.mark.parametrize("dial", ["build cost", "enjoyment", "value of the build"])
def test_where_the_difference_is_straight_two_runs_give_the_same(dial):
    low, high, _ = RANGES[dial]
    at_low, at_high = DIALS[dial](np.array([low, high]))
    found = turning_points(DIALS, {dial: RANGES[dial]})[dial]
    assert found.nearest == pytest.approx(low + (high - low) * at_low / (at_low - at_high), rel=1e-9)
    assert len(found.found.at) == 1


def test_a_dial_that_brings_a_renewal_jumps():
    # 62,000 km are reached within eight years from 7,750 a year on: 900 are paid then or not.
    before, after = DIALS["km a year"](np.array([7749.9, 7750.1]))
    assert after - before == pytest.approx(900 * 1.03**-8, rel=0.01)
    found = turning_points({"km a year": lambda x: DIALS["km a year"](x) - (before + after) / 2}, {"km a year": (5000, 9000, 8000)})["km a year"]
    [jump] = [meeting for meeting in found.found.crossings if meeting.kind == "jump"]
    assert jump.at == pytest.approx(7750, abs=0.01)


def test_a_scan_is_one_call_and_dials_keep_their_order():
    asked = []

    def difference(x):
        asked.append(x.shape)
        return x - 3

    found = turning_points({"a": difference, "b": lambda x: x - 2}, {"b": (0, 5, 1), "a": (0, 5, 1)})
    assert list(found) == ["b", "a"]
    assert asked[0] == (257,) and all(len(shape) == 1 for shape in asked) and len(asked) < 10


# nearest_changes


def test_the_nearest_change_is_the_least_share_of_its_range():
    # Now 0 has no share of now, and still comes first: 1 of 10, then 30 of 100, then 4 of 10; what never turns is left out.
    shifts = {"far": 8.0, "near": 1.0, "never": 99.0, "between": 30.0}
    differences = {name: lambda x, at=at: x - at for name, at in shifts.items()}
    found = nearest_changes(turning_points(differences, {"far": (0, 10, 4), "near": (0, 10, 0), "never": (0, 10, 5), "between": (0, 100, 60)}))
    assert [turning.name for turning in found] == ["near", "between", "far"]
    assert [turning.share_of_range for turning in found] == [pytest.approx(0.1), pytest.approx(-0.3), pytest.approx(0.4)]
    assert np.isnan(found[0].share_of_now) and found[1].share_of_now == pytest.approx(-0.5)


def test_nothing_turns_is_an_empty_table():
    assert nearest_changes(turning_points({"a": lambda x: x + 1}, {"a": (0, 1, 0)})) == ()
    assert nearest_changes({}) == ()


@steadily
@given(st.floats(-5, 5), st.floats(0.01, 1000), st.floats(0, 10))
def test_a_change_leads_to_where_the_two_are_equal_in_any_currency(at, scale, now):
    found = turning_points({"a": lambda x: scale * (x - at)}, {"a": (0, 10, now)})["a"]
    if 1e-3 < at:
        assert found.now + found.change == pytest.approx(at, abs=1e-6)
        assert found.share_of_range == pytest.approx((at - now) / 10, abs=1e-6)
    elif at < 0:
        assert np.isnan(found.change) and found.found.verdict == "second always"


# border


def test_a_slanted_border_by_hand():
    # 2 x + y - 10: at y = 0, 2, 4 equal at x = 5, 4, 3; at x = 4 equal at y = 2, at x = 2 and 6 beyond 0 to 4.
    asked = []

    def difference(x, y):
        asked.append(x.shape)
        return 2 * x + y - 10

    found = border(difference, [2, 4, 6], [0, 2, 4])
    assert asked == [(9,)]
    assert found.difference.tolist() == [[-6, -2, 2], [-4, 0, 4], [-2, 2, 6]]
    assert found.at.tolist() == [5, 4, 3]
    assert found.points.tolist() == [[5, 0], [4, 2], [3, 4], [4, 2]]


def test_a_border_through_a_place_of_the_map_is_there_however_steep_it_is_on_either_side():
    assert border(lambda x, y: np.where(x < 3, 3 * (x - 3), x - 3), [1, 3, 4], [0, 1]).at.tolist() == [3, 3]


def test_a_border_is_a_step_function_with_nothing_where_there_is_none():
    found = border(lambda x, y: x - 2 * y, [0, 1, 2, 3], [0, 1, 1.25, 2])
    np.testing.assert_array_equal(found.at, [np.nan, 2, 2.5, np.nan])  # at y = 0 only touched at the edge, at y = 2 beyond 3


def test_a_border_lying_flat_is_seen_down_the_columns_and_the_first_of_several_is_the_one():
    flat = border(lambda x, y: y - 0.5 + 0 * x, [0, 1, 2], [0, 2])
    assert np.isnan(flat.at).all() and flat.points.tolist() == [[0, 0.5], [1, 0.5], [2, 0.5]]
    # (x - 1.5) (x - 3.5) is 1.25 at 1, -0.75 at 2: 1 + 1.25 / 2; and -0.75 at 3, 1.25 at 4.
    folded = border(lambda x, y: (x - 1.5) * (x - 3.5) + 0 * y, np.arange(6), [0, 1])
    assert folded.at.tolist() == [1.625, 1.625]
    assert folded.points.tolist() == [[1.625, 0], [3.375, 0], [1.625, 1], [3.375, 1]]


def test_the_border_between_build_cost_and_joy_is_that_of_single_break_evens():
    joys = np.array([0.0, 400.0, 800.0])
    found = border(lambda cost, joy: kept(BUILD, build_cost=cost, enjoyment=joy) - kept(BOUGHT), np.linspace(0, 30000, 5), joys)
    for joy, at in zip(joys, found.at, strict=True):
        [exact] = turning_points({"cost": lambda x, joy=joy: kept(BUILD, build_cost=x, enjoyment=joy) - kept(BOUGHT)}, {"cost": (0, 30000, 0)})["cost"].found.at
        assert at == pytest.approx(exact, rel=1e-9)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: turning_points({"a": lambda x: x}, {"a": (5, 5, 5)}), "range of a must rise, got 5.0 to 5.0."),
        (lambda: turning_points({"a": lambda x: x}, {"a": (0, 5, 7)}), "a must be within its range, 0.0 to 5.0, got 7.0. Widen the range."),
        (lambda: turning_points({"a": lambda x: x}, {"a": (0, 5, np.nan)}), "a must be finite, got nan."),
        (lambda: turning_points({"a": lambda x: x * np.nan}, {"a": (0, 5, 1)}), "difference must be finite from 0.0 to 5.0."),
        (lambda: border(lambda x, y: x, [1, 1], [0, 1]), "xs must be at least two places that rise, got [1.0, 1.0]."),
        (lambda: border(lambda x, y: x, [1, 2], [0]), "ys must be at least two places that rise, got [0.0]."),
        (lambda: border(lambda x, y: x * np.nan, [1, 2], [0, 1]), "difference must be finite, got nan."),
    ],
)
def test_what_cannot_be_searched_is_refused(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert str(refused.value) == message
