"""energy.csv: how its cells are read, what is refused and in which words, and that it is written as it was read."""

import datetime as dt
from decimal import Decimal
from time import perf_counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from project.folders import TOML, faults_of, made, swapped

from buildecon.project import read_project, write_project
from buildecon.project.fills import LARGEST_FILL, in_order, unit_of
from buildecon.project.forms import Files
from buildecon.project.rows import Fill
from buildecon.quantities.estimate import Estimate, sure
from buildecon.quantities.units import AMOUNT_PER

HEADER = "date,odometer,source,filled,unit,in_battery,full,gap_before,paid,odometer_now,correction\n"
FILL = "2026-03-01,100000,petrol,40.125,,,yes,,60,,\n"
WITH_CHARGING = swapped(TOML, "[[must_haves]]", '[energy.charging]\nunit = "kWh"\nprice = 0.3\n\n[[must_haves]]')
ROUNDS = settings(deadline=None, derandomize=True, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])


def folder_with(tmp_path, text, build=WITH_CHARGING):
    folder = made(tmp_path / "car", build=build)
    (folder / "energy.csv").write_text(text, encoding="utf-8")
    return folder


def said(tmp_path, *rows, build=WITH_CHARGING):
    return faults_of(folder_with(tmp_path, HEADER + "".join(row + "\n" for row in rows), build))


def test_a_fill_is_read_cell_by_cell(tmp_path):
    project = read_project(folder_with(tmp_path, HEADER + FILL))
    assert project.energy == (Fill(row=2, date=dt.date(2026, 3, 1), odometer=100000, source="petrol", filled=Decimal("40.125"), full="yes", paid=60),)
    assert project.energy[0].row == 2
    assert unit_of(project.energy[0], project.file.energy) == "L"
    assert project.energy[0].is_fill


def test_a_folder_without_a_log_and_a_log_without_rows_have_no_fills(tmp_path):
    assert read_project(made(tmp_path / "without")).energy == ()
    assert read_project(folder_with(tmp_path, HEADER)).energy == ()


def test_a_pump_s_three_decimals_are_read_and_an_odometer_s_are_asked_about(tmp_path):
    assert said(tmp_path, "2026-03-01,100000,petrol,9.876,,,yes,,,,") == []
    assert said(tmp_path, "2026-03-01,100.000,petrol,9.876,,,yes,,,,") == [
        "energy.csv line 2, odometer: must be readable one way only, got '100.000'. Write 100000 or 100.00, or declare the decimal sign under [files]."
    ]


