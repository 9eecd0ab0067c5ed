"""The ladder: the demo builds to the cent, small cases by hand, and the invariants."""

from datetime import date
from decimal import Decimal

import hypothesis.strategies as st
import pytest
from demos import cents, demo, event, line, money, small
from hypothesis import given, settings

from buildecon.ledger.ladder import PROJECT_RUNGS, ladder, rung_of
from buildecon.ledger.settlement import COST_SIGN
from buildecon.project.rows import Cause, Nature

# The demo builds' own bills, added up by hand when they were invented.
RUNGS = {
    "van": "12835 17095 18018 18750 19720 22820 20635 23035",
    "roadster": "3532 5147 5576 5835 6075 7330 6630 8480",
}
SYSTEMS = {
    "van": {
        "Base van and intake": (4, 2885, 3180), "Traction battery": (12, 7460, 8228), "Motor and drive": (7, 3245, 3381),
        "Charging and 12 V": (9, 1455, 1635), "Ancillaries": (7, 905, 996), "Chassis and brakes": (6, 1252, 1257),
        "Consumables and fasteners": (6, 370, 713), "Tools": (5, 845, 910), "Outside labour": (3, 1360, 1700),
        "Approval and paper": (6, 1465, 1735), "Downtime": (1, 660, 1485), "Credits": (5, 0, -2185),
    },
    "roadster": {
        "Purchase": (5, 2000, 2021), "Body and welding": (12, 1551, 2000), "Hood and trim": (9, 488, 839), "Engine and cooling": (17, 650, 1011),
        "Brakes, steering, suspension": (13, 688, 854), "Wheels and tyres": (3, 408, 440), "Electrics": (5, 165, 262),
        "Consumables and postage": (6, 165, 429), "Tools": (6, 222, 240), "Storage, paper, insurance": (5, 739, 1084), "Credits": (4, 0, -700),
    },
    "pickup": {
        "Base truck": (1, 11500, 11500), "Phase 1: baseline": (7, 5070, 5430), "Phase 2: crate diesel": (34, 25751, 28752),
        "Tools and consumables": (5, 705, 875), "Paper, insurance, second car, finance": (5, 885, 1995), "Credits": (4, 0, -1910),
    },
}  # fmt: skip


@pytest.mark.parametrize("name", RUNGS)
def test_the_ladder_of_a_demo_is_right_to_the_cent(name):
    assert [rung.amount for rung in ladder(demo(name)).rungs[:8]] == [Decimal(amount) for amount in RUNGS[name].split()]


@pytest.mark.parametrize("name", SYSTEMS)
def test_the_systems_of_a_demo_have_their_lines_plan_and_actual(name):
    found = {group.name: (group.lines, group.planned, group.actual) for group in ladder(demo(name)).systems}
    for system, expected in SYSTEMS[name].items():
        assert found[system] == expected


def test_the_van_counts_a_promised_grant_on_no_rung_and_says_it_is_owed():
    totals = ladder(demo("van"))
    assert [(settled.line.id, settled.owed) for settled in totals.owed] == [("v072", 3000)]
    assert totals["stands_in_at"] == 23035


def test_own_hours_are_three_views_of_one_total():
    assert ladder(demo("van")).hours_views == {"hobby": 23035, "wage": 29485, "shop": 33785}
    assert ladder(demo("roadster")).hours_views["wage"] == 11660


def test_the_pickup_prices_what_was_given_at_the_street_and_splits_its_kit_to_the_cent():
    totals = ladder(demo("pickup"))
    kit = [settled.cost for settled in totals.settled if settled.line.kit]
    assert kit == [675, 525, 660]  # 1,860 over list prices 900, 700, 880
    assert totals["stands_in_at"] == 57820
    assert totals["at_street_price"] == 57820 + (2180 - 1860) + 1690
    assert totals["at_list_price"] == 57820 + (2480 - 1860) + 1900
    assert totals.to_finish == (4220, 6230, 9780)
    assert round(totals.expected_to_finish) == 6487  # each line (low + 4 likely + high) / 6


