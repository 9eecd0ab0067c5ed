"""The sentences, tables and objects of what a car is worth: plain, rounded once, true to the engine."""

import datetime as dt
import json
import math
import re

import pytest
from demos import demo
from market.garage import garage, row, spread

from buildecon.decision.upside_down import standing
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import as_stated, worth
from buildecon.project.worth import CarState, Improvement, Insured, Market, PartForSale, PartOut, Reading, Readings
from buildecon.quantities.estimate import sure
from buildecon.story import standing_words
from buildecon.story import worth_tables as tables
from buildecon.story import worth_words as words
from buildecon.story.dials import market_dials
from buildecon.story.worth_document import worth_document
from buildecon.story.worth_plain import worth_text


def stand(project):
    return standing(worth(project), ladder(project))


def with_(project, **tables):
    return project.model_copy(update={"file": project.file.model_copy(update=tables)})


@pytest.mark.parametrize(("value", "text"), [(0, "0"), (11977.6, "12,000"), (5844.0, "5,840"), (-382.4, "-382"), (1234567, "1,230,000"), (3.18, "3"), (0.004, "0")])
def test_a_price_has_three_figures(value, text):
    assert words.price_text(value) == text


@pytest.mark.parametrize(
    ("chance", "text"), [(0.0, "less than 1 in 100"), (0.0137, "about 1 in 70"), (0.0171, "about 1 in 60"), (0.06, "about 1 in 17"), (0.005, "less than 1 in 100"), (0.34, "about 1 in 3"), (0.5, "about 50 in 100"), (0.99, "about 99 in 100"), (0.9999, "more than 99 in 100")]
)
def test_a_chance_in_words(chance, text):
    assert words.chance_text(chance) == text


@pytest.mark.parametrize(("level", "text"), [(0.8, "four times out of five"), (0.85, "85 times out of 100")])
def test_how_often_in_words(level, text):
    assert words.often_text(level) == text


def test_the_first_sentences_of_the_roadster():
    found = stand(demo("roadster"))
    assert words.worth_sentence(found) == "On 30 September 2026 it would sell, finished, for about 5,880 GBP; four times out of five for 4,870 to 7,080."
    assert words.evidence_sentence(found) == "From 8 cars in that state, 5 of them sold, and 2 cars in other states; what the seller gets, fees of an auction left out."
    assert "At your own figure of 5,900 GBP it is 2,580 GBP upside down." in words.equity_sentence(found)
    assert "5,664 GBP would be in your hand" in words.equity_sentence(found)
    assert standing_words.job_sentences(found) == [
        "Full respray for 1,150 GBP, to be worth 6,700 GBP instead of your own figure of 5,900 GBP: if you sell, it is likelier not to pay "
        "(-382 GBP, 4% of selling cost off; worst -1,112, best 202). Kept 10 years, with what is left of that value by then, it costs about 3 GBP a month: a question of taste."
    ]
    assert standing_words.dip_sentence(found) == "The dip: stripped on 06 December 2025 it would have fetched 1,300 GBP, down from 1,850, with 2,435 GBP in it; when that state ended 5,878 GBP was in."


def test_the_pickup_in_its_state_of_today_and_the_van_with_its_grant():
    assert "as it stands (running again), for about 24,500 USD" in words.worth_sentence(stand(demo("pickup")))
    # 12,000 of 23,035 less 3,000: 60 %.
    assert "11,035 EUR upside down, 8,035 EUR upside down once the 3,000 EUR you count on are paid, 60% of the rest recovered." in words.equity_sentence(stand(demo("van")))


def test_no_figure_is_made_up_where_none_is_known():
    nothing = stand(garage())
    assert words.worth_sentence(nothing).startswith("On 30 September 2026 nothing says what it is worth: no evidence in market.csv and no first guess. Your own figure is 5,900 GBP")
    assert words.evidence_sentence(nothing) == words.middle_sentence(nothing) == words.decline_sentence(nothing.market) == ""
    sided = Readings(asking=Reading(reading="one-sided"))
    asks = stand(garage(row("a", 7000, "asking"), readings=sided))
    assert "it is probably worth at most 7,000 GBP" in words.worth_sentence(asks) and "gives no likely figure" in words.worth_sentence(asks)
    guess = stand(garage(first_guess=spread(3000, 5000, 8000)))
    assert words.evidence_sentence(guess) == "No market evidence yet: this range is your own guess, not the market."
    for one in (nothing, asks, guess):
        text = worth_text(one)
        assert not re.search(r"\b(nan|inf)\b", text)
        json.dumps(worth_document(one), allow_nan=False)


