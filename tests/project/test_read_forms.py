"""Files written another way: declared once, read to the same records; what can be read two ways is refused."""

import datetime as dt
from decimal import Decimal

import pytest
from project.folders import EVENTS, LINES, MARKET, TOML, faults_of, made, records, swapped, with_rows

from buildecon.project import read_project

PLAIN_ROWS = ('a4,Engine,"Zündkerzen, vier – gut",part,"1,250.50",2026-06-30,né à Thúy', "a5,Engine,Öl,consumable,about 1000-1300.5,2025-12-01,")
# The same two rows in each form, typed by hand; the rest of the file is turned below.
FORMS = {
    "decimal comma": (
        'decimal = ","',
        ('a4,Engine,"Zündkerzen, vier – gut",part,"1.250,50",2026-06-30,né à Thúy', 'a5,Engine,Öl,consumable,"about 1000-1300,5",2025-12-01,'),
    ),
    "day first": (
        'date_order = "dmy"',
        ('a4,Engine,"Zündkerzen, vier – gut",part,"1,250.50",30.06.2026,né à Thúy', "a5,Engine,Öl,consumable,about 1000-1300.5,1/12/2025,"),
    ),
    "month first": (
        'date_order = "mdy"',
        ('a4,Engine,"Zündkerzen, vier – gut",part,"1,250.50",06/30/2026,né à Thúy', "a5,Engine,Öl,consumable,about 1000-1300.5,12-1-2025,"),
    ),
    "another separator": (
        'separator = ";"',
        ("a4;Engine;Zündkerzen, vier – gut;part;1,250.50;2026-06-30;né à Thúy", "a5;Engine;Öl;consumable;about 1000-1300.5;2025-12-01;"),
    ),
    "tabs": (
        'separator = "\\t"',
        ("a4\tEngine\tZündkerzen, vier – gut\tpart\t1,250.50\t2026-06-30\tné à Thúy", "a5\tEngine\tÖl\tconsumable\tabout 1000-1300.5\t2025-12-01\t"),
    ),
    "cp1252": ('encoding = "cp1252"', PLAIN_ROWS),
    "utf-16": ('encoding = "utf-16"', PLAIN_ROWS),
    "all of a German export": (
        'decimal = ","\ndate_order = "dmy"\nencoding = "cp1252"\nseparator = ";"',
        ("a4;Engine;Zündkerzen, vier – gut;part;1.250,50;30.06.2026;né à Thúy", "a5;Engine;Öl;consumable;about 1000-1300,5;01.12.2025;"),
    ),
}


def turned(text, form):
    """A plain csv text, which has no cell with a separator or a fraction in it, in another form."""
    for day in ("2026-01-02", "2026-02-03", "2026-03-04", "2026-03-20", "2026-05-01"):
        year, month, date = day.split("-")
        text = text.replace(day, f"{date}.{month}.{year}" if "dmy" in form else f"{month}/{date}/{year}" if "mdy" in form else day)
    return text.replace(",", ";" if '";"' in form else "\t" if "\\t" in form else ",")


@pytest.mark.parametrize("name", FORMS)
def test_a_declared_form_gives_the_same_records_as_the_plain_one(tmp_path, name):
    form, rows = FORMS[name]
    build = TOML + "".join(f"\n[files.{table}]\n{form}\n" for table in ("lines", "events", "market"))
    encoding = next((part for part in ("cp1252", "utf-16") if part in form), "utf-8")
    texts = {"lines": turned(LINES, form) + "\n".join(rows), "events": turned(EVENTS, form), "market": turned(MARKET, form)}
    found = read_project(made(tmp_path / "other", build=build, **{table: text.encode(encoding) for table, text in texts.items()}))
    plain = read_project(made(tmp_path / "plain", lines=with_rows(*PLAIN_ROWS)))
    assert records(found) == records(plain)
    assert (found.lines[3].paid.likely, found.lines[3].date) == (Decimal("1250.50"), dt.date(2026, 6, 30))
    assert (found.lines[4].paid.low, found.lines[4].paid.high) == (1000, Decimal("1300.5"))


def test_a_form_is_declared_for_each_file_by_itself(tmp_path):
    build = TOML + '\n[files.market]\ndate_order = "dmy"\n'
    project = read_project(made(tmp_path / "car", build=build, market=MARKET.replace("2026-05-01", "1.5.2026")))
    assert project.market[0].date == dt.date(2026, 5, 1)


def test_a_byte_order_mark_is_no_part_of_the_first_name(tmp_path):
    assert faults_of(made(tmp_path / "car", lines=("\ufeff" + LINES).encode(), build=("\ufeff" + TOML).encode())) == []