def test_the_form_of_the_file_is_declared_under_files(tmp_path):
    build = WITH_CHARGING + '[files.energy]\ndecimal = ","\ndate_order = "dmy"\nseparator = ";"\n'
    project = read_project(folder_with(tmp_path, "date;odometer;source;filled;full\n01/03/2026;100.000;petrol;40,125;yes\n", build))
    assert (project.energy[0].odometer, project.energy[0].filled, project.energy[0].date) == (sure(100000), sure("40.125"), dt.date(2026, 3, 1))
    assert set(Files.model_fields) >= {"energy", "hours"}


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("2026-07-01,100000,petrol,40,,,yes,,,,", "date: must be on or before as_of, 2026-06-30, got 2026-07-01. Check its year, or move as_of in build.toml."),
        ("2026-03-01,100000,petrl,40,,,yes,,,,", "source: must be the name of an [energy.NAME] of build.toml, got 'petrl', which is not a known name. Did you mean 'petrol'?"),
        ("2026-03-01,100000,,40,,,yes,,,,", "must be given its source, the name of an [energy.NAME] of build.toml, when something was filled."),
        ("2026-03-01,100000,petrol,40,kWh,,yes,,,,", "unit: must be a unit that fits L, in which 'petrol' is paid for, got 'kWh'."),
        ("2026-03-01,100000,charging,40,L,,yes,,,,", "unit: must be a unit that fits kWh, in which 'charging' is paid for, got 'L'."),
        ("2026-03-01,100000,petrol,40,gal,,yes,,,,", "unit: must be one of 'L', 'gal US', 'gal imperial', 'kWh', or empty, got 'gal'. Did you mean 'gal US'?"),
        ("2026-03-01,100000,petrol,40,,30,yes,,,,", "in_battery: must be empty for a fill in L, got 30."),
        ("2026-03-01,100000,charging,20,,20.5,yes,,,,", "must be given at most as much in_battery as was filled, 20. It is 20.5; filled is what the wall gave."),
        ("2026-03-01,100000,petrol,0,,,yes,,,,", "filled: must be above 0, got 0."),
        ("2026-03-01,100000,petrol,-4,,,yes,,,,", "filled: must be above 0, got -4."),
        ("2026-03-01,100000,petrol,30-40,,,yes,,,,", "filled: must be one number and no range, got 30-40. Leave out a fill that nobody knows, and write gap_before = yes on the next one."),
        ("2026-03-01,100000,petrol,\"45,230\",,,yes,,,,", "filled: must be at most 2000, got 45,230. Check its decimal sign, or declare it under [files.energy]."),
        ("2026-03-01,about 1-2,petrol,40,,,yes,,,,", "odometer: must be one number and no range, got about 1-2. Leave out a fill that nobody knows, and write gap_before = yes on the next one."),
        ("2026-03-01,-1,petrol,40,,,yes,,,,", "odometer: must be a number of at least 0, got -1."),
        ("2026-03-01,100000,petrol,40,,,full,,,,", "full: must be one of 'yes', 'no', or empty, got 'full'."),
        ("2026-03-01,100000,petrol,40,,,yes,,,,5.06", "correction: must be a factor between 0.5 and 2, got 5.06. Write 1.05 where 105 km or mi are driven for every 100 shown."),
        ("2026-03-01,100000,petrol,,,,,,,,", "must be given what was filled, or odometer_now or correction where the odometer changed. A fill of which nobody knows the amount is left out, and gap_before is yes on the next one."),
        ("2026-03-01,100000,,,,,yes,,,0,", "must be without paid, full and gap_before when nothing was filled."),
        ("2026-03-01,100000,,,,,,,12,0,", "must be without paid, full and gap_before when nothing was filled."),
        ("2026-03-01,,petrol,40,,,yes,,,,", "odometer: must be given, and is missing."),
        (",100000,petrol,40,,,yes,,,,", "date: must be given, and is missing."),
    ],
)  # fmt: skip
def test_what_is_refused_names_the_rule_the_value_and_the_cure(tmp_path, row, message):
    found = said(tmp_path, row)
    assert found == [f"energy.csv line 2{', ' if ': must' in message else ': '}{message}"]


def test_an_odometer_runs_forwards_by_date_unless_it_was_changed(tmp_path):
    # Newest first, as some write: read by date. Line 3 is the earlier one.
    assert said(tmp_path, "2026-03-09,100400,petrol,30,,,yes,,,,", "2026-03-01,100000,petrol,40,,,yes,,,,") == []
    assert said(tmp_path, "2026-03-09,99400,petrol,30,,,yes,,,,", "2026-03-01,100000,petrol,40,,,yes,,,,") == [
        "energy.csv line 2, odometer: must be at least that of the row before it by date, 100000 on line 3, got 99400. "
        "Check both and their dates, or write odometer_now where the odometer was changed or began again at 0."
    ]
    changed = ["2026-03-01,100000,petrol,40,,,yes,,,,", "2026-03-05,100200,,,,,,,,0,", "2026-03-09,200,petrol,30,,,yes,,,,"]
    assert said(tmp_path, *changed) == []
    assert said(tmp_path, *changed[:2], "2026-03-09,100200,petrol,30,,,yes,,,50,", "2026-03-10,40,petrol,30,,,yes,,,,") == [
        "energy.csv line 5, odometer: must be at least that of the row before it by date, 50 on line 4, got 40. "
        "Check both and their dates, or write odometer_now where the odometer was changed or began again at 0."
    ]
    assert said(tmp_path, "2026-03-01,100000,petrol,40,,,yes,,,,", "2026-03-01,100000,petrol,2,,,yes,,,,") == []


def test_a_fill_on_the_day_of_as_of_counts(tmp_path):
    assert said(tmp_path, "2026-06-30,100000,petrol,40,,,yes,,,,") == []


def test_a_fill_that_stands_twice_is_refused(tmp_path):
    row = "2026-03-01,100000,petrol,40,,,yes,,,,"
    assert said(tmp_path, row, row.replace(",40,", ",40.0,")) == [
        "energy.csv line 3, filled: must stand once, got the fill of line 2 again. Take one of the two out."
    ]


