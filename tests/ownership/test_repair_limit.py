"""Pay the bill or sell: a published replacement, cases by hand, every policy compared one by one, refusals."""

from itertools import product

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis.extra.numpy import arrays
from reference.printed import printed, rows

from buildecon.ownership.repair_limit import YearsAhead, keep_or_sell

steadily = settings(deadline=None, derandomize=True)
few = settings(deadline=None, derandomize=True, max_examples=40)
MACHINE = rows("miranda_fackler_asset_replacement.csv")
amounts = st.integers(0, 500_000).map(lambda cents: cents / 100)


def test_a_machine_is_replaced_when_published():
    # Selling it for what a new one is worth less its price, 50 - 75 + 0.9 V(1), is replacing it; V(1) is found by going round until it stays.
    profit, one_of_age_1 = [float(row["profit"]) for row in MACHINE[:4]], 0.0
    for _ in range(120):
        value = np.full(5, -25 + 0.9 * one_of_age_1)
        found = keep_or_sell(YearsAhead(profit, np.zeros(4), value, value), [0], [1], 1 / 0.9 - 1)
        one_of_age_1 = found.value[0]
    assert found.value.tolist() == [printed(row["value"]) for row in MACHINE]
    assert ["replace" if status == "sell" else "keep" for status in found.status] == [row["choice"] for row in MACHINE[:4]]


def test_a_limit_by_hand():
    # One year, joy 10, running 4, then 15: ahead 21. Sound it fetches 20 now, 5 in any state, so up to 21 - 5 = 16 is paid.
    # No bill (0.75): keep, 21. A bill of 12 (0.15): keep, 9, against 8. A bill of 20 (0.10): keep 1, sell 5. 15.75 + 1.35 + 0.5 = 17.6.
    found = keep_or_sell(YearsAhead([10], [4], [20, 15], [5, 5]), [0, 12, 20], [0.75, 0.15, 0.10])
    assert (found.ahead[0], found.limit[0], found.status[0]) == (21, 16, "limit")
    assert found.value.tolist() == [pytest.approx(17.6, rel=1e-14), 15]
    assert found.still_kept.tolist() == [1, pytest.approx(0.9, rel=1e-14)]


def test_two_years_by_hand():
    # Year 2 at 25 %: 4 - 2 + 0.8 x 10 = 10 ahead, below the 12 it fetches sound: sold whatever the bill.
    # Bills 0 (0.5), 4 (0.25), 10 (0.25) leave 12, 8, and 3 as scrap: 6 + 2 + 0.75 = 8.75.
    # Year 1: 9 - 2 + 0.8 x 8.75 = 14 ahead, above 13: up to 14 - 3 = 11 is paid, more than any bill: 14 - (1 + 2.5) = 10.5.
    found = keep_or_sell(YearsAhead([9, 4], [2, 2], [13, 12, 10], [3, 3, 3]), [0, 4, 10], [0.5, 0.25, 0.25], 0.25)
    np.testing.assert_allclose(found.ahead, [14, 10], rtol=1e-14)
    np.testing.assert_allclose(found.value, [10.5, 8.75, 10], rtol=1e-14)
    assert found.status.tolist() == ["pay any", "sell"]
    assert found.limit[0] == pytest.approx(11, rel=1e-14) and np.isnan(found.limit[1])
    assert found.still_kept.tolist() == [1, 1, 0]


def test_no_bill_is_paid_above_what_another_like_it_costs_by_hand():
    # As in the first case by hand, 21 ahead, 20 sound and 5 as scrap; another like it costs 14, so none above 14 - 5 = 9 is paid, where it was 16.
    # No bill (0.75): 21. A bill of 12 (0.15) or 20 (0.10): scrap and another, 21 + 5 - 14 = 12.
    found = keep_or_sell(YearsAhead([10], [4], [20, 15], [5, 5]), [0, 12, 20], [0.75, 0.15, 0.10], another=14)
    assert (found.ahead[0], found.limit[0], found.status[0], found.still_kept[1]) == (21, 9, "limit", 0.75)
    assert found.value[0] == pytest.approx(0.75 * 21 + 0.25 * 12, rel=1e-14)
    assert keep_or_sell(YearsAhead([10], [4], [20, 15], [5, 5]), [0, 12, 20], [0.75, 0.15, 0.10], another=21).limit[0] == 16
    with pytest.raises(ValueError, match=r"^another must be at least 0, got -1\.0\.$"):
        keep_or_sell(YearsAhead([10], [4], [20, 15], [5, 5]), [0], [1], another=-1)


