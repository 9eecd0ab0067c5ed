"""published.csv and corrections.csv: every fault with its line, nothing lost, and whole or not at all."""

import datetime as dt
from decimal import Decimal

import pytest
from project.folders import digests, faults_of, made, python

from buildecon.project import ProjectFaults, read_project, write_project
from buildecon.project.rows import Correction, Published

PUBLISHED = """\
figure,value,text,as_of,price_date,version,published_on
stands_in_at,23765,"23,765 EUR",2026-06-30,2026-06-12,1,2026-07-02
rival,,another car,2026-06-30,,1,2026-07-02
"""
CORRECTIONS = """\
figure,old,new,reason,date
stands_in_at,"23,765 EUR","23,910 EUR",The tow was forgotten.,2026-07-09
"""


def folder_of(tmp_path, published=PUBLISHED, corrections=CORRECTIONS):
    folder = made(tmp_path / "car")
    for name, text in (("published.csv", published), ("corrections.csv", corrections)):
        if text is not None:
            (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_both_files_are_read(tmp_path):
    project = read_project(folder_of(tmp_path))
    day = dt.date(2026, 7, 2)
    assert project.published[0] == Published(row=2, figure="stands_in_at", value=Decimal(23765), text="23,765 EUR", as_of=dt.date(2026, 6, 30), price_date=dt.date(2026, 6, 12), version=1, published_on=day)
    assert (project.published[1].value, project.published[1].price_date) == (None, None)
    assert project.corrections == (Correction(row=2, figure="stands_in_at", old="23,765 EUR", new="23,910 EUR", reason="The tow was forgotten.", date=dt.date(2026, 7, 9)),)


def test_neither_is_needed(tmp_path):
    project = read_project(folder_of(tmp_path, None, None))
    assert (project.published, project.corrections) == ((), ())
    assert len(read_project(folder_of(tmp_path, None)).corrections) == 1  # from before the files were kept


def row(text):
    return PUBLISHED + text + "\n"


@pytest.mark.parametrize(("text", "told"), [
    (row("gap,a lot,1 EUR,2026-06-30,,1,2026-07-02"), "published.csv line 4, value: must be a number with '.' as its decimal sign, got 'a lot'."),
    (row("gap,1,1 EUR,2026-06-30,,two,2026-07-02"), "published.csv line 4, version: must be a whole number, got 'two'."),
    (row("gap,1,1 EUR,2026-06-30,,0,2026-07-02"), "published.csv line 4, version: must be at least 1, got '0'."),
    (row("gap,1,1 EUR,June,,1,2026-07-02"), "published.csv line 4, as_of: must be a date like 2026-06-30, got 'June'. Declare date_order = 'dmy' or 'mdy' for the file in build.toml, as in [files.lines]."),
    (row("gap,1,,2026-06-30,,1,2026-07-02"), "published.csv line 4, text: must be given, and is missing."),
    (row('rival,,"a third",2026-06-30,,1,2026-07-02'), "published.csv line 4, figure: must stand once in version 1, got 'rival', which line 3 has already."),
    (row("gap,1"), "published.csv line 4: must have 7 cells, got 2. An empty cell needs its separator too."),
    (PUBLISHED.replace("figure", "figur"), "published.csv line 1, figur: is not a known name. Did you mean 'figure'?"),
    ("", "published.csv: must not be empty. Delete it, or give it the header line of its columns."),
])  # fmt: skip
def test_what_is_wrong_with_published_is_said_with_its_line(tmp_path, text, told):
    folder = folder_of(tmp_path, text)
    before = digests(folder)
    assert told in faults_of(folder)
    assert digests(folder) == before


@pytest.mark.parametrize(("old", "new", "told"), [
    ("stands_in_at,", "stands_in,", "corrections.csv line 2, figure: must be a figure of published.csv, got 'stands_in', which is not a known name. Did you mean 'stands_in_at'?"),
    ("The tow was forgotten.", "", "corrections.csv line 2, reason: must be given, and is missing."),
    ("23,910 EUR", "23,765 EUR", "corrections.csv line 2, new: must be another than old, got '23,765 EUR'. Write what was published under old, and what is right under new."),
    ("2026-07-09", "9 July", "corrections.csv line 2, date: must be a date like 2026-06-30, got '9 July'. Declare date_order = 'dmy' or 'mdy' for the file in build.toml, as in [files.lines]."),
    ("figure,old,new,reason,date", "figure,old,new,date", "corrections.csv line 1, reason: must be among the columns, and is missing."),
])  # fmt: skip
def test_what_is_wrong_with_corrections_is_said_with_its_line(tmp_path, old, new, told):
    assert old in CORRECTIONS
    folder = folder_of(tmp_path, corrections=CORRECTIONS.replace(old, new))
    before = digests(folder)
    assert told in faults_of(folder)
    assert digests(folder) == before


def test_corrections_are_not_judged_by_half_of_what_was_published(tmp_path):
    folder = folder_of(tmp_path, PUBLISHED.replace("23765", "a lot"))
    assert [fault.split(",")[0] for fault in faults_of(folder)] == ["published.csv line 2"]


def with_version(project, version=2):
    more = Published(figure="stands_in_at", value=Decimal("23910.25"), text="23,910 EUR", as_of=dt.date(2026, 6, 30), version=version, published_on=dt.date(2026, 7, 10))
    return project.model_copy(update={"published": (*project.published, more)})


def test_a_version_more_adds_its_rows_and_touches_nothing_else(tmp_path):
    folder = folder_of(tmp_path)
    before = digests(folder)
    write_project(with_version(read_project(folder)))
    assert (folder / "published.csv").read_text(encoding="utf-8") == PUBLISHED + 'stands_in_at,23910.25,"23,910 EUR",2026-06-30,,2,2026-07-10\n'
    after = {name: digest for name, digest in digests(folder).items() if not name.startswith("before")}
    assert {name for name in after if after[name] != before.get(name)} == {"published.csv"}
    assert read_project(folder).published[2].value == Decimal("23910.25")


def test_a_first_version_makes_the_file(tmp_path):
    folder = folder_of(tmp_path, None, None)
    write_project(with_version(read_project(folder), 1))
    assert [row.version for row in read_project(folder).published] == [1]


def test_a_decimal_comma_is_kept(tmp_path):
    folder = folder_of(tmp_path, PUBLISHED.replace(",23765,", ",23765.5,").replace(",", ";").replace("23765.5", "23765,5").replace("23;765", "23,765"))
    toml = folder / "build.toml"
    toml.write_text(toml.read_text() + '\n[files.published]\ndecimal = ","\nseparator = ";"\n')
    project = read_project(folder)
    assert project.published[0].value == Decimal("23765.5")
    write_project(with_version(project))
    assert read_project(folder).published[2].value == Decimal("23910.25")


def test_what_was_published_meanwhile_is_never_written_over(tmp_path):
    folder = folder_of(tmp_path)
    project = read_project(folder)
    (folder / "published.csv").write_text(row("gap,1,1 EUR,2026-06-30,,1,2026-07-02"))
    with pytest.raises(ProjectFaults, match="published.csv: must be as it was read, and was changed meanwhile"):
        write_project(with_version(project))
    assert "gap" in (folder / "published.csv").read_text()


DYING = """\
import datetime, os, sys
from buildecon.project import read_project, write_project
from buildecon.project.rows import Published
name, folder = sys.argv[1:]
project = read_project(folder)
day = datetime.date(2026, 7, 10)
more = Published(figure="stands_in_at", text="23,910 EUR", as_of=day, version=2, published_on=day)
setattr(os, name, lambda *given, **named: os._exit(9))
write_project(project.model_copy(update={"published": (*project.published, more)}))
"""


@pytest.mark.parametrize("name", ["replace", "fsync", "chmod"])
def test_a_save_that_dies_leaves_what_was_published_whole(tmp_path, name):
    folder = folder_of(tmp_path)
    assert python("-c", DYING, name, folder).returncode == 9
    assert (folder / "published.csv").read_text(encoding="utf-8") == PUBLISHED
    assert len(read_project(folder).published) == 2
