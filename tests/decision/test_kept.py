"""Keeping against going over: the pickup's 361 and 577 a month, and what moves them."""

import pytest
from demos import changed, demo
from demos import half_way_of as of

from buildecon.decision.ahead import Turned, ahead
from buildecon.decision.compare import FROM_TODAY, compare
from buildecon.decision.kept import kept
from buildecon.ledger.ladder import ladder


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
