"""Building in phases: the hand toys, every policy tried by force, the rule at each gate, what cannot be looked through."""

import re
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildecon.decision.staged import BadNewsAhead, Gate, staged

HALF = (0.5, 0.5)


def test_the_toy_by_hand():
    # Start worth 5; phase 1 costs 4 or 12; stopping after it brings 7; phase 2 costs 6 or 16; done 20.
    # Before phase 2: (20 - 6 + 7) / 2 = 10.5. Before phase 1: (10.5 - 4 + 5) / 2 = 5.75. Committed: 20 - 8 - 11 = 1.
    found = staged([Gate("one", 5.0, (4.0, 12.0), HALF), Gate("two", 7.0, (6.0, 16.0), HALF)], 20.0)
    assert (found.value, found.committed, found.stop_now, found.finishes) == (5.75, 1.0, 5.0, 0.25)
    assert [gate.limit for gate in found.gates] == [(5.5, 5.5), (13.0, 13.0)]
    assert [(gate.reached, gate.goes_on, gate.expected) for gate in found.gates] == [(1.0, 0.5, 8.0), (0.5, 0.5, 11.0)]
    assert found.worth_of_option == 0.75


@pytest.mark.parametrize(("cost", "goes"), [(1000.0, 0.0), (999.99, 1.0)])
def test_at_equal_worth_one_stops(cost, goes):
    # 3,000 for stopping; 4,000 less 1,000 for going on.
    found = staged([Gate("one", 3000.0, (cost,))], 4000.0)
    assert (found.gates[0].goes_on, found.finishes, found.gates[0].limit[1]) == (goes, goes, 1000.0)


def test_looking_first_by_hand():
    # Sells for 3,000; 9,000 to finish, 14,000 done; 35 % hidden rot adds 6,000; a look costs 250 and leaves 2,800 if one stops:
    # committed 14,000 - 9,000 - 2,100 = 2,900; looking -250 + .65 x 5,000 + .35 x 2,800 = 3,980, which is 980 more than selling.
    found = staged([Gate("finish", 3000.0, (9000.0,), news=BadNewsAhead(0.35, 6000.0, 250.0, 2800.0))], 14000.0)
    assert (found.value, found.committed, found.stop_now) == pytest.approx((3980, 2900, 3000))
    assert found.worth_of_looking == pytest.approx(980) and found.worth_of_option == pytest.approx(980)
    assert (found.gates[0].looks, found.gates[0].goes_on) == (1.0, 1.0)
    assert found.finishes == pytest.approx(0.65)


def test_a_look_is_the_better_up_to_its_limit_and_not_beyond():
    def at(cost):
        return staged([Gate("finish", 3000.0, (cost,), news=BadNewsAhead(0.35, 6000.0, 250.0, 2800.0))], 14000.0).gates[0]

    limit = at(9000.0).limit[1]
    # 14,000 - c worth more than (3,000 + 250 - .35 x 2,800) / .65 = 3,492.31
    assert limit == pytest.approx(14000 - 2270 / 0.65)
    assert at(limit - 0.01).goes_on == 1 and at(limit + 0.01).goes_on == 0


def tried(gates, done):
    """The best of all policies, each played through every turn of chance; a node is (gate, turns so far, cost)."""
    nodes = [(k, turns, c) for k, gate in enumerate(gates) for turns in product(*(range(len(g.times)) for g in gates[:k])) for c in range(len(gate.costs))]
    acts = [["stop", "go"] + ([("look", sound, bad) for sound in (0, 1) for bad in (0, 1)] if gates[k].news else []) for k, _, _ in nodes]
    turns = []
    for gate in gates:
        news = ((False, 1.0),) if gate.news is None else ((False, 1 - gate.news.chance), (True, gate.news.chance))
        turns.append([(c, b, t, pc * pb * pt) for c, pc in enumerate(gate.chances) for b, pb in news for t, pt in enumerate(gate.time_chances)])
    best = -np.inf
    for policy in product(*acts):
        rule, worth = dict(zip(nodes, policy, strict=True)), 0.0
        for path in product(*turns):
            chance, paid, times, so_far, result = np.prod([turn[3] for turn in path]), 0.0, 1.0, (), None
            for k, (c, bad, t, _) in enumerate(path):
                gate, act = gates[k], rule[(k, so_far, c)]
                if act == "stop":
                    result = gate.stop - paid
                    break
                cost = gate.costs[c] + (gate.news.adds if gate.news and bad else 0.0)
                if act != "go":
                    paid += gate.news.look
                    if not act[2 if bad else 1]:
                        result = (gate.news.stop if bad else gate.stop) - paid
                        break
                paid, times, so_far = paid + cost, times * gate.times[t], (*so_far, t)
            worth += chance * (times * done - paid if result is None else result)
        best = max(best, worth)
    return best


