"""Corrections: every published figure that is another now is shown to readers, with its reason or that there is none."""

import datetime as dt
from types import SimpleNamespace

from demos import demo

from buildecon.project.rows import Correction, Published
from buildecon.story.telling.blocks import Heading, Sheet
from buildecon.story.telling.corrections import correction_rows, never_published
from buildecon.story.telling.publishing import WriteUp

DAY = dt.date(2026, 9, 1)
WORDS = {"quoted": "the total quoted", "stands_in_at": "what it stands in at", "worth": "what it would sell for", "tools": "tools"}


def today(**texts):
    return {id: SimpleNamespace(what=WORDS.get(id, id), text=text, value=None) for id, text in texts.items()}


def row(figure, text, version=1):
    return Published(figure=figure, text=text, as_of=DAY, version=version, published_on=DAY)


def correction(figure="stands_in_at", old="23,765 USD", new="23,910 USD", day=1):
    return Correction(row=2, figure=figure, old=old, new=new, reason="The tow was forgotten.", date=dt.date(2026, 9, day))


def project_of(published=(), corrections=()):
    return SimpleNamespace(published=tuple(published), corrections=tuple(corrections))


def test_corrections_in_words_the_last_first():
    rows = correction_rows(project_of(corrections=(correction(), correction(new="23,950 USD", day=5), correction("old_one", day=3))), today(stands_in_at="23,950 USD"))
    assert [one["figure"] for one in rows] == ["what it stands in at", "old one", "what it stands in at"]
    assert rows[2] == {"figure": "what it stands in at", "published": "23,765 USD", "right": "23,910 USD", "why": "The tow was forgotten.", "on": "2026-09-01"}
    assert correction_rows(demo("van"), {}) == []


def test_what_is_published_anew_without_a_reason_is_shown_the_quoted_total_first_and_the_rest_in_one_row():
    was = [row("worth", "12,000 USD"), row("quoted", "20,000 USD"), row("tools", "5 USD"), row("same", "1 USD")]
    figures = today(worth="11,000 USD", quoted="23,910 USD", tools="6 USD", same="1 USD")
    rows = correction_rows(project_of(was), figures)
    assert rows == [
        {"figure": "the total quoted", "published": "20,000 USD", "right": "23,910 USD", "why": "no reason given", "on": "version 2"},
        {"figure": "2 more: what it would sell for; tools", "published": "version 1", "right": "version 2", "why": "no reason given", "on": "version 2"},
    ]
    after = [*was, *(row(id, one.text, 2) for id, one in figures.items())]
    assert correction_rows(project_of(after), figures) == rows  # and once it is published it stays
    assert [one["why"] for one in correction_rows(project_of(after, [correction("quoted"), correction("worth", new="11,000 USD")]), figures)] == ["The tow was forgotten."] * 2


def test_of_many_that_moved_some_are_named():
    many = {f"f{k}": f"{k} USD" for k in range(20)}
    rows = correction_rows(project_of(row(id, text) for id, text in many.items()), today(**{id: f"1{text}" for id, text in many.items()}))
    assert [one["figure"] for one in rows] == ["f0", "19 more: f1; f2; f3; f4; f5; f6; 13 others"]


def test_each_version_keeps_its_own():
    rows = correction_rows(project_of([row("quoted", "1 USD"), row("quoted", "2 USD", 2)]), today(quoted="3 USD"))
    assert [(one["published"], one["right"], one["on"]) for one in rows] == [("2 USD", "3 USD", "version 3"), ("1 USD", "2 USD", "version 2")]


def test_a_correction_of_what_was_never_published_is_told():
    published = [row("stands_in_at", "23,765 USD"), row("stands_in_at", "23,800 USD", 2)]
    figures = today(stands_in_at="23,910 USD")
    assert never_published(project_of(published, [correction(), correction(old="23765 usd", new="23,800 USD")]), figures) == []
    told = never_published(project_of(published, [correction(old="20,000 USD", new="24,000 USD")]), figures)
    assert [str(one) for one in told] == [
        "corrections.csv line 2, old: must be a text that was published of stands_in_at, got '20,000 USD'. Published was 23,765 USD (version 1), 23,800 USD (version 2).",
        "corrections.csv line 2, new: must be a text that was published of stands_in_at, or today's, got '24,000 USD'. Published was 23,765 USD (version 1), 23,800 USD (version 2); today it is 23,910 USD.",
    ]
    assert never_published(project_of([], [correction(old="20,000 USD")]), figures) == []  # from before published.csv was kept


def test_the_article_says_it_in_words_and_nobody_is_spoken_to():
    blocks = WriteUp(demo("pickup")).article
    at = blocks.index(Heading("Corrections"))
    assert isinstance(blocks[at + 1], Sheet) and [one["figure"] for one in blocks[at + 1].rows] == ["what the car stands in at"]
