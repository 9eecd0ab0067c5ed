"""Landed cost and price drift, each worked by hand."""

import pytest
from demos import cents

from buildecon.ledger.prices import landed_cost, price_drift


def test_duty_is_on_goods_with_freight_and_tax_on_top_of_the_duty():
    # 300 + 40 + 5 = 345; 4.5 % = 15.525; 20 % of 360.53 = 72.106; agent 12: 444.64. Rates are for illustration.
    duty, tax, total = landed_cost(cents("300"), cents("40"), cents("5"), cents("0.045"), cents("0.20"), cents("12"))
    assert (duty, tax, total) == (cents("15.53"), cents("72.11"), cents("444.64"))
    assert tax > cents("300") * cents("0.20")  # the classic error is tax on the goods alone, 60


def test_a_price_list_that_rose_between_quote_and_deposit_drifted():
    assert round(100 * price_drift(cents("10900"), cents("11560")), 2) == cents("6.06")


def test_a_price_of_nothing_cannot_drift():
    with pytest.raises(ValueError, match=r"^before must be above 0, got 0\.$"):
        price_drift(cents("0"), cents("5"))
