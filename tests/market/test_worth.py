"""What the car is worth: by hand, as it must behave, and when the evidence is bad."""

import datetime as dt
from math import exp, log, sqrt

import numpy as np
import pytest
from demos import demo
from hypothesis import given, settings
from hypothesis import strategies as st
from market.garage import DAY, garage, row, spread

from buildecon.market.comparables import FOUR_IN_FIVE, as_rows, columns, target
from buildecon.market.evidence import readings
from buildecon.market.flags import flags, odd_below, trust
from buildecon.market.valuation import fitted
from buildecon.market.worth import Turned, as_stated, turned_project, worth
from buildecon.project.worth import Beliefs, CarState, Reading, Readings
from buildecon.quantities.estimate import sure

GUESS = spread(3000, 5000, 8000)
FIVE = [row(f"m{k}", price, distance=miles, year=1980 + k, condition="driver") for k, (price, miles) in enumerate(((4600, 88000), (5250, 71000), (5900, 64000), (6400, 59000), (7100, 41000)))]
CAR = {"year": 1982, "distance": sure(64000), "condition": "driver"}


def names(market):
    return [flag.name for flag in flags(market)]


def test_one_sale_and_a_guess_are_weighed_by_their_precision():
    # At one spread of cars the answer is a mean weighted by 1/variance; the spread is not sure, so that weight is averaged over its nodes.
    market = worth(garage(row("s", 6000), first_guess=GUESS))
    sd, guess = log(8000 / 3000) / FOUR_IN_FIVE, (log(3000) + log(8000)) / 2
    sigma, share = market.fit.sigma, market.fit.share
    weight = sd**2 / (sd**2 + sigma**2)
    by_hand = float(share @ (guess + weight * (log(6000) - guess)))
    assert market.fit.mean[0] == pytest.approx(by_hand, abs=1e-12)
    assert market.value.likely == pytest.approx(exp(by_hand), rel=0.02)  # a median of a mixture lies near its mean


def test_the_facts_that_both_have_become_corrections_and_no_others():
    found = columns(garage(*FIVE, car=CAR), [r for r in readings(garage(*FIVE, car=CAR))])
    assert [column.name for column in found[:3]] == ["the market for this car, finished", "a year older", "10,000 mi more"]  # all are drivers, so the condition says nothing
    assert found[1].values == (2, 1, 0, -1, -2)
    assert found[2].values == pytest.approx((2.4, 0.7, 0, -0.5, -2.3))
    assert (found[1].mean, found[1].sd) == (0, 0.05)  # 44 years old in 2026: off the curve of ordinary used cars
    assert not any(column.name.startswith("10,000") for column in columns(garage(*FIVE, car={"year": 1982}), readings(garage(*FIVE))))


def test_a_young_car_has_the_decline_of_ordinary_used_cars():
    rows = [row("m1", 5000, year=2015), row("m2", 6000, year=2017)]
    project = garage(*rows, car={"year": 2016})
    assert [(c.mean, c.sd) for c in columns(project, readings(project))[1:2]] == [(-0.06, 0.06)]


def test_a_kilometre_is_a_shorter_mile():
    van = demo("van")
    found = next(c for c in columns(van, [r for r in readings(van) if r.counts]) if c.name == "10,000 km more")
    assert (found.mean, found.sd) == pytest.approx((-0.04 / 1.609344, 0.05 / 1.609344))


def test_a_fact_that_is_not_known_counts_as_the_middle_of_the_others_with_more_spread():
    project = garage(row("m1", 5000, distance=80000), row("m2", 6000), row("m3", 4000, distance=120000), car={"distance": sure(60000)})
    reads = readings(project)
    found = columns(project, reads)
    rows, _ = as_rows(reads, found)
    assert rows.x[:, 1] == pytest.approx([2, 4, 6])
    assert rows.spread == pytest.approx([0, sqrt(0.04**2 + 0.05**2) * 4, 0])  # like cars differ by some 40,000 miles


