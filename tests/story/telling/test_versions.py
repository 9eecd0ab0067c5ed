"""What was published against what is so today."""

import datetime as dt
from decimal import Decimal
from types import SimpleNamespace

from demos import demo, money

from buildecon.project.rows import Correction, Published
from buildecon.story.telling.change_words import change_sentences, unexplained_sentences
from buildecon.story.telling.versions import change_rows, changes, last_published, next_version, published_anew, without_reason

DAY = dt.date(2026, 9, 1)


def row(figure, text, version=2, **more):
    return Published(**({"figure": figure, "text": text, "as_of": DAY, "version": version, "published_on": DAY} | more))


def today(**texts):
    return {id: SimpleNamespace(value=None, text=text) for id, text in texts.items()}


def correction(figure="stands_in_at", new="23,910 USD", date=DAY, reason="The tow was forgotten."):
    return Correction(figure=figure, old="23,765 USD", new=new, reason=reason, date=date)


WAS = (row("stands_in_at", "20,000 USD", 1), row("stands_in_at", "23,765 USD"), row("worth", "12,000 USD"))


def test_a_published_figure_that_is_another_now_is_said_with_both():
    found = changes(WAS, today(stands_in_at="23,910 USD", worth="12,000 USD"))
    assert change_sentences(found) == [
        "stands_in_at was published as 23,765 USD on 2026-09-01, version 2; it is 23,910 USD now. Publish again, and add the reason to corrections.csv."
    ]
    assert change_rows(found) == [{"figure": "stands_in_at", "published": "23,765 USD", "version": 2, "published_on": "2026-09-01", "now": "23,910 USD", "reason": None}]


def test_a_reason_is_told_and_the_last_one_counts():
    figures = today(stands_in_at="23,910 USD", worth="12,000 USD")
    (told,) = changes(WAS, figures, (correction(reason="A slip."), correction()))
    assert told.reason == "The tow was forgotten."
    assert change_sentences((told,))[0].endswith("it is 23,910 USD now. The reason in corrections.csv: The tow was forgotten. Publish again.")


def test_a_reason_for_another_figure_another_change_or_an_earlier_day_is_none():
    figures = today(stands_in_at="23,910 USD", worth="12,000 USD")
    for other in (correction("worth"), correction(new="23,900 USD"), correction(date=dt.date(2026, 8, 31))):
        assert changes(WAS, figures, (other,))[0].reason == ""
    assert changes(WAS, figures, (correction(new="23910 usd"),))[0].reason  # the same figure, however it is set


def test_only_the_last_version_is_held_against_today():
    assert list(last_published(WAS)) == ["stands_in_at", "worth"] and last_published(WAS)["stands_in_at"].version == 2
    assert changes(WAS, today(stands_in_at="23,765 USD", worth="12,000 USD", more="1 USD")) == ()  # a new figure is no change
    assert changes((), today(worth="1 USD")) == () and last_published(()) == {}


def test_a_figure_that_is_gone_is_said():
    (told,) = change_sentences(changes(WAS, today(stands_in_at="23,765 USD")))
    assert told.startswith("worth was published as 12,000 USD on 2026-09-01, version 2; there is no such figure now.")


def test_versions_count_up_only_when_a_figure_changed():
    same, other = today(stands_in_at="23,765 USD", worth="12,000 USD", more="1 USD"), today(stands_in_at="23,910 USD", worth="12,000 USD")
    assert (next_version((), same), next_version(WAS, same), next_version(WAS, other)) == (1, 2, 3)


