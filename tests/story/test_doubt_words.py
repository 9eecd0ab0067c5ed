"""Sentences on what is not known: every call, odds as one would say them, what to find out, what turns it, and nothing said of what is not there."""

import re
from types import SimpleNamespace

import hypothesis.strategies as st
import numpy as np
import pytest
from demos import demo
from hypothesis import given, settings
from verdicts import ALONE, against, judged, verdict_of

from buildecon.decision.inputs import Input
from buildecon.quantities.estimate import Estimate
from buildecon.story import doubt_words as words
from buildecon.story import verdict_words

CHEAP, DEAR, EVEN = "{ low = 1000, likely = 2000, high = 4000 }", "{ low = 1000, likely = 1300, high = 2000 }", "{ low = 1000, likely = 1700, high = 2600 }"
AGAINST, MIRROR = "{ low = 1000, likely = 1700, high = 4000 }", "{ low = 200, likely = 1800, high = 1900 }"
BUILD_FAILS, OTHER_FAILS = ("seats = 2\n\n# what", "seats = 1\n\n# what"), ("seats = 4", "seats = 1")


def stage(word):
    return ('"planned"', f'"{word}"')


# verdict_sentence: prices, chances and months as in tests/decision/test_verdict.py


@pytest.mark.parametrize(
    ("price", "said"),
    [
        (CHEAP, "Build it: from here it costs 4 EUR a month less than another car, kept 5 years, and the chance that it stays so is about four in five."),
        (DEAR, "Have another car instead if money decides: the build costs 8 EUR a month more, kept 5 years, and the chance that it stays so is about nine in ten; build it if the joy is worth that."),
        (EVEN, "Too close to call: kept 5 years, the build and another car are 1 EUR a month apart, and the chance that the build is the cheaper is about even. Let the joy decide."),
        (AGAINST, "Build it: from here it costs 1 EUR a month more than another car, kept 5 years, by the likely figures; but the chance that it is the cheaper over their ranges is about three in four."),
        (MIRROR, "Have another car instead if money decides: the build costs 1 EUR a month less, kept 5 years, by the likely figures; but the chance that it is the dearer over their ranges is about nine in ten; build it if the joy is worth that."),
        # 1760 against 1765: 8 cents a month.
        ("{ low = 1000, likely = 1765, high = 4000 }", "Build it: from here it costs as much a month as another car, kept 5 years, by the likely figures; but the chance that it is the cheaper over their ranges is about three in four."),
        (1765, "Too close to call: kept 5 years, the build and another car are 0 EUR a month apart. Let the joy decide."),
        (2000, "Build it: from here it costs 4 EUR a month less than another car, kept 5 years."),
        (1760, "Too close to call: kept 5 years, the build and another car are 0 EUR a month apart. Let the joy decide."),
        (1400, "Have another car instead if money decides: the build costs 6 EUR a month more, kept 5 years; build it if the joy is worth that."),
    ],
)  # fmt: skip
def test_every_call_has_its_sentence(tmp_path, price, said):
    assert verdict_words.verdict_sentence(judged(tmp_path, against(price))) == said


@pytest.mark.parametrize(
    ("word", "price", "said"),
    [
        # From today the build costs its sale forgone, 1000, over 60 months.
        ("in progress", 2000, "Finish it and keep it: from here it costs 17 EUR a month less than another car, kept 5 years."),
        ("finished", 2000, "Keep it: from here it costs 17 EUR a month less than another car, kept 5 years."),
        ("in progress", 700, "Sell it and have another car if money decides: the build costs 5 EUR a month more, kept 5 years; keep it if the joy is worth that."),
    ],
)
def test_what_to_do_depends_on_how_far_it_is(tmp_path, word, price, said):
    assert verdict_words.verdict_sentence(judged(tmp_path, against(price, stage=stage(word)))) == said


def test_a_build_that_fails_is_no_plain_answer(tmp_path):
    failed = " But the build itself fails a must-have: seats: 1, needs at least 2."
    said = verdict_words.verdict_sentence(judged(tmp_path, against(2000, mine=BUILD_FAILS)))
    assert said == "Build it: from here it costs 4 EUR a month less than another car, kept 5 years." + failed
    both = judged(tmp_path, against(2000, mine=BUILD_FAILS, other=OTHER_FAILS))
    assert verdict_words.verdict_sentence(both) == "No verdict: the build fails a must-have (seats: 1, needs at least 2), and nothing else meets every must-have."
    assert verdict_words.verdict_sentence(judged(tmp_path, ALONE.replace("seats = 2", "seats = 1"))) == (
        "No verdict: the build fails a must-have (seats: 1, needs at least 2), and no other option is written to set it against; add one under [[options]]."
    )