def test_the_clock_turns_the_car_and_not_what_the_rows_have_taught():
    # Rows that do not tell their distance, and one far off, must not follow the slider.
    project = garage(*FIVE, row("u", 9000), car=CAR, first_guess=GUESS)
    stated = as_stated(project)
    near, here, far = (worth(project, stated.model_copy(update={"distance": stated.distance + more})) for more in (-20_000, 0, 30_000))
    miles = [column.name for column in here.columns].index("10,000 mi more")
    assert near.fit.mean.tolist() == here.fit.mean.tolist() == far.fit.mean.tolist()
    # 2 and 3 times ten thousand miles at one rate; medians of the mixture differ from its means by little
    assert log(near.value.likely / here.value.likely) == pytest.approx(-2 * here.fit.mean[miles], rel=0.05)
    assert log(far.value.likely / here.value.likely) == pytest.approx(3 * here.fit.mean[miles], rel=0.05)
    assert far.as_this_car[0][0] / here.as_this_car[0][0] == pytest.approx(exp(3 * here.fit.mean[miles]))
    assert far.without_guess.value.likely != here.without_guess.value.likely


def test_a_condition_nobody_saw_has_more_spread_and_a_car_in_pieces_is_not_asked_for_one():
    project = garage(row("m1", 5000, condition="tidy", graded_by="seller"), row("m2", 2000, state="stripped"), row("m3", 4000), car={"condition": "driver"})
    reads = readings(project)
    rows, _ = as_rows(reads, columns(project, reads))
    assert rows.x[:, 1].tolist() == [1, 0, 1]  # of the finished ones that tell it, the middle is one grade better
    assert rows.spread == pytest.approx([0.10, 0, sqrt(0.25**2 + 0.15**2)])


def test_beliefs_are_read_as_four_times_out_of_five():
    beliefs = Beliefs(ten_thousand_more=spread("-0.10", "-0.05", "0"), stripped=spread("0.2", "0.3", "0.4"))
    project = garage(*FIVE, car=CAR, beliefs=beliefs, first_guess=GUESS)
    found = {column.name: column for column in columns(project, readings(project))}
    miles, stripped = found["10,000 mi more"], found["stripped instead of finished"]
    assert (miles.mean, miles.sd) == pytest.approx((log(0.9) / 2, -log(0.9) / 2.5631))  # low and high decide
    assert (stripped.mean, stripped.sd) == pytest.approx((log(0.08) / 2, log(2) / 2.5631))
    assert miles.stated and stripped.stated and not found["a year older"].stated


def test_a_certain_belief_is_refused():
    with pytest.raises(ValueError, match="given a_grade_better as a range"):
        Beliefs(a_grade_better=sure("0.2"))
    with pytest.raises(ValueError, match="given first_guess as a range"):
        garage(first_guess=sure(5000))


def test_the_state_of_the_car_is_the_last_one_begun():
    states = [CarState(state="stripped", since=dt.date(2026, 1, 1)), CarState(state="running again", since=dt.date(2026, 5, 1)), CarState(state="finished", since=dt.date(2026, 12, 1))]
    market = worth(garage(row("s", 6000), row("d", 2000, state="stripped"), states=states))
    assert market.stage == "running again"
    assert market.evidence_for("stripped") == (1, 1) and market.evidence_for("finished") == (1, 1) and market.evidence_for("running again") == (0, 0)
    assert market.of_state("stripped").likely < market.value.likely < market.of_state("finished").likely
    assert "no row in the state 'running again'" in names(market)


def test_a_car_that_is_yet_to_be_finished_is_not_valued_as_finished():
    ahead = CarState(state="finished", since=dt.date(2027, 5, 1))
    market = worth(garage(*FIVE, car=CAR, states=[ahead]))
    assert market.is_of_finished and market.today is None and market.value is not None
    begun = worth(garage(*FIVE, car=CAR, states=[CarState(state="running", since=dt.date(2026, 1, 1)), ahead]))
    assert not begun.is_of_finished and begun.today == begun.value
    assert next(flag.figure for flag in flags(market)).startswith("the build is in progress and none of [[states]] has begun")


def test_a_finished_build_whose_last_state_is_another_is_told():
    project = garage(*FIVE, car=CAR, states=[CarState(state="stripped", since=dt.date(2026, 1, 1))])
    assert "two things are said of its state" not in names(worth(project))
    done = project.file.build.model_copy(update={"stage": "finished"})
    [flag] = [flag for flag in flags(worth(project.model_copy(update={"file": project.file.model_copy(update={"build": done})}))) if flag.name == "two things are said of its state"]
    assert flag.grave and "[[states]] have it stripped, which" in flag.figure and "last" not in flag.figure  # one may be ahead