def test_what_asks_as_sales_would_add():
    roadster = demo("roadster")
    market = worth(roadster)
    said = words.asks_sentence(roadster, market)
    other = worth(roadster, as_stated(roadster).model_copy(update={"asks_are_sales": True}))
    assert f"{other.value.likely / market.value.likely - 1:+.0%}" in said and words.price_text(other.value.likely) in said
    assert words.asks_sentence(roadster, other) == ""
    assert words.asks_sentence(roadster, worth(garage(row("s", 5000)))) == ""
    assert words.asks_sentence(roadster, worth(garage(row("s", 5000), row("a", 6000, "asking")))).startswith("If the asking price were a sale, it would be ")


def test_the_row_that_pulls_most_is_named_with_the_answer_without_it():
    market = worth(garage(row("a", 5000), row("b", 5200), row("c", 9000), row("d", 8000, "bid", ask=20000)))
    pulls = {read.row.id: pull[2] for read, _, pull in market.told}
    most = max(pulls, key=lambda id: abs(pulls[id]))
    said = words.pull_sentence(market)
    without = worth(market.project.model_copy(update={"market": tuple(one for one in market.project.market if one.id != most)}))
    assert said.startswith(f"Row {most} (") and f"would be {words.price_text(market.value.likely - pulls[most])}" in said
    assert market.value.likely - pulls[most] == pytest.approx(without.value.likely, rel=0.03)
    assert ("who asks more there gets more here" in said) == (most == "d")
    assert "who asks more there gets more here" in words.pull_sentence(worth(garage(row("a", 5000), row("b", 5000), row("d", 9000, "bid", ask=40000))))
    assert words.pull_sentence(worth(garage(row("a", 5000)))) == ""


def test_asks_of_better_cars_taken_for_sales_may_make_this_one_worth_less():
    near = [row(f"s{k}", 5000 + 100 * k, distance=100_000, year=1984) for k in range(4)]
    far = [row(f"a{k}", 12000, "asking", distance=20_000, year=1984) for k in range(4)]
    market = worth(garage(*near, *far, car={"distance": sure(180_000), "year": 1984}))
    said = words.asks_sentence(market.project, market)
    assert "Less, though asks stand above prices" in said and "That is what quoting asks adds" not in said


@pytest.mark.parametrize(
    ("means", "words_"), [("agreed value", "paid on a total loss, as agreed"), ("stated amount", "A stated amount is a ceiling, not a promise"), ("market value", "often without the modifications")]
)
def test_the_policy_is_told_with_its_warning(means, words_):
    found = stand(with_(demo("roadster"), insured=Insured(sum=sure(5500), means=means)))
    assert words_ in standing_words.cover_sentence(found)
    assert standing_words.cover_sentence(stand(with_(demo("roadster"), insured=None))) == ""


def test_the_two_approaches_are_both_shown_and_their_difference_explained():
    near = standing_words.built_sentence(stand(demo("roadster")))
    assert "The comparables say 5,880 GBP" in near and "inside their own range" in near
    far = demo("roadster")
    terms = far.file.contribution.model_copy(update={"base": sure(500), "ceiling": None})
    said = standing_words.built_sentence(stand(with_(far, contribution=terms)))
    assert "more: the work is worth more to buyers than these shares, or the base is put too low." in said
    capped = terms.model_copy(update={"ceiling": sure(1000)})
    assert "or the base or the ceiling is put too low." in standing_words.built_sentence(stand(with_(far, contribution=capped)))
    dear = terms.model_copy(update={"base": sure(9000)})
    assert "less: the car without the work is put above them already." in standing_words.built_sentence(stand(with_(far, contribution=dear)))
    kind = terms.model_copy(update={"base": sure(6000)})
    assert "less: the shares are too kind" in standing_words.built_sentence(stand(with_(far, contribution=kind)))
    assert standing_words.built_sentence(stand(with_(far, contribution=None))) == ""
    # A stripped car is set beside what a finished one fetches: what the work adds is there when it is done. Open faults are not the work's cost.
    bare = with_(far, states=(CarState(state="stripped", since=dt.date(2026, 9, 1)),), contribution=terms.model_copy(update={"open_faults": sure(300)}))
    bare = bare.model_copy(update={"file": bare.file.model_copy(update={"build": bare.file.build.model_copy(update={"stage": "in progress"})})})
    found = stand(bare)
    finished = words.price_text(found.market.of_state("finished").likely, "GBP")
    assert f"The comparables say {finished} for it finished" in standing_words.built_sentence(found)
    assert found.built.left_behind == pytest.approx(stand(with_(far, contribution=terms)).built.left_behind)


