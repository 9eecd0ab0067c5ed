"""Freight laid on its order, donor cars, kits by weight or by hand, and tools by their rule: by hand, then as properties."""

from datetime import date
from decimal import Decimal

import hypothesis.strategies as st
import pytest
from demos import cents, event, line, money, small
from hypothesis import given, settings

from buildecon.ledger.ladder import PROJECT_RUNGS, ladder, rung_of
from buildecon.ledger.variance import NOT_YET, TOOLS, waterfall
from buildecon.project.consistency import consistency_faults


def costs(project):
    return {one.line.id: one.cost for one in ladder(project).settled if one.line.id != "car"}


def faults(project):
    return [str(fault) for fault in consistency_faults(project, lambda *keys: 0)]


def test_freight_lies_on_the_lines_of_its_order_by_what_they_cost():
    # 30.00 over 100 and 200: 10 and 20
    lines = [line("a", paid=100, order="Q1"), line("b", paid=200, order="Q1"), line("c", paid=50, order="Q2"), line("post", "freight and tax", 30, order="Q1", lay_on="Q1")]
    assert costs(small(lines)) == {"a": 110, "b": 220, "c": 50, "post": 0}
    assert ladder(small(lines))["parts_on_car"] == 380  # landed, at the door


def test_freight_by_weight_and_equally_are_shares_of_the_owner():
    heavy = [line("a", paid=100, order="Q1", share=money(9)), line("b", paid=200, order="Q1", share=money(1)), line("post", "freight and tax", 30, lay_on="Q1")]
    assert costs(small(heavy)) == {"a": 127, "b": 203, "post": 0}
    free = [line("a", paid=0, order="Q1"), line("b", paid=0, order="Q1"), line("post", "freight and tax", 5, lay_on="Q1")]
    assert costs(small(free)) == {"a": cents("2.50"), "b": cents("2.50"), "post": 0}


def test_the_parts_kept_from_a_donor_stand_in_at_what_the_rest_did_not_bring():
    # 1,500 + 90 tow - parts sold 1,120 - shell 180: the engine stands in at 290
    lines = [line("engine", paid=0), line("donor", "part", 1500, lay_on="engine"), line("tow", "fetching", 90, lay_on="engine"),
             line("sold", "credit", 1120, lay_on="engine"), line("shell", "credit", lay_on="engine")]  # fmt: skip
    totals = ladder(small(lines, [event("shell", "sale", 180)]))
    assert totals["parts_on_car"] == totals["project_cash_net"] == 290
    better = small([*lines[:3], line("sold", "credit", 1700, lay_on="engine"), lines[4]], [event("shell", "sale", 180)])
    assert ladder(better)["parts_on_car"] == -290


def test_a_kit_is_split_by_the_owner_s_shares_where_they_stand():
    # 100.00 over three equal parts: 33.34, 33.33, 33.33; by 2 : 1 : 1 kilograms: 50, 25, 25
    for shares, expected in (((1, 1, 1), ("33.34", "33.33", "33.33")), ((2, 1, 1), ("50", "25", "25"))):
        parts = [line(f"k{k}", kit="set", share=money(share)) for k, share in enumerate(shares)]
        assert list(costs(small(parts, [event("set", "payment", 100)])).values()) == [cents(part) for part in expected]


@pytest.mark.parametrize(("rule", "part", "counts"), [("in full", None, 240), ("", None, 240), ("needed anyway", None, 0), ("less resale", 150, 90), ("less resale", 300, 0), ("share of uses", "0.25", 60)])
def test_a_tool_counts_by_its_rule_and_the_rest_is_on_no_rung(rule, part, counts):
    tool = line("welder", "tool", 240, tool_rule=rule, tool_part=None if part is None else money(part))
    totals = ladder(small([tool]))
    assert totals["with_tools"] == counts
    assert [one.left_out for one in totals.settled][-1] == 240 - counts
    assert sum(totals.months.values()) == counts


def test_what_cannot_be_laid_is_told():
    def told(*lines):
        return " ".join(faults(small(lines)))

    assert "lay_on: must be the id of another line, a kit, or an order with other lines, got 'Q9'" in told(line("post", "freight and tax", 30, lay_on="Q9"))
    assert "lay_on: must be the id of another line" in told(line("post", "freight and tax", 30, order="Q1", lay_on="Q1"))
    assert "a line whose own cost stays with it" in told(line("a", paid=1, lay_on="b"), line("b", paid=1, lay_on="c"), line("c", paid=1))
    assert "must find a share on all lines of 'Q1', or on none" in told(line("a", paid=1, order="Q1", share=money(2)), line("b", paid=1, order="Q1"), line("p", "freight and tax", 3, lay_on="Q1"))
    assert "a price_today, a tool_rule or funding of its own" in told(line("a", paid=1), line("b", paid=1, lay_on="a", price_today=money(2)))


