"""From full fill to full fill: the error of pooled figures, gaps, part fills, changed odometers, charging losses."""

from datetime import date, timedelta
from time import perf_counter

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import printed, rows

from buildecon.ownership.fuel_log import (
    FILL_LEVEL_SD,
    WINTER_HALF,
    Spans,
    by_group,
    charging_loss,
    distance_driven,
    fill_spans,
    lag_one_correlation,
    odd_spans,
    pooled,
    pooled_error,
    season_labels,
    tyre_correction,
)
from buildecon.quantities.units import KM_PER_MILE, LITRES_PER_US_GALLON, consumption_in

steadily = settings(deadline=None, derandomize=True)
tanks = st.lists(st.tuples(st.floats(1, 100), st.floats(1, 1000)), min_size=1, max_size=8)
NAN = float("nan")


def log_of(tanks_filled, driven):
    """A full fill to start with, then these, each full."""
    n = len(tanks_filled) + 1
    return fill_spans([NAN, *tanks_filled], np.concatenate([[0], np.cumsum(driven)]), [True] * n, [False] * n)


# distance_driven


def test_a_stretch_that_lacks_a_fill_or_has_one_twice_is_odd_and_a_winter_s_is_not():
    # 40 L over 500 km are 8; over 1,000 km 4, half of it; 80 L over 500 km 16, twice; a third more in winter stays.
    def spans(*pairs):
        return Spans(np.arange(len(pairs)), np.arange(1, len(pairs) + 1), *np.array(pairs, dtype=float).T)

    usual = [(40, 500)] * 4
    assert odd_spans(spans(*usual, (40, 1000), (80, 500), (53, 500)), 2.0).tolist() == [False] * 4 + [True, True, False]
    assert not odd_spans(spans(*usual[:2], (40, 1000)), 2.0).any()  # too few to say what is usual
    assert not odd_spans(spans(*usual, (2, 50)), 2.0).any()  # half, but on a short stretch the level of the fills explains it
    assert len(odd_spans(Spans(*np.zeros((2, 0), int), *np.zeros((2, 0))), 2.0)) == 0


def test_an_odometer_that_was_changed_goes_on_by_hand():
    # 100 on the old one; at 150 it is changed for one that shows 20; 90 on that one is 70 further: 50 + 70 = 120 in all.
    assert list(distance_driven([100, 150, 90], [NAN, 20, NAN], [NAN] * 3)) == [0, 50, 120]
    assert list(distance_driven([1000], [NAN], [NAN])) == [0]
    assert list(distance_driven([], [], [])) == []


def test_a_correction_holds_from_its_row_until_another_by_hand():
    # 100 as shown; 100 at 1.1; 200 at 1.1; 100 back at 1: 100, 210, 430, 530.
    found = distance_driven([0, 100, 200, 400, 500], [NAN] * 5, [NAN, 1.1, NAN, 1.0, NAN])
    assert found == pytest.approx([0, 100, 210, 430, 530], rel=1e-14)


@steadily
@given(st.lists(st.floats(0, 1e4), min_size=2, max_size=8), st.integers(1, 7), st.floats(0, 1e6))
def test_where_the_new_odometer_starts_changes_no_distance(legs, at, start):
    shown = np.concatenate([[5000.0], 5000 + np.cumsum(legs)])
    at = min(at, len(legs) - 1)
    now, after = np.full(len(shown), np.nan), shown.copy()
    now[at] = start
    after[at + 1 :] += start - shown[at]
    nothing = np.full(len(shown), np.nan)
    assert distance_driven(after, now, nothing) == pytest.approx(distance_driven(shown, nothing, nothing), abs=1e-8)


def test_reading_a_log_writes_to_none_of_its_columns():
    columns = np.array([100.0, 150, 90]), np.array([NAN, 20, NAN]), np.array([NAN, 1.1, NAN])
    before = [column.copy() for column in columns]
    distance_driven(*columns)
    assert all(np.array_equal(one, other, equal_nan=True) for one, other in zip(columns, before, strict=True))


# tyre_correction


def test_larger_tyres_drive_further_than_is_shown():
    # 27.0 / 25.7 - 1 = 5.0584 %; 30 miles a gallon shown are 30 x 1.050584 = 31.5175.
    assert 100 * (tyre_correction(25.7, 27.0) - 1) == printed("5.0584")
    assert 30 * tyre_correction(25.7, 27.0) == printed("31.5175")
    driven = distance_driven([0, 300], [NAN, NAN], [tyre_correction(25.7, 27.0), NAN]) * KM_PER_MILE
    found = pooled(fill_spans([0, 10 * LITRES_PER_US_GALLON], driven, [True, True], [False, False]), 0.0)
    assert consumption_in(found.consumption, "mpg US") == printed("31.5175")
    assert list(tyre_correction(25.0, [25.0, 30.0])) == [1.0, 1.2]


