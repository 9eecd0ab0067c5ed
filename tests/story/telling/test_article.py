"""The article: true of builds of every kind, and said to a reader, not to the owner."""

import datetime as dt
import re

import pytest
from demos import changed, demo, line, money, small
from odd_folders import ODD, folder_of

from buildecon.project import read_project
from buildecon.project.records import RUNG_IDS
from buildecon.project.rows import Correction, Hours
from buildecon.story.telling.public_words import RUNGS, public
from buildecon.story.telling.publishing import WriteUp


def said(project):
    return WriteUp(project).markdown()


def built(project, **build):
    return changed(project, build=project.file.build.model_copy(update=build))


@pytest.mark.parametrize("demo_name", ["roadster", "pickup"])
@pytest.mark.parametrize("odd", ["distance 0", "worth nothing", "the least", "all fail", "others fail", "the build fails", "alone"])
def test_no_sentence_speaks_to_the_owner_or_has_a_unit_without_its_figure(tmp_path, demo_name, odd):
    project = read_project(folder_of(tmp_path, demo_name, ODD[odd])).model_copy(update={"story": ""})
    text = said(changed(project, disclosures=(), overruled=()).model_copy(update={"market": ()}))
    told = re.sub(r"!\[[^\]]*\]\([^)]*\)|^\|.*$|ask the office that decides before you spend", "", text, flags=re.MULTILINE)  # in pictures the builder speaks to who looks
    assert not re.findall(r"[^.]*\b(?:[Yy]ou|[Yy]our)\b[^.]*", told)
    assert not re.findall(r".*build\.toml.*|.*market\.csv.*|.*\\\[.*|.*\bor - a .*", told)


def test_what_is_said_to_an_owner_is_turned_for_a_reader():
    assert public("To find out first: the price (a firm quote) is worth up to 1,200 EUR to you, and costs 90 EUR; 3 more are in the table. To know") == "To find out first: the price (a firm quote) is worth up to 1,200 EUR, and costs 90 EUR. To know"
    assert public("Your own figure is 5,000 GBP. Your first guess is not used: from one side alone it would be the whole answer.") == "The builder's own figure is 5,000 GBP."
    assert public("Nothing here is said to anybody.") == "Nothing here is said to anybody."


def test_a_car_that_is_not_driven_has_a_cost_a_month_and_none_by_distance():
    roadster = demo("roadster")
    parked = changed(roadster, use=roadster.file.use.model_copy(update={"distance_a_year": money(0)}))
    written = WriteUp(parked)
    assert re.search(r"Kept 5 years, all money in: [\d,]+ GBP a month\. From today, the money spent left out: [\d,]+ GBP a month\.", written.markdown())
    assert written.figures["per_distance"].text == "-" and written.figures["per_distance"].value is None


@pytest.mark.parametrize("rung", RUNG_IDS)
def test_the_total_quoted_is_called_so_that_it_can_stand_alone(rung):
    text = said(built(demo("roadster"), quoted_rung=rung))
    first = RUNGS[rung][0].upper() + RUNGS[rung][1:]
    assert f"{first}: " in text and f"The figure quoted is {RUNGS[rung]}: " in text
    assert "265 own hours are in it at nothing." in text if rung == "with_own_hours" else "265 own hours are not in it." in text


def test_below_the_plan_nothing_that_made_it_dearer_is_told_as_the_cause():
    # 300 came to 400; a gearbox planned at 700 came to 100: 500 below, with 100 of it the other way. A seat of 900 is not bought yet and saves nothing.
    parts = [line("gearbox", paid=100, planned=money(700)), line("seat", planned=money(900)), line("clutch", paid=400, planned=money(300), cause="dearer than planned")]
    text = said(small(parts, stage="in progress"))
    assert "The plan for what is begun was 1,000 GBP; so far it came to 500 GBP, 500 GBP below. What made it dearer most is 'dearer than planned', 100 GBP: clutch." in text
    assert "it came to 1,400 GBP, 100 GBP above. The largest cause is 'dearer than planned', 100 GBP: clutch." in said(small([parts[2], line("gearbox", paid=1000, planned=money(1000))], stage="finished"))


def test_one_month_and_one_hour_are_one():
    one = small([line("clutch", paid=400)]).model_copy(update={"hours": (Hours(system="Engine", hours=money(1)),)})
    text = said(changed(one, own_hours=one.file.own_hours.model_copy(update={"spent": None})))
    assert "1 hour of my own, 1 month from the first money to the last." in text and "1 own hour is not in it." in text


def test_of_a_build_only_planned_nothing_is_told_from_today():
    text = said(built(demo("roadster"), stage="planned"))
    assert "from today" not in text.split("## Why not just buy one?")[1].split("## ")[0] and "the money spent left out" not in text


def test_a_correction_names_its_figure_in_words():
    row = Correction(figure="stands_in_at", old="8,400 GBP", new="8,480 GBP", reason="A tow was forgotten.", date=dt.date(2026, 9, 5))
    assert "| what the car stands in at | 8,400 GBP | 8,480 GBP | A tow was forgotten. | 2026-09-05 |" in said(demo("roadster").model_copy(update={"corrections": (row,)}))


def test_a_seller_whom_a_copy_only_numbers_is_not_in_the_table_of_gifts():
    pickup = demo("pickup")
    lines = tuple(one.model_copy(update={"funding": "swapped", "street_price": money(900), "supplier": "Zxq Traders"}) if one.id == "p041" else one for one in pickup.lines)
    text = said(pickup.model_copy(update={"lines": lines}))
    assert "swapped" in text and "Zxq" not in text and not re.search(r"supplier \d", text)


def test_a_half_built_car_is_told_to_readers_at_its_builder_s_own_figure():
    roadster = changed(demo("roadster"), states=())
    text = said(roadster)
    assert "it counts at the builder's own figure, 5,900 GBP, as it stands; what such cars fetch is known of finished ones. Finished, it would sell for about " in text
    assert "[[states]]" not in text