def test_a_core_credited_late_leaves_the_lost_half_as_waste():
    # 2,650 + deposit 600, 300 credited: 2,950; credited in full: 2,650.
    part, core = line("box"), line("core", cause="lost core")
    late = [event("box", "payment", 2650), event("core", "core deposit", 600), event("core", "core credit", 300), event("core", "core lost", 300)]
    totals = ladder(small([part, core], late))
    assert (totals["parts_on_car"], totals["with_waste"]) == (2650, 2950)
    in_full = [event("box", "payment", 2650), event("core", "core deposit", 600), event("core", "core credit", 600)]
    assert {rung.amount for rung in ladder(small([part, core], in_full)).rungs[:8]} == {Decimal(2650)}


def test_a_return_leaves_restocking_and_freight_on_its_own_line():
    # 610 paid, 488 refunded, 45 freight back: 167
    moved = [event("radiator", "payment", 610), event("radiator", "refund", 488), event("radiator", "payment", 45)]
    totals = ladder(small([line("radiator", cause="wrong part")], moved))
    assert (totals["parts_on_car"], totals["with_waste"]) == (0, 167)


def test_a_foreign_order_counts_at_the_rate_of_its_own_date():
    # 640 at 1.09, freight 62, duty and broker 58: 817.60
    moved = [event("kitchen", "payment", 640, currency="EUR", rate=money("1.09")), event("kitchen", "payment", 62), event("kitchen", "payment", 58)]
    assert ladder(small([line("kitchen")], moved))["parts_on_car"] == cents("817.60")


def test_a_full_refund_at_another_rate_leaves_the_currency_difference():
    moved = [event("lamp", "payment", 100, currency="EUR", rate=money("1.10")), event("lamp", "refund", 100, currency="EUR", rate=money("1.05"))]
    assert ladder(small([line("lamp")], moved))["parts_on_car"] == cents("5.00")


def test_a_published_scratch_build_gives_its_published_ladder():
    # A builder's own published bill (read on the page): 7,280.51 + 1,610.43 + 1,114.62 = 10,005.56 in 2,228 hours, 4.49 an hour.
    lines = [line("parts", paid="7280.51"), line("sundries", "consumable", "1610.43"), line("tools", "tool", "1114.62")]
    totals = ladder(small(lines))
    assert (totals["with_consumables"], totals["with_tools"]) == (cents("8890.94"), cents("10005.56"))
    assert round(totals["with_tools"] / 2228, 2) == cents("4.49")


def test_a_range_widens_the_total_and_leaves_the_likely_one():
    cash = line("cash", "consumable").model_copy(update={"paid": demo("van").lines[50].paid})
    rung = ladder(small([cash])).rungs[2]
    assert (rung.low, rung.amount, rung.high) == (150, 180, 200)


NATURES = [nature for nature in Nature.__args__ if nature != "base car"]


@st.composite
def projects(draw):
    lines, events = [], []
    for k in range(draw(st.integers(1, 8))):
        nature, cause = draw(st.sampled_from(NATURES)), draw(st.sampled_from(Cause.__args__))
        cost = draw(st.decimals(0, 5000, places=2))
        by_event = draw(st.booleans())
        lines.append(line(f"l{k}", nature, None if by_event else cost, cause, system=draw(st.sampled_from("ABC"))))
        if by_event and nature != "credit":
            back = draw(st.decimals(0, cost, places=2))
            day = date(2026, draw(st.integers(1, 12)), 1)
            events += [event(f"l{k}", "payment", cost, day), event(f"l{k}", "refund", back, day)]
            abroad = draw(st.booleans())
            if abroad:  # paid and refunded in another currency, each at the rate of its own day
                rates = [money(draw(st.decimals("0.5", 2, places=4))) for _ in range(2)]
                events[-2:] = [one.model_copy(update={"currency": "USD", "rate": rate}) for one, rate in zip(events[-2:], rates, strict=True)]
        elif by_event:
            events.append(event(f"l{k}", "sale", cost))
    for k in range(draw(st.integers(0, 2))):  # a kit at one price
        weights = draw(st.lists(st.integers(1, 900), min_size=1, max_size=4))
        lines += [line(f"k{k}{part}", kit=f"kit{k}", list_price=money(weight), system=draw(st.sampled_from("ABC"))) for part, weight in enumerate(weights)]
        events.append(event(f"kit{k}", "payment", draw(st.decimals(0, 3000, places=2)), date(2026, draw(st.integers(1, 12)), 1)))
    for k in range(draw(st.integers(0, 2))):  # a core deposit, in part credited, in part lost, in part still out
        out = draw(st.decimals(1, 900, places=2))
        back = draw(st.decimals(0, out, places=2))
        lost = draw(st.decimals(0, out - back, places=2))
        lines.append(line(f"c{k}", cause="lost core"))
        events += [event(f"c{k}", "core deposit", out), event(f"c{k}", "core credit", back), event(f"c{k}", "core lost", lost)]
    return lines, events


