"""Widths of type: the published ones, and lines cut to a width."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference.printed import rows

from buildecon.story.telling.drawn.type_widths import shortened, text_width, wrapped


@pytest.mark.parametrize("bold, column", [(False, "helvetica"), (True, "helvetica_bold")])
def test_characters_are_as_wide_as_published(bold, column):
    printed = {chr(int(row["point"], 16)): int(row[column]) for row in rows("helvetica_afm.csv")}
    assert len(printed) > 200 and {char: round(text_width(char, 1000, bold)) for char in printed} == printed


def test_a_line_is_the_sum_of_its_characters():
    # 1.0 + 2 x 0.556 of digits and 0.278 of the blank: "10 W" at 100 is 55.6 + 55.6 + 27.8 + 94.4.
    assert text_width("10 W", 100) == pytest.approx(233.4)
    assert text_width("10\u00a0W", 100) == pytest.approx(233.4)
    assert text_width("漢字", 40) == 80  # not in the table: a square each


def test_what_does_not_fit_ends_in_an_ellipsis():
    # 40 px: "W" is 37.76, the ellipsis 40; in 160 there is room for three and the ellipsis: 113.3 + 40 = 153.3.
    assert shortened("WWWWWWWW", 160, 40) == "WWW…"
    assert shortened("WWWW", 151.1, 40) == "WWWW"
    assert shortened("wood, wire", 150, 40) == "wood…"
    assert shortened("anything", 30, 40) == ""


@given(st.text(st.characters(categories=["L", "N", "P", "Zs"]), max_size=60), st.floats(60, 900), st.booleans())
def test_no_line_is_ever_wider_than_its_room(text, width, bold):
    text = " ".join(text.split())
    assert text_width(shortened(text, width, 40, bold), 40, bold) <= width + 1e-9
    lines = wrapped(text, width, 40, 3, bold)
    assert len(lines) <= 3 and all(text_width(line, 40, bold) <= width + 1e-9 for line in lines)


def test_words_are_kept_whole_while_there_are_lines():
    assert wrapped("one two three", 200, 40, 2) == ("one two", "three")
    assert wrapped("one two three four", 200, 40, 2) == ("one two", "three four")
    assert wrapped("one two three four five", 150, 40, 2) == ("one two", "three…")
    assert wrapped("12\u00a0USD each", 100, 40, 2)[0].startswith("12\u00a0")


def test_a_line_of_a_hundred_thousand_characters_is_cut():
    assert text_width(shortened("W" * 100_000, 900, 40), 40) <= 900