@st.composite
def orders(draw):
    lines, events = [], []
    for k in range(draw(st.integers(1, 6))):
        order = draw(st.sampled_from(("Q1", "Q2")))
        by_event, cost = draw(st.booleans()), draw(st.decimals(0, 3000, places=2))
        lines.append(line(f"l{k}", draw(st.sampled_from(("part", "consumable", "tool"))), None if by_event else cost, order=order, planned=money(draw(st.integers(0, 500)))))
        if by_event:
            events.append(event(f"l{k}", "payment", cost, date(2026, draw(st.integers(1, 12)), 1), currency="USD", rate=money("0.91")))
    used = sorted({one.order for one in lines})
    for k in range(draw(st.integers(1, 3))):
        lines.append(line(f"post{k}", "freight and tax", draw(st.decimals(0, 200, places=2)), lay_on=draw(st.sampled_from(used)), planned=money(draw(st.integers(0, 90)))))
    if draw(st.booleans()):  # given, and what its freight cost is paid all the same
        lines.append(line("gift", paid=0, order=used[0], funding="given", street_price=money(draw(st.integers(1, 900))), list_price=money(900)))
    if draw(st.booleans()):
        lines.append(line("again", paid=draw(st.integers(1, 900)), order=used[0], price_today=money(draw(st.integers(1, 900)))))
    lines.append(line("sold", "credit", draw(st.decimals(0, 400, places=2)), lay_on=draw(st.sampled_from([one.id for one in lines if not one.lay_on]))))
    return lines, events


@settings(deadline=None, derandomize=True)
@given(orders())
def test_laying_moves_money_and_makes_none(parts):
    lines, events = parts
    bare = [one.model_copy(update={"lay_on": ""}) for one in lines]
    with_it, without = ladder(small(lines, events)), ladder(small(bare, events))
    assert with_it["stands_in_at"] == without["stands_in_at"]
    assert sum(one.planned for one in with_it.settled) == sum(one.planned for one in without.settled)
    assert with_it.to_finish == without.to_finish
    assert [with_it[id] for id in ("at_street_price", "at_list_price", "replacement_today")] == [without[id] for id in ("at_street_price", "at_list_price", "replacement_today")]
    for one in with_it.settled:
        assert sum((amount for _, amount in one.by_month), Decimal(0)) == one.cost
        assert one.low <= one.cost <= one.high
    in_project = [one for one in with_it.settled if rung_of(one.line) in PROJECT_RUNGS]
    assert sum(one.cost for one in in_project) == with_it["project_cash"] == sum(with_it.months.values())


@settings(deadline=None, derandomize=True)
@given(st.lists(st.decimals("0.01", 900, places=2), min_size=1, max_size=6), st.sampled_from(("0", "0.1", "0.333", "1")))
def test_a_tool_s_months_add_up_to_what_counts(amounts, share):
    moved = [event("press", "payment", amount, date(2026, k + 1, 1)) for k, amount in enumerate(amounts)]
    one = ladder(small([line("press", "tool", tool_rule="share of uses", tool_part=money(share))], moved)).settled[1]
    assert sum(amount for _, amount in one.by_month) == one.cost
    assert one.cost + one.left_out == sum(amounts)


def test_freight_on_a_part_not_bought_yet_leaves_it_still_to_come():
    lines = [line("engine", planned=money(500)), line("tow", "fetching", 20, lay_on="engine")]
    totals = ladder(small(lines, stage="in progress"))
    assert totals.to_finish == (500, 500, 500) and totals["parts_on_car"] == 20


def test_a_tool_not_bought_yet_is_forecast_at_what_its_rule_counts():
    welder = line("welder", "tool", planned=money(300), tool_rule="less resale", tool_part=money(120))
    assert ladder(small([welder], stage="in progress")).to_finish == (180, 180, 180)


def test_two_shops_that_count_alike_keep_their_freight_apart():
    lines = [line("a", paid=100, order="1001", supplier="X"), line("b", paid=100, order="1001", supplier="Y"), line("post", "freight and tax", 10, supplier="X", lay_on="1001")]
    assert costs(small(lines)) == {"a": 110, "b": 100, "post": 0}


def test_a_rule_that_would_be_passed_over_is_told():
    def told(*lines):
        return " ".join(faults(small(lines)))

    assert "a tool_rule or funding of its own" in told(line("a", paid=1), line("t", "tool", 9, lay_on="a", tool_rule="needed anyway"))
    assert "must be a line that is no credit" in told(line("a", "credit", 1), line("p", "freight and tax", 9, lay_on="a"))
    assert "must name one thing, got '7', which is id and order" in told(line("7", paid=1), line("b", paid=1, order="7"), line("p", "freight and tax", 9, lay_on="7"))
    assert "tool_rule: must be empty or 'in full'" in told(line("t", "tool", 9, tool_rule="needed anyway", price_today=money(12)))


def test_freight_by_cost_leaves_what_was_free_free():
    lines = [line("a", paid=100, order="Q1"), line("b", paid=0, order="Q1"), line("post", "freight and tax", 10, lay_on="Q1")]
    assert costs(small(lines)) == {"a": 110, "b": 0, "post": 0}


def test_freight_planned_and_not_paid_yet_keeps_its_plan_and_its_cause():
    settled = ladder(small([line("a", paid=100, planned=money(100)), line("post", "freight and tax", planned=money(50), lay_on="a")])).settled
    assert [one.planned for one in settled[1:]] == [100, 50]
    assert [(step.cause, step.amount, step.lines) for step in waterfall(settled).steps] == [(NOT_YET, -50, ("post",))]


def test_a_tool_that_does_not_count_is_no_saving_on_the_plan():
    settled = ladder(small([line("vice", "tool", 35, planned=money(30), tool_rule="needed anyway")])).settled
    assert [(step.cause, step.amount) for step in waterfall(settled).steps] == [(TOOLS, -30)]
