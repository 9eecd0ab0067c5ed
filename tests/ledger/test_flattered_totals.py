"""Totals that look better than they are: each trap made to spring once, and left alone by a careful owner."""

from datetime import date

import pytest
from demos import changed, demo, event, line, money, small

from buildecon.ledger.honesty import traps
from buildecon.ledger.ladder import ladder
from buildecon.project.honesty import Disclosure
from buildecon.project.records import Plan, Revision
from buildecon.project.rows import Hours, Statement
from buildecon.quantities.estimate import estimate


def figures(project):
    return {trap.id: trap.figure for trap in traps(project, ladder(project))}


def many(count, nature="part", **more):
    return [line(f"{nature} {k}", nature=nature, paid=100 + k, **more) for k in range(count)]


def test_the_roadster_s_owner_is_told_of_thin_paper_alone():
    assert figures(demo("roadster")) == {"money_without_paper": "378 GBP on 10 lines"}


def test_the_other_demos_are_told_what_is_true_of_them():
    assert set(figures(demo("van"))) == {"money_not_received", "sale_costs_nothing"}
    assert set(figures(demo("pickup"))) == {"sponsored_total"}


def test_thirty_parts_without_tools_consumables_freight_and_waste():
    found = figures(small(many(30)))
    assert {found[id] for id in ("no_tools", "no_consumables", "no_freight_or_tax")} == {"0 of 31 lines"}  # the car is a line too
    assert found["no_waste"] == "0 of 30 lines"
    whole = [*many(30), line("jack", nature="tool", paid=5), line("oil", nature="consumable", to_finish=money(9)), line("post", nature="freight and tax", paid=4), line("twice", paid=8, cause="bought twice")]
    assert not {"no_tools", "no_consumables", "no_freight_or_tax", "no_waste"} & set(figures(small(whole)))
    assert "no_freight_or_tax" not in figures(small(many(30, tax_inside=money(19))))
    assert not {"no_tools", "no_waste"} & set(figures(small(many(28))))


def test_what_was_planned_is_no_waste_yet():
    assert "no_waste" not in figures(small([line(f"p{k}", planned=money(10)) for k in range(40)]))


def test_a_disclosure_may_name_its_lines_instead_of_the_supplier():
    tent = line("tent", paid=0, funding="given", street_price=money(900), supplier="HP Trading")
    project = small([tent])
    assert figures(project)["gift_undisclosed"] == "HP Trading"
    told = Disclosure(supplier="Hollow Peak", gave="a tent", in_return="a video", lines=("tent",))
    assert "gift_undisclosed" not in figures(changed(project, disclosures=(told,)))


def test_the_quoted_total_of_what_a_reader_would_pay_is_no_trap():
    tent = [line("tent", paid=0, funding="given", street_price=money(900), supplier="HP")]
    assert figures(small(tent))["sponsored_total"] == "a reader would pay 900 GBP more"
    assert "sponsored_total" not in figures(small(tent, quoted_rung="at_street_price"))


def test_what_is_disclosed_already_is_not_asked_for_again():
    cure = lambda project: next(trap.cure for trap in traps(project, ladder(project)) if trap.id == "sponsored_total")  # noqa: E731
    project = small([line("tent", paid=0, funding="given", street_price=money(900), supplier="HP"), line("mat", paid=0, funding="given", street_price=money(90), supplier="CM")])
    deals = tuple(Disclosure(supplier=name, gave="a part", in_return="") for name in ("HP", "CM"))
    assert cure(project) == cure(changed(project, disclosures=deals[:1])) == "Quote both totals, and disclose who gave what."
    assert cure(changed(project, disclosures=deals)) == "Quote both totals."


@pytest.mark.parametrize(("more", "paper"), [({"grade": "quote"}, "'quote'"), ({"state": "fitted"}, "'fitted'")])
def test_money_back_for_what_is_not_sold_yet(more, paper):
    assert figures(small([line("gearbox", nature="credit", paid=450, **more)]))["credit_not_in"] == f"450 GBP for gearbox is taken off, by {paper}"


