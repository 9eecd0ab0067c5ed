"""Figures of the write-up: the same as the models', and every one with a text."""

from decimal import Decimal

import pytest
from demos import changed, demo, money

from buildecon.story.telling.figures import figures
from buildecon.story.telling.told import Told


@pytest.fixture(scope="module")
def pickup():
    return figures(Told(demo("pickup")))


def test_the_pickup_s_figures_are_those_its_owner_knows(pickup):
    # 57,820 stands in at; 59,830 to a reader: 620 off the kit and 1,390 of the tent, 2,010 in all.
    said = {id: pickup[id].text for id in ("stands_in_at", "at_street_price", "given", "a_month", "a_month_from_today", "worth", "recovered", "best_way")}
    assert said == {
        "stands_in_at": "57,820 USD", "at_street_price": "59,830 USD", "given": "2,010 USD", "a_month": "834 USD a month", "a_month_from_today": "361 USD a month",
        "worth": "24,500 USD", "recovered": "42%", "best_way": "Finish without the paint, sell",
    }  # fmt: skip
    assert pickup["quoted"].value == pickup["stands_in_at"].value


def test_ids_are_names_that_stand_in_braces_and_texts_are_never_empty(pickup):
    assert all(id == one.id and id.isidentifier() and one.text and one.what for id, one in pickup.items())


def test_a_line_that_costs_more_moves_every_figure_it_should():
    roadster = demo("roadster")
    dearer = roadster.model_copy(update={"lines": tuple(line.model_copy(update={"paid": money(260)}) if line.id == "r057" else line for line in roadster.lines)})
    before, after = figures(Told(roadster)), figures(Told(dearer))
    assert after["stands_in_at"].value - before["stands_in_at"].value == 100
    assert after["a_month"].value - before["a_month"].value == pytest.approx(100 / 60)
    assert after["worth"].value == before["worth"].value


def test_what_does_not_exist_is_not_among_them():
    van = demo("van")
    alone = changed(van, options=tuple(option for option in van.file.options if option.kind == "build"), must_haves=(), half_way=van.file.half_way, jobs=())
    found = figures(Told(alone))
    assert not {"rival", "joy", "chance", "still_to_come", "cut_best"} & set(found)
    assert found["stands_in_at"].value == Decimal(23035)