def test_what_a_row_says_of_this_car_and_its_pull():
    market = worth(garage(*FIVE, car=CAR))
    assert market.as_this_car[2] == pytest.approx((5900, 5900))  # it is alike in every fact
    guessed, without = (worth(garage(*rows, car=CAR, first_guess=GUESS)) for rows in (FIVE, FIVE[:1] + FIVE[2:]))
    # the pull is that of the mean in logs, the value a median
    assert guessed.pulls[1][2] == pytest.approx(guessed.value.likely - without.value.likely, abs=25)
    assert guessed.pulls[1][2] < -20


def test_the_decline_is_that_of_a_year_and_the_distance_in_it():
    market = worth(garage(*FIVE, car=CAR))
    b = dict(zip([c.name for c in market.columns], market.fit.mean, strict=True))
    assert market.decline.likely == pytest.approx(1 - exp(b["a year older"] + 0.24 * b["10,000 mi more"]), rel=0.05)  # 2,400 miles a year
    assert market.decline.low < market.decline.likely < market.decline.high
    assert worth(garage(row("s", 6000))).decline is None


def test_what_a_reader_turns_replaces_what_the_files_say():
    rows = [row("s", 6000, distance=60000), row("a", 8000, "asking", distance=60000), row("d", 8000, "dealer"), row("b", 5000, "bid"), row("o", 5000, "offer refused")]
    project = garage(*rows, car={"distance": sure(60000)}, readings=Readings(asking=Reading(margin=sure("0.12"))))
    stated = as_stated(project)
    assert stated == Turned(asking_percent=12, dealer_percent=15, bid_percent=5, offer_percent=5, distance=60000)
    assert worth(project, stated).value == worth(project).value
    turned = stated.model_copy(update={"asking_percent": 20.0, "bid_percent": 10.0, "distance": 90000.0})
    low = {one.row.id: one.low for one in readings(turned_project(project, turned))}
    assert low == pytest.approx({"s": log(6000), "a": log(8000 / 1.2), "d": log(8000 / 1.15), "b": log(5500), "o": log(5250)})
    assert worth(project, turned).value.likely < worth(project).value.likely
    sales = stated.model_copy(update={"asks_are_sales": True})
    assert [one.reading for one in readings(turned_project(project, sales))] == ["as price", "as price", "as price", "margin", "margin"]
    assert worth(project, sales).value.likely > worth(project).value.likely
    assert "asks or bids taken for prices" in names(worth(project, sales))


def test_wider_beliefs_leave_more_to_the_evidence():
    project = garage(*FIVE, car=CAR, first_guess=spread(9000, 10000, 11000))
    by_width = [worth(project, as_stated(project).model_copy(update={"belief_width": width})).value.likely for width in (0.25, 1.0, 4.0)]
    assert by_width[0] > by_width[1] > by_width[2]


def test_the_level_of_the_range_is_the_owner_s():
    project = garage(*FIVE, car=CAR, level=sure("0.9"))
    market = worth(project)
    assert market.level == 0.9
    assert (market.chance_above(market.value.low), market.chance_above(market.value.high)) == pytest.approx((0.95, 0.05), abs=1e-9)
    usual = worth(garage(*FIVE, car=CAR))
    assert usual.of_state("finished", level=0.9) == market.value and market.value.low < usual.value.low
    half = market.of_state("finished", level=0.5)
    assert market.chance_above(half.low) == pytest.approx(0.75, abs=1e-9)


def test_the_pull_is_what_the_price_would_lose_without_the_row():
    # Nine of ten at about 6,000 and one of 12,000, all alike: without it the middle is exp(-pull) of what it is with it, not less by exp(pull) - 1.
    rows = [row(f"m{k}", 5800 + 50 * k) for k in range(9)]
    market, without = worth(garage(*rows, row("x", 12000))), worth(garage(*rows))
    pull = market.pulls[-1][2]
    assert pull == pytest.approx(market.value.likely * (1 - exp(without.fit.mean[0] - market.fit.mean[0])), rel=1e-3)
    assert pull == pytest.approx(market.value.likely - without.value.likely, rel=0.02)


