"""Half-way: the answer and what it is told against, keeping in the same money, chances, and builds that are odd."""

import numpy as np
import pytest
from demos import changed, demo
from demos import half_way_of as of

from buildecon.decision.ahead import Turned, sampled
from buildecon.decision.half_way import chances_of, half_way
from buildecon.decision.inputs import unknown
from buildecon.decision.ways import Way
from buildecon.ledger.ladder import ladder
from buildecon.project.half_way import HalfWay
from buildecon.quantities.estimate import sure


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
    assert sampled(nothing) is None
    told = half_way(van, totals, Turned(), None)
    assert told.chances == {} and told.finding_out is None and not told.too_close