def test_the_tables_hold_every_row_and_agree_with_the_engine():
    found = stand(demo("roadster"))
    evidence = tables.evidence_table(found.market)
    assert [one["row"].split(",")[0] for one in evidence] == [*(f"m{k:02}" for k in range(1, 12)), "your first guess"]
    assert evidence[-2]["read as"] == "left out" and "worth its parts" in evidence[-2]["why"]
    assert evidence[-1]["pull"] == tables.price_signed(found.market.value.likely - found.market.without_guess.value.likely)
    assert evidence[2]["says of this car"] == words.price_text(found.market.as_this_car[2][0])
    assert len(tables.equity_table(found)) == len(found.totals.rungs)
    corrections = tables.corrections_table(found.market)
    assert [one["correction"] for one in corrections] == ["the market for this car, finished", "a year older", "10,000 mi more", "a grade better", "as found instead of finished"]
    assert {one["which is"] for one in corrections} == {"mostly belief", "partly from the evidence", "from the evidence"}
    assert tables.work_table(found)[-1]["adds"] == words.price_text(found.built.value[1])
    assert tables.parts_table(found)[-1]["counts"] == "3,108"
    assert [one["way"] for one in tables.ways_table(found)][-1] == "in pieces"


def test_the_charts_are_given_what_the_tables_say():
    found = stand(demo("pickup"))
    frames = tables.evidence_frames(found)
    assert [one["label"] for one in frames["rows"]] == [f"m{k:02} {'sold' if k < 8 else 'asking'}" for k in range(1, 11)]
    assert frames["range"] == [{"low": round(found.price[0]), "likely": round(found.price[1]), "high": round(found.price[2]), "shown": "24,500"}]
    assert all(one["low"] <= one["middle"] <= one["high"] for one in frames["rows"])
    dip = tables.dip_frames(found)
    assert [one["state"] for one in dip["value"]] == ["running", "running", "stripped", "running again", "running again", "finished"]
    assert dip["gap"][0]["shown"] == "33,400 upside down"
    assert dip["money"][-1]["ahead"] and not dip["money"][0]["ahead"]
    assert tables.dip_frames(stand(garage(row("s", 5000)))) == {"money": [], "value": [], "gap": []}


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_object_holds_plain_numbers_that_agree_with_the_engine(name):
    found = stand(demo(name))
    given = json.loads(json.dumps(worth_document(found), allow_nan=False))
    assert given["format"] == "buildecon.worth/1"
    assert given["value"]["likely"] == round(found.price[1], 2) and given["value"]["level"] == 0.8
    assert (given["value"]["n"], given["value"]["sold"]) == found.market.evidence_for(found.market.stage)
    assert [one["rung"] for one in given["equity"]] == [rung.id for rung in found.totals.rungs]
    assert len(given["evidence"]) == len(found.project.market)
    assert [one["name"] for one in given["flags"]]
    assert math.isclose(given["part_out"]["net"]["likely"], found.parted.net[1], abs_tol=0.01)


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_text_begins_with_the_answer_and_ends_with_the_cautions(name):
    found = stand(demo(name))
    text = worth_text(found)
    assert text.split("\n")[0].startswith(f"On {found.project.file.build.as_of:%d %B %Y} it would sell")
    assert text.rstrip().endswith("It is not financial, tax or legal advice.")
    assert text.count("not financial") == 1
    assert max(len(line) for line in text.split("\n") if line.startswith("- ")) <= 96