@pytest.mark.parametrize("odd", [False, True])
def test_without_the_guess_all_else_stays_as_turned(odd):
    rows = [*FIVE, row("x", 9000, "asking", year=1984, distance=50000)]
    turned = Turned(asking_percent=20.0, belief_width=3.0, odd_rows=odd)
    project, bare = garage(*rows, car=CAR, first_guess=GUESS), garage(*rows, car=CAR)
    assert worth(project, turned).without_guess.value == worth(bare, turned).value
    assert worth(bare, turned).value not in (worth(bare, turned.model_copy(update={"belief_width": 1.0})).value, worth(bare, turned.model_copy(update={"odd_rows": not odd})).value)
    assert worth(bare).without_guess is None and worth(garage(first_guess=GUESS)).without_guess is None


def test_the_bound_of_bids_is_that_of_this_car_too():
    sided = Readings(bid=Reading(reading="one-sided"))
    beliefs = Beliefs(a_grade_better=spread("0", "0.25", "0.5625"))
    rows = [row("b1", 5000, "bid", condition="tidy"), row("b2", 4100, "bid", condition="driver")]
    market = worth(garage(*rows, car={"condition": "driver"}, readings=sided, beliefs=beliefs))
    assert market.as_this_car == ((pytest.approx(4000), float("inf")), (pytest.approx(4100), float("inf")))  # 5,000 / 1.25
    assert market.bound == ("at least", pytest.approx(4100))


def test_a_dearer_target_is_the_less_likely():
    market = worth(garage(*FIVE, car=CAR))
    chances = [market.chance_above(price) for price in (0, 4000, 6000, 9000, 1e9)]
    assert chances[0] == pytest.approx(1) and chances == sorted(chances, reverse=True) and chances[-1] < 1e-6
    assert market.chance_above(market.value.likely) == pytest.approx(0.5, abs=1e-9)
    assert market.chance_above(market.value.low) == pytest.approx(0.9, abs=1e-9)


@settings(deadline=None, max_examples=25, derandomize=True)
@given(st.lists(st.tuples(st.integers(1000, 20000), st.sampled_from(["sold", "asking", "bid"])), min_size=1, max_size=8), st.sampled_from([2.0, 1000.0]))
def test_another_currency_changes_nothing_but_the_figures(pairs, rate):
    rows = [row(f"m{k}", price, kind) for k, (price, kind) in enumerate(pairs)]
    dear = [row(f"m{k}", price * rate, kind) for k, (price, kind) in enumerate(pairs)]
    guess = spread(3000 * rate, 5000 * rate, 8000 * rate)
    one, other = worth(garage(*rows, first_guess=GUESS)), worth(garage(*dear, first_guess=guess))
    assert other.value.likely == pytest.approx(rate * one.value.likely, rel=1e-9)
    assert other.value.high / other.value.low == pytest.approx(one.value.high / one.value.low, rel=1e-9)


def test_the_order_of_the_rows_does_not_matter():
    one, other = worth(garage(*FIVE, car=CAR)), worth(garage(*FIVE[::-1], car=CAR))
    assert one.value.likely == pytest.approx(other.value.likely, rel=1e-12)


# Bad evidence.


def test_nothing_at_all_gives_no_range():
    market = worth(garage())
    assert (market.value, market.middle, market.chance_above(1000), market.bound, market.pulls) == (None, None, None, None, ())
    [flag] = flags(market)
    assert (flag.name, "there is no range" in flag.figure) == ("no evidence", True)


def test_a_guess_alone_is_said_to_be_one():
    market = worth(garage(first_guess=spread(15435, 40000, 103663)))
    assert market.value.likely == pytest.approx(40000, rel=1e-4)
    assert market.middle.low == pytest.approx(15435, rel=1e-3) and market.middle.high == pytest.approx(103663, rel=1e-3)
    assert market.value.low < market.middle.low  # one car varies on top
    assert "this range is your first guess and nothing else" in flags(market)[0].figure


def test_one_and_two_comparables_are_told():
    assert "one comparable" in names(worth(garage(FIVE[0], car=CAR)))
    two = worth(garage(*FIVE[:2], car=CAR))
    assert "few comparables" in names(two) and "corrections that are mostly belief" in names(two)
    ratio = [worth(garage(*FIVE[:n], car=CAR, first_guess=spread(2000, 5500, 12000))).value for n in (1, 2, 5)]
    assert ratio[0].high / ratio[0].low > ratio[1].high / ratio[1].low > ratio[2].high / ratio[2].low


