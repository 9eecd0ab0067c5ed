"""Reading a project folder: every fault with its place, its value and its cure, and all of them at once."""

import shutil

import pytest
from project.folders import DEMOS, EVENTS, LINES, MARKET, ROOT, TOML, faults_of, made, swapped, with_rows

from buildecon.project import ProjectFaults, read_project

# What is changed in build.toml, and what is then said.
IN_TOML = {
    ("years_kept = 5", "years_kept = 41"): "line 16, use.years_kept: must be at most 40, got 41.",
    ("years_kept = 5", "years_kept = 0"): "line 16, use.years_kept: must be at least 1, got 0.",
    ("years_kept = 5", "years_kept = 5.5"): "line 16, use.years_kept: must be a whole number, got 5.5.",
    ("years_kept = 5", "years_kept = true"): "line 16, use.years_kept: must be a whole number, got true.",
    ("spent = 10", 'spent = "ten"'): "line 19, own_hours.spent: must be a number or a range, got 'ten'. "
    "Write 1250 or { low = 1000, likely = 1150, high = 1300 }.",
    ("spent = 10", "spent = -1"): "line 19, own_hours.spent: must be a number of at least 0, got -1.",
    ("spent = 10", "spent = nan"): "line 19, own_hours.spent: must be a finite number, got NaN.",
    ("spent = 10", "spent = 1e13"): "line 19, own_hours.spent: must be a number of at most 1,000,000,000,000, got 1E+13. Check its digits.",
    ("low = 900, ", ""): "line 25, value.as_is: must be a range of low, likely and high, got { likely = 1000, high = 1200 }. "
    "Write { low = 1000, likely = 1150, high = 1300 }.",
    ("low = 900", "low = 1100"): "line 25, value.as_is: must be low, likely, high in rising order, got 1100, 1000, 1200.",
    ("low = 900", "low = -900"): "line 25, value.as_is: must be a number of at least 0, got { low = -900, likely = 1000, high = 1200 }.",
    ("finished = 2000", "finished = 2000\nselling_cost_share = 4"): "line 27, value.selling_cost_share: must be a fraction between 0 and 1, got 4. "
    "Write 12 % as 0.12.",
    ('currency = "EUR"', 'currency = "EURO"'): "line 5, build.currency: must be a three-letter ISO 4217 currency code, got 'EURO'. "
    "Write EUR, GBP, USD or another code in capitals.",
    ("2026-06-30", '"2026-06-30"'): "line 6, build.as_of: must be a date like 2026-06-30 without quotes, got '2026-06-30'.",
    ("2026-06-30", "20260630"): "line 6, build.as_of: must be a date like 2026-06-30 without quotes, got 20260630.",
    ('"km"', '"miles"'): "line 7, build.distance_unit: must be one of km, mi, got 'miles'.",
    ('"planned"', '"begun"'): "line 8, build.stage: must be one of 'planned', 'in progress', 'finished', got 'begun'.",
    ('name = "Test car"', "name = 3"): "line 4, build.name: must be text in quotes, got 3.",
    ('name = "Test car"', ""): "line 3, build.name: must be given, and is missing.",
    ('"hobby"', '"hobby"\nwages = 3'): "line 23, own_hours.wages: is not a known name. Did you mean 'wage'?",
    ("price = 1.5", 'price = 1.5\ntariffs = [{ name = "a", share = 1, price = 1 }]'): "line 29, energy.petrol: must be given a price or tariffs, and not both. "
    "Write price = 1.72, or tariffs with their shares.",
    ("price = 1.5", 'tariffs = [{ name = "a", share = 0.9, price = 1 }]'): "line 29, energy.petrol: must be given tariffs whose shares add up to 1. "
    "They add up to 0.9.",
    ("at_least = 2", "at_least = 2\nyes = true"): "line 33, must_haves.1: must be given exactly one of at_least, at_most, yes = true, until_year.",
    ("amount = 8", "amount = 0"): "line 43, options.1.energy.1.amount: must be above 0, got 0.",
    ("L/100 km", "l/100 km"): "line 43, options.1.energy.1.unit: must be one of L/100 km, mpg US, mpg imperial, km/L, "
    "kWh/100 km, Wh/km, Wh/mi, got 'l/100 km'.",
    ("seats = 4", "seats = nan"): "line 57, options.2.facts.seats: must be a number of at most 1,000,000,000,000, true, false or a text in quotes, got NaN. "
    'Write "unknown" for what is not known.',
    ("price = 3000", 'price = 3000\nuses_base_car = "no"'): "line 54, options.2.uses_base_car: must be true or false, got 'no'.",
    ("price = 3000", 'price = 3000\nshares_systems = "Engine"'): "line 54, options.2.shares_systems: must be a list, got 'Engine'.",
    ("price = 3000", "price = 3000\nloan = 5"): "line 54, options.2.loan: must be a table, got 5.",
    ("decline_rate = 0.1\nenergy", "energy"): "line 38, options.1: must be given decline_rate, the share of its value lost a year, "
    "or value_path, and not both. Write decline_rate = 0 for a value that holds.",
    ('kind = "buy"', 'kind = "hire"'): "line 49, options.2: must be given hire = { days_a_year, per_day } when kind = 'hire', and only then.",
    ("# the end", "[files.lines]\ndecimal = ';'"): "line 60, files.lines.decimal: must be one of '.', ',', got ';'.",
}
# What is changed in lines.csv.
IN_LINES = {
    ("500", "TBC"): "line 3, paid: must be a number or a range, got 'TBC'. Write 1250, 1000-1300 or 1000/1150/1300; leave it empty if it is not known.",
    ("500", "-5"): "line 3, paid: must be a number of at least 0, got -5. Write money back as a positive amount: a line of its own with nature credit, or a refund in events.csv.",
    ("500", "1300-1000"): "line 3, paid: must rise from low to high, got '1300-1000'.",
    ("500", "3/2/1"): "line 3, paid: must be low, likely, high in rising order, got 3, 2, 1.",
    ("2026-02-03", "2026-02-30"): "line 3, date: must be a date like 2026-06-30, got '2026-02-30'. Declare date_order = 'dmy' or 'mdy' for the file in build.toml, as in [files.lines], or leave the cell empty.",
    ("Engine", ""): "line 3, system: must be given, and is missing.",
    (",part", ",parts"): "line 3, nature: must be one of 'part', 'outside work', 'consumable', 'freight and tax', 'tool', 'fetching', 'paper', 'storage', "
    "'insurance', 'downtime', 'second car', 'finance', 'base car', 'credit', got 'parts'. Did you mean 'part'?",
    ("a set", "a set,"): "line 3: must have 7 cells, got 8. Put quotes around a text that has the separator in it.",
    ("2026-02-03,a set", "2026-02-03"): "line 3: must have 7 cells, got 6. An empty cell needs its separator too.",
    ("a set", '"a set'): "line 3: must be csv with ',' between cells; unexpected end of data. Check the quotes from this line on.",
    ("a set", "a \0set"): "line 3: must be text, got a NUL byte. Save it anew from the program it came from.",
    ("date", "dat"): "line 1, dat: is not a known name. Did you mean 'date'?",
    ("date", "paid"): "line 1, paid: must stand once in the header, got it 2 times.",
    ("date", ""): "line 1: must have a name in every cell of the header, got '' in cell 6.",
    ("system,", ""): "line 1, system: must be among the columns, and is missing.",
}

