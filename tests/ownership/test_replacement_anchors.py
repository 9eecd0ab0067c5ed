"""Published replacement problems without a last year, the small solver that meets them, and the repair limit against that solver."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference.printed import numbers, printed, rows
from scipy.integrate import quad
from scipy.optimize import brentq

from buildecon.ownership.repair_limit import YearsAhead, keep_or_sell

CASES = rows("replacement_anchors.csv")


def policy_iteration(reward, move, factor, start=0):
    """Value and best choice by state, and rounds until the choice stays; reward (states, choices), move (states, choices, states)."""
    each, choice = np.arange(len(reward)), np.full(len(reward), start)
    for rounds in range(1, 200):
        value = np.linalg.solve(np.eye(len(reward)) - factor * move[each, choice], reward[each, choice])
        better = np.argmax(reward + factor * move @ value + 1e-9 * (np.arange(reward.shape[1]) == choice[:, None]), axis=1)
        if np.array_equal(better, choice):
            return value, choice, rounds
        choice = better
    raise AssertionError("no policy stayed")


def rust_car(states=100, wear=0.5, upkeep=200.0, price=1e5):
    """A car that wears by an exponential step a year, whose upkeep rises with its wear, or is replaced for its price."""
    step = np.array([1 - np.exp(-wear / 2), *(np.exp(-wear * (j - 0.5)) - np.exp(-wear * (j + 0.5)) for j in range(1, states))])
    kept = np.array([[step[to - at] if to >= at else 0.0 for to in range(states)] for at in range(states)])
    kept = kept / kept.sum(axis=1, keepdims=True)
    reward = np.stack([-upkeep * np.arange(states), np.full(states, -price)], axis=1)
    return reward, np.stack([kept, np.broadcast_to(kept[0], kept.shape)], axis=1)


@pytest.mark.parametrize("case", [case for case in CASES if case["case"] == "Rust replaced from state"], ids=lambda case: case["discount_factor"])
def test_the_car_is_replaced_from_the_published_state_in_the_published_rounds(case):
    _, choice, rounds = policy_iteration(*rust_car(), float(case["discount_factor"]))
    assert int(np.argmax(choice == 1)) == int(case["printed"]) and np.all(choice[int(case["printed"]) :] == 1)
    assert rounds == int(case["rounds"])


def test_the_published_threshold_of_the_same_car_without_steps():
    [case] = [case for case in CASES if case["case"] == "Rust threshold"]
    beta, wear, upkeep, price = float(case["discount_factor"]), 0.5, 200.0, 1e5

    def short(threshold):  # what waiting up to there costs, less the price
        return quad(lambda y: upkeep / (1 - beta) * (1 - beta * np.exp(-wear * (1 - beta) * y)), 0, threshold)[0] - price

    assert brentq(short, 1, 1000, xtol=1e-12) == printed(case["printed"])


def test_the_machine_s_cost_by_state():
    [case] = [case for case in CASES if case["case"] == "machine cost by state"]
    move, reward = np.zeros((4, 3, 4)), np.full((4, 3), -1e9)  # leave it, overhaul, replace
    move[:3, 0] = [[0, 7 / 8, 1 / 16, 1 / 16], [0, 3 / 4, 1 / 8, 1 / 8], [0, 0, 1 / 2, 1 / 2]]
    reward[:3, 0] = [0, -1000, -3000]
    move[2, 1, 1], reward[2, 1] = 1, -4000
    move[1:, 2, 0], reward[1:, 2] = 1, -6000
    move[3, 0, 3] = move[0, 1, 0] = move[1, 1, 1] = move[3, 1, 3] = move[0, 2, 0] = 1  # not allowed, and dear
    value, choice, _ = policy_iteration(reward, move, float(case["discount_factor"]), start=0)
    assert -value == pytest.approx(numbers(case["printed"]), abs=0.6)
    assert choice.tolist() == [0, 0, 1, 2]
    # Week by week for ever, without discount, that policy costs 35,000 / 21 on average (from memory, as the machine).
    chain, cost = move[np.arange(4), choice], -reward[np.arange(4), choice]
    share = np.linalg.lstsq(np.vstack([chain.T - np.eye(4), np.ones(4)]), [0, 0, 0, 0, 1], rcond=None)[0]
    assert share @ cost == pytest.approx(35_000 / 21, rel=1e-12)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(st.lists(st.floats(0, 4000), min_size=5, max_size=5), st.floats(0, 3000), st.floats(100, 9000), st.floats(0, 800), st.floats(0.05, 0.4))
def test_the_repair_limit_agrees_with_that_solver_for_a_car_that_ages(running, joy, sound, scrap, rate):
    # Ages 0 to 4, the last for ever; a year's bill of 0 or 1,500 is part of the state; selling ends it.
    bills, chances, factor, ages = np.array([0.0, 1500.0]), np.array([0.7, 0.3]), 1 / (1 + rate), 5
    sound_by_age = sound * 0.7 ** np.arange(ages)
    reward, move = np.zeros((2 * ages + 1, 2)), np.zeros((2 * ages + 1, 2, 2 * ages + 1))
    for age in range(ages):
        for b, bill in enumerate(bills):
            at, to = 2 * age + b, 2 * min(age + 1, ages - 1)
            reward[at] = joy - running[age] - bill, max(scrap, sound_by_age[age] - bill)
            move[at, 0, to : to + 2] = chances
            move[at, 1, -1] = 1
    move[-1, :, -1] = 1
    value, _, _ = policy_iteration(reward, move, factor)
    n = 700
    held = np.minimum(np.arange(n + 1), ages - 1)
    years = YearsAhead(np.full(n, joy), np.asarray(running)[held[:n]], sound_by_age[held], np.full(n + 1, scrap))
    assert keep_or_sell(years, bills, chances, rate).value[0] == pytest.approx(chances @ value[:2], rel=1e-8, abs=1e-5)
