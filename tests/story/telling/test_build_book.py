"""The build book for who buys the car: what is on it, what is not done, and no money without the switch."""

import re

import pytest
from demos import changed, demo, line, money, small

from buildecon.project.honesty import Disclosure
from buildecon.story.telling.blocks import Heading, Points, Says, Sheet
from buildecon.story.telling.build_book import build_book
from buildecon.story.telling.disclosure import Given
from buildecon.story.telling.publishing import WriteUp
from buildecon.story.telling.told import Told


def book(project, prices=False):
    """By heading, what stands under it."""
    found, name = {}, ""
    for block in build_book(Told(project), Given((), {}), prices):
        if isinstance(block, Heading):
            name = block.text
        else:
            found.setdefault(name, []).append(block)
    return found


def fitted(project):
    [sheet] = book(project).get("What is fitted and done", [Sheet("", ())])
    return [row["part or work"] for row in sheet.rows]


def test_prices_are_in_it_by_one_switch():
    without, with_ = (WriteUp(demo("pickup")).book(prices) for prices in (False, True))
    assert "Prices are left out." in without and "Prices are shown" in with_ and "57,820 USD" in with_


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_without_the_switch_no_money_is_in_it_at_all(name):
    text = re.sub(r"<style>.*?</style>|<[^>]+>", " ", WriteUp(demo(name)).book(), flags=re.DOTALL)
    assert not re.search(r"USD|EUR|GBP|[$€£]|\d\.\d\d\b", text)
    grouped = re.findall(r"[^.]{0,20}\d,\d{3}.{0,25}", text)
    assert not [found for found in grouped if not re.search(r"\d (km|mi)\b|\d to \d", found)], grouped  # distances alone


def test_who_gave_what_is_told_without_the_sums():
    [told] = book(demo("pickup"))["Given parts"]
    assert told.texts == ("Dry Ferry Suspension gave: 25 % off the suspension kit. In return: Two videos.", "Hollow Peak Tents gave: A roof tent for nothing. In return: One video.")
    tent = line("tent", paid=0, funding="given", street_price=money(900), supplier="HP")
    for gave, wording, said in (("900 off", "", "HP gave: tent. In return: something."), ("900 off", "#ad HP helped. It was worth 900 GBP.", "#ad HP helped.")):
        deal = Disclosure(supplier="HP", gave=gave, in_return="£50", wording=wording)
        assert book(changed(small([tent]), disclosures=(deal,)))["Given parts"] == [Says((said,), "disclosure")]


def test_a_summary_loses_the_sentences_with_money():
    [said, _] = book(small([line("a", paid=1)], summary="A Roe 1600 of 1983. It was £900."))[f"{small([]).file.build.name}: the build book"]
    assert said == Says(("A Roe 1600 of 1983.",))


def test_consumables_and_what_went_again_are_not_fitted():
    lines = [line("cam", paid=1), line("weld", nature="outside work", paid=1), line("oil", nature="consumable", paid=1), line("wrong", paid=1, cause="wrong part"), line("jack", nature="tool", paid=1), line("plan", planned=money(5))]
    gone = [line(state, paid=1, state=state) for state in ("ordered", "received", "returned", "refunded", "failed", "sold")]
    assert fitted(small([*lines, *gone, line("on", paid=1, state="fitted")])) == ["cam", "weld", "on"]


def test_what_is_still_to_come_is_named_without_money():
    [points] = book(demo("pickup"))["Not done yet"]
    assert points.texts == ("dual battery", "solar", "lighting", "seats", "paint touch-up", "sound deadening", "drawers", "final alignment", "small parts and fluids on the above")
    lines = [line("cam", planned=money(300)), line("weld", nature="outside work", paid=1, to_finish=money(50)), line("rack", paid=1, state="received"), line("done", paid=1), line("lift", nature="tool", planned=money(9))]
    assert book(small(lines, stage="in progress"))["Not done yet"] == [Points(("cam", "weld", "rack"))]
    assert "Not done yet" not in book(demo("van"))


def test_only_paper_that_shows_it_was_paid_is_a_mark():
    grades = ("", "guess", "list", "estimate", "quote", "order", "memory", "receipt", "settled")
    [sheet] = book(small([line(f"p{k}", paid=1, grade=grade) for k, grade in enumerate(grades)]))["What is fitted and done"]
    assert [row["paper"] for row in sheet.rows] == [""] * 7 + ["receipt", "settled"]