def test_a_bill_of_exactly_the_limit_is_paid_and_what_is_worth_more_as_scrap_is_sold():
    found = keep_or_sell(YearsAhead([6], [0], [5, 5], [1, 1]), [0, 10, 11], [0.5, 0.25, 0.25])
    assert (found.limit[0], found.still_kept[1]) == (10, 0.75)
    # 3 ahead, worth 2 sound and 4 as scrap: scrap, even with no bill.
    found = keep_or_sell(YearsAhead([1], [0], [2, 2], [4, 1]), [0, 1], [0.5, 0.5])
    assert (found.status[0], found.value[0], found.still_kept[1]) == ("sell", 4, 0)


def test_a_bill_that_cannot_come_does_not_count():
    found = keep_or_sell(YearsAhead([10], [0], [5, 5], [1, 1]), [0, 3, 900], [0.5, 0.5, 0])
    assert (found.status[0], found.still_kept[1]) == ("pay any", 1)


def test_where_buyers_take_the_bill_off_and_scrap_never_binds_the_bill_does_not_decide():
    rng = np.random.default_rng(5)
    years = YearsAhead(rng.uniform(0, 8000, 30), rng.uniform(0, 2000, 30), 15000 * 0.9 ** np.arange(31), np.full(31, -1e6))
    found = keep_or_sell(years, np.linspace(0, 9000, 50), np.full(50, 0.02), 0.03)
    assert set(found.status.tolist()) == {"pay any", "sell"}


def outcome(years, bills, chances, rate, policy):
    """Worth and chances of a policy, told by going through every run of bills there can be; policy[t][b] is keep, sound or scrap."""
    n, worth, there = len(years.joy), 0.0, np.zeros(len(years.joy) + 1)
    for run in product(range(len(bills)), repeat=n):
        chance, amount = np.prod([chances[b] for b in run]), 0.0
        for t, b in enumerate(run):
            there[t] += chance
            factor = (1 + rate) ** -t
            if policy[t][b] == "keep":
                amount += (years.joy[t] - years.running[t] - bills[b]) * factor
            else:
                amount += (years.sound_value[t] - bills[b] if policy[t][b] == "sound" else years.scrap[t]) * factor
                break
        else:
            there[n] += chance
            amount += max(years.sound_value[n], years.scrap[n]) * (1 + rate) ** -n
        worth += chance * amount
    return worth, there


@few
@given(
    arrays(float, 2, elements=amounts), arrays(float, 2, elements=amounts), arrays(float, 3, elements=amounts), arrays(float, 3, elements=st.floats(-500, 1500)),
    arrays(float, 2, elements=amounts), st.floats(0.05, 0.95), st.floats(-0.05, 0.4),
)  # fmt: skip
def test_no_policy_is_worth_more_and_the_limit_is_the_one_that_is_worth_most(joy, running, sound, scrap, bills, chance, rate):
    years, chances = YearsAhead(joy, running, sound, scrap), [chance, 1 - chance]
    found = keep_or_sell(years, bills, chances, rate)
    all_policies = product(product(("keep", "sound", "scrap"), repeat=2), repeat=2)
    best = max(outcome(years, bills, chances, rate, policy)[0] for policy in all_policies)
    assert found.value[0] == pytest.approx(best, rel=1e-9, abs=1e-6)
    sold = [["scrap" if scrap[t] > sound[t] - b else "sound" for b in bills] for t in range(2)]
    told = [["keep" if b <= found.limit[t] else sold[t][k] for k, b in enumerate(bills)] for t in range(2)]
    worth, there = outcome(years, bills, chances, rate, told)
    assert worth == pytest.approx(best, rel=1e-9, abs=1e-6)
    np.testing.assert_allclose(found.still_kept, there, rtol=1e-12, atol=1e-12)


@steadily
@given(st.floats(0, 3000), st.floats(0, 2000), st.floats(0, 8000), st.floats(0, 1000), arrays(float, 4, elements=amounts), st.floats(0.08, 0.4))
def test_a_long_range_comes_to_the_answer_without_end(joy, running, sound, scrap, bills, rate):
    # The same every year: the worth stays when worked by policy iteration, which knows no last year.
    chances, keeps = np.array([0.4, 0.3, 0.2, 0.1]), np.zeros(4, dtype=bool)
    selling = np.maximum(scrap, sound - bills)
    for _ in range(30):
        flow = np.where(keeps, joy - running - bills, selling) @ chances
        value = flow / (1 - keeps @ chances / (1 + rate))
        better = joy - running - bills + value / (1 + rate) >= selling
        if np.array_equal(better, keeps):
            break
        keeps = better
    n = 600
    years = YearsAhead(np.full(n, joy), np.full(n, running), np.full(n + 1, sound), np.full(n + 1, scrap))
    assert keep_or_sell(years, bills, chances, rate).value[0] == pytest.approx(value, rel=1e-9, abs=1e-6)


