"""Numbers in words: by a table written by hand, and read back by another way."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildecon.story.telling.aloud.name_words import name_words
from buildecon.story.telling.aloud.number_words import (
    date_words,
    money_words,
    number_words,
    ordinal_words,
    round_words,
    rounded_to,
    year_words,
    years_words,
)

BY_HAND = {
    0: "zero", 1: "one", 12: "twelve", 13: "thirteen", 20: "twenty", 21: "twenty-one", 40: "forty", 99: "ninety-nine", 100: "one hundred", 101: "one hundred and one",
    115: "one hundred and fifteen", 340: "three hundred and forty", 999: "nine hundred and ninety-nine", 1000: "one thousand", 1001: "one thousand and one",
    1100: "one thousand one hundred", 2026: "two thousand and twenty-six", 57820: "fifty-seven thousand eight hundred and twenty", 100000: "one hundred thousand",
    1000000: "one million", 1000050: "one million and fifty", 2300400: "two million three hundred thousand four hundred", -8: "minus eight",
}  # fmt: skip

UNITS = {word: k for k, word in enumerate("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split())}
UNITS |= {word: 10 * k for k, word in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split(), 2)}
SCALES = {"thousand": 10**3, "million": 10**6, "billion": 10**9, "trillion": 10**12}


def read_back(words):
    """The number that words say: what stands before a scale is multiplied by it."""
    total = here = 0
    for word in words.replace("-", " ").split():
        if word in UNITS:
            here += UNITS[word]
        elif word == "hundred":
            here *= 100
        elif word in SCALES:
            total, here = total + here * SCALES[word], 0
        else:
            assert word == "and"
    return total + here


@pytest.mark.parametrize("value", BY_HAND)
def test_numbers_are_said_as_in_the_table(value):
    assert number_words(value) == BY_HAND[value]


@given(st.integers(0, 10**15 - 1))
def test_words_read_back_give_the_number(value):
    assert read_back(number_words(value)) == value


def test_ordinals_years_and_dates_are_said_as_one_says_them():
    wanted = {1: "first", 2: "second", 3: "third", 5: "fifth", 8: "eighth", 9: "ninth", 12: "twelfth", 13: "thirteenth", 20: "twentieth", 21: "twenty-first", 30: "thirtieth", 31: "thirty-first"}
    assert {value: ordinal_words(value) for value in wanted} == wanted
    years = {1998: "nineteen ninety-eight", 1905: "nineteen oh five", 1900: "nineteen hundred", 2000: "two thousand", 2009: "two thousand and nine", 2010: "twenty ten", 2026: "twenty twenty-six"}
    assert {year: year_words(year) for year in years} == years
    assert date_words(date(2026, 8, 31)) == "the thirty-first of August twenty twenty-six"


MONEY = [
    (57820, "USD", "about fifty-eight thousand dollars"), (2500, "GBP", "two and a half thousand pounds"), (2479, "GBP", "about two and a half thousand pounds"),
    (1, "EUR", "one euro"), (834, "USD", "about eight hundred and thirty dollars"), (0.25, "EUR", "twenty-five cents"), (0.2505, "EUR", "about twenty-five cents"),
    (1.11, "USD", "one dollar and eleven cents"), (0.01, "GBP", "one penny"), (0.746, "GBP", "about seventy-five pence"), (0, "USD", "nothing"), (0.4, "JPY", "less than one yen"),
    (1_300_000, "JPY", "one million three hundred thousand yen"), (1_000_000, "SEK", "one million Swedish kronor"), (1019.0, "USD", "about one thousand dollars"), (9.6, "USD", "nine dollars and sixty cents"),
    (40, "XAF", "forty X A F"), (999.6, "USD", "one thousand dollars"), (-11_044, "EUR", "about eleven thousand euros"), (float("nan"), "USD", "an amount nobody knows"),
]  # fmt: skip


@pytest.mark.parametrize("value, currency, words", MONEY)
def test_money_is_rounded_said_so_and_has_its_currency(value, currency, words):
    assert money_words(value, currency) == words


def test_three_figures_where_they_are_asked_for():
    assert money_words(24_463, "USD", 3) == "about twenty-four and a half thousand dollars"
    assert rounded_to(24_463, 3) == 24_500


@given(st.floats(1, 1e12))
def test_rounding_is_near_keeps_two_figures_and_is_said(value):
    near = rounded_to(value)
    assert abs(near - value) <= max(0.05 * value, 0.5)
    assert len(str(near).rstrip("0")) <= 2 or 10_000 < near < 50_000 and near % 500 == 0  # the half thousand
    assert round_words(value).startswith("about ") == (round(value) != near and abs(near - value) >= 0.005)


@given(st.floats(0, 1e9, allow_nan=False), st.sampled_from(["USD", "EUR", "GBP", "JPY", "XAF"]))
def test_no_digit_and_no_sign_is_ever_said(value, currency):
    assert all(char.isalpha() or char in " -" for char in money_words(value, currency))


def test_years_are_said_in_halves():
    wanted = {6: "six years", 1: "one year", 2.5: "two and a half years", 2.7: "about two and a half years", 0.5: "half a year", 3.9: "about four years", 0.1: "less than half a year"}
    assert {years: years_words(years) for years in wanted} == wanted


NAMES = {
    "used Corran D 2021": "used Corran D twenty twenty-one", "newer factory e-van Brevane E50": "newer factory e-van Brevane E fifty", "keep diesel + zone charge": "keep diesel plus zone charge",
    "<script>alert('1')</script>": "script alert one script", "build, no grant": "build, no grant", "\u202e!!!": "something without a name", "R 007": "R zero zero seven", "Ärger & Söhne": "Ärger and Söhne",
    "12345 kg": "one two three four five kg", "one two three four five six seven eight": "one two three four five six seven",
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_names_can_be_read_aloud(name):
    assert name_words(name) == NAMES[name]
