"""Exports taken in: two locales, overlaps and dirt, and every row accounted for."""

from decimal import Decimal

import pytest
from demos import demo

from buildecon.ledger.ladder import ladder
from buildecon.project import ProjectFaults
from buildecon.project.exports import suggested, table_of
from buildecon.project.forms import Source
from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE, judged, taken
from buildecon.quantities.estimate import sure

COLUMNS = ("id", "system", "nature", "cause", "planned", "item", "date", "supplier", "part_number", "order", "grade", "price_today", "to_finish", "note")


def written(amount):
    return f"{amount:,.2f}".replace(",", " ").replace(".", ",").replace(" ", ".")


def orders_of(lines):
    """An order export in a locale of commas and semicolons, days first."""
    rows = ["shop report;;;", ";".join((*COLUMNS, "Betrag"))]
    for line in lines:
        cells = [getattr(line, name) for name in COLUMNS]
        shown = ["" if c is None else f"{c:%d.%m.%Y}" if hasattr(c, "year") else written(c.likely) if hasattr(c, "likely") else f'"{c}"' for c in cells]
        rows.append(";".join([*shown, written(line.paid.likely)]))
    return rows


def card_of(lines):
    """The card's side of the same purchases: money out is negative, months first."""
    return ["Posted,Payee,Amount", *(f'{line.date:%m/%d/%Y},"{line.supplier}",-{line.paid.likely:.2f}' for line in lines)]


def bought(project):
    with_events = {event.line for event in project.events}
    return [line for line in project.lines if line.paid is not None and line.paid.is_sure and line.paid.likely and line.date and line.supplier
            and line.funding == "own" and not line.kit and line.id not in with_events and line.nature != "credit" and line.list_price is None and line.street_price is None]  # fmt: skip


def take_in(project, path, text, name):
    path.write_text(text, encoding="utf-8")
    source = suggested(path, name)
    return source, judged(project, source, *table_of(path, source))


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_a_dirty_shoebox_gives_exactly_the_ledger_of_the_demo(name, tmp_path):
    whole = demo(name)
    loose = bought(whole)
    assert len(loose) >= 5
    gone = {line.id for line in loose}
    started = whole.model_copy(update={"lines": tuple(line for line in whole.lines if line.id not in gone)})
    dirt = ["Summe" + ";" * 14 + "9.999,00", orders_of(loose[:1])[1], ";" * 13, ";To sort;part;;;no money;01.02.2026;;;;;;;;", ";To sort;part;;;unclear;01.02.2026;;;;;;;;<200"]
    source, found = take_in(started, tmp_path / "orders.csv", "\n".join(orders_of(loose) + dirt), "orders")
    assert (source.decimal, source.date_order, source.separator, source.skip, source.spent) == (",", "dmy", ";", 1, "positive")
    assert [each.verdict for each in found[: len(loose)]] == [ACCEPTED] * len(loose), [each for each in found if each.verdict != ACCEPTED]
    assert [each.verdict for each in found[len(loose) :]] == [REJECTED, REJECTED, REJECTED, ASKED] and all(each.reason for each in found[len(loose) :])
    after = taken(started, found)
    assert {line.id: line for line in after.lines}.keys() == {line.id: line for line in whole.lines}.keys()
    assert {line.id: line.cause for line in after.lines} == {line.id: line.cause for line in whole.lines}
    assert [rung.amount for rung in ladder(after).rungs] == [rung.amount for rung in ladder(whole).rungs]
    again, once_more = take_in(after, tmp_path / "orders.csv", "\n".join(orders_of(loose)), "orders")
    assert {each.verdict for each in once_more} == {THERE}
    card, seen = take_in(after, tmp_path / "card.csv", "\n".join([*card_of(loose), "03/09/2026,A Grocer,-31.17", "13/13/2026,A Shop,-5.00"]), "card")
    assert (card.spent, card.holds, card.decimal) == ("negative", "payments", ".")
    assert {each.verdict for each in seen[:-2]} == {THERE}, [each for each in seen[:-2] if each.verdict != THERE]
    assert [each.verdict for each in seen[-2:]] == [ASKED, REJECTED]
    assert taken(after, seen) == after


