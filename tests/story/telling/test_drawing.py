"""Marks of a drawing: safe words, and shapes as they were asked for."""

import xml.etree.ElementTree as ET

from hypothesis import given
from hypothesis import strategies as st

from buildecon.story.telling.blocks import clean
from buildecon.story.telling.drawn.drawing import Space, box_mark, dot_mark, line_mark, lines_mark, svg, text_mark


def test_words_lose_what_nobody_can_see():
    assert clean("  two\n\tlines  ") == "two lines"
    assert clean("a\u202eb\u200f\x07\ud800\ufffec") == "abc"
    assert clean("Z\u0301\u0302\u0303\u0304algo") == "Źalgo" or clean("Z\u0301\u0302\u0303\u0304algo").startswith("Ź")
    assert clean("x" * 1000) == "x" * 397 + "..."


@given(st.text(max_size=200), st.text(max_size=50))
def test_whatever_is_written_gives_a_drawing_that_can_be_read(text, title):
    drawing = svg(100, 50, clean(title), clean(text), [text_mark(1, 2, clean(text))])
    root = ET.fromstring(drawing)
    assert [mark.text or "" for mark in root.iter("{http://www.w3.org/2000/svg}text")] == [clean(text)]


def test_signs_of_the_language_are_written_as_words():
    assert "&lt;script&gt; &amp;" in text_mark(0, 0, "<script> &")


def test_marks_stand_where_they_were_asked_to():
    assert text_mark(10, 20.04, "a", 40, "quiet", bold=True, anchor="end") == '<text x="10" y="20" font-size="40" fill="#5F656C" font-weight="bold" text-anchor="end">a</text>'
    assert [f'y="{y}"' in mark for y, mark in zip((20, 68), lines_mark(0, 20, ["a", "b"], 40), strict=True)] == [True, True]  # 1.2 times 40 further down
    assert box_mark(Space(1, 2, 3, 4), "build") == '<rect x="1" y="2" width="3" height="4" fill="#A33B23"/>'
    assert 'x="3" y="4" width="16" height="6"' in box_mark(Space(1, 2, 20, 10), "steel", True) and "dasharray" in box_mark(Space(1, 2, 20, 10), "steel", True, True)
    assert 'points="0,0 1.5,2"' in line_mark([(0, 0), (1.5, 2)], "ink") and 'stroke-dasharray="4 8"' in line_mark([(0, 0), (1, 1)], "ink", 2, (4, 8))
    assert 'fill="#F7F4EC" stroke="#2C5F7F"' in dot_mark(1, 1, 5, "blue", True) and 'fill="#2C5F7F"' in dot_mark(1, 1, 5, "blue")
    assert (Space(1, 2, 3, 4).right, Space(1, 2, 3, 4).bottom) == (4, 6)
