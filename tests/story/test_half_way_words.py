"""The words of a build half-way: a friend's sentence for every kind of answer, and no word of what was spent but once."""

import dataclasses

import pytest
from demos import changed, demo, experienced
from demos import half_way_of as of

from buildecon.decision.ways import SELL
from buildecon.ledger.ladder import ladder
from buildecon.project.half_way import BadNews, HalfWay, Phase, Shelve
from buildecon.project.records import Route
from buildecon.quantities.estimate import estimate, sure
from buildecon.story.charts.ways_chart import ways_chart
from buildecon.story.half_way_tables import gates_table, half_way_dials, left_table, ways_frames, ways_table
from buildecon.story.half_way_words import (
    chance_sentences,
    finish_assumptions,
    finish_sentence,
    gate_sentences,
    keep_or_switch_sentence,
    left_sentences,
    limit_of_finishing_sentences,
)
from buildecon.story.theme import DARK, LIGHT, PAGE


@pytest.mark.parametrize(
    ("turned", "said"),
    [
        ({}, "Finish it, but leave the paint: 27,084 USD in hand against 23,765 for selling today; the 120 hours left earn 28 USD each. Parting it out brings 17,866."),
        ({"cost_left": 1000.0}, "Finish it, then sell it: 31,980 USD in hand against 23,765 for selling today; the 130 hours left earn 63 USD each. Parting it out brings 17,866."),
        ({"finished": 28000.0}, "Sell it as it stands: 23,765 USD in hand. The next best, to put it away for 12 months, then sell it, brings 21,979, 1,786 less. Parting it out brings 17,866."),
        ({"as_is": 3000.0, "finished": 9000.0}, "Sell it whole, gasoline engine back in, diesel kit sold beside: 19,425 USD in hand against 2,910 for selling today; the 160 hours it takes earn 103 USD each. Parting it out brings 17,866."),
        ({"as_is": 27800.0}, "Too close to call: finish it, but leave the paint, 27,084 USD in hand, or sell it as it stands, 26,966. The 120 hours left earn 1 USD each. Parting it out brings 17,866."),
    ],
)
def test_the_answer_is_what_a_friend_would_say(turned, said):
    assert finish_sentence(of(demo("pickup"), **turned)) == said


def test_every_kind_of_best_has_its_words():
    pickup, roadster = demo("pickup"), demo("roadster")
    whole = changed(pickup, half_way=HalfWay(months=sure(4)))
    assert finish_sentence(of(whole)).startswith("Finish it, then sell it: 26,493 USD in hand against 23,765 for selling today. Parting")
    rising = changed(pickup, half_way=HalfWay(shelve=Shelve(months=sure(12), drift=sure("0.5"))))
    assert finish_sentence(of(rising)).startswith("Put it away for 12 months, then sell it: 35,648 USD in hand")
    apart = finish_sentence(of(changed(pickup, routes=()), as_is=3000.0, finished=9000.0))
    assert apart == "Part it out: 17,866 USD in hand against 2,910 for selling today; the 90 hours it takes earn 166 USD each."
    friend = Route(name="to a friend", price=sure(40000), weeks=sure(1))
    assert finish_sentence(of(changed(pickup, routes=(friend,)))).startswith("Sell it whole, to a friend: 40,000 USD in hand")
    cheap = roadster.file.improvements[0].model_copy(update={"cost": estimate("100/200/300")})
    assert "Do the full respray first, then sell it: 6,232 GBP in hand against 5,664" in finish_sentence(of(changed(roadster, improvements=(cheap,))))
    bare = changed(demo("van"), part_out=None)
    assert finish_sentence(of(bare)) == "Nothing is left to finish. Selling it as it stands brings 12,000 EUR."


def test_keeping_is_told_in_the_same_money():
    assert keep_or_switch_sentence(of(demo("pickup"))) == (
        "Kept 6 years it costs 361 USD a month from today; selling it today and going over to used Corran D 2021 costs 577. "
        "If you need a car anyway, keeping it is as good as 39,378 USD in hand today, 12,294 more than the best way of selling it."
    )
    pickup = demo("pickup")
    must = tuple(one.model_copy(update={"at_least": sure(9)}) if one.id == "seats" else one for one in pickup.file.must_haves)
    assert keep_or_switch_sentence(of(changed(pickup, must_haves=must))).endswith("Nothing else meets every must-have, so keeping it has no other car to be set against.")


def test_limits_say_when_even_free_work_would_not_pay():
    assert limit_of_finishing_sentences(of(demo("van"))) == []
    said = limit_of_finishing_sentences(of(demo("pickup"), finished=20000.0))
    assert said[1] == "Finishing it all would not beat selling today even if the rest cost nothing."
    assert limit_of_finishing_sentences(of(demo("pickup")))[1] == "Or as long as what is still to come costs less than 9,215 USD; 6,487 is counted on."


def test_chances_are_told_only_where_something_was_drawn():
    assert chance_sentences(of(demo("pickup"))) == []
    said = chance_sentences(of(demo("pickup"), chances=True))
    assert said[0].startswith("How often each is the best of the ways of selling, over the ranges of your figures: finish it, but leave the paint: about 8")
    assert chance_sentences(of(demo("roadster"), chances=True))[-1] == "Nothing you could find out beforehand would change that."