def test_two_like_purchases_are_two_and_the_same_two_in_a_second_file_stay_two(tmp_path):
    # The trade's own rule for duplicates: count, do not compare. Common practice, no source.
    start = demo("van")
    rows = "Order,Date,Item,Price\nQ1,2026-05-02,bolt kit,4.80\nQ1,2026-05-02,bolt kit,4.80\n"
    _, found = take_in(start, tmp_path / "orders.csv", rows, "orders")
    assert [each.verdict for each in found] == [ACCEPTED, ACCEPTED] and "second purchase" in found[1].reason
    after = taken(start, found)
    _, seen = take_in(after, tmp_path / "card.csv", "Date,Payee,Amount\n2026-05-03,x,-4.80\n2026-05-03,x,-4.80\n2026-05-03,x,-4.80\n", "card")
    assert [each.verdict for each in seen] == [THERE, THERE, ASKED]
    assert len(taken(after, seen, [4]).lines) == len(after.lines) + 1


def test_a_refund_finds_its_line_or_asks(tmp_path):
    start = demo("van")
    rows = "Order,Date,Item,Price\nQ9,2026-05-02,charger,80.00\nQ9,2026-05-02,hose,12.00\n"
    _, found = take_in(start, tmp_path / "orders.csv", rows, "orders")
    after = taken(start, found)
    back = "Order,Date,Item,Price\nQ8,2026-05-01,lamp,9.00\nQ8,2026-05-01,bulb,2.00\nQ9,2026-05-20,charger,-80.00\nQ7,2026-05-20,nothing like it,-3.00\n"
    _, seen = take_in(after, tmp_path / "more.csv", back, "orders")
    assert [each.verdict for each in seen] == [ACCEPTED, ACCEPTED, ACCEPTED, ASKED]
    done = taken(after, seen)
    assert ladder(done).rungs[0].amount - ladder(after).rungs[0].amount == Decimal("9.00") + Decimal("2.00") - Decimal("80.00")


def test_a_sheet_is_read_like_a_csv(tmp_path):
    openpyxl = pytest.importorskip("openpyxl")
    import datetime as dt

    book = openpyxl.Workbook()
    for row in (("Order", "Date", "Item", "Price"), ("Q1", dt.date(2026, 5, 2), "bolt kit", 4.8), ("Q1", dt.date(2026, 5, 2), "nut", 3)):
        book.active.append(row)
    book.save(tmp_path / "orders.xlsx")
    source = suggested(tmp_path / "orders.xlsx", "orders")
    found = judged(demo("van"), source, *table_of(tmp_path / "orders.xlsx", source))
    assert [each.verdict for each in found] == [ACCEPTED, ACCEPTED]
    assert [each.line.paid.likely for each in found] == [Decimal("4.8"), 3] and found[0].line.date == dt.date(2026, 5, 2)


def test_a_file_that_is_none_is_told(tmp_path):
    (tmp_path / "empty.csv").write_text("")
    (tmp_path / "broken.xlsx").write_bytes(b"not a workbook")
    for name in ("empty.csv", "broken.xlsx", "absent.csv"):
        with pytest.raises(ProjectFaults, match=name):
            suggested(tmp_path / name, "x")


def test_a_row_with_a_known_id_and_another_price_is_asked_about(tmp_path):
    start = demo("van")
    line = next(line for line in bought(start))
    rows = f"Id,System,Date,Item,Price\n{line.id},{line.system},{line.date},\"{line.item}\",{line.paid.likely + 1}\n{line.id},{line.system},{line.date},\"{line.item}\",{line.paid.likely}\n"
    _, found = take_in(start, tmp_path / "list.csv", rows, "list")
    assert [each.verdict for each in found] == [ASKED, THERE]