def test_asks_read_as_bounds_alone_give_a_bound_and_no_range():
    sided = Readings(asking=Reading(reading="one-sided"), bid=Reading(reading="one-sided"))
    asks = [row(f"a{k}", price, "asking") for k, price in enumerate((45000, 52000, 60000, 70000))]
    market = worth(garage(*asks, first_guess=spread(16000, 40000, 98000), readings=sided))
    assert market.value is None and market.chance_above(1) is None
    assert market.bound == ("at most", pytest.approx(45000))
    assert "only asking prices, read as bounds" in names(market) and "bounds from adverts not followed from their first day" in names(market)
    bids = worth(garage(*[row(f"b{k}", price, "bid") for k, price in enumerate((30000, 41000))], first_guess=GUESS, readings=sided))
    assert bids.bound == ("at least", pytest.approx(41000))
    assert "only refused bids, read as bounds" in names(bids)
    # by their margins the same asks give a range that hardly moves with the guess
    likely = [worth(garage(*asks, first_guess=guess)).value.likely for guess in (spread(24000, 40000, 66000), spread(4000, 40000, 400000))]
    assert likely[0] == pytest.approx(likely[1], rel=0.03)
    assert "no completed sale" in names(worth(garage(*asks)))


def test_the_bound_is_that_of_this_car():
    sided = Readings(asking=Reading(reading="one-sided"))
    beliefs = Beliefs(a_grade_better=spread("0", "0.25", "0.5625"))
    better = row("a", 5000, "asking", condition="tidy")
    market = worth(garage(better, car={"condition": "driver"}, readings=sided, beliefs=beliefs))
    assert market.bound == ("at most", pytest.approx(4000))  # 5,000 / 1.25


def test_asks_above_and_bids_below_are_evidence_together():
    sided = Readings(asking=Reading(reading="one-sided"), bid=Reading(reading="one-sided"))
    rows = [row("a1", 52000, "asking"), row("a2", 58000, "asking"), row("b1", 38000, "bid"), row("b2", 42000, "bid")]
    market = worth(garage(*rows, first_guess=spread(16000, 40000, 98000), readings=sided))
    assert 38000 < market.value.likely < 58000
    assert {"no completed sale", "bounds from adverts not followed from their first day", "bids read as bounds"} <= set(names(market))


def test_contradictory_evidence_widens_the_range_and_is_told():
    sided = Readings(asking=Reading(reading="one-sided"), bid=Reading(reading="one-sided"))
    rows = [row("s", 30000), row("b", 70000, "bid"), row("a", 15000, "asking")]
    market = worth(garage(*rows, first_guess=spread(16000, 40000, 98000), readings=sided))
    assert market.fit.spread > 0.35
    assert "the evidence disagrees" in names(market)


def test_a_slip_of_a_nought_is_pointed_at_and_still_counted():
    rows = [row(f"m{k}", price) for k, price in enumerate((41000, 43500, 44000, 45200, 46000, 47300, 48000, 49500, 51000))]
    market = worth(garage(*rows, row("slip", 460000)))
    [odd_row] = [flag for flag in flags(market) if "far off" in flag.name]
    assert odd_row.name == "row slip is far off" and odd_row.grave
    assert 9 < float(odd_row.figure.split()[0]) < 11
    clean = worth(garage(*rows)).value.likely
    odd = worth(garage(*rows, row("slip", 460000), odd_rows=True)).value.likely
    assert abs(odd - clean) < abs(market.value.likely - clean)
    assert not any("far off" in name for name in names(worth(garage(*rows))))


def test_among_many_clean_rows_none_is_pointed_at():
    # With a hundredth for each of 500 rows five would be; with a twentieth for the file one file in twenty has one.
    assert [odd_below(n) for n in (0, 5, 10, 500)] == [0.01, 0.01, 0.005, 0.0001]
    rng = np.random.default_rng(1)
    rows = [row(f"m{k}", float(price)) for k, price in enumerate(np.exp(rng.normal(log(6000), 0.2, 500)).round())]
    market = worth(garage(*rows))
    assert sum(chance < 0.01 for chance, _, _ in market.pulls) >= 3
    assert not any("far off" in name for name in names(market))
    assert "row slip is far off" in names(worth(garage(*rows, row("slip", 60000))))


