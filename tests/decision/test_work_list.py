"""What jobs cost, bring and take, in both views, by hand."""

from decimal import Decimal

import numpy as np
import pytest
from demos import demo, line, money
from workshop import menu_of, open_line, workshop

from buildecon.decision.work_list import AGAIN, LEFT, line_cost, menu, usual_view, works_of
from buildecon.ledger.ladder import ladder
from buildecon.ledger.settlement import settle
from buildecon.quantities.estimate import estimate

RANGE = estimate("600/1200/2800")  # mean (600 + 4 x 1200 + 2800) / 6 = 1366.67


def test_the_open_jobs_of_the_pickup_cost_the_means_of_their_lines_and_adds_lose_the_selling_cost():
    pickup = demo("pickup")
    found = {work.id: work for work in works_of(pickup, settle(pickup), LEFT)}
    assert (found["paint"].cost, found["battery"].cost) == (1366.67, 1166.67)
    assert found["paint"].adds == pytest.approx(776)  # 800 less 3 %
    jobs = menu(pickup, settle(pickup), LEFT)
    named = sum(work.cost for work in jobs.works if work.id not in ("isolator", "fridge", "covered-seats"))
    assert named + jobs.elsewhere == pytest.approx(float(ladder(pickup).expected_to_finish), abs=0.05)


def test_a_line_costs_what_is_still_to_come_or_what_a_reader_pays_for_the_whole():
    lines = (line("own", paid=80), line("gift", paid=0, funding="given", street_price=money(300)), open_line("open", RANGE), line("half", paid=50, to_finish=money(20)))
    project = workshop([], lines)
    costs = {one.line.id: (line_cost(project, one, LEFT), line_cost(project, one, AGAIN)) for one in settle(project)}
    assert costs["own"] == (0, 80) and costs["gift"] == (0, 300)
    assert costs["open"] == (Decimal("1366.67"), Decimal("1366.67")) and costs["half"] == (20, 70)


def test_what_is_done_costs_nothing_and_rules_its_variants_out():
    lines = (line("p1", paid=80), open_line("p2", 40))
    jobs = [{"id": "done", "lines": ["p1"], "hours": 9, "one_of": "seats"}, {"id": "other", "one_of": "seats"}, {"id": "next", "lines": ["p2"], "needs": ["done"]}, {"id": "after", "needs": ["other"]}]
    left = menu_of(jobs, lines=lines)
    assert [work.id for work in left.done] == ["done"] and (left.done[0].cost, left.done[0].hours) == (0, 0)
    assert [work.id for work in left.ruled_out] == ["other"]
    assert [work.id for work in left.works] == ["next", "after"]
    assert list(left.jobs.needs) == [[], [[]]]  # what it needs is done; what it needs can be done no more
    again = menu_of(jobs, AGAIN, lines=lines)
    assert [work.cost for work in again.works] == [80, 100, 40, 100] and not again.done


def test_a_range_counts_at_its_mean_in_cost_hours_and_worth():
    (work,) = works_of(workshop([{"id": "a", "cost": RANGE, "hours": estimate("1/2/9"), "adds": estimate("60/120/280"), "worth_to_you": estimate("0/30/60")}], selling=Decimal("0.1")), (), LEFT)
    assert (work.cost, work.hours, work.to_you) == (1366.67, 3, 30)
    assert work.adds == pytest.approx(136.6667 * 0.9, abs=1e-4)


def test_sold_it_is_worth_what_it_adds_and_kept_what_it_is_worth_as_well():
    jobs = [{"id": "a", "adds": 200, "worth_to_you": 70}, {"id": "b", "adds": -50}, {"id": "c"}]
    kept, sold = menu_of(jobs, selling="0.05"), menu_of(jobs, kept=False, selling="0.05")
    assert list(kept.jobs.worth) == pytest.approx([260, -47.5, 0])
    assert list(sold.jobs.worth) == pytest.approx([190, -47.5, 0])
    assert [work.known for work in kept.works] == [True, True, False]


def test_own_hours_that_count_as_labour_are_taken_off():
    project = workshop([{"id": "a", "worth_to_you": 500, "hours": 10}])
    assert project.file.own_hours.wage.likely == 12
    paid = project.file.own_hours.model_copy(update={"convention": "wage"})
    at_a_wage = menu(project.model_copy(update={"file": project.file.model_copy(update={"own_hours": paid})}), (), LEFT)
    assert list(at_a_wage.jobs.worth) == [380] and at_a_wage.worth(at_a_wage.works[0]) == 380
    assert list(menu(project, (), LEFT).jobs.worth) == [500]


def test_must_on_every_variant_asks_for_one_of_them():
    found = menu_of([{"id": id, "one_of": "x", "must": True} for id in "ab"] + [{"id": "c", "must": True}, {"id": "d", "one_of": "y", "must": True}, {"id": "e", "one_of": "y"}])
    assert list(found.jobs.must) == [False, False, True, True, False]
    assert found.jobs.variants == (([0, 1], True), ([3, 4], False))


def test_a_phase_with_a_finished_job_is_open_already():
    jobs, phases = [{"id": "a", "lines": ["p1"], "phase": "one"}, {"id": "b", "phase": "one"}, {"id": "c", "phase": "two"}, {"id": "d"}], [{"id": "one", "opens": 40}, {"id": "two", "opens": 60, "budget": 500}]
    found = menu_of(jobs, phases=phases)
    assert list(found.phases.opens) == [0, 60] and list(found.phases.of) == [0, 1, -1] and list(found.phases.budget) == [np.inf, 500]
    assert list(menu_of(jobs, AGAIN, phases=phases).phases.opens) == [40, 60]


def test_without_jobs_the_open_lines_are_shown_and_the_systems_where_nothing_is_open():
    project = workshop([], (open_line("p1", 70), open_line("p2", 30), line("p3", paid=10)))
    left = menu(project, settle(project), LEFT)
    assert [(work.id, work.cost, work.known) for work in left.works] == [("p1", 70, False), ("p2", 30, False)] and left.offered and left.elsewhere == 0
    done = workshop([], (line("p3", paid=10), line("p4", paid=20, system="Body"), line("p5", paid=5), line("c", "credit", paid=7)), stage="finished")
    assert usual_view(done, settle(done)) == AGAIN and usual_view(project, settle(project)) == LEFT
    assert [(work.what, work.cost) for work in menu(done, settle(done), AGAIN).works] == [("Engine", 15), ("Body", 20)]


def test_the_demos_open_in_the_view_that_has_something_to_choose():
    assert {name: usual_view(demo(name), settle(demo(name))) for name in ("van", "roadster", "pickup")} == {"van": AGAIN, "roadster": LEFT, "pickup": LEFT}


def test_money_in_no_job_is_told_apart():
    assert menu_of([{"id": "a", "lines": ["p1"]}], lines=(open_line("p1", 70), open_line("p2", 30), line("p3", paid=10))).elsewhere == 30
    assert menu_of([{"id": "a", "lines": ["p1"]}], AGAIN, lines=(open_line("p1", 70), open_line("p2", 30), line("p3", paid=10))).elsewhere == 40
