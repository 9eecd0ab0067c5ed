"""Which month each job can be paid, by hand."""

import datetime as dt

from workshop import menu_of

from buildecon.decision.paydays import in_order, paydays
from buildecon.decision.trim import trimmed
from buildecon.quantities.estimate import sure


def days(jobs, phases=(), **trim):
    found = trimmed(menu_of(jobs, phases=phases, trim=trim))
    return [(day.work.id, day.month and day.month.strftime("%Y-%m"), day.left) for day in paydays(found.menu, found.best)]


def test_each_job_waits_until_it_can_be_paid_whole():
    # 100 saved and 150 a month from November: 250 there in November. Bench 200 leaves 50; the engine, 380, waits until January, 50 + 300 = 350, no, February: 500.
    jobs = [{"id": "bench", "cost": 200, "worth_to_you": 900}, {"id": "engine", "cost": 380, "worth_to_you": 700, "needs": ["bench"]}]
    assert days(jobs, saved=100, a_month=150, first_month=dt.date(2026, 11, 20)) == [("bench", "2026-11", 50), ("engine", "2027-02", 120)]


def test_without_a_first_month_it_is_the_one_after_the_figures_hold():
    assert days([{"id": "a", "worth_to_you": 200}], saved=100) == [("a", "2026-10", 0)]  # the roadster's as_of is in September


def test_what_never_comes_together_has_no_month():
    assert [day[1] for day in days([{"id": "a", "worth_to_you": 200}, {"id": "b", "worth_to_you": 150}], saved=150)] == ["2026-10", None]
    assert [day[1] for day in days([{"id": "a", "worth_to_you": 200}])] == [None]


def test_it_looks_fifty_years_ahead_and_no_further():
    # One a month, from the first month on: 601 are there in the 601st.
    assert days([{"id": "a", "cost": 601, "worth_to_you": 999}], a_month=1, first_month=dt.date(2026, 11, 1)) == [("a", "2076-11", 0)]
    assert days([{"id": "a", "cost": 602, "worth_to_you": 999}], a_month=1)[0][1] is None


def test_a_cent_that_is_only_rounding_makes_nobody_wait():
    # 0.7 + 0.1 is 0.7999999999999999.
    saved, a_month = sure("0.7"), sure("0.1")
    assert days([{"id": "a", "cost": sure("0.8"), "worth_to_you": 9}], saved=saved, a_month=a_month, first_month=dt.date(2026, 11, 1))[0][1] == "2026-11"


def test_phases_stand_in_their_order_and_the_first_job_pays_the_opening():
    jobs = [{"id": "late", "worth_to_you": 999, "phase": "two"}, {"id": "first", "worth_to_you": 300, "phase": "one"}, {"id": "second", "worth_to_you": 250, "phase": "one"}, {"id": "free", "worth_to_you": 130}]
    phases = [{"id": "one", "opens": 50}, {"id": "two", "opens": 70}]
    assert days(jobs, phases, saved=520, a_month=0) == [("free", "2026-10", 420), ("first", "2026-10", 270), ("second", "2026-10", 170), ("late", "2026-10", 0)]


def test_what_is_needed_goes_first_even_out_of_a_later_phase_and_carries_the_worth_of_what_waits():
    jobs = [{"id": "plain", "worth_to_you": 120}, {"id": "wiring", "worth_to_you": 0}, {"id": "lamp", "worth_to_you": 900, "needs": ["wiring"]}, {"id": "must", "worth_to_you": 1, "must": True}]
    found = trimmed(menu_of(jobs))
    assert [found.menu.works[k].id for k in in_order(found.menu, found.best)] == ["must", "wiring", "lamp", "plain"]
    across = trimmed(menu_of([{"id": "early", "worth_to_you": 900, "phase": "one", "needs": [["base", "other"]]}, {"id": "base", "worth_to_you": 300, "phase": "two"}, {"id": "other", "worth_to_you": 10, "phase": "two"}], phases=[{"id": "one"}, {"id": "two"}]))
    assert [across.menu.works[k].id for k in in_order(across.menu, across.best)] == ["base", "early"]