def test_a_project_without_the_new_tables_still_has_an_answer():
    bare = with_(demo("roadster"), market=Market(), states=(), contribution=None, part_out=None, routes=(), insured=None, improvements=())
    text = worth_text(stand(bare))
    assert "Finished, it would sell for about" in " ".join(text.split()) and "You gave no first guess" in text
    for title in ("ways out", "in pieces", "what the work adds"):
        assert title not in text


def with_states(*values):
    states = tuple(CarState(state="running", since=dt.date(2025, 1 + k, 1), value=None if value is None else sure(value)) for k, value in enumerate(values))
    return stand(with_(garage(), states=states))


def test_the_dip_is_the_largest_fall_among_what_has_happened():
    assert "it would have fetched 12,000 GBP, down from 20,000" in standing_words.dip_sentence(with_states(5000, 6000, 20000, 12000))
    assert standing_words.dip_sentence(with_states(5000, 6000)) == "From 5,000 GBP at first to 6,000 GBP at last."
    assert "it would have fetched 12,000 GBP, down from 20,000, with" in standing_words.dip_sentence(with_states(5000, 20000, 12000))
    assert standing_words.dip_sentence(with_states(5000, 20000, 12000)).endswith("; by now 8,480 GBP is in.")
    assert "; when that state ended " in standing_words.dip_sentence(with_states(20000, 12000, 13000))
    assert "(not known: running)" in standing_words.dip_sentence(with_states(5000, None, 6000))
    ahead = with_(garage(), states=(CarState(state="running", since=dt.date(2026, 1, 1), value=sure(5000)), CarState(state="stripped", since=dt.date(2027, 1, 1), value=sure(500))))
    assert standing_words.dip_sentence(stand(ahead)) == ""


def test_a_market_value_policy_pays_its_sum_at_most():
    low, high = (standing_words.cover_sentence(stand(with_(demo("roadster"), insured=Insured(sum=sure(amount), means="market value")))) for amount in (3000, 30000))
    assert "what a like car fetches, but its sum at most: about 3,000 GBP, often without the modifications" in low
    assert "what a like car fetches: about 5,880 GBP, often" in high


def test_work_that_takes_value_away_loses_no_more_than_it_cost_in_the_telling():
    far = demo("roadster")
    terms = far.file.contribution.model_copy(update={"base": sure(9000), "ceiling": sure(4000)})
    said = standing_words.built_sentence(stand(with_(far, contribution=terms)))
    assert "that is 5,000 GBP less than without the work, whose cost is paid for by no buyer." in said
    assert "; of the work's cost, " in standing_words.built_sentence(stand(far))


def test_a_share_next_to_nothing_has_no_sign():
    far = demo("roadster")
    work = far.file.contribution.work[0].model_copy(update={"adds": spread("-0.004", "-0.001", "0.5")})
    rows = tables.work_table(stand(with_(far, contribution=far.file.contribution.model_copy(update={"work": (work,)}))))
    assert rows[1]["a buyer pays for"] == "0% (0% to 50%)"


def test_luck_of_the_pieces_is_told_where_there_is_any():
    part = PartForSale(what="engine", price=sure(10000), chance=sure("0.5"))
    said = standing_words.ways_sentence(stand(with_(garage(), routes=(), part_out=PartOut(within_months=sure(1), fee_share=sure("0.1"), hours=sure("1.5"), parts=(part,)))))
    # sd 10,000 x 0.9 x sqrt(0.5 x 0.5)
    assert "In pieces it brings 4,500 GBP within 1 month, for 1.5 hours of work. Which parts sell moves that by about 4,500 GBP either way." in said
    sure_ = part.model_copy(update={"chance": sure(1)})
    assert "either way" not in standing_words.ways_sentence(stand(with_(garage(), routes=(), part_out=PartOut(within_months=sure(6), parts=(sure_,)))))
    assert [one["counts"] for one in tables.parts_table(stand(with_(garage(), part_out=PartOut(within_months=sure(1), parts=(sure_,)))))] == ["10,000", "0", "0", "10,000"]