# fill_spans


def test_part_fills_count_with_the_next_full_one_by_hand():
    # Full at 0, 10 at 150 (not full), 25 at 500: one span, 35 on 500. Then 20 on 300.
    found = fill_spans([40, 10, 25, 20], [0, 150, 500, 800], [True, False, True, True], [False] * 4)
    assert (list(found.start), list(found.end), list(found.amount), list(found.distance)) == ([0, 2], [2, 3], [35, 20], [500, 300])
    assert (len(found), found.runs, found.void) == (2, 1, 0)
    assert found.each == pytest.approx([7, 20 / 3], rel=1e-14)


def test_the_first_full_fill_only_starts_and_what_follows_the_last_waits_by_hand():
    # Part fill, full, full (30 on 400), part fill.
    found = fill_spans([9, 50, 30, 12], [0, 100, 500, 650], [False, True, True, False], [False] * 4)
    assert (list(found.amount), list(found.distance)) == ([30], [400])


@pytest.mark.parametrize(("gap_at", "left"), [(0, [10, 20, 30]), (1, [20, 30]), (2, [10, 30]), (3, [10, 20])])
def test_a_gap_voids_the_span_it_lies_in_and_no_other_by_hand(gap_at, left):
    gap = [k == gap_at for k in range(4)]
    found = fill_spans([5, 10, 20, 30], [0, 100, 300, 600], [True] * 4, gap)
    assert (list(found.amount), found.void) == (left, int(gap_at > 0))
    assert found.runs == (2 if gap_at == 2 else 1)


def test_a_gap_before_a_part_fill_voids_up_to_the_next_full_one_by_hand():
    found = fill_spans([5, 10, 20, 30], [0, 100, 300, 600], [True, False, True, True], [False, True, False, False])
    assert (list(found.amount), list(found.distance), found.void) == ([30], [300], 1)


def test_an_amount_that_is_not_known_voids_its_span_but_the_first_never_counts():
    assert list(fill_spans([NAN, 10, NAN, 30], [0, 1, 2, 3], [True] * 4, [False] * 4).amount) == [10, 30]


@pytest.mark.parametrize("rows_of_log", [[], [(40, 0, True)], [(40, 0, True), (10, 90, False)], [(40, 0, False), (10, 90, True)]])
def test_less_than_two_full_fills_measure_nothing(rows_of_log):
    amount, driven, full = zip(*rows_of_log, strict=True) if rows_of_log else ((), (), ())
    found = fill_spans(amount, driven, full, [False] * len(full))
    assert (len(found), found.runs) == (0, 0)
    assert pooled(found, 1.0) is None


@steadily
@given(tanks, st.data())
def test_splitting_a_full_fill_into_part_fills_changes_nothing(several, data):
    filled, driven = map(list, zip(*several, strict=True))
    at = data.draw(st.integers(0, len(several) - 1))
    share, way = data.draw(st.floats(0.01, 0.99)), data.draw(st.floats(0, 1))
    whole = log_of(filled, driven)
    ends = np.concatenate([[0], np.cumsum(driven)])
    amount = [NAN, *filled[:at], filled[at] * share, filled[at] * (1 - share), *filled[at + 1 :]]
    places = np.insert(ends, at + 1, ends[at] + way * driven[at])
    full = [True] * (at + 1) + [False] + [True] * (len(several) - at)
    split = fill_spans(amount, places, full, [False] * len(full))
    assert split.amount == pytest.approx(whole.amount, rel=1e-12)
    assert split.distance == pytest.approx(whole.distance, rel=1e-9)
    assert pooled(split, 1.9).standard_error == pytest.approx(pooled(whole, 1.9).standard_error, rel=1e-9)


# pooled


