"""Interest of money borrowed for the build: a worked total, a foreign library month by month, and the rungs it touches."""

from datetime import date
from decimal import Decimal

import numpy_financial as npf
import pytest
from demos import cents, line, money, small

from buildecon.ledger.cash import cash_by_month
from buildecon.ledger.forecast import overrun_so_far
from buildecon.ledger.ladder import ladder
from buildecon.ledger.loans import interest_by_month
from buildecon.ledger.settlement import settle
from buildecon.project.consistency import consistency_faults
from buildecon.project.records import ProjectLoan


def loan(**more):
    return ProjectLoan(**{"name": "engine", "amount": money(12000), "rate": money("0.099"), "months": 36, "first_payment": date(2024, 2, 15)} | more)


def with_loan(**build):
    project = small([line("engine", paid=12000)], **build)
    return project.model_copy(update={"file": project.file.model_copy(update={"loans": (loan(),)})})


def test_a_loan_paid_off_has_cost_its_whole_interest():
    # 12,000 at 9.9 % over 36 months: 386.64 a month, 1,919.15 in interest (worked example of the trade, recomputed by numpy-financial below)
    assert sum(interest_by_month(loan(), date(2030, 1, 1)).values()) == cents("1919.15")


@pytest.mark.parametrize("rate", ["0.099", "0.03"])
def test_each_month_agrees_with_numpy_financial(rate):
    months = interest_by_month(loan(rate=money(rate)), date(2030, 1, 1))
    foreign = [-float(npf.ipmt(float(rate) / 12, k, 36, 12000)) for k in range(1, 37)]
    assert len(months) == 36
    for ours, theirs in zip(months.values(), foreign, strict=True):
        assert float(ours) == pytest.approx(theirs, abs=0.0101)  # running sums are rounded
    assert float(sum(months.values())) == pytest.approx(sum(foreign), abs=0.005)


def test_a_loan_without_interest_costs_nothing():
    assert set(interest_by_month(loan(rate=money(0)), date(2030, 1, 1)).values()) == {0}


def test_only_the_months_up_to_the_day_count():
    assert list(interest_by_month(loan(), date(2024, 3, 14))) == ["2024-02"]
    assert list(interest_by_month(loan(), date(2024, 3, 15))) == ["2024-02", "2024-03"]
    assert interest_by_month(loan(), date(2024, 1, 1)) == {}


def test_interest_is_on_its_rung_and_what_is_paid_off_on_none():
    project = with_loan(as_of=date(2024, 3, 20))
    totals = ladder(project)
    first = Decimal(12000) * Decimal("0.099") / 12  # 99.00
    assert totals["parts_on_car"] == totals["with_tools"] == 12000
    assert 12000 + first < totals["project_cash"] < 12000 + 2 * first
    assert sum(totals.months.values()) == totals["project_cash"] == sum(month.out for month in cash_by_month(project))


def test_a_payment_counts_from_its_own_day_also_at_the_end_of_a_month():
    late = loan(first_payment=date(2026, 1, 31))
    assert interest_by_month(late, date(2026, 1, 30)) == {}
    assert list(interest_by_month(late, date(2026, 2, 28))) == ["2026-01", "2026-02"]


def test_interest_does_not_raise_what_is_still_to_come():
    project = with_loan(as_of=date(2027, 1, 1))
    project = project.model_copy(update={"lines": (*project.lines, line("paint", paid=100, planned=money(100)))})
    bare = project.model_copy(update={"file": project.file.model_copy(update={"loans": ()})})
    assert overrun_so_far(settle(project)) == overrun_so_far(settle(bare))


def test_two_loans_of_one_name_or_a_line_of_that_name_are_told():
    project = with_loan()
    twice = project.model_copy(update={"file": project.file.model_copy(update={"loans": (loan(), loan())})})
    taken = project.model_copy(update={"lines": (*project.lines, line("loan engine"))})
    for one in (twice, taken):
        assert any("loans.name: must be a name of its own, got 'engine'" in str(fault) for fault in consistency_faults(one, lambda *keys: 0))
