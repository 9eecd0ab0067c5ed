"""Answers that mislead: each trap made to spring once on a demo's copy, and left alone by the demo itself."""

import pytest
from demos import changed, demo, money

from buildecon.decision.compare import compare
from buildecon.decision.honesty import all_traps
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import worth
from buildecon.project.honesty import TRAPS, Overruled
from buildecon.project.worth import Market
from buildecon.quantities.estimate import Estimate


def found(project, **more):
    return {trap.id: trap for trap in all_traps(compare(project), worth(project) if project.market else None)}


def figures(project):
    return {id: trap.figure for id, trap in found(project).items()}


def with_options(project, *options):
    return changed(project, options=tuple(options))


def valued(project, **value):
    return changed(project, value=project.file.value.model_copy(update=value))


@pytest.mark.parametrize(("name", "open_", "overruled"), [
    ("van", {"money_not_received"}, {"sale_costs_nothing"}), ("roadster", {"money_without_paper"}, set()), ("pickup", {"sponsored_total"}, {"build_sells_free"}),
])  # fmt: skip
def test_a_careful_owner_is_told_what_is_true_and_no_more(name, open_, overruled):
    told = found(demo(name))
    assert {id for id, trap in told.items() if not trap.overruled} == open_
    assert {id for id, trap in told.items() if trap.overruled} == overruled


def test_every_trap_has_a_name_and_each_check_uses_one():
    import re
    from pathlib import Path

    import buildecon

    rooms = Path(buildecon.__file__).parent
    files = [rooms / "ledger" / name for name in ("slips.py", "flattered_totals.py", "flattering_words.py")] + [rooms / "decision" / name for name in ("honesty.py", "honest_use.py")]
    source = "".join(file.read_text() for file in files)
    used = set(re.findall(r'Trap\(\s*"(\w+)"', source)) | {"no_tools", "no_consumables", "no_freight_or_tax"}
    assert used == set(TRAPS)


def test_what_is_overruled_is_shown_with_the_reason_and_what_matches_nothing_is_said():
    rules = (Overruled(trap="money_without_paper", because="Ten stalls at one fair."), Overruled(trap="no_waste", because="There is some."))
    told = found(changed(demo("roadster"), overruled=rules))
    assert told["money_without_paper"].overruled == "Ten stalls at one fair."
    assert (told["overruled_for_nothing"].figure, told["overruled_for_nothing"].overruled) == ("no_waste", "")


def test_a_finished_value_at_list_price():
    project = valued(demo("pickup").model_copy(update={"market": ()}), finished=money(66827))  # 60,340 at list and 6,487 still to come
    assert figures(project)["list_price_as_value"] == "66,827 USD when finished, and everything at list price is 66,827 USD"
    assert "list_price_as_value" not in figures(valued(project, finished=money(66826)))
    roadster = demo("roadster").model_copy(update={"market": ()})  # no part of it has a list price
    assert "list_price_as_value" not in figures(valued(roadster, finished=money(9000)))


def test_what_it_cost_called_its_value():
    project = valued(demo("pickup").model_copy(update={"market": ()}), finished=money(64300))  # 57,820 stands in, 6,487 to come: 64,307
    assert figures(project)["cost_as_value"] == "64,300 USD when finished, which is 'what the car stands you in' to the hundred"
    assert "cost_as_value" not in figures(valued(project, finished=money(63800)))


def test_a_market_that_bears_the_figure_out_clears_it():
    roadster = demo("roadster")
    assert "cost_as_value" in figures(valued(roadster.model_copy(update={"market": ()}), finished=money(8480)))
    dear = tuple(row.model_copy(update={"price": money(str(row.price.likely * 2))}) for row in roadster.market if row.kind == "sold")
    bare = changed(roadster.model_copy(update={"market": dear}), market=Market(basis="seller gets"))
    assert "cost_as_value" not in figures(valued(bare, finished=money(8480)))


def test_a_value_above_what_the_market_says():
    roadster = demo("roadster")  # the evidence says 4,879 to 7,045 four times out of five
    told = figures(valued(roadster, finished=money(7100)))["best_case_value"]
    assert told == "7,100 GBP finished; the evidence says 4,867 to 7,084 GBP, 80% of the time"
    assert "best_case_value" not in figures(valued(roadster, finished=money(7000)))
    assert figures(valued(roadster, as_is=money(7100)))["best_case_value"].startswith("7,100 GBP as it stands")


def test_only_the_build_sells_for_nothing():
    roadster = demo("roadster")
    build, bought, *rest = roadster.options
    paying = with_options(roadster, build, bought.model_copy(update={"selling_cost_share": money("0.04")}), *rest)
    assert figures(paying)["build_sells_free"] == "this build at 0, buy one finished at 4% of its price"
    both = with_options(roadster, build.model_copy(update={"selling_cost_share": money("0.04")}), bought.model_copy(update={"selling_cost_share": money("0.04")}), *rest)
    assert "build_sells_free" not in figures(both)