def test_money_back_that_came_is_no_trap():
    assert "credit_not_in" not in figures(small([line("gearbox", nature="credit", paid=450, grade="receipt", state="sold")]))


def receipts(amounts):
    return small([line(f"r{k}", paid=amount, grade="receipt") for k, amount in enumerate(amounts)])


def test_receipts_that_end_in_00():
    assert figures(receipts(["100"] * 10 + ["87"] * 10))["rounded_lines"] == "10 of 20 receipts end in 00"
    assert "rounded_lines" not in figures(receipts(["100"] * 9 + ["87"] * 11))
    assert "rounded_lines" not in figures(receipts(["100"] * 19))  # too few to say


def test_receipts_that_are_whole_where_others_have_cents():
    assert figures(receipts(["87"] * 27 + ["12.40"] * 3))["rounded_lines"] == "27 of 30 receipts are whole, 3 have cents"
    assert "rounded_lines" not in figures(receipts(["87"] * 26 + ["12.40"] * 4))
    assert "rounded_lines" not in figures(receipts(["87"] * 30))  # a shop that writes no cents


def test_statements_above_the_ledger():
    paid = [line("a", paid=900)]
    told = small(paid).model_copy(update={"statements": (Statement(month="2026-03", source="card", total=money(1000)),)})
    assert figures(told)["below_statements"] == "100 GBP of 1,000 GBP that left by card and bank is on no line"
    exact = small(paid).model_copy(update={"statements": (Statement(month="2026-03", source="card", total=money(905)),)})
    assert "below_statements" not in figures(exact)  # 5 of 905 is less than a hundredth


def test_under_a_budget_that_was_raised():
    raised = Revision(date=date(2026, 2, 1), what="the engine too", before=money(100), after=money(300), because="It was worn.")
    project = changed(small([line("a", paid=250, planned=money(100))]), revisions=(raised,))
    assert figures(project)["plan_revised"] == "1 revision, +200 in all; 150 GBP over the first plan, 50 GBP under the last"
    lowered = raised.model_copy(update={"before": money(300), "after": money(100)})
    assert "plan_revised" not in figures(changed(project, revisions=(lowered,)))


def open_build(*done, plan=None, to_finish="500", **half_way):
    project = small([*done, line("rest", to_finish=estimate(to_finish, "."))], stage="in progress")
    return changed(project, plan=plan or Plan(), half_way=project.file.half_way.model_copy(update=half_way))


def test_still_to_come_at_the_plan():
    on_plan = line("a", paid=100, planned=money(100))
    assert figures(open_build(on_plan))["no_allowance"] == "500 GBP as planned, no contingency, no range"
    for careful in (open_build(on_plan, plan=Plan(contingency=money(50))), open_build(on_plan, to_finish="400-700"), open_build(on_plan, past_overruns=(money("1.2"),))):
        assert "no_allowance" not in figures(careful)
    dearer = line("a", paid=130, planned=money(100))
    assert "no_allowance" not in figures(open_build(dearer))  # the rest is scaled by 1.3 already
    assert "no_allowance" not in figures(small([on_plan], stage="finished"))


def test_an_overrun_that_is_ignored():
    dearer = line("a", paid=130, planned=money(100))
    project = open_build(dearer, plan=Plan(scale_by_overrun=False, because="The rest is bolting on."))
    assert figures(project)["overrun_ignored"] == "what is done cost 1.30 times its plan, what is to come is taken at 1"
    assert "overrun_ignored" not in figures(open_build(dearer))


def test_a_little_old_money_and_a_little_without_paper_go_unsaid():
    old = line("old", paid=40).model_copy(update={"date": date(2020, 1, 1)})
    assert "old_money" not in figures(small([old, line("new", paid=961)]))  # under a twentieth
    assert "old_money" in figures(small([old, line("new", paid=700)]))
    assert "money_without_paper" not in figures(small([line("a", paid=9, grade="memory"), line("b", paid=991)]))
    assert figures(small([line("a", paid=10, grade="memory"), line("b", paid=990)]))["money_without_paper"] == "10 GBP on 1 line"


