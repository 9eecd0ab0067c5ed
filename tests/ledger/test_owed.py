"""What is owed and what can still go back: by hand."""

from datetime import date

from demos import demo, event, line, money, small

from buildecon.ledger.cash import cash_by_month
from buildecon.ledger.ladder import ladder
from buildecon.ledger.owed import owed_items, return_windows
from buildecon.project.consistency import consistency_faults

DAY = date(2026, 3, 20)


def test_an_open_core_is_owed_until_it_is_credited_or_lost():
    core = event("box", "core deposit", 600, due=date(2026, 4, 4))
    [owed] = owed_items(small([line("box", supplier="A Shop")], [event("box", "payment", 2650), core], as_of=DAY))
    assert (owed.what, owed.who, owed.amount, owed.days) == ("core deposit", "A Shop", 600, 15)
    half = [core, event("box", "core credit", 300), event("box", "core lost", 300)]
    assert owed_items(small([line("box")], half, as_of=DAY)) == ()


def test_store_credit_takes_off_the_part_returned_moves_no_cash_and_is_owed_until_spent():
    # 80 paid, returned for 80 of credit; 30 of it spent on a hose: lamp 0, hose 30, 50 still to spend.
    lines = [line("lamp", supplier="A Shop"), line("hose", supplier="A Shop")]
    moved = [event("lamp", "payment", 80), event("lamp", "store credit", 80, due=date(2026, 3, 10)), event("hose", "credit spent", 30)]
    project = small(lines, moved, as_of=DAY)
    assert [one.cost for one in ladder(project).settled[1:]] == [0, 30]
    assert [(month.out, month.back) for month in cash_by_month(project)] == [(80, 0)]
    [owed] = owed_items(project)
    assert (owed.what, owed.amount, owed.days) == ("store credit", 50, -10)
    assert not consistency_faults(project, lambda *keys: 0)
    too_much = small(lines, [*moved, event("hose", "credit spent", 60)], as_of=DAY)
    assert any("must be at most the store credit of 'A Shop', 80.00, got 90.00" in str(fault) for fault in consistency_faults(too_much, lambda *keys: 0))


def test_a_return_window_is_open_until_its_part_is_fitted():
    parts = [line("lamp", return_by=date(2026, 3, 25), state="received"), line("hose", paid=12, return_by=date(2026, 3, 1), state="received"),
             line("seat", paid=200, return_by=date(2026, 3, 22), state="fitted"), line("mat", paid=9, return_by=date(2025, 3, 22)),
             line("wheel", return_by=date(2026, 3, 29))]  # fmt: skip
    project = small(parts, [event("lamp", "payment", 80)], as_of=DAY)
    assert [(one.item, one.amount, one.days) for one in return_windows(project, ladder(project).settled)] == [("hose", 12, -19), ("lamp", 80, 5)]


def test_a_foreign_deposit_back_in_full_is_owed_no_more_whatever_the_rate():
    moved = [event("hoist", "deposit", 100, currency="USD", rate=money("0.90")), event("hoist", "deposit back", 100, currency="USD", rate=money("0.95"))]
    assert owed_items(small([line("hoist", "tool")], moved, as_of=DAY)) == ()
    half = [moved[0], moved[1].model_copy(update={"amount": money(40)})]
    assert [one.amount for one in owed_items(small([line("hoist", "tool")], half, as_of=DAY))] == [54]  # 60 at the rate of the day it was left


def test_the_day_of_a_deposit_that_came_back_presses_no_more():
    moved = [event("hoist", "deposit", 50, date(2025, 1, 5), due=date(2025, 3, 1)), event("hoist", "deposit back", 50, date(2025, 3, 1)),
             event("hoist", "deposit", 70, date(2026, 3, 5), due=date(2026, 9, 1))]  # fmt: skip
    [owed] = owed_items(small([line("hoist", "tool")], moved, as_of=DAY))
    assert (owed.amount, owed.due) == (70, date(2026, 9, 1))


def test_a_foreign_deposit_that_came_back_in_home_money_is_closed_at_home():
    moved = [event("hoist", "deposit", 100, currency="USD", rate=money("0.90")), event("hoist", "deposit back", 90)]
    assert owed_items(small([line("hoist", "tool")], moved, as_of=DAY)) == ()


def test_what_came_back_closes_the_earlier_deposit_first_and_then_the_next():
    moved = [event("hoist", "deposit", 50, date(2026, 1, 5)), event("hoist", "deposit", 50, date(2026, 2, 5)), event("hoist", "deposit back", 70, date(2026, 3, 1))]
    assert [one.amount for one in owed_items(small([line("hoist", "tool")], moved, as_of=DAY))] == [30]


def test_store_credit_of_a_kit_is_its_supplier_s_and_the_order_of_rows_does_not_matter():
    parts = [line("k1", kit="K", list_price=money(1), supplier="A Shop"), line("k2", kit="K", list_price=money(1), supplier="A Shop"), line("hose", supplier="A Shop")]
    moved = [event("hose", "credit spent", 40), event("K", "payment", 100), event("K", "store credit", 40)]
    project = small(parts, moved, as_of=DAY)
    assert not consistency_faults(project, lambda *keys: 0) and owed_items(project) == ()


def test_the_van_is_owed_its_grant():
    assert [(one.what, one.amount) for one in owed_items(demo("van"))] == [("grant", 3000)]