@settings(deadline=None, derandomize=True)
@given(projects())
def test_systems_natures_and_months_all_add_up_to_project_cash(parts):
    totals = ladder(small(*parts))
    in_project = [settled for settled in totals.settled if rung_of(settled.line) in PROJECT_RUNGS]
    assert sum(settled.cost for settled in in_project) == totals["project_cash"] == sum(totals.months.values())
    assert sum(group.actual for group in totals.systems) == sum(group.actual for group in totals.natures) == totals["stands_in_at"]


@settings(deadline=None, derandomize=True)
@given(projects())
def test_every_line_lands_on_one_rung_and_rungs_add_up(parts):
    totals = ladder(small(*parts))
    credits = sum(settled.cost for settled in totals.settled if rung_of(settled.line) == "project_cash_net")
    assert credits <= 0
    assert totals["project_cash_net"] == totals["project_cash"] + credits
    by_rung = {id: sum(settled.cost for settled in totals.settled if rung_of(settled.line) == id) for id in PROJECT_RUNGS}
    steps = [after - before for before, after in zip((0, *(totals[id] for id in PROJECT_RUNGS[:-1])), (totals[id] for id in PROJECT_RUNGS), strict=True)]
    assert steps == list(by_rung.values())


@settings(deadline=None, derandomize=True)
@given(projects(), st.decimals(1, 900, places=2))
def test_a_deposit_returned_in_full_changes_no_rung(parts, deposit):
    lines, events = parts
    extra = [event("hire", "payment", 60), event("hire", "deposit", deposit), event("hire", "deposit back", deposit)]
    with_it, without = (ladder(small([*lines, line("hire", "tool")], [*events, *moved])) for moved in (extra, extra[:1]))
    assert [rung.amount for rung in with_it.rungs] == [rung.amount for rung in without.rungs]
    assert "hire" not in {settled.line.id for settled in with_it.owed}


@settings(deadline=None, derandomize=True)
@given(projects(), st.sampled_from(["sale", "grant"]))
def test_money_not_yet_received_is_on_no_rung_and_is_owed(parts, kind):
    lines, events = parts
    waiting = event("later", kind, 500).model_copy(update={"date": None})
    with_it, without = ladder(small([*lines, line("later", "credit")], [*events, waiting])), ladder(small([*lines, line("later", "credit")], events))
    assert [rung.amount for rung in with_it.rungs] == [rung.amount for rung in without.rungs]
    assert [settled.owed for settled in with_it.owed if settled.line.id == "later"] == [500]


@settings(deadline=None, derandomize=True)
@given(projects(), st.decimals(0, 3000, places=2), st.decimals(0, 3000, places=2))
def test_what_a_reader_would_pay_is_no_less_where_parts_were_given(parts, paid, more):
    lines, events = parts
    given_part = line("tent", paid=paid, funding="given", street_price=money(paid + more))
    totals = ladder(small([*lines, given_part], events))
    assert totals["at_street_price"] == totals["stands_in_at"] + more


def test_every_kind_of_event_has_a_sign():
    from buildecon.project.rows import EventKind

    assert set(COST_SIGN) == set(EventKind.__args__)
