"""Rows of market.csv as they count: one a car, one date, one currency, one basis, each read for what it is."""

import datetime as dt
from math import inf, log, sqrt

import pytest
from market.garage import DAY, garage, row, spread
from pydantic import ValidationError

from buildecon.market.evidence import margin_of, one_row_a_car, readings
from buildecon.project.worth import Reading, Readings
from buildecon.quantities.estimate import sure


def read(*rows, **market):
    return readings(garage(*rows, **market))


def test_each_kind_is_read_for_what_it_is():
    sold, untold, ask, dealer, bid, offer, asked = read(
        row("s", 5000), row("u", 5000, "sold untold"), row("a", 5000, "asking"), row("d", 5000, "dealer"), row("b", 5000, "bid"), row("o", 5000, "offer refused"), row("c", 5000, "bid", ask=5600)
    )
    y = log(5000)
    assert (sold.reading, sold.low, sold.high, sold.spread) == ("as price", y, y, 0)
    assert (untold.reading, untold.low, untold.high) == ("bracket", y + log(0.75), y)
    # GrinnellHouses, package Stat2Data: 929 houses were asked for at 0.070 to 0.102 above what they fetched, in logs; log 1.08 = 0.077 lies between.
    assert (ask.reading, ask.low, ask.high, ask.spread) == ("margin", y - log(1.08), y - log(1.08), 0.08)
    assert (dealer.reading, dealer.low, dealer.spread) == ("margin", y - log(1.15), 0.08)
    assert (bid.reading, bid.low, bid.spread) == ("margin", pytest.approx(y + log(1.05)), 0.05)
    assert (offer.reading, offer.low, offer.spread) == ("margin", pytest.approx(y + log(1.05)), 0.07)
    assert (asked.reading, asked.low, asked.high) == ("bracket", y, log(5600))


def test_a_reading_is_the_owner_s_to_choose():
    chosen = Readings(asking=Reading(reading="one-sided"), dealer=Reading(reading="as price"), bid=Reading(reading="bracket"), offer_refused=Reading(margin=sure("0.1"), spread=sure("0.2")))
    ask, dealer, bid, offer = read(row("a", 5000, "asking", days_listed=30), row("d", 5000, "dealer"), row("b", 5000, "bid"), row("o", 5000, "offer refused"), readings=chosen)
    y = log(5000)
    assert (ask.low, ask.high, ask.weight) == (-inf, y, 0.5)  # 30 of the usual 60 days
    assert (dealer.low, dealer.high) == (y, y)
    assert (bid.low, bid.high) == (y, y + log(1.25))
    assert (offer.low, offer.spread) == (pytest.approx(y + log(1.1)), pytest.approx(0.2))
    assert margin_of(garage(readings=chosen).file.market, "offer refused") == (0.1, 0.2)


def test_a_listing_longer_than_usual_weighs_no_more_than_one_row():
    [ask] = read(row("a", 5000, "asking", days_listed=200), readings=Readings(asking=Reading(reading="one-sided")))
    assert ask.weight == 1


def test_a_price_told_as_a_range_is_read_as_one():
    [sold] = read(row("s", spread(4000, 4500, 5000)))
    assert (sold.low, sold.high, sold.figure) == (log(4000), log(5000), 4500)


def test_date_currency_and_fees_are_brought_together_first():
    day = dt.date(2025, 9, 30)
    [old] = read(row("s", 5000, day=day), trend_rate=sure("0.10"))
    years = 365 / 365.25
    assert old.figure == pytest.approx(5000 * 1.10**years)
    assert old.spread == pytest.approx(0.03 * sqrt(years))
    [foreign] = read(row("f", 5000, currency="EUR", rate=0.8, fees_on_top=500))
    assert foreign.figure == pytest.approx(4400)  # (5,000 + 500) x 0.8
    [net] = read(row("f", 5000, currency="EUR", rate=0.8, fees_on_top=500), basis="seller gets")
    assert net.figure == pytest.approx(4000)


def test_a_parts_car_is_left_out():
    [parts] = read(row("p", 650, state="parts car"))
    assert not parts.counts
    assert "worth its parts" in parts.because


def test_a_sale_stands_for_all_that_went_before_it():
    rows = [row("a", 7000, "asking", day=dt.date(2026, 3, 1), car="red"), row("b", 5500, "bid", day=dt.date(2026, 4, 1), car="red"), row("s", 6000, day=dt.date(2026, 5, 1), car="red"), row("x", 5000)]
    kept, _, out = one_row_a_car(rows)
    assert set(kept) == {"s", "x"}
    assert out == {"a": "this car was sold, see s", "b": "this car was sold, see s"}


def test_the_later_of_two_sales_and_of_two_asks_and_the_higher_of_two_bids_stand():
    early, late = dt.date(2026, 3, 1), dt.date(2026, 5, 1)
    kept, _, out = one_row_a_car([row("s1", 6000, day=early, car="a"), row("s2", 6500, day=late, car="a"), row("a1", 7000, "asking", day=early, car="b"), row("a2", 6500, "asking", day=late, car="b"),
                               row("b1", 4000, "bid", day=late, car="c"), row("b2", 4500, "bid", day=early, car="c")])  # fmt: skip
    assert set(kept) == {"s2", "a2", "b2"}
    assert out == {"s1": "s2 is a later sale of this car", "a1": "a2 is the later ask for this car", "b1": "b2 is the higher bid on this car"}