def test_every_fault_is_told_at_once_and_none_of_the_order_while_rows_are_missing(tmp_path):
    assert said(tmp_path, "2026-03-01,100000,petrol,40,,,yes,,,,", "2026-03-05,?,petrol,40,,,yes,,,,", "2026-03-09,99000,petrl,40,,,yes,,,,") == [
        "energy.csv line 3, odometer: must be a number or a range, got '?'. Write 1250, 1000-1300 or 1000/1150/1300.",
        "energy.csv line 4, source: must be the name of an [energy.NAME] of build.toml, got 'petrl', which is not a known name. Did you mean 'petrol'?",
    ]


def test_a_column_of_another_name_is_refused_with_the_nearest_of_ours(tmp_path):
    assert faults_of(folder_with(tmp_path, "date,odometr,source,filled\n")) == [
        "energy.csv line 1, odometer: must be among the columns, and is missing.",
        "energy.csv line 1, odometr: is not a known name. Did you mean 'odometer'?",
    ]


def test_the_units_of_a_fill_are_those_that_can_be_paid_for():
    assert set(Fill.model_fields["unit"].annotation.__args__) == {"", *AMOUNT_PER}


def test_rows_of_a_day_stay_in_their_order():
    rows = [Fill(row=k, date=dt.date(2026, 3, day), odometer=k, odometer_now=k) for k, day in enumerate((5, 2, 5, 2))]
    assert [row.row for row in in_order(rows)] == [1, 3, 0, 2]


numbers = st.decimals(Decimal("0.001"), LARGEST_FILL, places=3).map(lambda one: Estimate(one, one, one))
readings = st.decimals(Decimal(0), Decimal(10) ** 6, places=1).map(lambda one: Estimate(one, one, one))
words = st.text(st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n,;\"'"), max_size=12).map(str.strip)
FORMS = {"plain": "", "German": '[files.energy]\ndecimal = ","\ndate_order = "dmy"\nseparator = ";"\nencoding = "utf-16"\n'}


def cells(row):
    """All of a row but its line; estimates compare by their numbers."""
    return {name: cell for name, cell in row if name != "row"}


@pytest.mark.parametrize("form", FORMS)
@given(
    st.builds(Fill, date=st.dates(dt.date(1990, 1, 1), dt.date(2026, 6, 30)), odometer=readings, source=st.just("petrol"), filled=numbers,
              unit=st.sampled_from(["", "L", "gal US", "gal imperial"]), full=st.sampled_from(["", "yes", "no"]), gap_before=st.sampled_from(["", "yes", "no"]), paid=st.none() | numbers.map(lambda one: sure(round(one.likely, 2))),
              place=words, load=words, odometer_now=st.none() | readings, correction=st.none() | st.decimals(Decimal("0.5"), 2, places=4).map(sure), note=words),
    st.builds(Fill, date=st.just(dt.date(1989, 1, 1)), odometer=st.just(0), source=st.just("charging"), in_battery=numbers, unit=st.just("kWh"), note=words),
)  # fmt: skip
@ROUNDS
def test_fills_are_read_as_they_were_written(tmp_path, form, one, other):
    folder = made(tmp_path / "car", build=WITH_CHARGING + FORMS[form])
    (folder / "energy.csv").unlink(missing_ok=True)
    project = read_project(folder).model_copy(update={"energy": (other, one)})
    write_project(project)
    found = read_project(folder)
    assert [cells(row) for row in found.energy] == [cells(row) for row in (other, one)]
    before = (folder / "energy.csv").read_bytes()
    write_project(found)
    assert (folder / "energy.csv").read_bytes() == before


def test_a_log_that_has_not_changed_keeps_its_bytes(tmp_path):
    folder = folder_with(tmp_path, HEADER + FILL.replace("yes", ' "yes" '.strip()))
    before = (folder / "energy.csv").read_bytes()
    project = read_project(folder)
    write_project(project.model_copy(update={"file": project.file.model_copy(update={"use": project.file.use.model_copy(update={"years_kept": 7})})}))
    assert (folder / "energy.csv").read_bytes() == before


def test_ten_thousand_rows_are_read_in_seconds(tmp_path):
    first = dt.date(1995, 1, 1)
    rows = "".join(f"{first + dt.timedelta(days=k)},{1000 + 400 * k},petrol,{30 + k % 7}.125,,,yes,,50,,\n" for k in range(10_000))
    folder = folder_with(tmp_path, HEADER + rows)
    begin = perf_counter()
    assert len(read_project(folder).energy) == 10_000
    assert perf_counter() - begin < 20  # about one and a half