def test_prices_of_years_ago_are_told_where_nobody_says_how_prices_move():
    old, new = row("o", 2500, day=dt.date(1998, 5, 1)), row("n", 6000)
    flag = next(flag for flag in flags(worth(garage(old, new))) if flag.name == "prices of years ago")
    assert flag.grave and flag.figure == "1 row of 2 older than 3 years, from 1998 on, and read as if prices had stood still since"
    assert not next(flag for flag in flags(worth(garage(old, new, row("m", 6100)))) if flag.name == "prices of years ago").grave
    for fine in (garage(old, new, trend_rate=sure("0.03")), garage(old, new, trend_rate=sure(0)), garage(row("r", 6000, day=dt.date(2023, 10, 15)))):
        assert "prices of years ago" not in names(worth(fine))


def test_a_digit_too_many_on_the_only_clock_is_told():
    far = worth(garage(row("m", 6000, distance=550000), car={"distance": sure(55000)}))
    [flag] = [flag for flag in flags(far) if flag.name == "the distance of row m is far off"]
    assert flag.grave and flag.figure == "550,000 where the others have about 55,000"
    assert "few rows speak for a car like this one" in names(far)
    near = names(worth(garage(row("m", 6000, distance=60000), car={"distance": sure(5000)})))
    assert not any("far off" in name for name in near) and "few rows speak for a car like this one" not in near


def test_a_range_that_is_none_is_told_after_its_cause():
    far = worth(garage(row("m", 6000, distance=550000), car={"distance": sure(55000)}))
    assert far.value.high > 20 * far.value.low
    assert [flag.name for flag in flags(far) if flag.grave] == ["the distance of row m is far off", "next to nothing is known of its price"]
    wide = worth(garage(row("m", 6000), first_guess=spread(500, 5000, 50000)))
    assert "next to nothing is known of its price" not in names(wide)


def test_facts_of_this_car_that_no_row_tells_are_told():
    flag = next(flag for flag in flags(worth(garage(row("m", 6000, state="stripped"), row("n", 6000), car=CAR))) if flag.name == "facts that no row tells")
    assert flag.figure == "year, distance, condition"
    assert "facts that no row tells" not in names(worth(garage(*FIVE, car=CAR)))
    stripped = flags(worth(garage(row("m", 6000, state="stripped", year=1982, distance=60000), car=CAR)))
    assert not any(flag.name == "facts that no row tells" for flag in stripped)  # a car in pieces is asked for no condition


def test_what_rests_on_a_first_guess_is_said_only_where_there_is_one():
    rows = [row("m", 1500, state="stripped"), row("n", 1700, state="stripped")]
    alone, guessed = (next(flag.figure for flag in flags(worth(garage(*rows, **more))) if flag.name == "no row in the state 'finished'") for more in ({}, {"first_guess": GUESS}))
    assert alone == "its range rests on the rows in other states, on belief what share of a finished car's price those fetch"
    assert guessed == alone + ", and your first guess"


def test_figures_of_flags_have_their_currency_and_one_row_is_no_rows():
    told = {flag.name: flag.figure for flag in flags(worth(garage(row("a", 7000, "asking"), readings=Readings(asking=Reading(reading="one-sided")))))}
    assert told["only asking prices, read as bounds"].startswith("the market is probably below 7,000 GBP;")
    assert told["no completed sale"] == "1 row, not sold"
    assert told["bounds from adverts not followed from their first day"] == "1 row"
    narrow = next(flag.figure for flag in flags(worth(garage(row("a", 6000), row("b", 6500)))) if flag.name == "your own range is narrower than the evidence")
    assert narrow.startswith("5,400 to 6,300 against 4,7") and narrow.endswith(" GBP") and narrow.count("GBP") == 1


def test_repeats_and_contradictions_are_told():
    bid, ask = row("b", 6000, "bid", day=dt.date(2026, 4, 1), car="red"), row("a", 5600, "asking", day=dt.date(2026, 5, 1), car="red")
    market = worth(garage(row("m1", 5000, what="w"), row("m2", 5000, what="w"), bid, ask))
    assert {"b contradicts another row", "m2 is a repeat"} <= set(names(market))
    assert len(market.counted) == 2


