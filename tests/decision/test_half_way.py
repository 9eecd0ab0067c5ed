"""Half-way: the answer and what it is told against, keeping in the same money, chances, and builds that are odd."""

import numpy as np
import pytest
from demos import demo

from buildecon.decision.ahead import Turned, ahead
from buildecon.decision.compare import FROM_TODAY, compare
from buildecon.decision.half_way import chances_of, half_way
from buildecon.decision.inputs import unknown
from buildecon.decision.kept import kept
from buildecon.decision.ways import Way
from buildecon.ledger.ladder import ladder
from buildecon.project.half_way import HalfWay
from buildecon.quantities.estimate import sure


def of(project, chances=False, **turned):
    totals = ladder(project)
    return half_way(project, totals, Turned(**turned), unknown(project, totals) if chances else None)


def changed(project, **tables):
    return project.model_copy(update={"file": project.file.model_copy(update=tables)})


def with_value(project, **figures):
    return changed(project, value=project.file.value.model_copy(update={name: sure(figure) for name, figure in figures.items()}))


def test_the_pickup_is_finished_but_for_the_paint():
    found = of(demo("pickup"))
    assert (found.best.id, found.beside.id, found.too_close) == ("without 1", "sell", False)
    assert round(found.best.net) == 27084 and found.wage(found.best) == pytest.approx(3319 / 120)
    assert found.wage(found.way("finish")) == pytest.approx(2728.33 / 130, abs=1e-3)
    # (6,486.67 + 23,765) / .97; 32,980 - 23,765
    assert found.finished_value_needed == pytest.approx(30251.6667 / 0.97, abs=0.01) and found.cost_ceiling == pytest.approx(9215)
    assert found.sunk == 57820


def test_the_pickup_kept_six_years_costs_361_against_577():
    # Worked out when the build was invented: money put in 23,765 + 6,487; switching needs a 2,850 kit top-up; 34,000 declining 7 % a year.
    found = of(demo("pickup"))
    assert tuple(round(one) for one in found.kept.per_month) == (361, 577)
    assert found.kept.comparison.options[found.kept.rival].id == "used-corran"
    # As good as what selling brings and the difference of 72 months
    month = found.kept.per_month
    assert found.keep.net == pytest.approx(23765 + 72 * (month[1] - month[0]))


def test_keeping_follows_the_comparison_along_a_straight_line():
    pickup = demo("pickup")
    totals = ladder(pickup)
    here = ahead(pickup, totals)
    keeping = kept(pickup, totals, here)
    there = ahead(pickup, totals, Turned(finished=39000.0, cost_left=9000.0))
    assert keeping.way(there).net == pytest.approx(kept(pickup, totals, there).way(there).net, abs=0.01)


def test_keeping_pays_for_holding_and_for_hours_that_count():
    pickup = demo("pickup")
    plain = of(pickup).keep.net
    assert plain - of(pickup, holding=50.0).keep.net == pytest.approx(4 * 50)
    own = pickup.file.own_hours.model_copy(update={"convention": "wage"})
    assert plain - of(changed(pickup, own_hours=own)).keep.net == pytest.approx(130 * 30)


def test_a_turned_value_as_it_stands_changes_selling_and_not_what_keeping_costs():
    plain, turned = of(demo("pickup")), of(demo("pickup"), as_is=20000.0)
    assert turned.way("sell").net == pytest.approx(19400)
    assert turned.keep.net == pytest.approx(plain.keep.net)
    assert turned.kept.per_month[0] == pytest.approx(plain.kept.per_month[0] - (23765 - 19400) / 72)


def test_the_years_kept_can_be_turned():
    found = of(demo("pickup"), years_kept=3)
    comparison = compare(demo("pickup"), view=FROM_TODAY)
    assert found.kept.per_month[0] == pytest.approx(float(comparison.per_month[comparison.build, 36]))


def test_the_roadster_is_sold_as_it_stands_or_kept():
    found = of(demo("roadster"))
    assert (found.is_open, found.best.id, found.beside.id) == (False, "sell", "shelve")
    assert (found.finished_value_needed, found.cost_ceiling, found.staged) == (None, None, None)
    assert [round(one) for one in found.jobs[0].if_selling] == [-1112, -382, 202]