def test_a_bid_and_a_later_ask_are_read_together():
    bid, ask = row("b", 5000, "bid", day=dt.date(2026, 4, 1), car="red"), row("a", 5600, "asking", day=dt.date(2026, 5, 1), car="red")
    together, other = read(bid, ask)
    assert (together.low, together.high) == (log(5000), log(5600))
    assert not other.counts and "between the bid and the ask" in other.because


def test_a_bid_above_the_later_ask_is_a_contradiction_and_the_later_row_is_kept():
    bid, ask = row("b", 6000, "bid", day=dt.date(2026, 4, 1), car="red"), row("a", 5600, "asking", day=dt.date(2026, 5, 1), car="red")
    first, kept = read(bid, ask)
    assert kept.counts and not first.counts
    assert first.because == "bid 6000 GBP on 2026-04-01 does not go with asking 5600 GBP on 2026-05-01 for the same car: the later is kept"


def test_the_higher_of_two_bids_is_the_higher_at_home():
    # 9,000 USD at 0.5 are 4,500 GBP, less than 6,000 GBP.
    rows = [row("b1", 9000, "bid", day=dt.date(2026, 3, 1), car="red", currency="USD", rate=0.5), row("b2", 6000, "bid", day=dt.date(2026, 8, 1), car="red")]
    assert set(one_row_a_car(rows, "GBP")[0]) == {"b2"}


def test_a_contradiction_names_the_currency_of_each_figure():
    first, _ = read(row("b", 8000, "bid", day=dt.date(2026, 3, 1), car="red", currency="USD", rate=0.75), row("a", 5000, "asking", day=dt.date(2026, 8, 1), car="red"))
    assert first.because.startswith("bid 8000 USD on 2026-03-01 does not go with asking 5000 GBP on 2026-08-01")


def test_a_margin_is_told_as_exactly_as_the_slider_moves_it():
    own = Readings(asking=Reading(margin=sure("0.085")), bid=Reading(margin=sure("0.025")))
    assert [one.because for one in read(row("a", 6000, "asking"), row("b", 6000, "bid"), readings=own)] == ["taken to stand 8.5% above a price", "a price is taken to stand 2.5% above it"]


def test_fees_may_lift_a_bid_above_the_ask():
    bid, ask = row("b", 10000, "bid", car="red", fees_on_top=1000), row("a", 10500, "asking", car="red")
    assert read(bid, ask)[0].because == "between the ask and the bid, each brought to today and to the same basis"
    assert (read(bid, ask)[0].low, read(bid, ask)[0].high) == (log(10500), log(11000))
    assert read(bid, ask, basis="seller gets")[0].because == "between the bid and what was asked for it"


def test_a_car_is_one_car_whatever_the_capitals():
    assert set(one_row_a_car([row("a", 7000, "asking", day=dt.date(2026, 3, 1), car="Red"), row("s", 6000, car="red")])[0]) == {"s"}
    assert set(one_row_a_car([row("a", 7000), row("row a", 6000, car="row a")])[0]) == {"a", "row a"}


def test_the_higher_of_two_bids_is_the_one_that_is_more_money_at_home():
    kroner, pounds = row("k", 40000, "bid", car="red", currency="SEK", rate=0.075), row("p", 4000, "bid", car="red")  # 3,000 and 4,000
    for rows in ((kroner, pounds), (pounds, kroner)):
        _, _, out = one_row_a_car(rows, "GBP")
        assert out == {"k": "p is the higher bid on this car"}


def test_the_ends_of_a_price_told_as_a_range_are_the_ends_of_what_it_says():
    told = spread(4000, 4500, 5000)
    chosen = Readings(asking=Reading(reading="bracket"), bid=Reading(reading="bracket"), dealer=Reading())
    untold, ask, bid, dealer = read(row("u", told, "sold untold"), row("a", told, "asking"), row("b", told, "bid"), row("d", told, "dealer"), readings=chosen)
    # Down from the least that was asked, up from the most that was bid; a margin moves both ends alike.
    assert (untold.low, untold.high) == pytest.approx((log(3000), log(5000)))
    assert (ask.low, ask.high) == pytest.approx((log(3000), log(5000)))
    assert (bid.low, bid.high) == pytest.approx((log(4000), log(6250)))
    assert (dealer.low, dealer.high) == pytest.approx((log(4000 / 1.15), log(5000 / 1.15)))
    [own] = read(row("b", 3000, "bid", ask=told))
    bid, ask = row("b", 3000, "bid", day=dt.date(2026, 4, 1), car="red"), row("a", told, "asking", car="red")
    for one in (own, read(bid, ask)[0]):
        assert (one.low, one.high) == pytest.approx((log(3000), log(5000)))