@pytest.mark.parametrize(
    ("cell", "readings"),
    [
        ("1.234", "Write 1234 or 1.2340, or declare the decimal sign under [files]."),
        ("about 1.234", "Write 1234 or 1.2340, or declare the decimal sign under [files]."),
        ("1.000-1.300", "Write 1000 or 1.00, or declare the decimal sign under [files]."),
        ("900/1.000/1.300", "Write 1000 or 1.00, or declare the decimal sign under [files]."),
        ("<200", "Write 0-200 for a range, or 200 alone."),
        ("> 200", "Write 0-200 for a range, or 200 alone."),
        ("12-1500", "Write 1200-1500 for 1200 to 1500, or 12/756/1500 for 12 to 1500."),
        ("1-2k", "Write 1000-2000 for 1000 to 2000, or 1/1000.5/2000 for 1 to 2000."),
    ],
)
def test_what_can_be_read_two_ways_is_refused_with_both(tmp_path, cell, readings):
    assert faults_of(made(tmp_path / "car", lines=with_rows(f"a4,Engine,oil,part,{cell},,"))) == [
        f"lines.csv line 5, paid: must be readable one way only, got {cell!r}. {readings}"
    ]


def test_each_of_the_readings_offered_can_be_read(tmp_path):
    rows = [
        f"b{k},Engine,oil,part,{cell},,"
        for k, cell in enumerate(("1234", "1.2340", "0-200", "200", "1200-1500", "12/756/1500", "1000-2000", "1/1000.5/2000"))
    ]
    found = [line.paid for line in read_project(made(tmp_path / "car", lines=with_rows(*rows))).lines[3:]]
    assert [(paid.low, paid.high) for paid in found] == [
        (1234, 1234), (Decimal("1.234"), Decimal("1.234")), (0, 200), (200, 200), (1200, 1500), (12, 1500), (1000, 2000), (1, 2000),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("cell", "likely"),
    [("0.125", "0.125"), ('"1,234.500"', "1234.5"), ("1234.567", "1234.567"), ("1 234.567", "1234.567"), ("1.234k", "1234")],
)
def test_three_decimals_are_read_where_no_thousands_can_be_meant(tmp_path, cell, likely):
    assert read_project(made(tmp_path / "car", lines=with_rows(f"a4,Engine,oil,part,{cell},,"))).lines[3].paid.likely == Decimal(likely)


def test_a_rate_of_exchange_may_have_three_decimals(tmp_path):
    project = read_project(made(tmp_path / "car", events=EVENTS + "a3,2026-04-01,payment,10,USD,1.085\n"))
    assert project.events[2].rate.likely == Decimal("1.085")


def test_the_level_of_a_price_index_may_have_three_decimals(tmp_path):
    folder = made(tmp_path / "car")
    (folder / "index.csv").write_text("period,level\n2024,313.689\n", encoding="utf-8")
    assert read_project(folder).index[0].level.likely == Decimal("313.689")


def test_the_same_doubt_in_a_file_with_decimal_commas_is_about_the_comma(tmp_path):
    build = TOML + '\n[files.lines]\ndecimal = ","\nseparator = ";"\n'
    lines = with_rows("a4,Engine,oil,part,1x234,,", "a5,Engine,oil,part,1.234,,", "a6,Engine,oil,part,1x5-1500,,").replace(",", ";").replace("x", ",")
    assert faults_of(made(tmp_path / "car", build=build, lines=lines)) == [
        "lines.csv line 5, paid: must be readable one way only, got '1,234'. Write 1234 or 1,2340, or declare the decimal sign under [files].",
        "lines.csv line 7, paid: must be readable one way only, got '1,5-1500'. Write 1500-1500 for 1500 to 1500, or 1,5/750,75/1500 for 1,5 to 1500.",
    ]


@pytest.mark.parametrize("cell", ["about 1000-1300", "1000 to 1300", "1000/1150/1300", "~1.2k", "ca. 1 000 – 1 300", "1\u00a0250", "1250.00"])
def test_a_range_keeps_the_words_of_the_owner(tmp_path, cell):
    assert read_project(made(tmp_path / "car", lines=with_rows(f"a4,Engine,oil,part,{cell},,"))).lines[3].paid.text == cell


def test_a_decimal_comma_in_a_file_with_points_is_refused(tmp_path):
    assert faults_of(made(tmp_path / "car", lines=with_rows('a4,Engine,oil,part,"12,50",,'))) == [
        "lines.csv line 5, paid: must be a number with '.' as its decimal sign, got '12,50'. Write 12.50, or declare decimal = ',' for the file in build.toml, as in [files.lines]."
    ]


def test_the_order_of_day_and_month_is_never_guessed(tmp_path):
    build = TOML + '\n[files.lines]\ndate_order = "mdy"\n'
    lines = swapped(swapped(swapped(LINES, "2026-01-02", "01/02/2026"), "2026-02-03", "30/06/2026"), "2026-03-04", "")
    assert faults_of(made(tmp_path / "car", build=build, lines=lines)) == [
        "lines.csv line 3, date: must be a date like 06/30/2026, got '30/06/2026'. Declare date_order = 'dmy' or 'mdy' for the file in build.toml, as in [files.lines], or leave the cell empty."
    ]
