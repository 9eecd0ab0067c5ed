"""What is not known is named, given with the digits one needs, and has a way to be found out."""

import pytest
from demos import demo
from ranges import everything, project_of

from buildecon.decision.inputs import Input
from buildecon.decision.verdict import not_known
from buildecon.ledger.ladder import ladder
from buildecon.quantities.estimate import Estimate
from buildecon.story import input_words as words


def one(id, *names):
    return Input(id, Estimate(1, 2, 3), "", names)


@pytest.mark.parametrize(
    ("input", "said"),
    [
        (one("use.distance_a_year"), "distance a year"),
        (one("spent"), "what the receipts leave open"),
        (one("half_way.past_overruns"), "how far your builds run over"),
        (one("chances.counted_on"), "whether the money counted on comes"),
        (one("lines.p070", "p070", "paint touch-up"), "paint touch-up, still to come"),
        (one("options.other.price", "another car"), "price, another car"),
        (one("options.other.value", "another car"), "what another car sells for on the first day"),
        (one("options.other.yearly.upkeep", "another car"), "upkeep, another car"),
        (one("options.other.energy.0.amount", "another car", "petrol"), "what another car uses of petrol"),
        (one("options.other.energy.0.town", "another car", "petrol"), "what another car uses of petrol in town"),
        (one("options.other.loan.amount", "another car"), "amount of the loan of another car"),
        (one("options.other.from_today.price", "another car"), "price, another car from today"),
        (one("options.other.value_path.decline_rate", "another car"), "value lost a year, another car"),
        (one("options.other.value_path.table.1.value", "another car"), "value in row 2 of the table of another car"),
        (one("options.other.kit.price", "another car"), "price of the kit of another car"),
        (one("options.other.wear.renewals.1.cost", "another car", "tyres"), "tyres cost of another car"),
        (one("options.b.purchase_costs", "build, grant paid"), "costs of buying 'build, grant paid'"),
        (one("energy.petrol.price", "petrol"), "price of petrol"),
        (one("energy.charging.tariffs.0.price", "charging", "night"), "price of charging, night"),
        (one("energy.petrol.price_growth_rate", "petrol"), "rise of the price of petrol a year"),
        (one("repairs.bills.0.amount"), "bills amount"),
    ],
)
def test_an_input_is_named_in_words(input, said):
    assert words.input_words(input) == said


def test_every_input_of_a_project_full_of_ranges_has_words_of_its_own(tmp_path):
    project = project_of(tmp_path, everything())
    inputs = not_known(project, ladder(project)).inputs
    said = [words.input_words(each) for each in inputs]
    assert not [text for text in said if "_" in text or "{" in text or not text.strip()]
    assert len(set(said)) == len(said), sorted(text for text in said if said.count(text) > 1)


@pytest.mark.parametrize(
    ("id", "value", "said"),
    [
        ("energy.petrol.price", 1.625, "1.62"), ("options.o.decline_rate", 0.0944, "9.4%"), ("options.o.decline_rate", 0.095, "10%"), ("options.o.decline_rate", -0.123, "-12%"), ("value.selling_cost_share", 0.03, "3.0%"),
        ("chances.counted_on", 1.0, "yes"), ("chances.counted_on", 0.0, "no"), ("half_way.past_overruns", 1.1, "1.10 times"), ("value.finished", 12345.6, "12,346"),
        ("options.o.energy.0.amount", 7.25, "7.2"), ("half_way.months", 4.0, "4"),
    ],
)  # fmt: skip
def test_a_figure_has_the_digits_one_needs(id, value, said):
    assert words.input_figure(one(id), value, demo("van")) == said


@pytest.mark.parametrize(("id", "how"), [("lines.a", "a firm quote"), ("options.o.price", "a firm price"), ("energy.petrol.price", "a firm price"), ("value.finished", "what like ones were sold for"), ("options.o.enjoyment", "ask")])
def test_each_input_has_a_way_to_find_it_out(id, how):
    assert words.way_to_find_out(one(id)) == how