@pytest.mark.parametrize("seed", range(12))
def test_no_policy_does_better_than_the_induction(seed):
    rng = np.random.default_rng(seed)

    def gate(turns, news):
        p, q = rng.uniform(0.1, 0.9, 2)
        times = ((1.0,), (1.0,)) if turns == 1 else (tuple(rng.uniform(0.5, 1.5, 2)), (q, 1 - q))
        return Gate("x", float(rng.uniform(0, 10)), tuple(rng.uniform(0, 12, 2)), (p, 1 - p), *times, BadNewsAhead(*rng.uniform((0.1, 0, 0, -3), (0.9, 8, 1, 3))) if news else None)

    kinds = [(1, False), (1, True), (2, False)][seed % 3], [(1, True), (1, True), (1, False)][seed % 3]
    gates, done = [gate(*kind) for kind in kinds], float(rng.uniform(10, 30))
    gates = [Gate(g.what, g.stop, g.costs, g.chances, g.times, g.time_chances, BadNewsAhead(g.news.chance, g.news.adds, g.news.look, g.stop + min(g.news.stop, 0)) if g.news else None) for g in gates]
    assert staged(gates, done).value == pytest.approx(tried(gates, done), abs=1e-9)


COST = st.floats(0, 100)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.lists(st.tuples(st.floats(0, 100), COST, COST, st.floats(0, 1)), min_size=1, max_size=4), st.floats(0, 400))
def test_the_right_to_stop_is_never_worth_less_than_nothing(given_, done):
    gates = [Gate("x", stop, (low, high), (share, 1 - share), (0.9, 1.1), HALF) for stop, low, high, share in given_]
    found = staged(gates, done)
    assert found.value >= max(found.committed, found.stop_now) - 1e-9
    assert 0 <= found.finishes <= 1 + 1e-9
    assert found.worth_of_looking == pytest.approx(0, abs=1e-9)


def test_money_later_is_worth_less():
    # 1,100 in a year at 10 % is 1,000 today
    assert staged([Gate("x", 0.0, (400.0,), later=1 / 1.1)], 1100.0).value == pytest.approx(600)


def test_eight_phases_of_three_costs_and_three_outcomes_can_be_looked_through():
    gate = Gate("x", 40.0, (5.0, 10.0, 20.0), (0.3, 0.4, 0.3), (0.9, 1.0, 1.1), (0.3, 0.4, 0.3))
    assert staged([gate] * 8, 200.0).value > 40


@pytest.mark.parametrize(
    ("gates", "message"),
    [
        ([Gate("x", 1.0, (1.0,))] * 9, "phases must be 1 to 8, got 9. Put small ones together."),
        ([], "phases must be 1 to 8, got 0. Put small ones together."),
        ([Gate("x", 1.0, (1.0,), (1.0,), (1.0, 1.1, 1.2, 1.3), (0.25,) * 4)], "outcomes of 'x' must be 1 to 3, each with its chance, got 4 with 4 chances."),
        ([Gate("x", 1.0, (1.0, 2.0))], "costs of 'x' must be 1 to 5, each with its chance, got 2 with 1 chances."),
        ([Gate("x", 1.0, (1.0, 2.0), (0.5, 0.4))], "chances of costs of 'x' must add up to 1, got 0.9."),
        ([Gate("x", 1.0, (-1.0,))], "costs of 'x' must be at least 0, got -1.0."),
        ([Gate("x", 1.0, (float("nan"),))], "costs of 'x' must be at least 0, got nan."),
    ],
)
def test_what_cannot_be_looked_through_is_refused(gates, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        staged(gates, 10.0)
