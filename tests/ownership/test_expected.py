"""Bills to be expected and the two clocks, as the files state them: formulas by hand, units, what has outlasted its life."""

import datetime as dt

import hypothesis.strategies as st
import numpy as np
import pytest
from demos import changed, demo, money
from hypothesis import given, settings

from buildecon.ownership.expected import DRAWS, MOST_DRAWN, bills_by_chance, clocks, expected_renewals_by_month
from buildecon.ownership.lives import sure, weibull
from buildecon.ownership.renewals import Warranty, expected_renewals, renewals_paid
from buildecon.ownership.survival import further_years, survival_table, two_clocks
from buildecon.project.wear import Clocks, Renewal, Wear
from buildecon.quantities.units import KM_PER_MILE

steadily = settings(deadline=None, derandomize=True, max_examples=25)


def option(kind="build", **terms):
    part = Renewal(**{"what": "pump", "cost": money(1), "every": money(100000), "shape": money("2.5")} | {name: value if isinstance(value, bool) else money(value) for name, value in terms.items()})
    return demo("roadster").options[0].model_copy(update={"kind": kind, "wear": Wear(renewals=(part,))})


def life(every, shape):
    """Half of them outlast `every`: exp(-(every / scale)^shape) = 1 / 2."""
    return weibull(shape, every / np.log(2) ** (1 / shape))


# expected_renewals_by_month


@steadily
@given(st.integers(8, 60).map(lambda tenths: tenths / 10), st.integers(0, 120), st.integers(0, 150), st.integers(0, 4).map(lambda quarters: quarters / 4), st.booleans())
def test_bills_are_the_renewals_paid_month_by_month(shape, used, warranty, pays, renews):
    # 15,000 km a year for 20 years of a part that half outlast at 100,000 km; between the points of the grid lines stand in for the curve.
    terms = {"shape": shape, "used": 1000 * used, "warranty": 1000 * warranty, "warranty_pays": pays, "warranty_renews": renews}
    found = np.cumsum(expected_renewals_by_month(option(**terms), 15000, "km", 240))
    wanted = renewals_paid(life(100000, shape), 15000 * np.arange(1, 241) / 12, Warranty(1000 * warranty, pays, renews) if warranty else None, 1000.0 * used)
    np.testing.assert_allclose(found, wanted, atol=3e-3)


def test_a_used_part_without_memory_and_one_that_wears_by_hand():
    # Shape 1 has no memory: 10,000 km are 10,000 log 2 / 100,000 renewals whatever it has run. Shape 2 at twice its scale, 240,224 km: of what is left,
    # the chance to fail within 10,000 km is 1 - exp(log 2 x (2.40224^2 - 2.50224^2)) = .28813; a new one fails with 1 - exp(-log 2 x .01) = .00691.
    year = {used: expected_renewals_by_month(option(shape=1, used=used), 10000, "km", 12).sum() for used in (0, 70000)}
    assert list(year.values()) == pytest.approx([0.1 * np.log(2)] * 2, rel=1e-5)
    worn, new = (expected_renewals_by_month(option(shape=2, used=used), 10000, "km", 12).sum() for used in (240224, 0))
    assert (worn, new) == (pytest.approx(0.28813, abs=2e-3), pytest.approx(0.00691, abs=2e-5))


def test_all_its_distances_are_in_the_owner_s_unit():
    terms = {"used": 30000, "warranty": 20000, "warranty_pays": 0.5}
    in_km = {name: value * KM_PER_MILE if name in ("used", "warranty") else value for name, value in terms.items()}
    miles = expected_renewals_by_month(option(**terms), 9000, "mi", 120)
    assert miles == pytest.approx(expected_renewals_by_month(option(every=100000 * KM_PER_MILE, **in_km), 9000 * KM_PER_MILE, "km", 120), rel=1e-9)


