"""Typed money: what is taken for it, what it stands for, and texts without it."""

import pytest

from buildecon.story.telling.figures import COUNT, HOURS, MONEY, Figure
from buildecon.story.telling.typed_figures import near, typed_figures, value_of, without_sums

OURS = {id: Figure(id, id, value, "", unit) for id, value, unit in (("stands_in_at", 6749.0, MONEY), ("given", 2010.0, MONEY), ("own_hours", 640.0, HOURS), ("lines", 132.0, COUNT))}


def typed(text, currency="GBP"):
    return typed_figures(f"it was {text}, all of it", OURS, currency)


@pytest.mark.parametrize("text", [
    "6800", "6749", "6 749", "6,749", "6.749", "6'749", "6749.40", "6.8k", "6.8 k", "6.8K", "7k", "7 grand", "6.8 thousand", "£50", "£ 6.8k", "50£", "GBP 50", "50 EUR", "50 pounds", "50 dollars",
    "50 euros", "50 quid", "50 bucks", "50-pound", "1,234", "3 200", "132",
])  # fmt: skip
def test_what_looks_like_money_or_is_one_of_ours_is_found(text):
    assert typed(text) == [text]


@pytest.mark.parametrize("text", [
    "150,000 miles", "150,000-mile", "12,000 km", "1,600 cc", "1600cc", "3,000 rpm", "2,300 lb", "1,200 hours", "1,200-hour", "12 hours", "150k miles", "150,000 to 200,000 miles", "6800 km", "20,000 %",
    "1983", "2010", "1980s", "2026-06-30", "12.06.2026", "in 2019 300 bolts", "911T", "OP30", "3.0 L", "4K video", "12 of 24", "6900", "133 parts", "15 minutes",
])  # fmt: skip
def test_years_other_units_models_and_numbers_near_nothing_are_none(text):
    # 6900 is 2 % off; of a count only the number itself is ours.
    assert typed(text) == []


def test_hours_are_ours_only_where_they_are_exactly_ours():
    assert typed("640 hours") == ["640"] and typed("645 hours") == [] and typed("640 miles") == []


def test_a_unit_behind_the_next_number_is_not_this_one_s():
    assert typed("6749 and 12 hours") == ["6749"]


def test_the_words_of_the_home_currency_count_as_well():
    assert typed("50 kronor", "SEK") == ["50 kronor"] and typed("50 kronor") == []


@pytest.mark.parametrize(("text", "value"), [("£6,749.50", 6749.5), ("6.749,50 €", 6749.5), ("6 749", 6749), ("6'749", 6749), ("6.8 k", 6800), ("7 grand", 7000), ("6,8k", 6800), ("450.50 €", 450.5), ("1,234,567", 1234567)])
def test_what_a_typed_figure_stands_for(text, value):
    assert value_of(text) == value


def test_the_nearest_comes_first_and_one_hundredth_is_the_limit():
    assert [one.id for one in near(6749 * 1.0099, OURS)] == ["stands_in_at"] and near(6749 * 1.0101, OURS) == []
    assert near(6700, OURS, 0) == [] and [one.id for one in near(6749.4, OURS, 0)] == ["stands_in_at"]
    assert near(131, OURS) == []


def test_a_text_without_its_sums():
    said = "I bought the Roe 1600 in 1998. It cost 3,000 then. It ran 90,000 km. The rest was £250!"
    assert without_sums(said, "GBP") == "I bought the Roe 1600 in 1998. It ran 90,000 km."
    assert without_sums("It cost 3k.", "GBP") == "" and without_sums("No sum.", "GBP") == "No sum."


def test_a_deal_without_its_sums():
    assert without_sums("25 % off the kit: 1,860 instead of 2,480.", "USD", clauses=True) == "25 % off the kit"
    assert without_sums("A tent (list price 900), two mats.", "USD", clauses=True) == "A tent, two mats"
    assert without_sums("300 off", "USD", clauses=True) == "" and without_sums("Two videos.", "USD", clauses=True) == "Two videos."