@steadily
@given(arrays(float, (4, 6), elements=amounts), st.floats(1, 1000), st.floats(-0.05, 0.4))
def test_more_joy_is_a_higher_limit_and_money_scales(series, more, rate):
    joy, running, sound, scrap = series[0], series[1], np.append(series[2], 100), np.append(series[3] / 5, 50)
    bills, chances = np.array([0, 500, 2500]), [0.5, 0.3, 0.2]
    found = keep_or_sell(YearsAhead(joy, running, sound, scrap), bills, chances, rate)
    happier = keep_or_sell(YearsAhead(joy + more, running, sound, scrap), bills, chances, rate)
    assert np.all(happier.ahead >= found.ahead + more * (1 - 1e-9))
    assert np.all(np.nan_to_num(happier.limit, nan=-1) >= np.nan_to_num(found.limit, nan=-1))
    doubled = keep_or_sell(YearsAhead(2 * joy, 2 * running, 2 * sound, 2 * scrap), 2 * bills, chances, rate)
    np.testing.assert_array_equal(doubled.limit, 2 * found.limit)
    np.testing.assert_array_equal(doubled.still_kept, found.still_kept)


def test_many_scenarios_are_each_alone():
    rng = np.random.default_rng(11)
    joy, running = rng.uniform(0, 4000, (3, 8)), rng.uniform(0, 2000, (3, 8))
    sound, scrap = rng.uniform(1000, 9000, (3, 9)), rng.uniform(0, 800, (3, 9))
    bills, chances, rate = rng.uniform(0, 4000, (3, 8, 5)), np.full((8, 5), 0.2), np.array([0.0, 0.05, 0.1])
    together = keep_or_sell(YearsAhead(joy, running, sound, scrap), bills, chances, rate)
    for s in range(3):
        alone = keep_or_sell(YearsAhead(joy[s], running[s], sound[s], scrap[s]), bills[s], chances, rate[s])
        assert together.status[s].tolist() == alone.status.tolist()
        for name in ("limit", "ahead", "value", "still_kept"):
            np.testing.assert_allclose(getattr(alone, name), getattr(together, name)[s], rtol=1e-13)


# Refusals

GOOD = {"joy": [1, 1], "running": [0, 0], "sound_value": [3, 2, 1], "scrap": [0, 0, 0]}


@pytest.mark.parametrize(
    ("changed", "bills", "chances", "message"),
    [
        ({"joy": [1, np.nan]}, [0], [1], "joy must be finite, got nan."),
        ({"running": [1]}, [0], [1], "running must be as long as joy, 2, got 1."),
        ({"scrap": [1, 1]}, [0], [1], "scrap must be as long as joy and one longer, 3, got 2."),
        ({"sound_value": [1, 1]}, [0], [1], "sound_value must be as long as joy and one longer, 3, got 2."),
        ({"joy": [], "running": [], "sound_value": [1], "scrap": [1]}, [0], [1], "joy must hold at least one year, got none."),
        ({}, [0, -5], [0.5, 0.5], "bills must be at least 0, got -5.0."),
        ({}, [0, 5], [0.5, 0.4], "chances must add up to 1, got 0.9. Give the chance of no repair with a bill of 0."),
        ({}, [0, 5], [1.5, -0.5], "chances must be at least 0 and at most 1, got 1.5."),
        ({}, [0, 5], [0.5, np.nan], "chances must be at least 0 and at most 1, got nan."),
        ({}, [0, 5], [1], "chances must be as many as bills, 2, got 1."),
        ({}, [[0, 5]], [0.5, 0.5], "bills must be given for all years at once or for each of 2, got 1."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(changed, bills, chances, message):
    with pytest.raises(ValueError) as told:
        keep_or_sell(YearsAhead(**{**GOOD, **changed}), bills, chances)
    assert str(told.value) == message


def test_a_rate_that_cannot_be_is_refused():
    with pytest.raises(ValueError, match=r"^discount_rate must be above -1, got -1\.0\.$"):
        keep_or_sell(YearsAhead(**GOOD), [0], [1], -1)
