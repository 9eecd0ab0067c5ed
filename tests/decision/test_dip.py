"""Money in against value on one time axis."""

import datetime as dt

import pytest
from demos import demo, event, line, small

from buildecon.decision.dip import money_in_by_day, stages
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import worth
from buildecon.project.worth import CarState
from buildecon.quantities.estimate import sure


def dip(project):
    totals = ladder(project)
    return stages(project, totals, worth(project))


def test_the_pickup_s_dip():
    found = dip(demo("pickup"))
    assert [stage.state for stage in found] == ["running", "running", "stripped", "running again", "running again", "finished"]
    assert [stage.value[1] for stage in found] == [11500, 13500, 9300, 21000, 24500, 34000]
    assert found[2].value[0::2] == (8500, 10200) and (found[2].rows, found[2].sales) == (2, 2)
    assert found[-1].value[0::2] == (27000, 41000) and found[-1].ahead
    assert found[4].until == dt.date(2026, 8, 31) and found[4].money_in == 57820
    assert found[-1].money_in == pytest.approx(57820 + 6486.67, abs=0.01)


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_money_in_ends_at_what_the_car_stands_in_at(name):
    project = demo(name)
    totals = ladder(project)
    found = money_in_by_day(project, totals)
    assert found[-1].money_in == float(totals["stands_in_at"]) and found[-1].day == project.file.build.as_of
    assert [one.day for one in found] == sorted(one.day for one in found)


def test_a_car_that_was_owned_counts_from_the_start_and_one_bought_when_it_was_paid():
    lines, moved = [line("a")], [event("a", "payment", 100, day=dt.date(2026, 3, 5))]
    for base in ("owned", "bought"):
        project = small(lines, moved, base_car=base, as_of=dt.date(2026, 6, 30))
        project = project.model_copy(update={"lines": (project.lines[0].model_copy(update={"paid": sure(1000), "date": None if base == "owned" else dt.date(2026, 2, 20)}), *project.lines[1:])})
        found = [one for one in money_in_by_day(project, ladder(project)) if one.day >= dt.date(2026, 2, 1)]
        assert [(one.day, one.money_in) for one in found] == [(dt.date(2026, 2, 20), 1000), (dt.date(2026, 3, 5), 1100), (dt.date(2026, 6, 30), 1100)][base == "owned" :]


def test_who_says_what_a_state_is_worth():
    project = demo("roadster")
    states = [CarState(state="as found", since=dt.date(2025, 11, 1)), CarState(state="stripped", since=dt.date(2025, 12, 6)), CarState(state="finished", since=dt.date(2026, 8, 15), value=sure(5900))]
    found = dip(project.model_copy(update={"file": project.file.model_copy(update={"states": tuple(states)})}))
    assert [stage.source for stage in found] == ["evidence", "belief", "stated"]
    assert found[1].value[1] < found[0].value[1]


def test_finished_without_a_row_or_a_guess_is_belief():
    project = demo("roadster")
    states = [CarState(state="stripped", since=dt.date(2025, 12, 6)), CarState(state="finished", since=dt.date(2026, 8, 15))]
    for guess, source in ((project.file.market.first_guess, "first guess"), (None, "belief")):
        market = project.file.market.model_copy(update={"first_guess": guess})
        other = project.model_copy(update={"file": project.file.model_copy(update={"states": tuple(states), "market": market}), "market": tuple(row for row in project.market if row.state == "as found")})
        assert dip(other)[1].source == source


def test_what_is_still_to_come_is_in_before_the_car_is_finished():
    pickup = demo("pickup")
    assert dip(pickup)[-1].money_before == dip(pickup)[-1].money_in == pytest.approx(57820 + 6486.67, abs=0.01)
    states = (*pickup.file.states[:-1], CarState(state="running again", since=dt.date(2026, 10, 1)), CarState(state="running", since=dt.date(2026, 11, 1)), CarState(state="finished", since=dt.date(2026, 12, 31)))
    found = dip(pickup.model_copy(update={"file": pickup.file.model_copy(update={"states": states})}))[-3:]
    assert [(round(stage.money_before), round(stage.money_in)) for stage in found] == [(57820, 64307), (64307, 64307), (64307, 64307)]