def test_what_has_far_outlasted_its_life_is_soon_due_and_what_follows_is_new():
    # 1,000,000 km on a part of which half are gone at 100,000: it goes within the first year, then as a new one from there.
    found = np.cumsum(expected_renewals_by_month(option(used=10**6), 12000, "km", 120))
    # Of a Weibull 10 times its median old: exp(log 2 (10^2.5 - 10.01^2.5)) = .578 of those there outlast another 1,000 km; the grid's straight lines add .002.
    assert found[0] == pytest.approx(1 - np.exp(np.log(2) * (10**2.5 - 10.01**2.5)), abs=3e-3) and found[11] == pytest.approx(1, abs=0.01)
    assert found[-1] == pytest.approx(1 + float(expected_renewals(life(100000, 2.5), 120000)), abs=0.02)


def test_many_lives_ahead_one_comes_for_each_mean_life():
    # 1,200,000,000 km in a year and ten lives a km: mean every gamma(1 + 1 / shape) / log 2 ^ (1 / shape).
    for shape in (0.5, 2, 20):
        found = expected_renewals_by_month(option(every=0.1, shape=shape), 1.2e9, "km", 12)
        assert found == pytest.approx(np.full(12, 1e8 / life(0.1, shape).mean), rel=1e-6)
    assert expected_renewals_by_month(option(every=0.1, warranty=1e8), 1.2e9, "km", 12)[:2] == pytest.approx([0, 1e8 / life(0.1, 2.5).mean], abs=2e7)
    # Covered anew each time for as long as half outlast: half are paid by the maker, for ever.
    found = expected_renewals_by_month(option(every=0.1, warranty="0.1", warranty_renews=True), 1.2e9, "km", 12)
    assert found == pytest.approx(np.full(12, 0.5e8 / life(0.1, 2.5).mean), rel=1e-6)


def test_a_hire_and_a_car_that_stands_have_no_bills_and_scenarios_have_their_own():
    assert not expected_renewals_by_month(option(kind="hire"), 15000, "km", 24).any()
    assert not expected_renewals_by_month(option(), 0, "km", 24).any()
    both = expected_renewals_by_month(option(), np.array([15000, 0]), "km", 24)
    assert both.shape == (2, 24) and not both[1].any()
    np.testing.assert_allclose(both[0], expected_renewals_by_month(option(), 15000, "km", 24), rtol=1e-6)


# bills_by_chance


def test_bills_without_memory_come_as_often_as_by_hand():
    # Half outlast 100,000 km: over 5 years of 20,000 km none comes half the time; the mean number is log 2 = .6931, so .6931 / .5 where there are some.
    found = bills_by_chance(option(shape=1, cost=800), 20000, "km", 5)
    sure_of = 4 / np.sqrt(DRAWS)  # four standard errors of a share near a half, and more
    assert found.none == pytest.approx(0.5, abs=sure_of)
    assert found.when_some == pytest.approx(800 * np.log(2) / 0.5, rel=sure_of)
    # Poisson of mean .6931: none .5, one .3466, two .1201, three or more .0333.
    assert (found.at, found.quantile) == ((0.1, 0.5, 0.9), (0, found.quantile[1], 1600))
    assert bills_by_chance(option(shape=1, cost=800), 20000, "km", 5, at=(0.8, 0.99)).quantile == (800, 2400)


@pytest.mark.parametrize("terms", [{}, {"used": 90000}, {"used": 10**6}, {"warranty": 60000, "warranty_pays": 0.5, "used": 50000}, {"shape": 1, "warranty": 60000}, {"warranty": 60000, "warranty_renews": True, "every": 50000}, {"every": 30000, "shape": 6}])
def test_the_mean_of_drawn_bills_is_the_bill_to_be_expected(terms):
    found = bills_by_chance(option(cost=1000, **terms), 15000, "km", 10)
    wanted = 1000 * expected_renewals_by_month(option(**terms), 15000, "km", 120).sum()
    assert (1 - found.none) * found.when_some == pytest.approx(wanted, abs=5 * 1000 / np.sqrt(DRAWS) * max(1.0, np.sqrt(wanted / 1000)))


def test_two_parts_fail_apart_from_each_other():
    one, other = (Renewal(what=what, cost=money(cost), every=money(100000), shape=money(1)) for what, cost in (("pump", 1), ("box", 10)))
    both = bills_by_chance(option().model_copy(update={"wear": Wear(renewals=(one, other))}), 20000, "km", 5)
    assert both.none == pytest.approx(0.25, abs=4 / np.sqrt(DRAWS))
    assert both == bills_by_chance(option().model_copy(update={"wear": Wear(renewals=(one, other))}), 20000, "km", 5)