def test_what_finishing_brings_by_another_reading_of_what_is_left():
    found = of(demo("pickup"))
    assert found.finish_at(found.left.at_pace) == pytest.approx(32980 - found.left.at_pace)
    assert of(demo("van")).finish_at(1000.0) is None
    later = of(demo("pickup"), discount_percent=8.0)
    assert later.finish_at(7000.0) == pytest.approx(of(demo("pickup"), discount_percent=8.0, cost_left=7000.0).way("finish").net)


def test_chances_by_hand():
    # Best in 4 draws: sell, finish, finish, sell; means 10 and 11; knowing would bring (10 + 14 + 12 + 10) / 4 = 11.5
    ways = (Way("sell", "sell", "", 10.0, 0.0), Way("finish", "finish", "", 11.0, 0.0))
    drawn = (Way("sell", "sell", "", np.full(4, 10.0), 0.0), Way("finish", "finish", "", np.array([9.0, 14.0, 12.0, 9.0]), 0.0))
    found, worth = chances_of(ways, drawn)
    assert found == {"sell": 0.5, "finish": 0.5, "best beats beside": 0.5}
    assert worth == pytest.approx(0.5)


def test_the_pickup_s_chances_add_up():
    found = of(demo("pickup"), chances=True)
    each = [found.chances[way.id] for way in found.ways]
    assert sum(each) == pytest.approx(1)
    assert found.chances["without 1"] == max(each) and found.chances["best beats beside"] > 0.8
    assert found.chances["keep"] > 0.99
    assert 0 < found.finding_out < 1000
    assert of(demo("pickup"), chances=True).chances == found.chances


def test_what_comes_out_even_is_too_close_to_call():
    # Finishing brings what selling does at 31,187; half a hundredth of the price more is not enough to tell.
    pickup = changed(demo("pickup"), half_way=HalfWay(months=sure(4)))
    assert of(pickup, finished=31187 + 120.0).too_close
    assert of(pickup, finished=31187 - 120.0).too_close
    assert not of(pickup, finished=31187 + 500.0).too_close
    assert of(pickup, chances=True, finished=31187 + 500.0).too_close


def test_a_build_worth_less_when_finished_is_sold_as_it_stands():
    found = of(demo("pickup"), finished=20000.0)
    assert found.best.id == "sell" and found.cost_ceiling < 0
    assert found.wage(found.way("finish")) < 0


def test_no_other_that_passes_leaves_keeping_without_a_measure():
    pickup = demo("pickup")
    must = tuple(one.model_copy(update={"at_least": sure(9)}) if one.id == "seats" else one for one in pickup.file.must_haves)
    found = of(changed(pickup, must_haves=must), chances=True)
    assert found.keep is None and found.kept.per_month[1] is None and "keep" not in found.chances
    assert found.best.id == "without 1"


def test_odd_builds_are_answered():
    pickup = demo("pickup")
    bare = changed(pickup, half_way=HalfWay(), phases=(), part_out=None, routes=(), improvements=())
    found = of(bare, chances=True)
    assert [way.id for way in found.ways] == ["sell", "finish"] and np.isnan(found.wage(found.way("finish")))
    sold_for_nothing = of(with_value(bare, as_is=0, finished=0), chances=True)
    assert sold_for_nothing.best.net == 0
    all_of_it = changed(bare, value=bare.file.value.model_copy(update={"selling_cost_share": sure(1)}))
    assert of(all_of_it).finished_value_needed is None
    far = changed(pickup, use=pickup.file.use.model_copy(update={"horizon_years": 40, "years_kept": 40}))
    assert np.isfinite(of(far, chances=True).keep.net)
    alone = changed(with_value(bare, finished=24500), options=bare.file.options[:1])
    assert [way.id for way in of(alone).ways] == ["sell", "finish"]


def test_no_range_at_all_has_no_chances():
    van = demo("van")
    totals = ladder(van)
    found = unknown(van, totals)
    nothing = type(found)(found.project, found.totals, (), {}, None, 0.0, 0.0)
    told = half_way(van, totals, Turned(), nothing)
    assert told.chances == {} and told.finding_out is None and not told.too_close
