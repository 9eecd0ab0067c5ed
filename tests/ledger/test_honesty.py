"""Ways to mislead that the ledger can see, each made to happen once."""

from datetime import date

from demos import demo, event, line, money, small

from buildecon.ledger.honesty import traps
from buildecon.ledger.ladder import ladder


def names(project):
    return {trap.name for trap in traps(project, ladder(project))}


def test_the_pickup_is_told_to_quote_both_totals():
    found = {trap.name: trap.figure for trap in traps(demo("pickup"), ladder(demo("pickup")))}
    assert found["given or discounted parts in the quoted total"] == "a reader would pay 2,010 USD more"  # 320 + 1,690


def test_a_gift_without_a_disclosure_is_named():
    tent = line("tent", paid=0, funding="given", street_price=money(900), supplier="Hollow Peak")
    assert "a gift without a disclosure" in names(small([tent]))


def test_an_owned_car_at_its_old_price_is_named():
    project = small([], base_car="owned", base_paid_then=money(5000))
    car = project.lines[0].model_copy(update={"paid": money(5000)})
    assert "the base car at its old price" in names(project.model_copy(update={"lines": (car,)}))
    assert "the base car at nothing" in names(project)


def test_a_lost_deposit_on_a_part_and_a_return_without_a_cause_are_named():
    moved = [event("a", "core deposit", 50), event("a", "core lost", 50), event("b", "payment", 100), event("b", "refund", 85)]
    found = names(small([line("a"), line("b")], moved))
    assert {"a lost deposit on the part's own rung", "a return counted as a part"} <= found
    assert not {"a lost deposit on the part's own rung", "a return counted as a part"} & names(small([line("a", cause="lost core"), line("b", cause="wrong part")], moved))


def test_lines_without_money_copies_and_words_are_named():
    twice = [event("a", "payment", 100), event("a", "payment", 100)]
    found = names(small([line("a"), line("empty"), line("c", paid=5, note="a sound investment", grade="memory")], twice))
    assert {"lines without money", "the same event more than once", "a loss called an investment", "money without paper"} <= found


def test_money_of_different_years_is_named_until_an_index_is_chosen():
    old = small([line("a", paid=100).model_copy(update={"date": date(2020, 1, 1)})])
    assert "money of different years added up" in names(old)


def test_the_placeholders_of_a_new_folder_are_named(tmp_path):
    from buildecon.project import read_project
    from buildecon.project.start import start_project

    start_project(tmp_path / "mine")
    assert "placeholders" in names(read_project(tmp_path / "mine"))