def test_publishing_keeps_every_version_and_repeats_none():
    project, figures = demo("roadster"), {"worth": SimpleNamespace(value=5880.123456789, text="5,900 GBP"), "rival": SimpleNamespace(value=None, text="Roe"), "odd": SimpleNamespace(value=float("nan"), text="-")}
    first = published_anew(project, figures, DAY)
    assert [(one.figure, one.value, one.text, one.version) for one in first.published] == [("worth", Decimal("5880.123457"), "5,900 GBP", 1), ("rival", None, "Roe", 1), ("odd", None, "-", 1)]
    assert {(one.as_of, one.price_date, one.published_on) for one in first.published} == {(dt.date(2026, 9, 30), max(line.price_date for line in project.lines if line.price_date), DAY)}
    assert published_anew(first, figures, dt.date(2026, 12, 1)) is first
    second = published_anew(first, figures | {"worth": SimpleNamespace(value=6000.0, text="6,000 GBP")}, dt.date(2026, 12, 1))
    assert [one.version for one in second.published] == [1, 1, 1, 2, 2, 2] and second.published[:3] == first.published


def test_today_s_figures_of_a_demo_are_as_published_until_one_is_turned():
    from buildecon.story.telling.figures import figures
    from buildecon.story.telling.told import Told

    project = demo("roadster")
    project = published_anew(project, figures(Told(project)), DAY)
    assert changes(project.published, figures(Told(project))) == ()
    dearer = tuple(line.model_copy(update={"paid": money(1950)}) if line.nature == "base car" else line for line in project.lines)
    found = {one.was.figure: one for one in changes(project.published, figures(Told(project.model_copy(update={"lines": dearer}))))}
    assert (found["stands_in_at"].was.text, found["stands_in_at"].now) == ("8,480 GBP", "8,580 GBP")  # the car at 1,950 instead of 1,850
    assert "project_cash" not in found


def test_a_reason_of_the_quoted_total_counts_for_what_moves_with_it_and_for_nothing_else():
    was = (row("quoted", "23,765 USD"), row("stands_in_at", "23,765 USD"), row("a_month", "300 USD a month"), row("worth", "12,000 USD"))
    figures = today(quoted="23,910 USD", stands_in_at="23,910 USD", a_month="310 USD a month", worth="11,000 USD")
    for figure in ("quoted", "stands_in_at"):  # the rung that is quoted is the same figure
        found = changes(was, figures, (correction(figure),))
        assert [bool(one.reason) for one in found] == [True, True, True, False]
    assert change_sentences(found, again=False) == [
        "quoted was published as 23,765 USD on 2026-09-01, version 2; it is 23,910 USD now. The reason in corrections.csv: The tow was forgotten.",
        "So are 2 more: stands_in_at 23,765 USD to 23,910 USD, a_month 300 USD a month to 310 USD a month.",
        "worth was published as 12,000 USD on 2026-09-01, version 2; it is 11,000 USD now. Add the reason to corrections.csv.",
    ]
    assert not any(one.reason for one in changes(was, figures, (correction("a_month", new="310 USD a month"),)) if one.was.figure != "a_month")


TWO = (row("worth", "12,000 USD", 1), row("quoted", "20,000 USD", 1), row("gone", "1 USD", 1), row("worth", "11,000 USD"), row("quoted", "23,910 USD"), row("new", "2 USD"))


def test_what_a_version_changed_without_a_reason_stays_known():
    assert [(one.was.figure, one.was.text, one.now) for one in without_reason(TWO)[2]] == [("worth", "12,000 USD", "11,000 USD"), ("quoted", "20,000 USD", "23,910 USD"), ("gone", "1 USD", "")]
    assert unexplained_sentences(without_reason(TWO)[2], 2) == [
        "quoted was published as 20,000 USD in version 1 and as 23,910 USD in version 2, without a reason. Add it to corrections.csv.",
        "So were 2 more: worth 12,000 USD to 11,000 USD, gone 1 USD to none.",
    ]
    assert [one.was.figure for one in without_reason(TWO, (correction("quoted"),))[2]] == ["worth"]
    assert without_reason(TWO, (correction("quoted"), correction("worth", new="11,000 USD"))) == {2: ()}
    assert without_reason(TWO[:3]) == {} and without_reason(()) == {} and unexplained_sentences((), 2) == []