def test_money_of_another_currency_needs_a_rate_and_is_no_twin_of_the_same_number_at_home(tmp_path):
    start = demo("van")
    line = next(line for line in bought(start))
    rows = f"Order,Date,Item,Price,Currency\nQ1,{line.date},a part,{line.paid.likely},USD\n"
    source, found = take_in(start, tmp_path / "orders.csv", rows, "orders")
    assert found[0].verdict == ASKED and "no rate" in found[0].reason
    with_rate = source.model_copy(update={"rate": sure("0.5")})
    found = judged(start, with_rate, *table_of(tmp_path / "orders.csv", source))
    assert found[0].verdict == ACCEPTED and found[0].event.currency == "USD"
    assert ladder(taken(start, found)).rungs[0].amount - ladder(start).rungs[0].amount == (line.paid.likely / 2).quantize(Decimal("0.01"))


def test_a_charge_for_a_whole_order_speaks_for_its_lines(tmp_path):
    start = demo("van")
    _, found = take_in(start, tmp_path / "orders.csv", "Order,Date,Item,Price\nZ1,2026-05-02,flange,111.11\nZ1,2026-05-02,gasket,22.22\n", "orders")
    after = taken(start, found)
    _, seen = take_in(after, tmp_path / "card.csv", "Date,Payee,Amount\n2026-05-03,x,-133.33\n2026-05-04,x,-111.11\n", "card")
    assert [each.verdict for each in seen] == [THERE, ASKED] and "2 lines" in seen[0].reason
    _, seen = take_in(after, tmp_path / "card.csv", "Date,Payee,Amount\n2026-05-04,x,-111.11\n2026-05-03,x,-133.33\n", "card")
    assert [each.verdict for each in seen] == [THERE, ASKED]


@pytest.mark.parametrize(("day", "verdict"), [("2026-05-09", THERE), ("2026-04-25", THERE), ("2026-05-10", ASKED)])
def test_a_payment_may_lie_a_week_from_its_purchase(tmp_path, day, verdict):
    _, found = take_in(demo("van"), tmp_path / "orders.csv", "Order,Date,Item,Price\nZ1,2026-05-02,flange,111.11\n", "orders")
    _, seen = take_in(taken(demo("van"), found), tmp_path / "card.csv", f"Date,Payee,Amount\n{day},x,-111.11\n2026-05-02,y,-3.33\n", "card")
    assert seen[0].verdict == verdict
    assert verdict == THERE or "8 days apart" in seen[0].reason


@pytest.mark.parametrize(("cell", "back", "number"), [("4,50 €", False, "4.50"), ("-4,50", True, "4.50"), ("(4,50)", True, "4.50"), ("4,50-", True, "4.50"), ("\u22124,50", True, "4.50"), ("EUR 1.204,50", False, "1204.50")])
def test_money_as_exports_write_it(tmp_path, cell, back, number):
    rows = f"Bestellnummer;Datum;Artikel;Betrag\nQ;02.05.2026;lamp;10,00\nQ;02.05.2026;hose;2000,00\nQ;03.05.2026;{'hose' if back else 'x'};{cell}\n"
    _, found = take_in(demo("van"), tmp_path / "orders.csv", rows, "orders")
    assert found[2].verdict == ACCEPTED, found[2]
    assert (found[2].event.amount if back else found[2].line.paid).likely == Decimal(number)


MONEY = "Line,Date,Kind,Amount,Currency,Rate\n"
BY_COLUMN = {"line": "Line", "date": "Date", "kind": "Kind", "paid": "Amount", "currency": "Currency", "rate": "Rate"}


def events_of(tmp_path, rows, **form):
    (tmp_path / "money.csv").write_text(MONEY + rows)
    source = Source(name="money", holds="events", columns=BY_COLUMN, **form)
    return judged(demo("van"), source, *table_of(tmp_path / "money.csv", source))


