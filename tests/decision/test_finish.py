"""Half-way through: what finishing brings and must bring, parts, the ceiling on what is left, the wage of the hours left."""

import numpy as np
import pytest
from demos import changed, demo
from hypothesis import given, settings
from hypothesis import strategies as st

from buildecon.decision.finish import break_even_finished_value, cost_ceiling, finished_then_sold, improvements, paid_while_held, parts_sold, wage_per_hour
from buildecon.project.paths import TableRow, ValuePath
from buildecon.quantities.estimate import sure
from buildecon.quantities.timevalue import present_value, rate_per_period


def test_finishing_the_pickup_pays_above_31_188():
    # (6,487 + 23,765) / 0.97 = 31,187.6
    assert round(float(break_even_finished_value(6487, 23765, 0.03))) == 31188


@settings(deadline=None, derandomize=True)
@given(st.floats(0, 1e5), st.floats(0, 1e5), st.floats(0, 0.5))
def test_selling_at_that_value_brings_back_the_cost_left_and_the_sale_given_up(left, net, share):
    value = break_even_finished_value(left, net, share)
    assert abs(value * (1 - share) - left - net) <= 1e-9 * (1 + left + net)


def test_finishing_by_hand_without_interest():
    # 20,000 in 8 months, 6,000 still to come, 100 a month: 20,000 - 6,000 - 800
    assert finished_then_sold(20000, 6000, 8, 100) == 13200


def test_finishing_by_hand_with_interest():
    # 21 % a year, 12 months: 12,100 / 1.21 - 1,100 / 1.1 = 10,000 - 1,000
    assert finished_then_sold(12100, 1100, 12, 0, 0.21) == pytest.approx(9000)


def test_holding_is_the_limit_of_many_small_payments():
    # 60 a month for 10 months, paid 3,000 times a month
    steps, rate = 30000, 0.08
    flows = np.concatenate([[0.0], np.full(steps, 60 * 10 / steps)])
    assert paid_while_held(60, 10, rate) == pytest.approx(present_value(flows, rate_per_period(rate, 36000)), rel=1e-4)
    assert paid_while_held(60, 10) == 600


@settings(deadline=None, derandomize=True)
@given(st.floats(1e-12, 1e-7), st.floats(0, 60))
def test_a_tiny_rate_is_as_good_as_none(rate, months):
    assert paid_while_held(100, months, rate) == pytest.approx(100 * months, rel=1e-6)
    assert finished_then_sold(2e4, 5e3, months, 50, rate) == pytest.approx(finished_then_sold(2e4, 5e3, months, 50), abs=0.02)


def test_parts_by_hand():
    # 3,000 x .9 + 1,500 x .8 + 800 x .5 + the shell for 400 = 4,700; 20 hours at 20 take 400
    assert parts_sold([3000, 1500, 800, 400], [0.9, 0.8, 0.5, 1]) - 20 * 20 == 4300
    assert parts_sold([1100], [1], 12, 0.1) == pytest.approx(1000)


@settings(deadline=None, derandomize=True)
@given(st.floats(0, 1e5), st.floats(0, 1e5), st.floats(0, 48), st.floats(0, 500), st.floats(0, 0.3))
def test_at_its_ceiling_finishing_brings_what_the_other_does(done, other, months, holding, rate):
    most = cost_ceiling(done, other, months, holding, rate)
    assert finished_then_sold(done, most, months, holding, rate) == pytest.approx(other, abs=1e-6 * (1 + done + other))


def test_the_wage_of_the_hours_left():
    # The pickup: (26,493 - 23,765) / 130 hours
    assert wage_per_hour(26493, 23765, 130) == pytest.approx(2728 / 130)
    assert np.isnan(wage_per_hour(26493, 23765, 0))
    assert np.isnan(wage_per_hour([1.0, 2.0], 0.0, [0.0, 2.0])).tolist() == [True, False]


def test_the_roadster_s_respray_does_not_pay_if_it_is_sold():
    # (6,700 - 5,900) x .96 - 1,150; worst (6,200 - 5,900) x .96 - 1,400; best (7,100 - 5,900) x .96 - 950; kept ten years (1,150 - 768) / 120 a month
    [job] = improvements(demo("roadster"), 5900.0)
    assert job.if_selling == pytest.approx((-1112, -382, 202))
    assert job.per_month_if_keeping == pytest.approx(382 / 120)


def test_what_a_job_adds_fades_along_the_value_path_of_the_build():
    roadster = demo("roadster")
    halved = ValuePath(kind="table", table=(TableRow(years=sure(10), value=sure(2950)),), later_rate=sure(0))  # 5,900 x .5 after ten years
    options = tuple(one.model_copy(update={"value_path": halved, "decline_rate": None}) if one.id == roadster.file.build.quoted_option else one for one in roadster.file.options)
    [job] = improvements(changed(roadster, options=options), 5900.0)
    assert job.per_month_if_keeping == pytest.approx((1150 - 768 / 2) / 120)


def test_own_hours_in_a_job_cost_what_they_are_counted_at():
    # 30 hours at 15 are 450: 768 - 1,150 - 450, and (1,150 + 450 - 768) / 120 a month.
    roadster = demo("roadster")
    own = roadster.file.own_hours.model_copy(update={"convention": "wage", "wage": sure(15)})
    jobs = tuple(job.model_copy(update={"hours": sure(30)}) for job in roadster.file.improvements)
    [job] = improvements(changed(roadster, own_hours=own, improvements=jobs), 5900.0)
    assert job.if_selling[1] == pytest.approx(768 - 1150 - 450) and job.per_month_if_keeping == pytest.approx((1600 - 768) / 120)
    assert job.cost[1] == 1150