def test_five_tanks_are_pooled():
    # 310 + 275 + 342 + 298 + 330 = 1555 miles on 61.3 gallons: 25.3670, where the mean of the tanks is 25.4846.
    filled, driven = np.array([12.4, 12.5, 11.4, 13.0, 12.0]), np.array([310, 275, 342, 298, 330])
    found = pooled(log_of(filled * LITRES_PER_US_GALLON, driven * KM_PER_MILE), FILL_LEVEL_SD["fuel"])
    assert consumption_in(found.consumption, "mpg US") == printed("25.3670")
    # sqrt(2) x 0.5 / 61.3 = 1.1535 %.
    assert 100 * found.standard_error / found.consumption == printed("1.1535")
    assert (found.spans, found.runs) == (5, 1)
    assert found.distance == pytest.approx(1555 * KM_PER_MILE, rel=1e-14)


def test_two_runs_have_four_ends_by_hand():
    # 10 and 30 with a gap between them, 40 in all: sqrt(2 x 2) x 1 / 40 = 5 %; consumption 100 x 40 / 400 = 10.
    spans = fill_spans([5, 10, 20, 30], [0, 100, 300, 600], [True] * 4, [False, False, True, False])
    found = pooled(spans, 1.0)
    assert (found.consumption, found.standard_error) == (10, pytest.approx(0.5, rel=1e-14))


def test_spans_on_which_nothing_was_driven_are_pooled_and_alone_measure_nothing():
    # The pump stopped early and 2 more went in at the same odometer: 12 on 100.
    found = fill_spans([5, 10, 2], [0, 100, 100], [True] * 3, [False] * 3)
    assert pooled(found, 1.0).consumption == 12
    assert found.each[0] == 10
    assert np.isnan(found.each[1])
    assert pooled(fill_spans([5, 10], [70, 70], [True] * 2, [False] * 2), 1.0) is None


@steadily
@given(tanks, st.floats(0.01, 100), st.floats(0.01, 100))
def test_pooled_figures_go_with_amounts_and_against_distances(several, more, further):
    filled, driven = (np.array(part) for part in zip(*several, strict=True))
    one = pooled(log_of(filled, driven), 0.7)
    other = pooled(log_of(filled * more, driven * further), 0.7 * more)
    assert other.consumption == pytest.approx(one.consumption * more / further, rel=1e-9)
    assert other.standard_error == pytest.approx(one.standard_error * more / further, rel=1e-9)


@steadily
@given(tanks)
def test_the_level_of_fills_in_the_middle_changes_nothing(several):
    filled, driven = (np.array(part) for part in zip(*several, strict=True))
    levels = np.concatenate([[0], np.linspace(-0.5, 0.5, len(filled) - 1), [0]]) if len(filled) > 1 else np.zeros(2)
    assert pooled(log_of(filled + np.diff(levels), driven), 1.0).consumption == pytest.approx(pooled(log_of(filled, driven), 1.0).consumption, rel=1e-12)


# pooled_error


@pytest.mark.parametrize("row", rows("fuel_fill_errors.csv"), ids=lambda row: row["tanks"])
def test_the_error_shrinks_with_all_that_was_filled(row):
    filled = int(row["tanks"]) * float(row["filled_each"])
    assert 100 * pooled_error(float(row["level_sd"]), filled) == printed(row["percent"])


def simulated(logs, fills, sd):
    """Logs of 10 gallons a tank on 300 miles, every fill a little above or below full."""
    levels = np.random.default_rng(20261125).normal(0, sd, (logs, fills + 1))
    return 10 + np.diff(levels, axis=1)


@pytest.mark.parametrize("row", rows("fuel_fill_errors.csv"), ids=lambda row: row["tanks"])
def test_simulated_logs_scatter_by_that_error(row):
    fills, count = int(row["tanks"]), 4000
    seen = [pooled(log_of(one, np.full(fills, 300.0)), 0.5).consumption for one in simulated(count, fills, 0.5)]
    # The standard deviation of 4000 draws is itself known to 1 / sqrt(8000), 1.1 %; 4 of those.
    assert np.std(seen) / np.mean(seen) == pytest.approx(float(pooled_error(0.5, 10 * fills)), rel=0.045)


def test_errors_of_many_are_one_each():
    assert list(pooled_error([0.5, 1.0], 100, [1, 4])) == [pooled_error(0.5, 100, 1), pooled_error(1.0, 100, 4)]


# lag_one_correlation


def test_neighbouring_tanks_of_a_long_log_go_against_each_other_by_half():
    # e_n - e_(n-1) and e_(n+1) - e_n share e_n with opposite signs: -1 / 2. 20 000 tanks know it to about 0.007.
    each = log_of(simulated(1, 20000, 0.5)[0], np.full(20000, 300.0)).each
    assert lag_one_correlation(each) == pytest.approx(-0.5, abs=0.02)
    assert lag_one_correlation(np.random.default_rng(1).normal(size=20000)) == pytest.approx(0, abs=0.03)


