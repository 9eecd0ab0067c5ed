"""What is still to come: three readings, and the remainder that does not fall to nothing."""

import re

import numpy as np
import pytest
from demos import demo, experienced, line, money, small
from hypothesis import given, settings
from hypothesis import strategies as st
from reference.printed import case_ids, printed, rows

from buildecon.decision.remainder import HOLDS, SCORE, WORKS, dear_builds, expected_remainder, lognormal_of, remainder
from buildecon.ledger.ladder import ladder
from buildecon.project.half_way import HalfWay
from buildecon.quantities.sampling import points

REMAINDERS = rows("expected_remainders.csv")


@pytest.mark.parametrize("case", REMAINDERS, ids=case_ids(REMAINDERS))
def test_the_closed_form_is_what_was_worked_out_and_what_was_simulated(case):
    found = expected_remainder(float(case["median"]), float(case["holds"]), float(case["spent"]))
    assert found == printed(case["expected"])
    assert found == pytest.approx(float(case["simulated"]), rel=0.005)


def test_it_agrees_with_quadrature_and_with_a_count_of_draws():
    from scipy.integrate import quad
    from scipy.stats import lognorm

    median, holds, spent = 9000.0, 14000.0, 11000.0
    total = lognorm(np.log(holds / median) / SCORE, scale=median)
    by_area = quad(total.sf, spent, np.inf)[0] / total.sf(spent)  # the mean excess is the area under the tail
    assert expected_remainder(median, holds, spent) == pytest.approx(by_area, rel=1e-6)
    draws = total.ppf(points(2**16, 1, 7)[:, 0])
    assert expected_remainder(median, holds, spent) == pytest.approx(np.mean(draws[draws > spent]) - spent, rel=0.01)


@settings(deadline=None, derandomize=True)
@given(st.floats(1e3, 1e5), st.floats(1.05, 3), st.floats(0, 50))
def test_there_is_always_something_left(median, times, share):
    left = expected_remainder(median, median * times, share * median)
    assert left > 0
    assert expected_remainder([median], [median * times], [share * median])[0] == left


def test_with_nothing_spent_it_is_the_mean():
    # Of a lognormal: median e^(s^2/2)
    sd = np.log(4 / 3) / SCORE
    assert expected_remainder(9000, 12000, 0) == pytest.approx(9000 * np.exp(sd**2 / 2))


def test_money_far_beyond_any_plan_gives_a_figure_and_no_warning():
    assert np.isfinite(expected_remainder(1000, 1100, 1e6))


@pytest.mark.parametrize(
    ("given_", "message"),
    [
        ((0, 5, 1), "median must be at least 1e-09, got 0.0."),
        ((5, 5, 1), "holds must be above median, got 5.0 and 5.0. It is the total of 4 cases in 5."),
        ((5, 6, -1), "spent must be at least 0, got -1.0."),
        ((float("nan"), 6, 1), "median must be at least 1e-09, got nan."),
    ],
)
def test_what_makes_no_sense_is_refused(given_, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        expected_remainder(*given_)


def test_the_starting_class_is_the_published_one():
    case = next(row for row in rows("cost_overruns.csv") if row["case"] == "all")
    assert tuple(round(100 * figure) for figure in WORKS) == (100 + int(case["mean"]), int(case["sd"]))
    middle, holds = lognormal_of(*WORKS)
    sd = np.log(holds / middle) / SCORE
    assert middle * np.exp(sd**2 / 2) == pytest.approx(1.28)
    assert middle * np.exp(sd**2 / 2) * np.sqrt(np.expm1(sd**2)) == pytest.approx(0.39)


def test_the_pickup_by_three_readings():
    pickup = experienced()
    left = remainder(pickup, ladder(pickup))
    assert (round(left.as_written), left.low, left.high) == (6487, 4220, 9780)
    assert left.as_written == float(ladder(pickup).expected_to_finish)
    # 52,980 for what was planned at 48,081: each line's range at 1 and 1.1019 and 1.1019 times
    assert left.overrun == pytest.approx(1.1019, abs=5e-5)
    assert left.at_pace == pytest.approx((4220 + left.overrun * (4 * 6230 + 9780)) / 6)
    # The owner's earlier builds ran 1.06, 1.10 and 1.24 times their plan: the middle 1.10; the fifth from the top 1.10 + .6 (1.24 - 1.10)
    assert left.past_middle == pytest.approx(1.10 * left.as_written)
    assert left.past_holds == pytest.approx((1.10 + 0.6 * 0.14) * left.as_written)
    assert HOLDS == 0.8


def test_without_earlier_builds_there_is_no_reading_by_them():
    found = remainder(small([line("left").model_copy(update={"to_finish": money(200)})]), ladder(small([line("left").model_copy(update={"to_finish": money(200)})])))
    assert (found.as_written, found.past_builds, found.past_middle, found.past_holds) == (200, 0, None, None)


def test_a_build_that_is_done_has_nothing_to_come():
    van = demo("van")
    left = remainder(van, ladder(van))
    assert (left.as_written, left.low, left.high, left.at_pace) == (0, 0, 0, 0)
    assert dear_builds(van, ladder(van)) is None


def test_dear_builds_are_read_by_the_owner_s_own_from_three_on_else_by_the_class():
    pickup = experienced()
    money_left, whose = dear_builds(pickup, ladder(pickup))
    # 57,171 planned; 59,730 spent
    assert whose == "your own"
    assert money_left == pytest.approx(expected_remainder(57171 * 1.10, 57171 * 1.184, 59730))
    few = pickup.model_copy(update={"file": pickup.file.model_copy(update={"half_way": HalfWay(past_overruns=(1.3,))})})
    assert dear_builds(few, ladder(few))[1] == "works"
