"""Slips of the pen, each made once."""

import pytest
from demos import changed, demo, line, money, small

from buildecon.ledger.honesty import traps
from buildecon.ledger.ladder import ladder
from buildecon.project.options import Consumption, Loan


def figures(project):
    return {trap.id: trap.figure for trap in traps(project, ladder(project))}


def used(**use):
    project = small([line("a", paid=100)])
    return figures(changed(project, use=project.file.use.model_copy(update=use)))


def test_more_drive_days_than_a_year_has():
    assert used(drive_days_a_year=money(367))["too_many_days"] == "367"
    assert "too_many_days" not in used(drive_days_a_year=money(366))


def test_hardly_any_distance():
    assert used(distance_a_year=money("2.4"))["hardly_any_distance"] == "2.4 mi a year"
    assert not {"hardly_any_distance"} & {*used(distance_a_year=money(100)), *used(distance_a_year=money(0))}  # 0 is a car that stands


def test_finished_with_money_still_to_come():
    rest = line("rest", to_finish=money(250))
    assert figures(small([rest], stage="finished"))["finished_but_to_come"] == "250 GBP"
    assert "finished_but_to_come" not in figures(small([rest], stage="in progress"))


def borrowed(amount, rate):
    project = small([line("a", paid=100)])
    build, bought, *rest = project.options  # bought for 6,200
    loan = Loan(amount=money(amount), rate=money(rate), months=24)
    return figures(changed(project, options=(build, bought.model_copy(update={"loan": loan}), *rest)))


def test_a_loan_with_a_digit_too_many():
    assert borrowed(12401, "0.07")["loan_above_price"] == "buy one finished: 12,401 GBP"
    assert "loan_above_price" not in borrowed(12400, "0.07")


def test_a_rate_written_in_per_cent():
    assert borrowed(3000, "0.69")["loan_rate_high"] == "buy one finished: 69% a year"
    assert "loan_rate_high" not in borrowed(3000, "0.35")


@pytest.mark.parametrize(("paid", "told"), [(None, True), (0, False)])
def test_a_line_without_money_is_another_thing_than_one_for_nothing(paid, told):
    assert ("lines_without_money" in figures(small([line("a", paid=paid)]))) == told


def using(amount, unit):
    project = small([line("a", paid=100)])
    build, bought, *rest = project.options
    part = Consumption(source=build.energy[0].source, amount=money(amount), unit=unit)
    return figures(changed(project, options=(build, bought.model_copy(update={"energy": (part,)}), *rest)))


@pytest.mark.parametrize(("amount", "unit", "told"), [
    ("4.8", "mpg US", "4.8 mpg US of petrol, which is 49 L/100 km"), ("4.8", "mpg imperial", "4.8 mpg imperial of petrol, which is 58.9 L/100 km"),  # 235.2 / 4.8, 282.5 / 4.8
    ("41", "L/100 km", "41 L/100 km of petrol"), ("0.9", "L/100 km", "0.9 L/100 km of petrol"), ("101", "kWh/100 km", "101 kWh/100 km of petrol"), ("49", "Wh/km", "49 Wh/km of petrol, which is 4.9 kWh/100 km"),
])  # fmt: skip
def test_a_consumption_that_no_car_has(amount, unit, told):
    assert using(amount, unit)["odd_consumption"] == f"buy one finished: {told}"


@pytest.mark.parametrize(("amount", "unit"), [("40", "L/100 km"), ("1", "L/100 km"), ("31", "mpg imperial"), ("5", "kWh/100 km"), ("1000", "Wh/km")])
def test_a_thirsty_or_a_frugal_car_is_no_slip(amount, unit):
    assert "odd_consumption" not in using(amount, unit)


def priced(*prices):
    project = small([line("a", paid=100)])
    build, bought, *_ = project.options
    return figures(changed(project, options=(build, *(bought.model_copy(update={"id": f"o{k}", "name": f"o{k}", "price": money(price)}) for k, price in enumerate(prices)))))


def test_a_price_with_digits_lost_or_too_many():
    assert priced(6200, 5000, 49)["odd_price"] == "o2: 49 GBP, where the middle one of the others is 5,600 GBP"
    assert priced(6200, 5000, 700_000)["odd_price"] == "o2: 700,000 GBP, where the middle one of the others is 5,600 GBP"
    assert priced(62, 6201)["odd_price"] == "o0: 62 GBP, where the other is 6,201 GBP"
    for fine in ((6200, 62), (6200, 5000, 56), (6200, 5000, 560_000), (6200, 0, 5000), (6200,)):  # 0 is a thing given, no slip
        assert "odd_price" not in priced(*fine)


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_no_demo_has_an_odd_consumption_or_price(name):
    assert not {"odd_consumption", "odd_price"} & {*figures(demo(name))}