def test_correlation_by_hand_and_where_there_is_none():
    # 1, 3, 2 less their mean: -1, 1, 0; (-1 x 1 + 1 x 0) / 2.
    assert lag_one_correlation([1, 3, 2]) == -0.5
    assert np.isnan(lag_one_correlation([1, 3]))
    assert np.isnan(lag_one_correlation([2, 2, 2]))


# charging_loss


def test_a_charging_loss_by_hand():
    # 10 and 30 from the wall, 9 and 26 in the battery: 1 - 35 / 40 = 0.125; residuals 9 - 8.75, 26 - 26.25: sqrt(2 x 0.125 / 1) / 40 = 0.0125.
    assert charging_loss([10, 30], [9, 26]) == (0.125, pytest.approx(0.0125, rel=1e-12))
    loss, error = charging_loss([10], [9])
    assert loss == pytest.approx(0.1, rel=1e-12)
    assert np.isnan(error)
    assert np.isnan(charging_loss([], [])).all()


def test_the_error_of_a_loss_is_the_scatter_of_losses_simulated():
    draws = np.random.default_rng(7)
    found = []
    for _ in range(2000):
        wall = draws.uniform(5, 30, 40)
        found.append(charging_loss(wall, wall * (0.88 + draws.normal(0, 0.02, 40))))
    losses, errors = np.array(found).T
    assert np.mean(losses) == pytest.approx(0.12, abs=0.0005)
    assert np.mean(errors) == pytest.approx(np.std(losses), rel=0.1)


# by_group, season_labels


def test_groups_count_the_ends_of_their_own_runs_by_hand():
    # Two, one of the other, two: the first group has two runs, four ends: sqrt(2 x 2) / 40; the other one run: sqrt(2) / 10.
    spans = log_of([10] * 5, [100] * 5)
    found = by_group(spans, ["winter", "winter", "summer", "winter", "winter"], 1.0)
    assert list(found) == ["winter", "summer"]
    assert (found["winter"].runs, found["winter"].spans, found["summer"].runs) == (2, 4, 1)
    assert found["winter"].standard_error == pytest.approx(10 * 2 / 40, rel=1e-14)
    assert found["summer"].standard_error == pytest.approx(10 * np.sqrt(2) / 10, rel=1e-14)
    assert by_group(spans, ["all"] * 5, 1.0) == {"all": pooled(spans, 1.0)}
    assert by_group(log_of([], []), [], 1.0) == {}


def test_winter_is_where_the_months_say():
    days = [date(2026, 1, 15), date(2026, 4, 1), date(2026, 9, 30), date(2026, 10, 1)]
    assert season_labels(days, WINTER_HALF["north"]) == ["winter", "summer", "summer", "winter"]
    assert season_labels(days, WINTER_HALF["south"]) == ["summer", "winter", "winter", "summer"]
    assert sorted(WINTER_HALF["north"] + WINTER_HALF["south"]) == list(range(1, 13))
    with pytest.raises(ValueError, match=r"^winter_months must be numbers of months, 1 to 12, got \[0, 12\]\.$"):
        season_labels(days, (12, 0))


# speed


def test_ten_thousand_fills_are_pooled_in_a_moment():
    draws = np.random.default_rng(3)
    n = 10_000
    amount, full, gap = draws.uniform(20, 60, n), draws.random(n) < 0.9, draws.random(n) < 0.02
    driven = np.cumsum(draws.uniform(100, 800, n))
    days = [date(2000, 1, 1) + timedelta(days=k // 3) for k in range(n)]
    begin = perf_counter()
    spans = fill_spans(amount, driven, full, gap)
    found = pooled(spans, 1.9)
    by_group(spans, season_labels([days[k] for k in spans.end], WINTER_HALF["north"]), 1.9)
    assert perf_counter() - begin < 1  # it takes about a hundredth of that
    # The same, fill by fill.
    filled = driven_in_all = since = 0.0
    start, void = None, False
    for k in range(n):
        since, void = since + amount[k], void or gap[k]
        if full[k]:
            if start is not None and not void:
                filled, driven_in_all = filled + since, driven_in_all + driven[k] - driven[start]
            start, since, void = k, 0.0, False
    assert (found.amount, found.distance) == (pytest.approx(filled, rel=1e-12), pytest.approx(driven_in_all, rel=1e-12))
