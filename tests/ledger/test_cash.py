"""Cash by month: deposits leave the purse, an owned car does not, and card totals are held against it."""

from datetime import date

from demos import demo, event, line, money, small

from buildecon.ledger.cash import CASH_SIGN, cash_by_month, peak_funding, reconciled
from buildecon.project.rows import EventKind, Statement

MARCH, APRIL = date(2026, 3, 1), date(2026, 4, 9)


def test_a_core_deposit_is_out_until_it_is_credited():
    # 2,650 + 600 out in March: 3,250 at the peak; 300 back in April, the rest lost: 2,950.
    moved = [event("box", "payment", 2650), event("core", "core deposit", 600), event("core", "core credit", 300, APRIL), event("core", "core lost", 300, APRIL)]
    months = cash_by_month(small([line("box"), line("core", cause="lost core")], moved))
    assert [(month.month, month.outstanding) for month in months] == [("2026-03", 3250), ("2026-04", 2950)]
    assert peak_funding(months).outstanding == 3250


def test_a_car_bought_is_cash_and_a_car_owned_is_not():
    assert cash_by_month(demo("pickup"))[-1].outstanding == 46320  # net project cash, the truck's 11,500 not among it
    roadster = cash_by_month(demo("roadster"))
    assert sum(month.out - month.back for month in roadster) == 8480


def test_statements_show_what_the_ledger_lacks():
    months = cash_by_month(small([line("a", paid=100)]))
    card = [Statement(month="2026-03", source="card", total=money("130.50"))]
    assert reconciled(months, card) == [("2026-03", 100, money("130.50").likely, money("30.50").likely)]


def test_every_kind_of_event_moves_the_purse_one_way():
    assert set(CASH_SIGN) == set(EventKind.__args__)
