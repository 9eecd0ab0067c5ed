"""Slips of the pen, each made once."""

import pytest
from demos import changed, line, money, small

from buildecon.ledger.honesty import traps
from buildecon.ledger.ladder import ladder
from buildecon.project.options import Loan


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