def test_a_build_with_nothing_beside_it_is_told_as_that(tmp_path):
    failing = judged(tmp_path, against(CHEAP, other=OTHER_FAILS))
    assert verdict_words.verdict_sentence(failing) == "Build it: nothing else meets every must-have."
    assert verdict_words.verdict_sentence(judged(tmp_path, ALONE)) == "Build it: no other option is written to set it against; add one under [[options]]."
    gone = against(2000, stage=stage("finished"), other=("# the end", '[options.from_today]\navailable = false\nbecause = "It is sold."'))
    assert verdict_words.verdict_sentence(judged(tmp_path, gone)) == "Keep it: nothing else can be had from today."
    lines = dict(verdict_words.verdict_lines(failing))
    assert lines["Money, the whole story"] == "Nothing else meets every must-have." and lines["Joy"] == "No price of joy: nothing else meets every must-have."
    assert lines["Chance, the whole story"] == "Nothing else meets every must-have, so there is no chance to tell."
    assert lines["What failed"] == "another car: seats: 1, needs at least 2."
    # There are ranges; they are not what is missing.
    assert lines["Find out next"] == "Nothing: there is nothing to choose between." == words.finding_out_sentences(failing.whole)[0]
    assert lines["Look again"] == "By 30 June 2027, when these prices are a year old, or when another option can be had."


# verdict_lines


def test_the_page_of_a_verdict_by_hand(tmp_path):
    found = judged(tmp_path, against(CHEAP))
    lines = dict(verdict_words.verdict_lines(found))
    assert list(lines) == ["Money, from today", "Money, the whole story", "Chance, from today", "Chance, the whole story", "How sure that is", "Joy", "What failed", "Find out next", "Look again"]
    assert lines["Money, the whole story"] == "The build costs 4 EUR less a month than another car, kept 5 years."
    # 80.7 % of the triangle; a tenth, half and nine tenths of it: 24.4 and 8.5 less, 3.5 more.
    assert re.fullmatch(
        r"Looking back on all money, kept 5 years, the chance that the build is the cheaper is about four in five \(81%, give or take \d\.\d% for the number of draws\): "
        r"from 24 less to 4 EUR more a month eight times out of ten, 8 EUR less in the middle\.",
        lines["Chance, the whole story"],
    )
    assert lines["Joy"] == "The joy is free: over the whole story the build is the cheap choice." and lines["What failed"] == "Nothing: every option meets every must-have."
    # 760^3 / 9e6 = 48.8: see tests/decision/test_doubts.py
    assert lines["Find out next"] == "To find out first: price, another car (a firm price) is worth up to 49 EUR to you; nothing else is worth asking. To know everything would be worth 49 EUR."
    # 1760 against 2000: 240 of a range of 3520. Nothing else in the sums moves.
    assert lines["Look again"] == "When this turns the answer: what the build has cost in all: 2,000 EUR instead of 1,760 EUR; else by 30 June 2027, when these prices are a year old."


@pytest.mark.parametrize(
    ("price", "said"),
    [
        # A tenth and nine tenths of these prices are below 2224 and 2776, or below 1079 and 1521: 464 and 1016 less, 681 and 239 more, over 60 months.
        ("{ low = 2000, likely = 2500, high = 3000 }", "is all but certain (over 99%): 8 to 17 EUR less a month eight times out of ten, 12 EUR less in the middle."),
        ("{ low = 900, likely = 1300, high = 1700 }", "is next to none (under 1%): 4 to 11 EUR more a month eight times out of ten, 8 EUR more in the middle."),
    ],
)
def test_a_chance_that_is_all_but_none_is_told_with_its_span(tmp_path, price, said):
    lead = "Looking back on all money, kept 5 years, the chance that the build is the cheaper "
    assert words.chance_sentence(judged(tmp_path, against(price)).whole) == lead + said


@pytest.mark.parametrize(("error", "said"), [(0.02, "give or take 4.0%"), (0.0, "give or take 0.5%")])
def test_a_chance_is_told_with_two_of_its_errors_and_at_least_half_a_hundredth(tmp_path, error, said):
    side = judged(tmp_path, against(CHEAP)).whole
    side.doubts.chances.__dict__["cheaper"] = (np.full(21, 0.81), np.full(21, error))
    assert f"(81%, {said} for the number of draws)" in words.chance_sentence(side)