def test_what_is_left_is_read_three_ways_and_why_it_stays():
    pickup = experienced()
    said = left_sentences(of(pickup), ladder(pickup))
    assert said[0] == "Still to come as written: 6,487 USD, 4,220 to 9,780."
    assert "7,135 USD in the middle, and 7,680 to be safe in 4 of 5" in said[2]
    assert "if they run over like your own earlier builds" in said[3]
    works = demo("pickup")
    assert "258 transport works" in left_sentences(of(works), ladder(works))[2]
    assert left_sentences(of(demo("van")), ladder(demo("van"))) == [] and left_table(of(demo("van"))) == []
    assert [row["finish and sell brings"] for row in left_table(of(pickup))] == ["26,493", "25,904", "25,845", "25,300", "23,200"]


def test_gates_say_go_look_or_stop():
    said = gate_sentences(of(demo("pickup")))
    assert said[1] == "Before 'Paint': go on if it costs less than 251 USD (1,894 is expected); stopping there brings 32,204. As it is expected now, stop there."
    assert "Looking first changes nothing here." in said
    news = BadNews(what="rot", chance=sure("0.35"), adds=sure(9000), look=sure(250))
    look = of(changed(demo("pickup"), phases=(Phase(id="all", what="all of it", lines=tuple(f"p{n:03}" for n in range(66, 75)), bad_news=news),)))
    assert "Have a look first." in gate_sentences(look)[0] and any(text.startswith("Looking first is worth") for text in gate_sentences(look))
    assert gates_table(look)[0]["looking first"] == "100%"
    never = of(demo("pickup"), finished=20000.0)
    assert gate_sentences(never)[0].startswith("Before 'Phase 4: comfort' (today): stop, whatever it costs")
    assert gate_sentences(never)[1] == "Before 'Paint': one does not come here."
    assert gate_sentences(of(demo("van"))) == []


def test_own_hours_are_told_as_they_count():
    pickup = demo("pickup")
    paid = changed(pickup, own_hours=pickup.file.own_hours.model_copy(update={"convention": "wage"}))
    assert "Own hours count at your wage of 30 USD, in every way." in finish_assumptions(of(paid))
    assert "Own hours count at 0, as a hobby, in every way." in finish_assumptions(of(pickup))
    assert "Finishing takes no time in these sums: write months under [half_way]." in finish_assumptions(of(changed(pickup, half_way=HalfWay())))


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_no_table_shows_what_is_not_a_number(name):
    found = of(demo(name), chances=True)
    cells = [cell for row in [*ways_table(found), *left_table(found), *gates_table(found)] for cell in row.values()]
    assert not [cell for cell in cells if "nan" in cell.lower() or "inf" in cell.lower() or cell in ("-0", "+0")]


def test_the_chart_draws_a_range_a_way_and_the_line_to_beat():
    found = of(demo("pickup"))
    frames = ways_frames(found)
    assert [row["name"] for row in frames["ways"] if "needed" in row["name"]] == [f"{found.keep.name}, a car being needed anyway"]
    assert [row["likely"] for row in frames["ways"]] == [27084, 26493, 23765, 21979, 17866, 39378]
    assert all(row["low"] <= row["likely"] <= row["high"] for row in frames["ways"])
    assert [row["best"] for row in frames["ways"]] == [True, False, False, False, False, False]
    assert frames["sell"][0]["likely"] == 23765
    for palette in (LIGHT, DARK, PAGE):
        spec = ways_chart(frames, "USD in hand", palette).to_dict()
        assert spec["title"] == "USD in hand" and set(spec["datasets"]) == {"ways", "sell"}


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_sliders_hold_what_the_files_say(name):
    from buildecon.decision.ahead import ahead

    project = demo(name)
    for each in half_way_dials(project, ahead(project, ladder(project))).values():
        assert each["start"] <= each["value"] <= each["stop"] and each["step"] > 0


def test_where_the_odds_speak_for_another_way_than_the_headline_they_say_so():
    found = of(demo("pickup"))
    often, best = next(way for way in found.ways if way.id != found.best.id and way.kind != SELL), found.best
    chances = dict.fromkeys(found.chances or {way.id: 0.0 for way in found.ways}, 0.0) | {"best beats beside": 0.7}

    def said(other, own):
        return chance_sentences(dataclasses.replace(found, chances=chances | {often.id: other, best.id: own}, keep=None, finding_out=0.0))[0]

    assert "That is another answer than the one above" in said(0.6, 0.4)
    assert "another answer" not in said(0.4, 0.6) and "another answer" not in said(0.52, 0.48)


def test_what_is_still_to_come_is_told_to_be_by_the_files_where_it_was_set():
    pickup = demo("pickup")
    totals = ladder(pickup)
    assert "the answer above counts the 1,000 USD that was set." in " ".join(left_sentences(of(pickup, cost_left=1000.0), totals))
    assert "that was set" not in " ".join(left_sentences(of(pickup), totals))
