"""The sentences, tables and objects of what a car is worth: plain, rounded once, true to the engine."""

import json
import math
import re

import pytest
from demos import demo
from market.garage import garage, row, spread

from buildecon.decision.upside_down import standing
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import as_stated, worth
from buildecon.project.worth import Insured, Market, Reading, Readings
from buildecon.quantities.estimate import sure
from buildecon.story import worth_tables as tables
from buildecon.story import worth_words as words
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
    ("chance", "text"), [(0.0, "less than 1 in 100"), (0.0137, "about 1 in 73"), (0.34, "about 1 in 3"), (0.5, "about 50 in 100"), (0.99, "about 99 in 100"), (0.9999, "more than 99 in 100")]
)
def test_a_chance_in_words(chance, text):
    assert words.chance_text(chance) == text


@pytest.mark.parametrize(("level", "text"), [(0.8, "four times out of five"), (0.85, "85 times out of 100")])
def test_how_often_in_words(level, text):
    assert words.often_text(level) == text


def test_the_first_sentences_of_the_roadster():
    found = stand(demo("roadster"))
    assert words.worth_sentence(found) == "On 30 September 2026 it would sell, finished, for about 5,850 GBP; four times out of five for 4,840 to 7,060."
    assert words.evidence_sentence(found) == "From 8 cars in that state, 5 of them sold, and 2 cars in other states; what the seller gets, fees of an auction left out."
    assert "At your own figure of 5,900 GBP it is 2,580 GBP upside down." in words.equity_sentence(found)
    assert "5,664 GBP would be in your hand" in words.equity_sentence(found)
    assert words.job_sentences(found) == [
        "Full respray for 1,150 GBP, to be worth 6,700 GBP instead of your own figure of 5,900 GBP: if you sell, it is likelier not to pay "
        "(-382 GBP, 4% of selling cost off; worst -1,112, best 202). Kept 10 years, with that value still in it, it costs about 3 GBP a month: a question of taste."
    ]
    assert words.dip_sentence(found) == "The dip: stripped on 06 December 2025 it would have fetched 1,300 GBP, down from 1,850, with 2,370 GBP in it; when that state ended 5,813 GBP was in."


def test_the_pickup_in_its_state_of_today_and_the_van_with_its_grant():
    assert "as it stands (running again), for about 24,500 USD" in words.worth_sentence(stand(demo("pickup")))
    assert "11,035 EUR upside down, 8,035 EUR upside down once the 3,000 EUR you count on are paid." in words.equity_sentence(stand(demo("van")))


def test_no_figure_is_made_up_where_none_is_known():
    nothing = stand(garage())
    assert words.worth_sentence(nothing).startswith("On 30 September 2026 nothing says what it is worth: no evidence in market.csv and no first guess. Your own figure is 5,900 GBP")
    assert words.evidence_sentence(nothing) == words.middle_sentence(nothing) == words.decline_sentence(nothing.market) == ""
    sided = Readings(asking=Reading(reading="one-sided"))
    asks = stand(garage(row("a", 7000, "asking"), readings=sided))
    assert "it is worth at most 7,000 GBP" in words.worth_sentence(asks) and "gives no likely figure" in words.worth_sentence(asks)
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


@pytest.mark.parametrize(
    ("means", "words_"), [("agreed value", "paid on a total loss, as agreed"), ("stated amount", "A stated amount is a ceiling, not a promise"), ("market value", "often without the modifications")]
)
def test_the_policy_is_told_with_its_warning(means, words_):
    found = stand(with_(demo("roadster"), insured=Insured(sum=sure(5500), means=means)))
    assert words_ in words.cover_sentence(found)
    assert words.cover_sentence(stand(with_(demo("roadster"), insured=None))) == ""


def test_the_two_approaches_are_both_shown_and_their_difference_explained():
    near = words.built_sentence(stand(demo("roadster")))
    assert "The comparables say 5,850 GBP" in near and "inside their own range" in near
    far = demo("roadster")
    terms = far.file.contribution.model_copy(update={"base": sure(500), "ceiling": None})
    said = words.built_sentence(stand(with_(far, contribution=terms)))
    assert "more: the work is worth more to buyers than common practice says" in said
    assert words.built_sentence(stand(with_(far, contribution=None))) == ""


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
    assert {one["which is"] for one in corrections} == {"assumed", "partly from the evidence", "from the evidence"}
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
    assert max(len(line) for line in text.split("\n") if line.startswith("-")) <= 96 or "---" in text


def test_a_project_without_the_new_tables_still_has_an_answer():
    bare = with_(demo("roadster"), market=Market(), states=(), contribution=None, part_out=None, routes=(), insured=None, improvements=())
    text = worth_text(stand(bare))
    assert "it would sell, finished, for about" in text and "You gave no first guess" in text
    for title in ("ways out", "in pieces", "what the work adds"):
        assert title not in text


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


def test_differences_of_exact_figures_are_exact():
    bare = stand(garage())
    gap = bare.stands_in
    assert f"{-gap.likely:,.0f} GBP upside down" in words.equity_sentence(bare)
    assert tables.equity_table(bare)[0]["value less that"] == f"{bare.equity[0].likely:+,.0f}"
    assert "it would sell for" not in words.cover_sentence(stand(with_(garage(), insured=Insured(sum=sure(5500), means="agreed value"))))


def test_more_rows_than_a_page_holds_are_folded():
    found = stand(garage(*[row(f"m{k}", 5000 + 7 * k) for k in range(300)]))
    assert len(tables.evidence_frames(found)["rows"]) == tables.MOST
    listed = tables.evidence_table(found.market)
    assert len(listed) == tables.MOST + 1 and listed[-1]["row"] == "and 260 more that pull less"


def test_over_insurance_and_what_nobody_pays_are_told():
    found = stand(with_(demo("roadster"), insured=Insured(sum=sure(9000), means="agreed value")))
    assert "more than such a car sells for" in words.cover_sentence(found)
    below = words.cover_sentence(stand(demo("roadster")))
    assert "Of what it stands you in at, 2,980 GBP would come back from nobody." in below