def test_without_ranges_it_says_what_to_write(tmp_path):
    lines = dict(verdict_words.verdict_lines(judged(tmp_path, against(1400))))
    assert lines["Find out next"] == lines["Chance, the whole story"] == words.NO_RANGE
    # 6 a month: 72 a year on 100 drive days.
    assert lines["Joy"] == "The joy costs 6 EUR a month over the whole story, 0.72 EUR a drive day. Whether it is worth that is yours to say; it is in no sum above."
    assert words.finding_out_sentences(judged(tmp_path, against(1400)).whole) == [words.NO_RANGE]


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_lines_of_a_demo_are_plain(name):
    found = verdict_of(demo(name))
    for asked, told in [*verdict_words.verdict_lines(found), *(("", one) for side in (found.whole, found.today) for one in (*words.chance_sentences(side), *words.finding_out_sentences(side)))]:
        assert told and told[-1] == "." and ".." not in told and "  " not in told and not re.search(r"\b(nan|inf|None)\b", told), (asked, told)


# chance_words


@pytest.mark.parametrize(
    ("chance", "said"),
    [(0.0, "next to none"), (0.009, "next to none"), (0.01, "about one in fifty"), (0.1, "about one in ten"), (0.26, "about one in four"), (0.5, "about even"), (0.67, "about two in three"), (0.99, "about forty-nine in fifty"), (0.991, "all but certain"), (1.0, "all but certain")],
)  # fmt: skip
def test_a_chance_as_one_would_say_it(chance, said):
    assert words.chance_words(chance) == said


@settings(deadline=None, derandomize=True)
@given(st.floats(0.011, 0.989))
def test_words_of_a_chance_are_the_nearest_by_odds_and_those_of_the_other_side_mirror_them(chance):
    near = dict((said, at) for at, said in words.IN_WORDS)
    at = near[words.chance_words(chance)]
    odds = [abs(np.log(other / (1 - other)) - np.log(chance / (1 - chance))) for other in near.values()]
    assert abs(np.log(at / (1 - at)) - np.log(chance / (1 - chance))) == pytest.approx(min(odds))
    assert near[words.chance_words(1 - chance)] == pytest.approx(1 - at, abs=1e-9) or sorted(odds)[1] - sorted(odds)[0] < 1e-9


# finding_out_sentence


def asking(shown, price, everything):
    names = ("price, a car", "upkeep, a car", "paint, still to come", "decline")
    ids = ("options.a.price", "options.a.yearly.upkeep", "lines.p", "options.a.enjoyment")
    inputs = tuple(Input(id, Estimate(1, 2, 3), "", ("a car",) if id.startswith("options") else ("p", "paint")) for id, _ in zip(ids, names, strict=True))
    net = np.array(shown) - np.array(price)
    worth_asking = [k for k in np.argsort(-net, kind="stable") if shown[k] > 0 and net[k] > 0]
    return SimpleNamespace(inputs=inputs, price=np.array(price), worth=SimpleNamespace(shown=np.array(shown)), everything=everything, worth_asking=worth_asking)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (None, ""),
        (asking([0, 0, 0, 0], [0, 0, 0, 0], 0.4), "Nothing is worth finding out first: whatever the figures turn out to be within their ranges, the choice is the same."),
        (asking([0, 0, 0, 0], [0, 0, 0, 0], 40), "Nothing by itself is worth finding out first; to know everything would be worth 40 EUR at most."),
        (asking([0, 0, 90, 0], [0, 0, 45, 0], 100), "To find out first: paint, still to come (a firm quote) is worth up to 90 EUR to you, and costs 45 EUR; nothing else is worth asking. To know everything would be worth 100 EUR."),
        (asking([70, 60, 90, 0], [0, 0, 45, 0], 100), "To find out first: price, a car (a firm price) is worth up to 70 EUR to you; then upkeep, a car (a workshop's price for its yearly service) is worth up to 60 EUR to you; 1 more is in the table. To know everything would be worth 100 EUR."),
        (asking([70, 60, 90, 5], [0, 0, 45, 0], 100), "To find out first: price, a car (a firm price) is worth up to 70 EUR to you; then upkeep, a car (a workshop's price for its yearly service) is worth up to 60 EUR to you; 2 more are in the table. To know everything would be worth 100 EUR."),
    ],
)  # fmt: skip
def test_what_to_find_out_first(found, said):
    assert words.finding_out_sentence(found, "EUR") == said


# chance_sentences, moved_sentence, upside_down_sentence