def test_money_that_moved_is_asked_about_where_its_sign_and_its_kind_differ(tmp_path):
    found = events_of(tmp_path, "v015,2026-05-02,payment,-4.00,,\nv015,2026-05-02,refund,-4.00,,\nv015,2026-05-03,refund,5.00,,\nv015,2026-05-02,payment,4.00,,\n")
    assert [each.verdict for each in found] == [ASKED, ACCEPTED, ACCEPTED, ACCEPTED]
    assert "sign" in found[0].reason and found[0].event is None


def test_money_that_moved_abroad_needs_a_rate_and_money_at_home_takes_none(tmp_path):
    rows = "v015,2026-05-02,payment,4.00,USD,\nv015,2026-05-02,payment,5.00,,\n"
    assert [each.verdict for each in events_of(tmp_path, rows)] == [ASKED, ACCEPTED]
    found = events_of(tmp_path, rows, rate=sure("0.5"))
    assert [each.verdict for each in found] == [ACCEPTED, ACCEPTED] and found[0].event.rate.likely == Decimal("0.5") and found[1].event.rate is None
    assert len(taken(demo("van"), found).events) == len(demo("van").events) + 2


def test_a_thing_given_costs_nothing_and_is_a_line_all_the_same(tmp_path):
    rows = "Id,System,Nature,Item,Funding,Street price,Price\nx1,Roof,part,tent,given,90.00,0.00\nx2,Roof,part,bar,own,,0.00\n"
    _, found = take_in(demo("van"), tmp_path / "list.csv", rows, "list")
    assert [each.verdict for each in found] == [ACCEPTED, REJECTED] and found[0].line.paid.likely == 0


def test_a_line_without_a_date_is_not_any_payment_of_its_amount(tmp_path):
    start = demo("van")
    runs = next(line for line in start.lines if line.id == "v051")
    assert runs.date is None and runs.paid.likely == 180
    _, seen = take_in(start, tmp_path / "card.csv", "Date,Payee,Amount\n2026-05-03,A Grocer,-180.00\n2026-05-03,KLUSMARKT OSTERMARN,-180.00\n", "card")
    assert [each.verdict for each in seen] == [ASKED, THERE]


def test_a_charge_that_comes_twice_is_told_with_the_row_it_copies(tmp_path):
    _, found = take_in(demo("van"), tmp_path / "orders.csv", "Order,Date,Item,Price\nZ1,2026-05-02,flange,111.11\n", "orders")
    _, seen = take_in(taken(demo("van"), found), tmp_path / "card.csv", "Date,Payee,Amount\n2026-05-03,x,-111.11\n2026-05-03,x,-111.11\n", "card")
    assert [each.verdict for each in seen] == [THERE, ASKED] and "Row 2 is line r0001, flange, 2026-05-02: is this the same charge again?" in seen[1].reason


def test_a_balance_shaft_is_no_sum(tmp_path):
    rows = "Order,Date,Item,Price\nQ1,2026-05-02,balance shaft,80.00\nQ1,2026-05-02,Total:,80.00\n,,Total of May,80.00\n"
    _, found = take_in(demo("van"), tmp_path / "orders.csv", rows, "orders")
    assert [each.verdict for each in found] == [ASKED, REJECTED, REJECTED]
    assert len(taken(demo("van"), found, [2]).lines) == len(demo("van").lines) + 1
    _, found = take_in(demo("van"), tmp_path / "list.csv", "Id,System,Nature,Item,Price\nx1,Engine,part,balance shaft,\n", "list")
    assert [each.verdict for each in found] == [ACCEPTED]


@pytest.mark.parametrize("cell", ["TBC", "EUR", "?"])
def test_a_word_for_money_is_told_as_a_word(tmp_path, cell):
    _, found = take_in(demo("van"), tmp_path / "orders.csv", f"Order,Date,Item,Price\nQ,2026-05-02,lamp,10.00\nQ,2026-05-02,hose,{cell}\n", "orders")
    assert found[1].verdict == REJECTED and f"got '{cell}'" in found[1].reason