def test_a_job_that_neither_costs_nor_gains_comes_out_even():
    job = Improvement(what="badge", cost=sure(0), value_after=sure(5900))
    kept = standing_words.job_sentences(stand(with_(demo("roadster"), improvements=tuple(job.model_copy(update={"keep_years": sure(years)}) for years in (1, "1.5")))))
    assert "Kept 1 year, with" in kept[0] and "Kept 1.5 years, with" in kept[1]
    assert "if you sell, it comes out even" in standing_words.job_sentences(stand(with_(demo("roadster"), improvements=(job,))))[0]


def test_a_year_more_is_told_for_what_the_rows_know():
    car, rows = {"year": 1983, "distance": sure(55000)}, [(6000, 80000, 1980), (7000, 30000, 1986), (6400, 60000, 1983)]
    both, by_year, by_distance = (
        words.decline_sentence(worth(garage(*[row(f"m{k}", price, year=year if years else None, distance=miles if miles_ else None) for k, (price, miles, year) in enumerate(rows)], car=car)))
        for years, miles_ in ((True, True), (True, False), (False, True))
    )
    assert both.startswith("A year more, with 2,400 mi in it, would ")
    assert by_year.startswith("A year more, whatever is driven in it, would ")
    assert by_distance.startswith("The 2,400 mi of a year, and not the year itself, would ")


def test_a_price_that_may_rise_is_not_said_to_lose_less_than_nothing():
    rows = [row("a", 30000, year=1936), row("b", 28000, year=1935), row("c", 20000, year=1937)]
    market = worth(garage(*rows, car={"year": 1936}))
    low, likely, high = (round(-100 * end) for end in (market.decline.high, market.decline.likely, market.decline.low))
    assert low < 0 < likely < high
    assert f"would change the price of such a car by +{likely}%, four times out of five {low}% to +{high}%" in words.decline_sentence(market)
    assert "would take 7% off such a car, four times out of five 3% to 10%" in words.decline_sentence(worth(demo("pickup")))


def test_a_pull_that_is_everything_is_said_in_words():
    asks = Readings(asking=Reading(reading="one-sided"), bid=Reading(reading="one-sided"))
    found = stand(garage(row("a", 6000, "asking", followed="yes", days_listed=30), row("b", 5000, "bid"), readings=asks))
    assert [one["pull"] for one in tables.evidence_table(found.market)] == ["all rests on it"] * 2
    assert [one["pull"] for one in worth_document(found)["evidence"]] == [None, None]
    assert "pull" in tables.evidence_table(stand(garage(row("s", 5000))).market)[0]
    assert tables.evidence_table(stand(garage(row("s", 5000))).market)[0]["pull"] == "all rests on it"


def test_the_bound_is_among_the_rows_that_are_shown():
    rows = [row(f"a{k}", 9000 - 50 * k, "asking", followed="yes", days_listed=60) for k in range(60)]
    found = stand(garage(*rows, readings=Readings(asking=Reading(reading="one-sided"))))
    listed = tables.evidence_table(found.market)
    assert "a59, asking" in {one["row"] for one in listed} and "a0, asking" not in {one["row"] for one in listed}
    assert listed[-1]["row"] == "and 20 more that say less"
    assert {one["id"] for one in tables.evidence_frames(found)["rows"]} == {f"a{k}" for k in range(20, 60)}


@pytest.mark.parametrize(("n", "text"), [(1, "1 row"), (0, "0 rows"), (1.5, "1.5 rows"), (12345, "12,345 rows")])
def test_one_of_a_thing_is_one(n, text):
    assert words.counted(n, "row") == text


def test_pieces_are_the_floor_only_above_the_best_way_whole():
    found = demo("roadster")
    for price, floor in ((1225, False), (9000, True)):
        parts = found.file.part_out.parts[:-1] + (found.file.part_out.parts[-1].model_copy(update={"price": sure(price)}),)
        said = standing_words.ways_sentence(stand(with_(found, part_out=found.file.part_out.model_copy(update={"parts": parts}))))
        assert ("the pieces are the floor" in said) == floor


def test_assumptions_say_whose_each_margin_is():
    roadster = demo("roadster")
    plain = " ".join(words.worth_assumptions(stand(roadster)))
    assert "Asking prices are taken to stand above a price by 8%, set near what 929 houses" in plain and "A dealer's price above one by 15%, common practice, no source." in plain
    moved = standing(worth(roadster, as_stated(roadster).model_copy(update={"asking_percent": 20.0})), ladder(roadster))
    assert "by 20%, as moved." in " ".join(words.worth_assumptions(moved))
    sales = standing(worth(roadster, as_stated(roadster).model_copy(update={"asks_are_sales": True})), ladder(roadster))
    told = " ".join(words.worth_assumptions(sales))
    assert "taken for a price paid" in told and "houses" not in told


