"""Words that make money sound better than it is."""

import pytest
from demos import demo, line, money, small

from buildecon.ledger.flattering_words import INVESTMENT, prose, said
from buildecon.ledger.honesty import traps
from buildecon.ledger.ladder import ladder
from buildecon.project.options import Loan


def figures(project):
    return {trap.id: trap.figure for trap in traps(project, ladder(project))}


def told(text, **build):
    return small([line("a", paid=100)], summary=text, **build)


@pytest.mark.parametrize("text", ["A sound investment.", "I invested 4,000 in it.", "It pays for itself.", "Most of it is depreciation."])
def test_a_loss_is_not_called_an_investment(text):
    assert figures(told(text))["loss_as_investment"].endswith("in build.summary")


@pytest.mark.parametrize("text", ["This is not an investment.", "It was never a good investment.", "Investment castings from a foundry.", "Money spent."])
def test_denying_it_is_honest(text):
    assert "loss_as_investment" not in figures(told(text))


def test_the_word_is_found_in_every_text_of_the_owner():
    base = small([line("a", paid=1)])
    option = base.options[1].model_copy(update={"note": "Depreciation is in its rate."})
    elsewhere = base.model_copy(update={"file": base.file.model_copy(update={"options": (base.options[0], option)})})
    assert "loss_as_investment" not in figures(elsewhere)  # an option may well depreciate
    invested = base.model_copy(update={"file": base.file.model_copy(update={"options": (base.options[0], option.model_copy(update={"note": "An investment."}))})})
    assert said(invested, INVESTMENT) == ("options.note", "investment")


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_demos_flatter_nobody(name):
    assert not {"loss_as_investment", "hidden_interest", "not_for_anyone", "hours_at_nothing"} & set(figures(demo(name)))
    assert len(list(prose(demo(name)))) > 100


def test_a_build_on_credit_needs_its_interest():
    assert figures(told("Bought on credit."))["hidden_interest"].startswith("'on credit' in build.summary, and no line of nature")
    paid = small([line("a", paid=100), line("i", nature="finance", paid=9)], summary="Bought on credit.")
    assert "hidden_interest" not in figures(paid)


def test_a_loan_on_the_build_needs_its_interest():
    base = small([line("a", paid=100)])
    build = base.options[0].model_copy(update={"loan": Loan(amount=money(1000), rate=money("0.07"), months=24)})
    assert "hidden_interest" in figures(base.model_copy(update={"file": base.file.model_copy(update={"options": (build, *base.options[1:])})}))
    assert "hidden_interest" not in figures(base)


def test_anybody_could_do_it_with_such_a_sponsor():
    tent = line("tent", paid=0, funding="given", street_price=money(5))
    rest = line("a", paid=95)
    words = "the text says 'anyone can'; 5% of what a reader would pay was given, discounted or swapped, helpers gave 0 of 265 hours"
    assert figures(small([tent, rest], summary="Anyone can do it."))["not_for_anyone"] == words
    assert "not_for_anyone" not in figures(small([tent, rest]))  # a twentieth, and no such claim
    assert "not_for_anyone" not in figures(told("Anyone can do it."))  # and nobody helped


def test_hours_at_nothing_in_the_cost_and_at_a_rate_in_the_saving():
    found = figures(told("I saved 9,000 on labour."))  # 265 hours at 45
    assert found["hours_at_nothing"] == "0 in the cost, 'saved 9,000 on labour' in build.summary; at the shop rate they would be 11,925 GBP"
    assert "hours_at_nothing" in figures(told("Done at home.", quoted_rung="with_own_hours"))
    assert "hours_at_nothing" not in figures(told("Done at home."))
    at_wage = told("I saved 9,000 on labour.")
    hours = at_wage.file.own_hours.model_copy(update={"convention": "wage"})
    assert "hours_at_nothing" not in figures(at_wage.model_copy(update={"file": at_wage.file.model_copy(update={"own_hours": hours})}))
