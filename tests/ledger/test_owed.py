"""What is owed and what can still go back: by hand."""

from datetime import date

from demos import demo, event, line, small

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
    parts = [line("lamp", paid=80, return_by=date(2026, 3, 25), state="received"), line("hose", paid=12, return_by=date(2026, 3, 1)),
             line("seat", paid=200, return_by=date(2026, 3, 22), state="fitted")]  # fmt: skip
    assert [(one.item, one.days) for one in return_windows(small(parts, as_of=DAY))] == [("hose", -19), ("lamp", 5)]


def test_the_van_is_owed_its_grant():
    assert [(one.what, one.amount) for one in owed_items(demo("van"))] == [("grant", 3000)]