def test_no_states_no_dip_and_no_evidence_no_value():
    project = demo("roadster")
    bare = project.file.model_copy(update={"states": (), "market": type(project.file.market)()})
    assert dip(project.model_copy(update={"file": bare})) == ()
    states = (CarState(state="stripped", since=dt.date(2025, 12, 6)),)
    [stage] = dip(project.model_copy(update={"file": bare.model_copy(update={"states": states}), "market": ()}))
    assert (stage.value, stage.source) == (None, "nothing")


def test_money_in_is_that_of_the_day_before_a_state_begins():
    lines = [line("a"), line("b")]
    moved = [event("a", "payment", 100, day=dt.date(2026, 3, 5)), event("b", "payment", 50, day=dt.date(2026, 3, 6))]
    project = small(lines, moved, base_car="owned", as_of=dt.date(2026, 6, 30))
    states = (CarState(state="as found", since=dt.date(2026, 3, 1)), CarState(state="stripped", since=dt.date(2026, 3, 6)), CarState(state="finished", since=dt.date(2026, 6, 30)))
    found = dip(project.model_copy(update={"file": project.file.model_copy(update={"states": states})}))
    assert [(stage.money_before, stage.money_in) for stage in found] == [(0, 100), (100, 150), (150, 150)]
    assert found[-1].until > found[-1].since  # begun today, and drawn


def small_states(*states, moved=(), **more):
    project = small([line("a")], moved, base_car="owned", as_of=dt.date(2026, 6, 30))
    tables = {"states": tuple(CarState(state=state, since=since) for state, since in states)} | more
    return project.model_copy(update={"file": project.file.model_copy(update=tables)})


def test_a_state_is_drawn_for_a_fortnight_at_least_and_one_to_come_for_a_quarter():
    today, later = dt.date(2026, 6, 30), dt.date(2026, 10, 1)
    first, now = dip(small_states(("stripped", dt.date(2026, 6, 1)), ("running", today)))
    assert (first.until, now.until, now.ahead) == (today, dt.date(2026, 7, 14), False)
    now, ahead = dip(small_states(("running", dt.date(2026, 6, 28)), ("finished", later)))
    assert (now.until, ahead.until, ahead.ahead) == (dt.date(2026, 7, 12), dt.date(2026, 12, 31), True)
    now, ahead = dip(small_states(("running", today), ("finished", dt.date(2026, 7, 4))))
    assert (now.until, ahead.until) == (dt.date(2026, 7, 4), dt.date(2026, 10, 3))  # no further than the next one
    [old] = dip(small_states(("running", dt.date(2026, 1, 1))))
    assert old.until == today


def test_what_is_paid_on_the_day_itself_is_in_once():
    project = small_states(moved=[event("a", "payment", 70, day=dt.date(2026, 6, 1)), event("a", "payment", 30, day=dt.date(2026, 6, 30))])
    found = money_in_by_day(project, ladder(project))
    assert [(one.day, one.money_in) for one in found][-2:] == [(dt.date(2026, 6, 1), 70), (dt.date(2026, 6, 30), 100)]


def test_a_first_guess_says_what_the_car_is_worth_finished_and_beliefs_the_rest():
    guess = demo("roadster").file.market
    project = small_states(("stripped", dt.date(2026, 6, 1)), ("finished", dt.date(2026, 9, 1)), market=guess).model_copy(update={"market": ()})
    assert [stage.source for stage in dip(project)] == ["belief", "first guess"]


def test_states_to_come_have_all_that_is_still_to_pay_in_them():
    found = dip(demo("pickup"))
    totals = ladder(demo("pickup"))
    assert found[-1].money_before == found[-1].money_in == pytest.approx(57820 + float(totals.expected_to_finish))
    assert [stage.money_before <= stage.money_in for stage in found] == [True] * 6
    assert [stage.money_in for stage in found[:-2]] == [stage.money_before for stage in found[1:-1]] and found[-2].money_in == 57820


def test_a_car_bought_on_a_day_nobody_wrote_down_is_in_from_the_start():
    project = small([line("a")], [event("a", "payment", 100, day=dt.date(2026, 3, 5))], base_car="bought", as_of=dt.date(2026, 6, 30))
    car = project.lines[0].model_copy(update={"paid": sure(1000), "date": None})
    project = project.model_copy(update={"lines": (car, *project.lines[1:])})
    found = money_in_by_day(project, ladder(project))
    assert found[0].money_in == 1000 and [one.money_in for one in found][-2:] == [1100, 1100]
