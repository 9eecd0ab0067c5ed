"""What a project's log says: by hand, whatever the unit, beside what build.toml states, and on the demos."""

import datetime as dt
from decimal import Decimal
from time import perf_counter

import hypothesis.strategies as st
import numpy as np
import pytest
from demos import demo
from fuel import CHARGING, DAY, PETROL, fill, project_of
from hypothesis import given, settings

from buildecon.ownership.fuel_log import FILL_LEVEL_SD, WINTER_HALF, by_group, pooled, season_labels
from buildecon.ownership.measured import agrees, read_logs
from buildecon.project.records import Energy
from buildecon.project.rows import Fill
from buildecon.quantities.estimate import Estimate
from buildecon.quantities.units import AMOUNT_PER, KM_PER, consumption_in

steadily = settings(deadline=None, derandomize=True, max_examples=50)


# read_logs


def test_a_log_by_hand():
    # 40 starts; 10 in part and 25 full on 500 km, 21 full on 300: 56 on 800 is 7.00; sqrt(2) x 1 / 56 of it is 0.17678.
    fills = [fill(0, 1000, 40, paid=60), fill(1, 1150, 10, full="no", paid=16), fill(2, 1500, 25, paid=40), fill(3, 1800, 21)]
    (log,) = read_logs(project_of(fills), {"fuel": 1.0})
    assert (log.source, log.unit, len(log.rows), log.used, log.loss) == ("petrol", "L", 4, None, None)
    assert (log.bought.consumption, log.bought.amount, log.bought.distance, log.bought.spans) == (pytest.approx(7, rel=1e-14), 56, 800, 2)
    assert log.bought.standard_error == pytest.approx(7 * np.sqrt(2) / 56, rel=1e-14)
    # 116 paid for the 75 that have a price.
    assert log.price == pytest.approx(116 / 75, rel=1e-14)
    assert [(place.name, place.amount, place.paid, place.fills, place.stated_price, place.stated_share) for place in log.places] == [
        ("", 75, 116, 3, 1.5, None)
    ]
    assert (log.stated.bought, log.stated.used, log.stated.unit) == ((8.0,) * 3, (8.0,) * 3, "L/100 km")


def test_a_stated_price_a_gallon_is_told_a_litre_by_hand():
    # 3.785411784 a US gallon is 1 a litre; 10 US gallons for 40 are 40 for 37.854 litres.
    fills = [fill(0, 0, 10, paid=40)]
    (log,) = read_logs(project_of(fills, {"petrol": Energy(unit="gal US", price=3.785411784)}, amount=25, unit="mpg US"))
    assert log.places[0].stated_price == pytest.approx(1, rel=1e-12)
    assert log.price == log.places[0].price == pytest.approx(40 / 37.85411784, rel=1e-12)


def test_a_free_charge_has_a_price_of_nothing_and_one_without_a_price_has_none():
    # 20 for 4 and 20 for nothing: 0.10 a kWh; the third is not told.
    charges = [fill(0, 0, 20, "charging", paid=4), fill(1, 100, 20, "charging", paid=0), fill(2, 200, 20, "charging")]
    (log,) = read_logs(project_of(charges, CHARGING, amount=20, unit="kWh/100 km"))
    assert (log.price, log.places[0].fills) == (pytest.approx(0.1, rel=1e-14), 2)


def test_no_log_one_row_and_one_full_fill_measure_nothing():
    assert read_logs(project_of([])) == []
    for fills in ([fill(0, 1000, 40)], [fill(0, 1000, 40), fill(1, 1300, 20, full="no")], [fill(0, 1000, 40), fill(1, 1000, 2)]):
        (log,) = read_logs(project_of(fills))
        assert log.bought is None
        assert log.price is None
        assert log.places == ()


def test_rows_count_by_date_whatever_their_order():
    fills = [fill(0, 1000, 40), fill(1, 1400, 28), fill(2, 2000, 42)]
    assert read_logs(project_of(fills[::-1]))[0].bought == read_logs(project_of(fills))[0].bought


def test_a_changed_odometer_and_larger_tyres_by_hand():
    # 200 on the old clock, a new one from 0, 100 on it, tyres at 1.05, 200 more shown: 300 + 210 = 510 km on 20 + 31 L, 10.00.
    fills = [fill(0, 9000, 40), Fill(row=3, date=DAY, odometer=9200, odometer_now=0), fill(1, 100, 20, correction=1.05), fill(2, 300, 31)]
    (log,) = read_logs(project_of(fills))
    assert log.bought.distance == pytest.approx(510, rel=1e-12)
    assert log.bought.consumption == pytest.approx(10, rel=1e-12)