def test_a_car_outside_the_evidence_has_a_wide_range_and_is_told():
    rows = [row(f"m{k}", 9000 - 400 * k, distance=20000 + 10000 * k, year=2000 - 2 * k) for k in range(6)]  # age and miles rise together
    near, off = (worth(garage(*rows, car={"distance": sure(miles), "year": year})) for miles, year in ((50000, 1994), (20000, 1970)))
    assert off.value.high / off.value.low > near.value.high / near.value.low
    thin = "few rows speak for a car like this one"
    assert thin in names(off) and thin not in names(near)
    assert "beyond every row in 'a year older'" in next(flag.figure for flag in flags(off) if flag.name == thin)  # 1970, the oldest row is of 1990


def test_your_own_figure_outside_the_range_is_told():
    rows = [row(f"m{k}", 9000 + 100 * k) for k in range(6)]
    assert "your own figure lies outside the range" in names(worth(garage(*rows)))  # 5,900 in the roadster's [value]


@pytest.mark.parametrize(("share", "words"), [(0.51, "mostly belief"), (0.5, "partly from the evidence"), (0.21, "partly from the evidence"), (0.2, "from the evidence")])
def test_trust_in_words(share, words):
    assert trust(share) == words


def test_ten_thousand_rows_are_taken():
    generator = np.random.default_rng(7)
    prices = np.exp(generator.normal(log(5000), 0.2, 10_000)).round()
    market = worth(garage(*[row(f"m{k}", float(price)) for k, price in enumerate(prices)]))
    assert market.middle.likely == pytest.approx(5000, rel=0.01) and market.fit.spread == pytest.approx(0.2, rel=0.03)


def test_no_row_and_columns_are_the_prior():
    project = garage(first_guess=GUESS)
    fit = fitted(*as_rows((), columns(project, ())))
    assert fit.mean[0] == pytest.approx((log(3000) + log(8000)) / 2) and fit.prior_share == pytest.approx(np.ones(5), abs=1e-6)
    assert target(columns(project, ()), "stripped").tolist() == [1, 0, 0, 1, 0]


@pytest.mark.parametrize(
    ("name", "likely", "low", "high", "here", "sold"),
    [("van", 12000, 10500, 13500, 5, 2), ("roadster", 5900, 5400, 6300, 8, 5), ("pickup", 24500, 22800, 26000, 2, 2)],
)
def test_the_demos_come_near_the_range_their_owners_worked_out(name, likely, low, high, here, sold):
    # The owners' ranges are of the middle of the market; what one car fetches is wider.
    market = worth(demo(name))
    assert market.evidence_for(market.stage) == (here, sold)
    assert market.value.likely == pytest.approx(likely, rel=0.02)
    assert (market.middle.low, market.middle.high) == pytest.approx((low, high), rel=0.06)
    assert market.value.low < low < high < market.value.high


def test_the_pickup_by_state():
    market = worth(demo("pickup"))
    assert market.of_state("stripped").likely == pytest.approx((8500 * 10200) ** 0.5, rel=0.06)  # two sold, 8,500 and 10,200
    finished = market.of_state("finished")
    assert market.evidence_for("finished") == (6, 3)
    assert finished.likely == pytest.approx(34000, rel=0.02) and 27000 < finished.low < finished.high < 41000
    assert market.of_state("stripped").likely < market.of_state("running again").likely < finished.likely


def test_an_old_sale_counts_for_less():
    pair = [row("new", 6000), row("old", 4000, day=DAY - dt.timedelta(days=3650))]
    assert worth(garage(*pair)).value.likely > sqrt(6000 * 4000)


def test_a_guess_with_a_nought_too_many_is_told_and_not_the_rows():
    rows = [row(f"m{k}", price) for k, price in enumerate((5100, 5600, 6200, 6900, 7400))]
    market = worth(garage(*rows, first_guess=spread(70000, 95000, 130000)))
    found = {flag.name: flag for flag in flags(market)}
    assert "your first guess and the rows do not go together" in found and found["your first guess and the rows do not go together"].grave
    assert next(iter(found)) == "your first guess and the rows do not go together"
    assert "your own figure lies outside the range" not in found
    assert market.without_guess.value.likely == pytest.approx(6200, rel=0.05)


