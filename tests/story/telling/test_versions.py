"""What was published against what is so today."""

import datetime as dt
from decimal import Decimal
from types import SimpleNamespace

from demos import changed, demo, money

from buildecon.project.rows import Correction, Published
from buildecon.story.telling.versions import change_rows, change_sentences, changes, correction_rows, last_published, next_version, published_anew

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


def test_corrections_for_readers_the_last_first():
    project = demo("roadster").model_copy(update={"corrections": (correction(), correction(date=dt.date(2026, 9, 5), new="23,950 USD"))})
    assert [one["right"] for one in correction_rows(project)] == ["23,950 USD", "23,910 USD"]
    assert correction_rows(project)[1] == {"figure": "stands_in_at", "published": "23,765 USD", "right": "23,910 USD", "why": "The tow was forgotten.", "on": "2026-09-01"}
    assert correction_rows(changed(demo("van"))) == []