def test_a_charge_is_measured_at_the_wall_and_in_the_battery_by_hand():
    charges = [
        fill(0, 0, 20, "charging", in_battery=18, place="home", paid=4),
        fill(1, 100, 25, "charging", in_battery=22, place="home", paid=5),
        fill(2, 200, 25, "charging", in_battery=None, place="road", paid=15),
        fill(3, 300, None, "charging", in_battery=20),
        fill(4, 400, 30, "charging", in_battery=26, place="home", paid=6),
    ]
    (log,) = read_logs(project_of(charges, CHARGING, amount=20, unit="kWh/100 km", charging_loss=0.1))
    # At the wall 25, 25, 30 on 300 km; in the battery 22, 20, 26 on 300 km: each is void where it was not read.
    assert (log.bought.consumption, log.bought.spans, log.bought_spans.void, log.bought.runs) == (pytest.approx(80 / 3, rel=1e-14), 3, 1, 2)
    assert (log.used.consumption, log.used.spans, log.used_spans.void, log.used.runs) == (pytest.approx(68 / 3, rel=1e-14), 3, 1, 2)
    # Both were read on 20 + 25 + 30 = 75, of which 66 arrived.
    assert (log.loss[0], log.loss[2]) == (pytest.approx(1 - 66 / 75, rel=1e-12), 3)
    assert [(place.name, place.amount, place.paid, place.fills, place.stated_price, place.stated_share) for place in log.places] == [
        ("home", 75, 15, 3, 0.2, 0.8),
        ("road", 25, 15, 1, 0.6, 0.2),
    ]
    assert log.price == pytest.approx(0.30, rel=1e-12)
    assert (log.stated.used[1], log.stated.bought[1]) == (20, pytest.approx(20 / 0.9, rel=1e-14))


def test_two_energies_share_one_odometer_and_not_their_gaps_by_hand():
    fills = [
        fill(0, 0, 40), fill(1, 0, 10, "charging", in_battery=9), fill(2, 100, 10, "charging", in_battery=9, gap_before="yes"),
        fill(3, 500, 30), fill(4, 600, 12, "charging", in_battery=11),
    ]  # fmt: skip
    petrol, charging = read_logs(project_of(fills, PETROL | CHARGING, distance_share=1))
    assert (petrol.bought.consumption, petrol.bought.distance) == (6, 500)
    assert (charging.bought.consumption, charging.bought.distance, charging.bought_spans.void) == (2.4, 500, 1)
    assert charging.stated is None


def test_a_stated_range_and_a_share_of_the_distance_by_hand():
    # 20 to 30 miles a US gallon, likely 25: the fewest miles are the most fuel. Half the distance is driven on it.
    (log,) = read_logs(project_of([fill(0, 0, 1)], amount=Estimate(Decimal(20), Decimal(25), Decimal(30)), unit="mpg US", distance_share=0.5))
    assert log.stated.bought == pytest.approx([235.214583333 / 30 / 2, 235.214583333 / 25 / 2, 235.214583333 / 20 / 2], rel=1e-11)


def test_days_and_loads_of_spans_by_hand():
    fills = [fill(0, 0, 1), fill(1, 100, 8, load="trailer", full="no"), fill(2, 200, 9), fill(3, 300, 9, load="trailer"), fill(4, 400, 9)]
    (log,) = read_logs(project_of(fills))
    assert log.loads(log.bought_spans) == ["mixed", "trailer", ""]
    assert log.middle_days(log.bought_spans) == [DAY + dt.timedelta(days=day) for day in (10, 25, 35)]


@pytest.mark.parametrize("wrong", [-0.1, float("nan"), float("inf")])
def test_a_level_below_nothing_or_of_something_else_is_refused(wrong):
    with pytest.raises(ValueError, match=rf"^level_sd must be at least 0 for 'fuel' and 'electricity', got {{'fuel': {wrong}, 'electricity': 0.5}}\.$"):
        read_logs(project_of([]), {"fuel": wrong})
    with pytest.raises(ValueError, match=r"^level_sd must be at least 0 for 'fuel' and 'electricity', got {.*'petrol': 1.0}\.$"):
        read_logs(project_of([]), {"petrol": 1.0})


logs = st.lists(
    st.tuples(st.integers(50, 900), st.integers(2000, 80000), st.sampled_from(["yes", "yes", "no"]), st.sampled_from(["", "", "yes"])), min_size=2, max_size=10
)