def test_helpers_hours_are_help_that_not_everybody_has():
    def helped(hours):
        return small([line("a", paid=1)]).model_copy(update={"hours": (Hours(system="Engine", hours=money(hours), who="helper"),)})

    told = figures(helped(100))["not_for_anyone"]  # 265 of her own
    assert told == "0% of what a reader would pay was given, discounted or swapped, helpers gave 100 of 365 hours"
    assert "not_for_anyone" not in figures(helped(40))


def test_a_charge_that_came_twice_and_was_taken_back_is_settled():
    twice = [event("a", "payment", 100), event("a", "payment", 100)]
    assert "same_event_twice" in figures(small([line("a")], twice))
    assert "same_event_twice" not in figures(small([line("a")], [*twice, event("a", "refund", 100)]))


def test_tools_that_a_rule_leaves_out_and_freight_laid_on_others_are_there():
    kept = line("crane", nature="tool", paid=300, tool_rule="needed anyway")
    laid = line("post", nature="freight and tax", paid=30, lay_on="part 0")
    assert not {"no_tools", "no_freight_or_tax"} & set(figures(small([*many(30), kept, laid])))
    bearing = line("free tool", nature="tool", paid=0)
    on_it = line("post", nature="freight and tax", paid=30, lay_on="free tool")
    assert "no_tools" in figures(small([*many(30), bearing, on_it]))  # what it costs is the freight


def test_payments_count_among_the_receipts_and_other_money_does_not():
    lines = [line(f"r{k}", grade="receipt") for k in range(20)]
    paid = [event(f"r{k}", "payment", 100) for k in range(20)]
    assert figures(small(lines, paid))["rounded_lines"] == "20 of 20 receipts end in 00"
    abroad = [event(f"r{k}", "payment", 100, currency="EUR", rate=money("0.85")) for k in range(20)]
    assert "rounded_lines" not in figures(small(lines, abroad))
    assert "rounded_lines" not in figures(small(lines, [event(f"r{k}", "core deposit", 100) for k in range(20)]))
    assert "rounded_lines" not in figures(small([line(f"r{k}") for k in range(20)], paid))  # no papers, no receipts


def test_in_large_money_hundreds_are_no_rounding():
    assert "rounded_lines" not in figures(receipts(["10000"] * 20))
    assert "rounded_lines" in figures(receipts(["9900"] * 20))


def test_what_is_still_to_come_counts_against_the_first_plan():
    raised = Revision(date=date(2026, 2, 1), what="the engine too", before=money(100), after=money(300), because="It was worn.")
    project = changed(small([line("a", paid=50, planned=money(100)), line("b", to_finish=money(150))], stage="in progress"), revisions=(raised,))
    assert figures(project)["plan_revised"] == "1 revision, +200 in all; 100 GBP over the first plan, 100 GBP under the last"


@pytest.mark.parametrize(("back", "nature", "told"), [(51, "part", True), (50, "part", False), (100, "part", False), (85, "tool", False)])
def test_what_is_left_of_a_part_that_went_back(back, nature, told):
    moved = [event("b", "payment", 100), event("b", "refund", back)]
    assert ("return_as_part" in figures(small([line("b", nature=nature)], moved))) == told


def test_at_the_thresholds_themselves():
    exact = small([line("a", paid=990)]).model_copy(update={"statements": (Statement(month="2026-03", source="card", total=money(1000)),)})
    assert "below_statements" not in figures(exact)  # a hundredth exactly
    same = Revision(date=date(2026, 2, 1), what="a name", before=money(100), after=money(100), because="A slip.")
    assert "plan_revised" not in figures(changed(small([line("a", paid=1)]), revisions=(same,)))
    old = line("old", paid=50).model_copy(update={"date": date(2020, 1, 1)})
    assert "old_money" in figures(small([old, line("new", paid=950)]))  # a twentieth exactly