@pytest.mark.parametrize("name", DEMOS)
def test_the_demo_folders_read_without_a_fault(tmp_path, name):
    shutil.copytree(ROOT / "data-demo" / name, tmp_path / name)
    project = read_project(tmp_path / name)
    assert project.folder == str(tmp_path / name)
    with (tmp_path / name / "lines.csv").open(encoding="utf-8") as file:
        assert len(project.lines) == sum(1 for _ in file) - 1
    assert project.events and project.market and project.option(project.file.build.quoted_option).kind == "build"


def test_the_small_folder_of_these_tests_reads_without_a_fault(tmp_path):
    assert faults_of(made(tmp_path / "car")) == []


def test_a_folder_needs_neither_events_nor_evidence(tmp_path):
    project = read_project(made(tmp_path / "car", events=None, market=None))
    assert (project.events, project.market) == ((), ())


@pytest.mark.parametrize("change", IN_TOML, ids=lambda change: change[1][:40])
def test_a_fault_in_build_toml_is_said_with_line_key_value_and_cure(tmp_path, change):
    assert faults_of(made(tmp_path / "car", build=swapped(TOML, *change))) == [f"build.toml {IN_TOML[change]}"]


@pytest.mark.parametrize("change", IN_LINES, ids=lambda change: change[1][:40])
def test_a_fault_in_a_csv_file_is_said_with_line_column_value_and_cure(tmp_path, change):
    assert faults_of(made(tmp_path / "car", lines=swapped(LINES, *change))) == [f"lines.csv {IN_LINES[change]}"]