def test_in_miles_the_same_and_further_never_less():
    miles, km = (bills_by_chance(option(**{name: value / per for name, value in {"every": 100000, "used": 40000, "warranty": 30000}.items()}), 15000 / per, unit, 10) for unit, per in (("mi", KM_PER_MILE), ("km", 1)))
    assert miles.none == pytest.approx(km.none, abs=1e-3) and miles.quantile == km.quantile
    shares = [bills_by_chance(option(), 15000, "km", years).none for years in (1, 5, 10, 20)]
    assert shares == sorted(shares, reverse=True) and shares[0] > 0.99 > shares[-1]


def test_where_nothing_fails_by_chance_there_is_nothing_to_draw():
    plain = option()
    assert bills_by_chance(plain.model_copy(update={"wear": None}), 15000, "km", 5) is None
    assert bills_by_chance(option(kind="hire"), 15000, "km", 5) is None
    assert bills_by_chance(plain, 0, "km", 5) is None
    sure_part = Renewal(what="tyres", cost=money(1), every=money(9000))
    assert bills_by_chance(plain.model_copy(update={"wear": Wear(renewals=(sure_part,))}), 15000, "km", 5) is None
    assert bills_by_chance(option(), 100000 * MOST_DRAWN, "km", 1) is not None and bills_by_chance(option(), 100000 * MOST_DRAWN, "km", 1.01) is None


# clocks


def stated(year=2004, unit="mi", **terms):
    base = demo("pickup")
    build = base.file.build.model_copy(update={"distance_unit": unit, "as_of": dt.date(2026, 8, 31)})
    terms = {name: value if isinstance(value, str) else money(value) for name, value in terms.items()}
    return changed(base, build=build, this_car=base.file.this_car.model_copy(update={"year": year}), clocks=Clocks(**{"engine_every": money(150000), "engine_shape": money(3)} | terms))


def test_an_old_shell_of_a_fleet_and_a_used_engine_are_taken_from_where_they_stand():
    # 2026 - 2004 = 22 years; engine and pace in miles.
    found = clocks(stated(shell_like="NHTSA light trucks", engine_used=90000), 9000)
    fleet = survival_table("NHTSA light trucks")
    wanted = two_clocks(fleet.life, life(150000 * KM_PER_MILE, 3), 9000 * KM_PER_MILE, 22.0, 90000 * KM_PER_MILE)
    assert found.years == pytest.approx(float(further_years(fleet, 22)))
    assert (found.chance_engine_first, found.engine_renewals) == (pytest.approx(wanted.chance_engine_first), pytest.approx(wanted.engine_renewals))
    fresh = clocks(stated(shell_like="NHTSA light trucks"), 9000)
    assert fresh.chance_engine_first < found.chance_engine_first and fresh.years == found.years
    younger = clocks(stated(2020, shell_like="NHTSA light trucks"), 9000)
    assert younger.years == pytest.approx(float(further_years(fleet, 6))) and younger.years > found.years


def test_a_shell_of_so_many_years_has_them_from_today():
    found = clocks(stated(None, "km", shell_years=10, engine_used=30000), 12000)
    wanted = two_clocks(sure(10), life(150000, 3), 12000, 0.0, 30000)
    assert found == wanted
    assert clocks(stated(shell_years=10), 0.0) is None


def test_an_engine_far_beyond_its_life_is_as_good_as_gone():
    found = clocks(stated(shell_years=10, engine_used=1_400_000), 9000)
    assert (found.first, found.chance_engine_first) == ("engine", pytest.approx(1, abs=1e-9))
    assert found.years_if_given_up == pytest.approx(0, abs=0.1) and found.engine_renewals == pytest.approx(1, abs=0.2)


def test_at_any_pace_engines_come_one_a_mean_life():
    found = clocks(stated(shell_years=10, engine_every=1000), 1e9)
    assert found.engine_renewals == pytest.approx(1e10 / (life(1000, 3).mean), rel=1e-6)