def test_the_same_thing_under_another_order_number_is_asked_about_and_can_be_taken(tmp_path):
    start = demo("van")
    _, found = take_in(start, tmp_path / "orders.csv", "Order,Date,Item,Price\nMM-140,2026-05-02,track rod end,27.45\n", "orders")
    after = taken(start, found)
    _, seen = take_in(after, tmp_path / "more.csv", "Order,Date,Item,Price\nMM-141,2026-05-02,track rod end,27.45\nMM-140,2026-05-02,track rod end,27.45\n", "orders")
    assert [each.verdict for each in seen] == [ASKED, THERE] and "under another order number" in seen[0].reason
    _, seen = take_in(after, tmp_path / "again.csv", "Order,Date,Item,Price\nMM-140,2026-05-02,track rod end,27.45\n", "orders")
    assert [each.verdict for each in seen] == [THERE]
    assert len(taken(after, seen, [2]).lines) == len(after.lines) + 1  # if the owner knows better
    line = next(line for line in bought(start) if line.order)
    rows = f'Order,Date,Item,Shop,Price\nnew-1,{line.date},in other words,"{line.supplier}",{line.paid.likely}\n'
    _, seen = take_in(start, tmp_path / "words.csv", rows, "orders")
    assert [each.verdict for each in seen] == [ASKED] and line.id in seen[0].reason


def test_a_row_of_next_year_is_rejected_alone(tmp_path):
    _, found = take_in(demo("van"), tmp_path / "orders.csv", "Order,Date,Item,Price\nQ1,2027-05-02,lamp,5.00\nQ1,2026-05-02,hose,6.00\n", "orders")
    assert [each.verdict for each in found] == [REJECTED, ACCEPTED] and "after as_of, 2026-06-30" in found[0].reason


def test_a_charge_taken_back_is_a_refund_of_what_was_taken(tmp_path):
    card = "Date,Payee,Amount\n2026-05-02,TINKERTON TOOLS,-39.00\n2026-05-03,TINKERTON TOOLS,39.00\n2026-05-04,x,-1.00\n2026-05-05,x,-2.00\n"
    start = demo("van")
    source, found = take_in(start, tmp_path / "card.csv", card, "card")
    assert [each.verdict for each in found[:2]] == [ASKED, ASKED]
    after = taken(start, found, [2])
    _, seen = take_in(after, tmp_path / "card.csv", card, "card")
    assert [each.verdict for each in seen[:2]] == [THERE, ASKED] and "likely for" in seen[1].reason
    assert ladder(taken(after, seen, [3]))["stands_in_at"] == ladder(start)["stands_in_at"]


def test_money_back_on_a_list_of_one_s_own_is_a_credit_with_or_without_a_minus(tmp_path):
    rows = "what,when,kind of cost,money\ndoors sold,2026-05-02,credit,-220\nhood sold,2026-05-03,credit,80\n"
    (tmp_path / "list.csv").write_text(rows)
    source = suggested(tmp_path / "list.csv", "list").model_copy(update={"columns": {"item": "what", "date": "when", "nature": "kind of cost", "paid": "money"}, "system": "Credits", "holds": "purchases", "spent": "positive"})
    start = demo("van")
    found = judged(start, source, *table_of(tmp_path / "list.csv", source))
    assert [each.verdict for each in found] == [ACCEPTED, ACCEPTED]
    assert ladder(taken(start, found))["project_cash_net"] - ladder(start)["project_cash_net"] == -300


def test_a_photograph_of_a_receipt_is_told_as_one(tmp_path):
    (tmp_path / "receipt.csv").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(300))
    with pytest.raises(ProjectFaults, match="got a picture or a PDF"):
        suggested(tmp_path / "receipt.csv", "x")
    with pytest.raises(ProjectFaults, match="got a folder"):
        table_of(tmp_path)