def test_what_the_draws_add_to_what_is_still_to_come_is_told_and_many_ranges_are_no_few():
    found = verdict_of(demo("pickup"))
    # Finished lines: 1.10 times their plan.
    assert "In the draws, what is still to come runs over as the finished lines did, up to 1.10 times; the likely figures leave it as written." in words.chance_sentences(found.today)
    assert not [said for said in words.chance_sentences(found.today) if said.startswith("Only")] and "How sure that is" not in dict(verdict_words.verdict_lines(found))


def test_a_side_tells_its_chance_how_far_upside_down_and_how_ranges_are_drawn(tmp_path):
    said = words.chance_sentences(judged(tmp_path, against(CHEAP)).whole)
    # It stands in at 1760 and brings 1000 as it stands: 760 in every draw.
    assert said[2] == "Upside down all but certainly, by 760 to 760 EUR eight times out of ten; by more than 760 EUR: next to none. That is at your own figure of [value] for it as it stands, selling cost off."
    assert said[3].startswith("Each range is drawn as a triangle. Costs still to come move together (0.6 of 1), and with delay (0.5);") and len(said) == 5
    assert said[4] == "Only 1 figure is a range here, all others count as sure: the chance is as sure as they are. Write ranges for what you do not know."
    assert words.chance_sentences(judged(tmp_path, against(2000)).whole) == [words.NO_RANGE]


def short(tenth, middle, ninetieth):
    """Eleven draws, of which these are the tenth, the middle and the ninetieth."""
    draws = np.interp(np.linspace(0, 1, 11), [0, 0.1, 0.5, 0.9, 1], [tenth, tenth, middle, ninetieth, ninetieth])
    return SimpleNamespace(short=draws, upside_down=lambda by: (np.array([np.mean(draws > by[0])]), None))


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (short(-900, -500, -100), "It would bring more than it stands in at: 100 to 900 EUR more, eight times out of ten."),
        # Of eleven draws with straight lines between the tenth, the middle and the ninetieth.
        (short(10000, 12345, 15000), "Upside down all but certainly, by 10,000 to 15,000 EUR eight times out of ten; by more than 12,000 EUR: about even."),  # 6
        (short(-4000, -1000, 2000), "The chance of being upside down is about one in three, from 4,000 to spare to 2,000 EUR short eight times out of ten."),  # 4
        (short(-100, 1000, 2000), "The chance of being upside down is about four in five, from 100 to spare to 2,000 EUR short eight times out of ten; by more than 1,000 EUR: about even."),  # 9, 5
        (SimpleNamespace(short=np.array([-4000.0] * 2 + [-100.0] * 8 + [50.0]), upside_down=lambda by: (np.array([1 / 11]), None)), "The chance of being upside down is about one in ten, 100 to 4,000 EUR to spare eight times out of ten."),
    ],
)
def test_how_far_upside_down_is_told_by_what_the_draws_say(found, said):
    assert words.upside_down_sentence(found, "EUR") == said


@pytest.mark.parametrize(("moved", "count"), [(0.0, 0), (0.01, 0), (0.4, 1)])
def test_what_cannot_move_together_is_told_from_a_hundredth_on(moved, count):
    said = words.moved_sentence(moved)
    assert len(said) == count and (not said or "up to 0.40 away from it" in said[0])


@pytest.mark.parametrize(("shape", "said"), [("pert", "most often near its likely figure (PERT)"), ("four in five", "with its ends passed once in ten times each")])
def test_the_shape_of_the_draws_is_told(tmp_path, shape, said):
    assert words.together_sentence(judged(tmp_path, against(CHEAP, shape)).project).startswith(f"Each range is drawn {said}.")


# change_words, dial_figure, headings


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("years_kept", 6.1, "6.1 years"), ("years_kept", 1.0, "1 year"), ("distance_a_year", 17460.4, "17,460 km"), ("energy_price", 2.834, "2.83"), ("decline_percent", 24.26, "24.3"),
        ("discount_percent", 0.0, "0.0"), ("end_value", 9868.4, "9,868 EUR"), ("spent_off", np.nan, "-"), ("enjoyment", np.inf, "-"),
    ],
)  # fmt: skip
def test_a_place_of_a_dial_has_its_unit(name, value, said):
    assert words.dial_figure(name, value, demo("van")) == said


def test_a_change_is_told_from_what_it_is_to_where_it_turns():
    change = SimpleNamespace(name="end_value", nearest=9868.0, now=34000.0)
    assert words.change_words(change, demo("pickup")) == "what the build sells for when done: 9,868 USD instead of 34,000 USD"