def test_an_ask_at_the_bid_itself_is_no_contradiction():
    bid, ask = row("b", 5000, "bid", day=dt.date(2026, 4, 1), car="red"), row("a", 5000, "asking", car="red")
    together, other = read(bid, ask)
    assert (together.low, together.high) == (log(5000), log(5000)) and "read together" in other.because


def test_prices_that_fell_between_a_bid_and_its_ask_are_read_from_the_ask_up_to_the_bid():
    # 5,300 asked five years ago is 5,300 x 0.9^5 = 3,130 today, below the 5,000 bid now.
    five = dt.date(2021, 9, 30)
    bid, ask = row("b", spread(4800, 5000, 5200), "bid", car="red"), row("a", 5300, "asking", day=five, car="red")
    [together, _] = read(bid, ask, trend_rate=sure("-0.10"))
    assert together.because == "between the ask and the bid, each brought to today and to the same basis"
    assert (together.low, together.high) == pytest.approx((log(5300 * 0.9 ** (1826 / 365.25)), log(5200)))


def test_an_old_margin_and_its_age_add_as_variances():
    [ask] = read(row("a", 5000, "asking", day=dt.date(2022, 9, 30)))
    assert ask.spread == pytest.approx(sqrt(0.08**2 + 0.03**2 * 1461 / 365.25))


def test_a_basis_of_what_the_buyer_pays_adds_fees_to_every_kind():
    for kind in ("sold", "sold untold", "asking", "dealer", "bid", "offer refused"):
        with_fees, without = (read(row("x", 5000, kind, fees_on_top=500), basis=basis)[0].figure for basis in ("buyer pays", "seller gets"))
        assert (with_fees, without) == (5500, 5000)


def test_the_same_row_twice_is_counted_once():
    first, again = read(row("m1", 5000, what="the same"), row("m2", 5000, what="the same"))
    assert first.counts and not again.counts
    assert again.because == "the same as m1 in every figure, so the same car counted twice"
    assert not read(row("m1", 5000, what="the same"), row("m2", sure("5000.00"), what="the same"))[1].counts


def test_a_bid_above_its_own_ask_is_refused():
    with pytest.raises(ValidationError, match="ask of at least the bid, 6000"):
        row("b", 6000, "bid", ask=5600)
    with pytest.raises(ValidationError, match="without ask when its kind is 'sold'"):
        row("s", 6000, ask=6600)


@pytest.mark.parametrize("price", [0, -1])
def test_a_price_of_nothing_is_refused(price):
    with pytest.raises(ValidationError, match="above 0"):
        row("s", price)


def test_an_undated_row_is_refused():
    with pytest.raises(ValidationError):
        row("s", 5000, day=None)


def test_a_day_is_part_of_what_makes_rows_alike():
    assert all(one.counts for one in read(row("m1", 5000, what="w"), row("m2", 5000, day=DAY - dt.timedelta(1), what="w")))


def test_an_ask_beside_a_bid_is_brought_home_by_its_own_day_and_rate():
    bid = row("b", 5000, "bid", day=dt.date(2020, 9, 30), car="red", currency="EUR", rate=0.8)
    ask = row("a", 6000, "asking", day=DAY, car="red")
    [together, _] = read(bid, ask, trend_rate=sure("0.02"))
    assert together.low == pytest.approx(log(5000 * 0.8 * 1.02 ** (2191 / 365.25)))
    assert together.high == pytest.approx(log(6000))
    [one] = read(row("b", 5000, "bid", ask=6000, currency="EUR", rate=0.8, fees_on_top=500))
    assert (one.low, one.high) == pytest.approx((log(4400), log(5200)))


def test_home_currency_may_be_named_or_left_out():
    bid, ask = row("b", 5000, "bid", day=dt.date(2026, 4, 1), car="red"), row("a", 5600, "asking", car="red", currency="GBP")
    assert read(bid, ask)[0].reading == "bracket"
    twin = row("m2", 5000, what="w", currency="GBP")
    assert not read(row("m1", 5000, what="w"), twin)[1].counts


@pytest.mark.parametrize("more", [{"distance": 70000}, {"year": 1980}, {"condition": "show"}, {"fees_on_top": 100}, {"state": "stripped"}])
def test_cars_that_differ_in_one_fact_are_two(more):
    assert all(one.counts for one in read(row("m1", 5000, what="w"), row("m2", 5000, what="w", **more)))


def test_a_known_price_of_the_same_day_stands_for_an_untold_one():
    known, untold = row("s", 5000, car="red"), row("u", 5500, "sold untold", car="red")
    for rows in ((known, untold), (untold, known)):
        assert {one.row.id for one in read(*rows) if one.counts} == {"s"}


def test_days_not_told_count_as_the_usual_and_none_as_nothing():
    sided = Readings(asking=Reading(reading="one-sided"))
    unknown, none = read(row("a", 5000, "asking"), row("b", 6000, "asking", days_listed=0), readings=sided)
    assert unknown.weight == 1 and "days not told" in unknown.because
    assert not none.counts
