"""What lies ahead: figures turned, drawn and by line."""

import numpy as np
import pytest
from demos import changed, demo, experienced

from buildecon.decision.ahead import Turned, ahead, ahead_at_ends, ahead_in_draws, likely, open_lines, sampled
from buildecon.decision.inputs import unknown
from buildecon.ledger.ladder import ladder
from buildecon.quantities.estimate import estimate, sure


def test_draws_move_what_is_left_out_with_the_finished_value():
    pickup = experienced()
    found = unknown(pickup, ladder(pickup))
    here = ahead_in_draws(sampled(found))
    assert here.done_at(pickup.file.half_way.without[0].finished) == pytest.approx(here.finished * 33200 / 34000)
    assert np.all(here.left_of(["p070"]) < here.cost_left)
    # As earlier builds ran, at 1.06 to 1.24 of what is written
    assert 6487 * 1.06 < np.mean(here.cost_left) < 6487 * 1.24


def test_open_lines_hold_bills_that_are_not_paid():
    pickup = demo("pickup")
    totals = ladder(pickup)
    lines = open_lines(totals)
    assert float(sum(part.mean for part in lines.values())) == pytest.approx(float(totals.expected_to_finish))
    assert [round(float(lines["p070"].mean)), len(lines)] == [1367, 9]


def test_figures_are_those_of_the_files_until_they_are_turned():
    pickup = demo("pickup")
    totals = ladder(pickup)
    here = ahead(pickup, totals)
    assert (here.as_is, here.finished, here.months, here.hours, here.holding, here.rate, here.an_hour) == (24500, 34000, 4, 130, 0, 0, 0)
    assert here.cost_left == float(totals.expected_to_finish) and here.is_open
    there = ahead(pickup, totals, Turned(as_is=1.0, finished=2.0, cost_left=3.0, months=4.5, holding=5.0, discount_percent=6.0))
    assert (there.as_is, there.finished, there.cost_left, there.months, there.holding, there.rate) == pytest.approx((1, 2, 3, 4.5, 5, 0.06))


def test_ends_move_in_proportion_to_what_was_turned():
    pickup = demo("pickup")
    here = ahead_at_ends(pickup, ladder(pickup), Turned(finished=17000.0, cost_left=12973.3333333))
    assert here.finished == pytest.approx([13500, 17000, 20500])
    assert here.cost_left == pytest.approx([19560, 12973.3333333, 8440])
    # A single price goes up and down with the finished value; a range is a range of its own.
    assert here.done_at(sure(33200)) == pytest.approx(here.finished * 33.2 / 34)
    assert here.done_at(estimate("30000/33200/36000")) == pytest.approx([15000, 16600, 18000])


def test_at_the_bad_end_values_are_low_and_costs_delay_and_hours_high():
    pickup = demo("pickup")
    terms = pickup.file.half_way.model_copy(update={"months": estimate("2/4/9"), "hours": estimate("90/130/200"), "holding": estimate("0/10/40")})
    here = ahead_at_ends(changed(pickup, half_way=terms), ladder(pickup))
    assert (here.as_is.tolist(), here.finished.tolist()) == ([22800, 24500, 26000], [27000, 34000, 41000])
    assert (here.months.tolist(), here.hours.tolist(), here.holding.tolist()) == ([9, 4, 2], [200, 130, 90], [40, 10, 0])


def test_lines_left_out_are_a_part_of_what_is_turned():
    pickup = demo("pickup")
    here = ahead(pickup, ladder(pickup), Turned(cost_left=6486.6666667 / 2))
    assert here.left_of(["p070"]) == pytest.approx(1366.6667 / 2)
    assert here.left_of(["p001", "nobody"]) == 0


def test_a_finished_build_is_open_only_where_a_reader_says_so():
    van = demo("van")
    totals = ladder(van)
    assert not ahead(van, totals).is_open and not ahead(demo("roadster"), ladder(demo("roadster"))).is_open
    assert ahead(van, totals, Turned(cost_left=100.0)).is_open and ahead(van, totals, Turned(finished=13000.0)).is_open


def test_the_figure_of_an_estimate_is_its_likely_value():
    assert likely(estimate("100/200/400")) == 200.0


def test_what_one_more_job_adds_stays_where_the_value_as_it_stands_is_turned():
    # 6,600 after the job, 6,000 before: 600. Turned to 3,000 it is 3,600; by ends the single figure goes with the truck, a tenth above it, and the range keeps its ends' distances.
    pickup = demo("pickup")
    value = pickup.file.value.model_copy(update={"as_is": estimate("4500/6000/7000")})
    pickup = changed(pickup, value=value)
    totals = ladder(pickup)
    assert ahead(pickup, totals).after(sure(6600)) == pytest.approx(6600)
    assert ahead(pickup, totals, Turned(as_is=3000.0)).after(sure(6600)) == pytest.approx(3600)
    ends = ahead_at_ends(pickup, totals, Turned(as_is=3000.0)).after(sure(6600))
    assert ends == pytest.approx([2250 + 450, 3000 + 600, 3500 + 700]) and list(ends) == sorted(ends)
    assert ahead_at_ends(pickup, totals, Turned(as_is=3000.0)).after(estimate("6200/6600/7100")) == pytest.approx([3200, 3600, 4100])
    assert ahead_at_ends(pickup, totals).after(sure(6600)) == pytest.approx([4950, 6600, 7700])
