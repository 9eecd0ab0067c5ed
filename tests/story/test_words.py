"""The sentences carry the right figures, names and ranges."""

import re

import pytest
from demos import changed, demo
from project.folders import made, swapped
from verdicts import against

from buildecon.decision.breakeven import break_even
from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare
from buildecon.ledger.ladder import ladder
from buildecon.project import read_project
from buildecon.story.page import key_html
from buildecon.story.plain import keep_text
from buildecon.story.words import amount, answer, break_even_verdict, cautions, gate_cost_sentence, joy_sentence, number, years_text


def test_amounts_carry_thousands_and_currency():
    assert amount(23035, "EUR") == "23,035 EUR"
    assert amount(float("nan"), "EUR") == "-"
    assert number(-0.2) == "0"
    assert [years_text(years) for years in (1, 6.0, 2.68)] == ["1 year", "6 years", "2.7 years"]


def test_the_van_s_answer_names_figure_rival_and_range():
    van = demo("van")
    totals = ladder(van)
    assert answer(compare(van), totals) == (
        "Kept 6 years, 'build, grant paid' costs 364 EUR a month (counting on 3,000 EUR not yet received), 38 EUR more than "
        "newer factory e-van Brevane E50, the cheapest other that meets every must-have; it is dearer at every length from 0 to 20 years."
    )
    assert answer(compare(van, view=FROM_TODAY), totals).startswith("Kept 6 years from today, 'build, grant paid' costs 211 EUR a month")


def test_a_build_that_is_cheaper_is_said_to_save():
    van = demo("van")
    totals = ladder(van)
    cheap = as_written(van, totals).model_copy(update={"end_value": 24000.0, "years_kept": 1})
    comparison = compare(van, totals, cheap)
    assert "less than" in answer(comparison, totals)
    assert joy_sentence(comparison).startswith("No price of joy, the build is the cheap choice and saves ")


def test_a_turn_against_another_car_than_the_one_told_says_which(tmp_path):
    # The build costs 1,760 once. Another car costs 380 a year, the least of all for 3 years; beyond 600 / 180 = 3.3 years a third does, at 600 and 200 a year: 600 + 200 t = 1,760 at 5.8.
    third = '[[options]]\nid = "third"\nname = "a third car"\nkind = "buy"\nprice = 600\nvalue = 0\ndecline_rate = 0\nyearly = { upkeep = 200 }\n[options.facts]\nseats = 4\n\n[chances]'
    toml = swapped(swapped(against(0), "price = 0", "price = 0\nyearly = { upkeep = 380 }"), "[chances]", third)
    project = read_project(made(tmp_path / "folder", build=toml))
    totals = ladder(project)
    shown = compare(project, totals, as_written(project, totals).model_copy(update={"years_kept": 3}), WHOLE_STORY)
    assert answer(shown, totals).split("; ")[-1] == f"it becomes cheaper after 5.8 years, against a third car (searched 0 to {project.file.use.horizon_years} years)."
    beyond = compare(project, totals, as_written(project, totals).model_copy(update={"years_kept": 6}), WHOLE_STORY)
    assert answer(beyond, totals).split("; ")[-1] == f"it becomes cheaper after 5.8 years (searched 0 to {project.file.use.horizon_years} years)."


def test_assumptions_say_of_selling_loans_and_months_of_building_what_the_sums_do():
    from buildecon.project.records import Loan
    from buildecon.quantities.estimate import sure
    from buildecon.story.words import assumptions

    roadster = demo("roadster")
    assert not [text for text in assumptions(compare(roadster)) if "Selling at the end" in text]  # all but the hire say 0, and a hire is not sold
    pickup = demo("pickup")
    more = {"loan": Loan(amount=sure(20000), rate=sure("0.06"), months=48), "build_months": sure(6)}
    options = tuple(one.model_copy(update=more) if one.id == "build" else one for one in pickup.options)
    later = changed(pickup, options=options)
    at_once = "From today, the build counts as finished at once: no months without it are in these sums."
    assert at_once in assumptions(compare(pickup, view=FROM_TODAY)) and at_once not in assumptions(compare(later, view=FROM_TODAY))
    # 57,820 stands in, and 6,487 still to come are paid month by month
    assert "469.70 USD a month for 48 months, 37,820 USD of your own at the start" in " ".join(assumptions(compare(later)))


def test_nothing_that_passes_leaves_no_price_of_joy():
    van = demo("van")
    only_builds = van.model_copy(update={"file": van.file.model_copy(update={"options": van.options[:3]})})
    comparison = compare(only_builds)
    assert "nothing else meets every must-have" in answer(comparison, ladder(only_builds))
    assert joy_sentence(comparison) == "No price of joy: no other option meets every must-have."


@pytest.mark.parametrize(
    ("difference", "verdict"),
    [
        ([3, 1, 2], "other is the cheaper throughout (searched 0 to 2 years)"),
        ([-3, -1, -2], "build is the cheaper throughout (searched 0 to 2 years)"),
        ([0, 0, 0], "both cost the same throughout (searched 0 to 2 years)"),
        ([1, 0, 1], "other is the cheaper throughout and touches at 1 year (searched 0 to 2 years)"),
        ([2, -2, -2], "other is cheaper up to 6 months, build beyond (searched 0 to 2 years)"),
        ([2, -2, 2], "other is cheaper up to 6 months, build up to 1.5 years, other beyond (searched 0 to 2 years)"),
    ],
)
def test_a_break_even_is_told_with_the_range_searched(difference, verdict):
    assert break_even_verdict(break_even(difference, [0, 1, 2]), "build", "other") == verdict


def test_must_haves_are_told_with_what_they_cost():
    assert gate_cost_sentence(compare(demo("van"))) == [
        "The must-have 'allowed into the town's zone' costs nothing, kept 6 years: what it shuts out is no cheaper.",
        "The must-have 'loaded range at 5 degrees of frost' costs 64 EUR a month, kept 6 years: it shuts out used factory e-van Brevane E33.",
    ]


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_every_build_carries_the_cautions_of_its_work_and_no_advice(name):
    said = cautions(demo(name))
    assert said[0].startswith("An old shell keeps the crash structure of its model year")
    assert sum("not financial, tax or legal advice" in text for text in said) == 1
    assert any(text.startswith("Rules on emissions") for text in said)


@pytest.mark.parametrize(("currency", "part"), [("GBP", "pence"), ("EUR", "cents"), ("USD", "cents"), ("JPY", "hundredths of JPY")])
def test_the_table_of_years_names_the_small_coin(currency, part):
    project = demo("roadster")
    project = changed(project, build=project.file.build.model_copy(update={"currency": currency}))
    totals = ladder(project)
    assert f"{currency} a month ({part} per mi), whole story" in keep_text(compare(project, totals, as_written(project, totals), "whole story"), (6,))


def test_the_key_names_no_colour_since_the_dark_has_others():
    project = demo("van")
    totals = ladder(project)
    said = key_html(compare(project, totals, as_written(project, totals), "whole story"))
    assert "Thick: this build." in said and "Thin: meets every must-have." in said and not re.search("red|steel", said, re.IGNORECASE)
