"""Exact money: cents, foreign amounts, and one price over several parts."""

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from buildecon.quantities.money import CURRENCIES, converted, split, to_cents

steadily = settings(deadline=None, derandomize=True)
amounts = st.integers(0, 10**10).map(lambda cents: Decimal(cents) / 100)
weights = st.lists(st.integers(0, 10**6).map(lambda cents: Decimal(cents) / 100), min_size=1, max_size=12).filter(any)


def decimals(text):
    return [Decimal(part) for part in text.split()]


# to_cents


@pytest.mark.parametrize(
    ("amount", "cents"), [("15.525", "15.53"), ("-15.525", "-15.53"), ("0.005", "0.01"), ("0.0049999", "0.00"), ("72.106", "72.11"), ("3", "3.00")]
)
def test_half_a_cent_rounds_away_from_zero(amount, cents):
    assert str(to_cents(Decimal(amount))) == cents


@steadily
@given(st.decimals("-1e9", "1e9", places=6))
def test_an_amount_in_cents_is_at_most_half_a_cent_off_and_stays_put(amount):
    assert abs(to_cents(amount) - amount) <= Decimal("0.005")
    assert to_cents(to_cents(amount)) == to_cents(amount) == -to_cents(-amount)


# converted


def test_a_foreign_bill_by_hand():
    # 640 x 1.09 = 697.60; with 62 and 58 in home money, 817.60.
    assert str(converted(Decimal("640"), Decimal("1.09"))) == "697.60"
    assert converted(Decimal("640"), Decimal("1.09")) + 62 + 58 == Decimal("817.60")
    # 12.35 x 1.1 = 13.585, and half a cent goes up.
    assert str(converted(Decimal("12.35"), Decimal("1.1"))) == "13.59"


@steadily
@given(amounts)
def test_an_amount_at_par_is_unchanged(amount):
    assert converted(amount, Decimal(1)) == amount


# split


def test_a_kit_price_over_list_prices_by_hand():
    # 1860 over 900, 700 and 880, 2480 together, is three quarters of each: 675, 525 and 660.
    assert split(Decimal("1860"), decimals("900 700 880")) == decimals("675.00 525.00 660.00")


def test_the_cent_left_over_goes_to_the_part_that_lost_most_the_earlier_one_first():
    assert split(Decimal("100.00"), [Decimal(1)] * 3) == decimals("33.34 33.33 33.33")
    # 1.00 over 1, 2 and 4: 14.28..., 28.57..., 57.14... cents lose .28, .57 and .14, so the second gets the cent.
    assert split(Decimal("1.00"), decimals("1 2 4")) == decimals("0.14 0.29 0.57")
    # 0.05 over four: 1.25 cents each, one cent left.
    assert split(Decimal("0.05"), [Decimal(1)] * 4) == decimals("0.02 0.01 0.01 0.01")


def test_a_part_of_no_weight_costs_nothing():
    assert split(Decimal("9.99"), decimals("0 3 0")) == decimals("0.00 9.99 0.00")


@steadily
@given(amounts, weights)
def test_a_split_keeps_the_total_and_is_less_than_a_cent_off_each_share(total, weights):
    parts = split(total, weights)
    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part - total * weight / sum(weights)) < Decimal("0.01")
        assert part >= 0


def test_money_given_back_is_split_to_the_cent():
    assert sum(split(Decimal("-100.00"), [Decimal(1)] * 3)) == Decimal("-100.00")


@steadily
@given(amounts, weights)
def test_a_part_with_more_weight_never_gets_less(total, weights):
    by_weight = sorted(zip(weights, split(total, weights), strict=True))
    for (lighter, less), (heavier, more) in zip(by_weight[:-1], by_weight[1:], strict=True):
        assert less <= more or lighter == heavier


@pytest.mark.parametrize(
    ("weights", "shown"), [([], "[]"), (["0"], "['0']"), (["0", "0.00"], "['0', '0.00']"), (["-1", "3"], "['-1', '3']"), (["-1"], "['-1']")]
)
def test_weights_that_share_nothing_out_are_refused(weights, shown):
    with pytest.raises(ValueError) as refusal:
        split(Decimal("10"), [Decimal(weight) for weight in weights])
    assert str(refusal.value) == f"weights must be at least 0 with one above 0, got {shown}."


# CURRENCIES: ISO 4217, from memory


def test_currency_codes_are_three_capitals_and_hold_no_test_or_metal_codes():
    assert all(len(code) == 3 and code.isascii() and code.isalpha() and code.isupper() for code in CURRENCIES)
    assert {"EUR", "GBP", "USD", "CHF", "JPY", "AUD", "SEK", "PLN"} <= CURRENCIES
    assert not CURRENCIES & {"XAU", "XAG", "XTS", "XXX", "DEM", "FRF"}