def test_fees_that_no_seller_sees_are_said_to_be_in_the_price():
    fees, told = row("s", 6000, fees_on_top=600), "it goes to the auction, not to you."
    for project, there in ((garage(fees), True), (garage(fees, basis="seller gets"), False), (garage(row("s", 6000)), False)):
        assert any(told in one for one in words.worth_assumptions(stand(project))) == there


def test_shares_are_told_as_they_were_written():
    project = garage(row("s", 6000), trend_rate=sure("0.0125"))
    value = project.file.value.model_copy(update={"selling_cost_share": sure("0.0225")})
    found = stand(with_(project, value=value))
    assert "at 1.25% a year" in words.worth_assumptions(found)[0] and "at 0% a year" in words.worth_assumptions(stand(garage()))[0]
    assert "with 2.25% of selling cost, 5,767 GBP" in words.equity_sentence(found)  # 5,900 x 0.9775
    assert "2.25% of selling cost off" in standing_words.job_sentences(found)[0]


def test_the_grant_may_turn_the_sign():
    van = demo("van")
    value = van.file.value.model_copy(update={"as_is": sure(22000)})
    assert "1,035 EUR upside down, 1,965 EUR to the good once the 3,000 EUR you count on are paid, 110% of the rest recovered." in words.equity_sentence(stand(with_(van, value=value)))


def test_the_ends_of_each_table_row_are_the_right_way_round():
    found = stand(demo("roadster"))
    one = tables.equity_table(found)[0]
    assert (one["from"], one["to"]) == (tables.price_signed(found.equity[0].low), tables.price_signed(found.equity[0].high))
    frames = tables.evidence_frames(found)["rows"]
    spread = found.market.fit.rows.spread[5]  # m06, an asking price: a margin and a distance that is not told
    assert frames[5]["high"] / frames[5]["low"] == pytest.approx(math.exp(2 * 1.28155 * spread), rel=1e-3)


def test_the_object_tells_chance_and_weight():
    sided = Readings(asking=Reading(reading="one-sided"))
    given = worth_document(stand(garage(row("s", 6000), row("t", 6600), row("a", 7000, "asking", days_listed=30), readings=sided)))
    assert [one["weight"] for one in given["evidence"]] == [1, 1, 0.5]
    market = worth(garage(row("s", 6000), row("t", 6600), row("a", 7000, "asking", days_listed=30), readings=sided))
    assert given["evidence"][0]["chance_by_the_others"] == round(float(market.pulls[0][0]), 4)


def test_a_what_if_is_named_in_the_answer():
    roadster = demo("roadster")
    stated = as_stated(roadster)
    turned = stated.model_copy(update={"asking_percent": 12.0, "distance": 90000.0, "belief_width": 2.0, "odd_rows": True})
    said = words.worth_sentence(standing(worth(roadster, turned), ladder(roadster)))
    assert said.startswith("What if? With asking prices 12% above a price, beliefs 2 times as wide, 90,000 mi on its clock, odd rows allowed: on 30 September 2026 it would sell")
    sales = standing(worth(roadster, stated.model_copy(update={"asks_are_sales": True})), ladder(roadster))
    assert words.worth_sentence(sales).startswith("What if? With asking prices taken for sales: on")
    assert words.grave_sentences(sales.market) == ["But asks or bids taken for prices: 3 of 10 rows."]
    assert words.what_if_text(worth(roadster)) == words.what_if_text(worth(roadster, stated)) == ""


def test_the_middle_of_the_market_has_its_currency_and_how_often():
    assert re.match(r"The middle of the market for such cars lies between [\d,]+ and [\d,]+ GBP, four times out of five; one car", words.middle_sentence(stand(demo("roadster"))))


