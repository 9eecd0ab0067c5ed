"""Whatever records hold is written so that the same records are read again."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from project.folders import TOML, made, records

from buildecon.project import read_project, write_project
from buildecon.project.rows import Event, Evidence, Line
from buildecon.quantities.estimate import Estimate, estimate

FORMS = {
    "plain": "",
    "decimal comma": '[files.lines]\ndecimal = ","\n',
    "German": '[files.lines]\ndecimal = ","\ndate_order = "dmy"\nseparator = ";"\nencoding = "utf-16"\n',
    "cp1252": '[files.lines]\ndate_order = "mdy"\nseparator = "\\t"\nencoding = "cp1252"\n',
}
ROUNDS = settings(deadline=None, derandomize=True, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])

# A cell has no space around its text, and a control character but a tab or a line break is no text.
SIGNS = st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n\r\t,;\"'")
LATIN = st.characters(codec="cp1252", exclude_categories=("Cc",), include_characters="\n\r\t")
amounts = st.decimals(min_value=0, max_value=10**12, places=2) | st.integers(0, 5000).map(Decimal)
ranges = st.lists(amounts, min_size=3, max_size=3).map(lambda ends: Estimate(*sorted(ends)))
estimates = st.none() | ranges | amounts.map(lambda one: Estimate(one, one, one))
days = st.none() | st.dates(min_value=dt.date(1, 1, 1), max_value=dt.date(2025, 12, 31))  # nothing has happened after as_of


def texts(signs):
    return st.text(signs, max_size=12).map(str.strip)


@st.composite
def lines(draw, signs=SIGNS):
    """Some lines with ids of their own, kits that are no ids, and a street price on what was given."""
    ids = draw(st.lists(texts(signs).map("l".__add__), unique=True, min_size=1, max_size=4))
    names = texts(signs).map("x".__add__)
    return tuple(
        draw(
            st.builds(
                Line,
                id=st.just(id), system=names, item=names, nature=st.sampled_from(["part", "outside work", "tool"]),
                cause=st.sampled_from(["", "rework"]), planned=estimates, paid=estimates, to_finish=estimates, date=days,
                supplier=texts(signs), part_number=texts(signs), order=texts(signs), kit=st.just("") | texts(signs).map("k".__add__),
                funding=st.sampled_from(["own", "given"]), street_price=ranges, list_price=estimates, price_date=days, price_today=estimates, note=texts(signs),
            )
        )
        for id in ids
    )  # fmt: skip


CAR = Line(id="car", system="Base", item="the car", nature="base car", paid=estimate("1000"))
TRICKY = Line(id='l"a"', system="x\r", item='"', nature="part", paid=estimate("1000"), note="a\rb\n\n,;\t'\"\"")


@pytest.mark.parametrize("form", FORMS)
@given(data=st.data())
@ROUNDS
def test_lines_are_read_as_they_were_written(tmp_path, form, data):
    rows = data.draw(lines(LATIN if form == "cp1252" else SIGNS))
    folder = made(tmp_path / "car", build=TOML + FORMS[form], lines=None, events=None, market=None)
    _check(folder, form, (CAR, *rows))


@pytest.mark.parametrize("form", FORMS)
def test_quotes_separators_and_line_breaks_of_every_kind_are_kept(tmp_path, form):
    _check(made(tmp_path / "car", lines=None, events=None, market=None), form, (CAR, TRICKY))


def _check(folder, form, rows):
    """The rows are written to a folder and read again; a second save then changes nothing."""
    header = {"cp1252": "\t", "German": ";"}.get(form, ",").join(("id", "system", "item", "nature"))
    encoding = {"cp1252": "cp1252", "German": "utf-16"}.get(form, "utf-8")
    separator = header[2]
    (folder / "build.toml").write_text(TOML + FORMS[form], encoding="utf-8")
    (folder / "lines.csv").write_bytes((header + "\n" + separator.join(("car", "Base", "the car", "base car")) + "\n").encode(encoding))
    project = read_project(folder).model_copy(update={"lines": rows})
    write_project(project)
    found = read_project(folder)
    assert records(found) == records(project)
    before = (folder / "lines.csv").read_bytes()
    write_project(found)
    assert (folder / "lines.csv").read_bytes() == before


@given(
    st.builds(Event, line=st.just("a3"), date=days, kind=st.just("payment"), amount=ranges, currency=st.just("USD"), document=texts(SIGNS), note=texts(SIGNS),
              rate=st.decimals(Decimal("0.001"), 5000, places=4).map(lambda rate: Estimate(rate, rate, rate)), due=days),
    st.builds(Evidence, id=texts(SIGNS).map("m".__add__), what=texts(SIGNS).map("x".__add__), kind=st.sampled_from(["sold", "asking"]), date=st.dates(min_value=dt.date(1900, 1, 1), max_value=dt.date(2025, 12, 31)),
              price=ranges.filter(lambda price: price.low >= 1), fees_on_top=ranges, days_listed=estimates, distance=st.none() | st.integers(0, 5_000_000).map(lambda one: Estimate(*[Decimal(one)] * 3)), year=st.none() | st.just(estimate("1984")),
              followed=st.sampled_from(["", "yes"]), state=st.sampled_from(["", "stripped"]), condition=st.sampled_from(["", "tidy"]), car=texts(SIGNS), note=texts(SIGNS)),
)  # fmt: skip
@ROUNDS
def test_events_and_evidence_are_read_as_they_were_written(tmp_path, event, evidence):
    project = read_project(made(tmp_path / "car")).model_copy(update={"events": (event,), "market": (evidence,)})
    write_project(project)
    assert records(read_project(tmp_path / "car")) == records(project)


@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=30), ranges, st.integers(1, 20), st.dates(min_value=dt.date(2027, 1, 1)))
@example('"""\n\'\'\'\\\r\n\x00\x7f\u2028', Estimate(Decimal(1), Decimal(2), Decimal(3)), 6, dt.date(9999, 12, 31))
@ROUNDS
def test_build_toml_is_read_as_it_was_written(tmp_path, text, distance, years, day):
    project = read_project(made(tmp_path / "car"))
    file = project.file
    build = file.build.model_copy(update={"name": text, "summary": text, "as_of": day, "cap": distance})
    use = file.use.model_copy(update={"distance_a_year": distance, "years_kept": years})
    options = (file.options[0], file.options[1].model_copy(update={"id": "other" + text, "note": text}))
    project = project.model_copy(update={"file": file.model_copy(update={"build": build, "use": use, "options": options})})
    write_project(project)
    assert records(read_project(tmp_path / "car")) == records(project)


@pytest.mark.parametrize("written", ["about 1000-1300", "1000 to 1300", "1.2k", "1,250.00", "1000/1150/1300", "~ 1 000 – 1 300"])
def test_the_words_of_an_estimate_are_written_as_they_stood(tmp_path, written):
    project = read_project(made(tmp_path / "car"))
    write_project(project.model_copy(update={"lines": (project.lines[0], project.lines[1].model_copy(update={"paid": estimate(written)}), *project.lines[2:])}))
    assert read_project(tmp_path / "car").lines[1].paid.text == written