def test_asking_prices_called_value():
    van = demo("van")  # three asks and two sales: three in five are asks
    one_sale = van.model_copy(update={"market": van.market[:4]})
    assert figures(one_sale)["asks_as_value"] == "3 of 4 pieces of evidence are asking prices"
    as_price = changed(van, market=van.file.market.model_copy(update={"readings": van.file.market.readings.model_copy(update={"asking": van.file.market.readings.asking.model_copy(update={"reading": "as price"})})}))
    assert figures(as_price)["asks_as_value"] == "3 asking prices are read as if they had been paid"


@pytest.mark.parametrize(("basis", "told"), [("What such vans are listed at.", True), ("Listed at 14,000, sold at 12,000.", False), ("A friend's guess.", False), ("Two are for sale nearby.", True)])
def test_a_basis_in_words_that_speaks_of_asks_alone(basis, told):
    project = valued(demo("van").model_copy(update={"market": ()}), basis=basis)
    assert ("asks_as_value" in figures(project)) == told


def test_hours_at_nothing_beside_a_shop_that_is_paid():
    van = demo("van")
    by_shop = with_options(van, *(option for option in van.options if option.id != "e50"))  # the shop is then the cheapest that passes
    assert figures(by_shop)["hours_at_nothing"] == "0 in the build; shop conversion pays for the same work. At the shop rate they would be 10,750 EUR"  # 430 at 25
    at_shop_rate = changed(by_shop, own_hours=by_shop.file.own_hours.model_copy(update={"convention": "shop"}))
    assert "hours_at_nothing" not in figures(at_shop_rate)


def test_only_a_new_car_to_compare_with():
    pickup = demo("pickup")
    new = with_options(pickup, *(option for option in pickup.options if option.id not in ("used-corran", "camper")))
    assert figures(new)["only_new"] == "new Bellamy Corran D"
    newer = demo("van")  # "newer factory e-van" is no new one
    assert "only_new" not in figures(with_options(newer, *(option for option in newer.options if option.id != "e33")))


def test_hardly_anything_to_compare_with():
    roadster = demo("roadster")
    assert figures(with_options(roadster, *roadster.options[:2]))["one_alternative"] == "1 beside the build"
    assert "one_alternative" not in figures(with_options(roadster, *roadster.options[:3]))


def failing(option, **facts):
    return option.model_copy(update={"facts": option.facts | facts})


def test_told_against_the_dearest_alone():
    roadster = demo("roadster")
    build, bought, roe, hire = roadster.options
    only_dear = with_options(roadster, build, failing(bought, length=4), roe, failing(hire, length=4))
    dear, cheap = (compare(only_dear).per_month[k, 60] for k in (2, 1))
    assert dear > cheap  # the Roe loses a tenth of its value a year, the other none
    told = figures(with_options(roadster, build, failing(bought, length=4), roe))
    assert told["dearest_alternative"] == f"only Averley Roe 1.8, {dear:,.0f} GBP a month meets every must-have, and it is the dearest of 2"
    assert "dearest_alternative" not in figures(with_options(roadster, build, bought, failing(roe, length=4)))


def test_must_haves_that_only_the_build_meets():
    roadster = demo("roadster")
    build, *others = roadster.options
    alone = with_options(roadster, build, *(failing(option, length=4) for option in others))
    assert figures(alone)["nothing_passes"] == "none of 3 others meets all 5"
    assert "nothing_passes" not in figures(roadster)


def test_a_cheaper_option_that_is_out_for_a_fact_nobody_looked_up():
    roadster = demo("roadster")
    build, bought, roe, hire = roadster.options
    unknown = figures(with_options(roadster, build, failing(bought, length="unknown"), roe, hire))
    assert unknown["ruled_out_unknown"].startswith("buy one finished, ") and unknown["ruled_out_unknown"].endswith(" GBP a month: length")
    too_long = with_options(roadster, build, failing(bought, length="unknown", soft_top=False), roe, hire)
    assert "ruled_out_unknown" not in figures(too_long)  # it is out for another reason as well


def test_a_range_of_the_value_does_not_matter_for_its_likely_figure():
    roadster = demo("roadster")
    hopeful = valued(roadster, finished=Estimate(*(money(part).likely for part in ("5000", "5900", "9000"))))
    assert "best_case_value" not in figures(hopeful)


def test_an_unknown_fact_of_a_dearer_option_hides_nothing():
    van = demo("van")
    dear = with_options(van, *(failing(option, payload="unknown") if option.id == "shop" else option for option in van.options))
    assert "ruled_out_unknown" not in figures(dear)  # the shop is dearer than the build, 472 to 364 a month


def test_two_thirds_of_asks_are_not_mostly_asks():
    van = demo("van")
    asks, sales = [row for row in van.market if row.kind == "asking"], [row for row in van.market if row.kind == "sold"]
    assert "asks_as_value" not in figures(van.model_copy(update={"market": (*asks[:2], sales[0])}))


def test_a_half_built_car_is_not_held_against_the_price_of_finished_ones():
    roadster = changed(demo("roadster"), states=())
    value = roadster.file.value.model_copy(update={"as_is": money(8000), "finished": money(6000)})  # above any finished one
    market = worth(changed(roadster, value=value))
    assert market.of_state("finished").high < 8000
    project = market.project
    found = all_traps(compare(project, ladder(project)), market)
    assert "best_case_value" not in {trap.id for trap in found}