@steadily
@given(logs, st.sampled_from(["gal US", "gal imperial"]))
def test_the_unit_of_fuel_and_distance_changes_nothing(drawn, unit):
    ends = np.cumsum([leg for leg, *_ in drawn])
    plain = [fill(k, int(end), Decimal(ml) / 1000, full=full, gap_before=gap) for k, (end, (_, ml, full, gap)) in enumerate(zip(ends, drawn, strict=True))]
    other = [
        row.model_copy(update={"filled": est(float(row.filled) / AMOUNT_PER[unit]), "unit": unit, "odometer": est(float(row.odometer) / KM_PER["mi"])})
        for row in plain
    ]
    (one,), (two,) = read_logs(project_of(plain)), read_logs(project_of(other, distance_unit="mi"))
    assert (one.bought is None) == (two.bought is None)
    if one.bought:
        assert two.bought.consumption == pytest.approx(one.bought.consumption, rel=1e-9)
        assert two.bought.standard_error == pytest.approx(one.bought.standard_error, rel=1e-9)
        assert (two.bought.spans, two.bought.runs) == (one.bought.spans, one.bought.runs)


def est(value):
    return Estimate(*(Decimal(repr(value)),) * 3)


def test_ten_thousand_fills_of_a_project_take_a_moment():
    project = project_of(
        [
            Fill(row=k, date=dt.date(2000, 1, 1) + dt.timedelta(days=k % 9000), odometer=k, source="petrol", filled=40, full="yes", paid=50)
            for k in range(10_000)
        ]
    )
    begin = perf_counter()
    (log,) = read_logs(project)
    assert perf_counter() - begin < 5  # about a twentieth of a second
    assert len(log.rows) == 10_000


# agrees


@pytest.mark.parametrize(
    ("measured", "error", "stated", "same"),
    [(24.2, 0.1, (24, 24, 24), True), (24.21, 0.1, (24, 24, 24), False), (23.8, 0.1, (24, 24, 24), True), (23.79, 0.1, (24, 24, 24), False),
     (25.2, 0.1, (23, 24, 25), True), (22.7, 0.1, (23, 24, 25), False), (24, 0, (24, 24, 24), True), (1 - 0.9, 0, (0.1, 0.1, 0.1), True), (24, float("nan"), (24, 24, 24), False)],
)  # fmt: skip
def test_figures_agree_within_two_errors_of_what_is_stated(measured, error, stated, same):
    assert agrees(measured, error, stated) == same


# the demos


def test_the_pickup_runs_24_miles_a_gallon_within_its_error():
    project = demo("pickup")
    (log,) = read_logs(project)
    assert 30 <= len(log.rows) <= 40
    figure = consumption_in(log.bought.consumption, "mpg US")
    assert abs(figure - 24) <= 24 * log.bought.standard_error / log.bought.consumption
    assert (log.bought_spans.void, log.bought.runs) == (1, 2)
    assert any(row.full != "yes" for row in log.rows)
    assert [row.odometer_now.likely for row in project.energy if row.odometer_now] == [116000]
    # Worked out apart from the program: miles between full fills from the readings, less the span with the gap.
    miles = (116183 - 112032) + (119909 - 116000) - (116767 - 116333)
    assert log.bought.distance / KM_PER["mi"] == pytest.approx(miles, rel=1e-12)
    filled = sum(row.filled.likely for row in log.rows[1:] if row.gap_before != "yes")
    assert figure == pytest.approx(miles / float(filled), rel=1e-12)
    states = float(project.file.energy["diesel"].price)
    assert log.price * AMOUNT_PER["gal US"] == pytest.approx(states, rel=0.01)
    assert log.rows[-1].odometer.likely <= project.file.this_car.distance.likely
    per_year = miles / (log.rows[-1].date - log.rows[0].date).days * 365
    assert per_year == pytest.approx(9000, rel=0.06)  # the span of the gap is not in it


def test_the_van_runs_23_kwh_in_the_battery_and_loses_12_percent():
    project = demo("van")
    (log,) = read_logs(project)
    assert abs(log.used.consumption - 23) <= log.used.standard_error
    assert abs(log.loss[0] - 0.12) <= log.loss[1]
    assert agrees(log.bought.consumption, log.bought.standard_error, log.stated.bought)
    assert {place.name: round(place.price, 2) for place in log.places} == {"night, at the bakery": 0.19, "public": 0.52}
    assert log.places[1].amount / sum(place.amount for place in log.places) == pytest.approx(0.15, abs=0.01)
    assert log.rows[-1].odometer.likely <= project.file.this_car.distance.likely
    assert log.level_sd == FILL_LEVEL_SD["electricity"]


def test_the_pickup_by_season_adds_up_to_the_whole():
    (log,) = read_logs(demo("pickup"))
    spans = log.bought_spans
    parts = by_group(spans, season_labels(log.middle_days(spans), WINTER_HALF["north"]), log.level_sd)
    assert sum(one.amount for one in parts.values()) == pytest.approx(log.bought.amount, rel=1e-12)
    assert sum(one.spans for one in parts.values()) == len(spans)
    assert pooled(spans, log.level_sd) == log.bought