def test_a_proud_guess_that_moves_the_answer_is_told():
    rows = [row("m1", 6000), row("m2", 7000)]
    market = worth(garage(*rows, first_guess=spread(9000, 9500, 10000)))
    assert {"your first guess moves the answer", "your first guess and the rows do not go together"} & set(names(market))
    assert not any("first guess" in name for name in names(worth(garage(*rows, first_guess=spread(3000, 6500, 14000)))))


def test_the_bound_of_a_car_in_another_state_is_for_that_state():
    sided = Readings(asking=Reading(reading="one-sided"))
    states = [CarState(state="running again", since=dt.date(2026, 1, 1))]
    market = worth(garage(row("a", 10000, "asking", state="finished"), states=states, readings=sided))
    assert market.bound == ("at most", pytest.approx(10000 * sqrt(0.55 * 0.95)))
    assert market.bound[1] == market.as_this_car[0][1]


@pytest.mark.parametrize(("more", "flag"), [({"distance": sure(880000)}, "the distance of row x is far off"), ({"year": sure(2084)}, "the year of row x is far off")])
def test_a_fact_of_another_world_is_told(more, flag):
    odd = row("x", 5500, **({"distance": sure(70000), "year": sure(1983)} | more))
    assert flag in names(worth(garage(*FIVE, odd, car=CAR)))
    assert not any("far off" in name for name in names(worth(garage(*FIVE, car=CAR))))


@pytest.mark.parametrize("year", [85, 12000])
def test_a_year_of_two_digits_is_refused(year):
    with pytest.raises(ValueError, match="a year between 1885 and 2200"):
        row("m", 5000, year=year)


def test_many_odd_rows_are_told_together():
    rows = [row(f"m{k}", 5000 + 10 * k) for k in range(60)] + [row(f"x{k}", 80000 + k) for k in range(8)]
    assert len([name for name in names(worth(garage(*rows))) if "far off" in name]) <= 6


def test_without_a_guess_the_rows_alone_decide():
    stripped = worth(garage(row("m", 1500, state="stripped")))
    share = next(c for c in stripped.columns if c.name == "stripped instead of finished")
    assert stripped.fit.mean[0] == pytest.approx(log(1500) - share.mean, abs=1e-3)  # nothing pulls the level towards the bare figure
    far = worth(garage(row("m", 5000, distance=260000), car={"distance": sure(60000)}))
    assert far.fit.mean[0] == pytest.approx(log(5000) + 20 * 0.04, abs=1e-3)


def test_a_grade_counts_between_finished_cars_only():
    rows = [row(f"m{k}", 3100 + 20 * k, state="running", condition="runner") for k in range(4)]
    states = [CarState(state="running", since=dt.date(2026, 1, 1))]
    market = worth(garage(*rows, car={"condition": "driver"}, states=states))
    assert market.middle.low < 3130 < market.middle.high
    assert not any(column.name == "a grade better" for column in market.columns)


def test_a_modification_that_is_not_told_has_more_spread():
    project = garage(row("m1", 5000, modification="standard"), row("m2", 5000), car={"modification": "swapped"})
    reads = readings(project)
    rows, _ = as_rows(reads, columns(project, reads))
    assert rows.x[:, 1].tolist() == [1, 0] and rows.spread.tolist() == pytest.approx([0, 0.2])


@pytest.mark.parametrize(("year", "mean"), [(2001, 0.0), (2002, -0.06)])
def test_an_old_car_is_one_of_25_years(year, mean):
    project = garage(row("m", 5000, year=year - 1), car={"year": year})
    assert columns(project, readings(project))[1].mean == mean


def test_a_state_begun_on_the_day_itself_counts_and_of_states_to_come_the_first():
    today, later = CarState(state="stripped", since=DAY), CarState(state="running", since=DAY + dt.timedelta(30))
    assert worth(garage(states=[today])).stage == "stripped"
    assert worth(garage(states=[CarState(state="running", since=DAY - dt.timedelta(30)), today])).stage == "stripped"
    assert worth(garage(states=[later])).stage == "running"


def test_a_turned_bid_leaves_a_refused_offer_alone():
    project = garage(row("b", 5000, "bid"), row("o", 5000, "offer refused"), readings=Readings(offer_refused=Reading(margin=sure("0.3"))))
    assert worth(project, as_stated(project)).value == worth(project).value
    only = Turned(bid_percent=20.0)
    assert [one.low for one in readings(turned_project(project, only))] == pytest.approx([log(6000), log(6500)])