def test_eight_faults_in_three_files_are_said_at_once(tmp_path):
    build = swapped(swapped(swapped(TOML, '"EUR"', '"EURO"'), "years_kept = 5", "years_kept = 41"), "price = 3000", "price = nan")
    lines = with_rows("a4,Engine,oil,consumable,TBC,,", "a5,Engine,oil,consumable,20,2026-02-30,", "a6,Engine,oil,oils,20,,")
    events = EVENTS.replace("300", "<300") + "a3,2026-04-01,payment,10,XYZ,1.1\n"
    with pytest.raises(ProjectFaults) as refusal:
        read_project(made(tmp_path / "car", build=build, lines=lines, events=events))
    assert [(fault.file, fault.line, fault.column) for fault in refusal.value.faults] == [
        ("build.toml", 5, "build.currency"), ("build.toml", 16, "use.years_kept"), ("build.toml", 53, "options.2.price"),
        ("events.csv", 2, "amount"), ("events.csv", 4, "currency"),
        ("lines.csv", 5, "paid"), ("lines.csv", 6, "date"), ("lines.csv", 7, "nature"),
    ]  # fmt: skip
    assert str(refusal.value).count("\n") == 7


def test_two_faulty_cells_of_one_row_are_two_faults(tmp_path):
    assert [fault.split(":")[0] for fault in faults_of(made(tmp_path / "car", lines=with_rows("a4,Engine,oil,consumable,TBC,soon,")))] == [
        "lines.csv line 5, date",
        "lines.csv line 5, paid",
    ]


def test_faults_between_files_are_said_together_with_those_inside_them(tmp_path):
    lines = with_rows("a2,Engine,oil,consumable,20,,", "a5,Engine,oil,consumable,TBC,,")
    found = faults_of(made(tmp_path / "car", build=swapped(TOML, '"petrol", amount', '"petrl", amount'), lines=lines, market=MARKET + "m1,x,sold,2026-04-01,1500,\n"))
    assert [fault.split(":")[0] for fault in found] == [
        "build.toml line 43, options.1.energy",
        "lines.csv line 5, id",
        "lines.csv line 6, paid",
        "market.csv line 3, id",
    ]


def test_a_row_that_could_not_be_read_is_no_reason_for_a_fault_elsewhere(tmp_path):
    lines = LINES.replace("a3,Engine,head work,outside work,,", "a3,Engine,head work,outside work,TBC,").replace(",base car,1000", ",base car,cheap")
    events = EVENTS.replace("payment,300", "payment,TBC")
    found = faults_of(made(tmp_path / "car", lines=lines, events=events))
    assert [fault.split(":")[0] for fault in found] == ["events.csv line 2, amount", "lines.csv line 2, paid", "lines.csv line 4, paid"]


def test_csv_files_are_not_judged_while_nobody_knows_how_they_are_written(tmp_path):
    build = swapped(TOML, "# the end", '[files.lines]\nseparator = ";"\nencoding = "latin"')
    assert [fault.split(":")[0] for fault in faults_of(made(tmp_path / "car", build=build, lines=LINES.replace(",", ";")))] == [
        "build.toml line 61, files.lines.encoding"
    ]
    build = swapped(build, "years_kept = 5", "years_kept =")
    assert faults_of(made(tmp_path / "car", build=build)) == [
        "build.toml line 16: must be TOML, got 'years_kept =': invalid value. Check the quotes, commas and brackets there and above."
    ]


def test_csv_files_are_judged_beside_a_build_toml_with_faults(tmp_path):
    found = faults_of(made(tmp_path / "car", build=swapped(TOML, "years_kept = 5", "years_kept ="), lines=with_rows("a3,Engine,oil,consumable,20,,")))
    assert [fault.split(":")[0] for fault in found] == ["build.toml line 16", "lines.csv line 5, id", "lines.csv line 5, paid"]


def test_a_wrong_separator_is_one_fault_and_names_the_cure(tmp_path):
    assert faults_of(made(tmp_path / "car", lines=LINES.replace(",", ";"))) == [
        "lines.csv line 1: must be a header with ',' between cells, got 'id;system;item;nature;paid;date;note'. Declare it in build.toml: [files.lines] and under it separator = ';' (or what it is)."
    ]


def test_the_nearest_known_name_is_offered_or_all_of_them(tmp_path):
    found = faults_of(made(tmp_path / "car", lines=swapped(LINES, "note", "supplyer"), events=swapped(EVENTS, "currency", "zzz")))
    assert found[1] == "lines.csv line 1, supplyer: is not a known name. Did you mean 'supplier'?"
    assert found[0] == (
        "events.csv line 1, zzz: is not a known name. Known names: amount, currency, date, document, due, kind, line, note, rate."
    )


def test_a_folder_without_files_says_which_are_needed(tmp_path):
    with pytest.raises(ProjectFaults) as refusal:
        read_project(tmp_path)
    assert str(refusal.value) == (
        "build.toml: must be there, and is missing. Copy one from a demo folder and change it.\n"
        "lines.csv: must be there, and is missing. Copy one from a demo folder and change it."
    )