def test_differences_of_exact_figures_are_exact():
    bare = stand(garage())
    gap = bare.stands_in
    assert f"{-gap.likely:,.0f} GBP upside down" in words.equity_sentence(bare)
    assert tables.equity_table(bare)[0]["value less that"] == f"{bare.equity[0].likely:+,.0f}"
    assert "it would sell for" not in standing_words.cover_sentence(stand(with_(garage(), insured=Insured(sum=sure(5500), means="agreed value"))))


def test_more_rows_than_a_page_holds_are_folded():
    found = stand(garage(*[row(f"m{k}", 5000 + 7 * k) for k in range(300)]))
    assert len(tables.evidence_frames(found)["rows"]) == tables.MOST
    listed = tables.evidence_table(found.market)
    assert len(listed) == tables.MOST + 1 and listed[-1]["row"] == "and 260 more that pull less"


def test_over_insurance_and_what_nobody_pays_are_told():
    found = stand(with_(demo("roadster"), insured=Insured(sum=sure(9000), means="agreed value")))
    assert "more than such a car sells for" in standing_words.cover_sentence(found)
    below = standing_words.cover_sentence(stand(demo("roadster")))
    assert "Of what it stands you in at, 2,980 GBP would come back from nobody." in below


def half_built(*rows, stage="in progress", states=(), as_is=4000, **market):
    """The roadster with its states taken away."""
    project = garage(*rows, states=states, **market)
    build, value = project.file.build.model_copy(update={"stage": stage}), project.file.value.model_copy(update={"as_is": sure(as_is)})
    return with_(project, build=build, value=value)


SOLD = tuple(row(f"m{k}", price, state="finished") for k, price in enumerate((6500, 6800, 7100)))


@pytest.mark.parametrize("stage", ["in progress", "planned"])
def test_evidence_of_finished_cars_is_not_the_value_of_a_half_built_one(stage):
    found = stand(half_built(*SOLD, stage=stage))
    finished = found.market.value
    assert found.price == found.stated == (4000, 4000, 4000) and found.market.today is None and not found.by_market
    assert found.stands_in.chance is None and found.stands_in.likely == 4000 - found.stands_in.outlay
    said = words.worth_sentence(found)
    assert said.startswith("On 30 September 2026 it counts at your own figure, 4,000 GBP, as it stands: nothing says in what state it is. Say so under [[states]].")
    assert f"Finished, it would sell for about {words.price_text(finished.likely, 'GBP')}; " in said
    assert "at your own figure" in words.equity_sentence(found) and "chance" not in words.equity_sentence(found)
    [flag] = [flag for flag in worth_document(found)["flags"] if flag["name"] == "nothing says in what state it is"]
    assert flag["grave"] and flag["cure"] == "Say under [[states]] in what state it is."
    assert worth_document(found)["today"] == {"low": 4000, "likely": 4000, "high": 4000, "from": "your own"}
    assert not any("nothing says" in text for text in words.grave_sentences(found.market))  # the answer says it


def test_a_finished_car_or_a_written_state_reads_the_evidence():
    for known in (half_built(*SOLD, stage="finished"), half_built(*SOLD, states=(CarState(state="running", since=dt.date(2026, 1, 1)),))):
        found = stand(known)
        assert found.by_market and found.price[1] == found.market.value.likely
        assert worth_document(found)["today"]["from"] == "evidence"
        assert not any(flag["name"].startswith("nothing says") for flag in worth_document(found)["flags"])


def test_bounds_of_finished_cars_say_so():
    asks = Readings(asking=Reading(reading="one-sided"))
    said = words.worth_sentence(stand(half_built(row("a", 7000, "asking", followed="yes"), readings=asks)))
    assert "it is probably worth, finished, at most " in said


def test_the_chart_of_finished_cars_holds_the_figure_for_the_finished_car():
    found = stand(half_built(*SOLD))
    assert tables.evidence_frames(found)["own"] == [{"own": round(float(found.project.file.value.finished)), "shown": "your figure"}]


def test_a_distance_is_turned_only_where_a_row_has_another():
    # Of rows that have all run as far as this car nothing is corrected for distance, so a slider would move nothing.
    def ends(*distances):
        return market_dials(garage(*(row(f"r{k}", 6000 + 100 * k, distance=one) for k, one in enumerate(distances)), car={"distance": sure(80_000)}))

    assert "distance" in ends(80_000, 60_000) and "distance" not in ends(80_000, 80_000)
