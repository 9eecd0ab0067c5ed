"""build.toml written anew: the value that changed is set, and every remark stays where it is."""

import difflib
from decimal import Decimal

import pytest
from project.folders import TOML, made, records, swapped

from buildecon.project import ProjectFaults, read_project, write_project
from buildecon.project.records import Consumption, CsvForm, Disclosure, Files, Loan, OneOff
from buildecon.quantities.estimate import Estimate, sure

RANGE = Estimate(Decimal(1), Decimal(2), Decimal("3.5"))
GIFT = Disclosure(supplier="Dry Ferry", gave="a tent", in_return="a video")
THIRD = """\
# a third, in one line each
[[options]]
id = "third"
name = "a third"
kind = "buy"
price = 5000
decline_rate = 0.2
note = \"\"\"
[[options]] are not meant here

[use]\"\"\"
facts = { seats = 5 }

"""


def changed(project, **parts):
    return project.model_copy(update={"file": project.file.model_copy(update=parts)})


def used(project, **parts):
    return changed(project, use=project.file.use.model_copy(update=parts))


def option(project, k, **parts):
    options = list(project.options)
    options[k] = options[k].model_copy(update=parts)
    return changed(project, options=tuple(options))


def difference(folder, project):
    """Lines that go and lines that come when the project is saved; what is then read is what was saved."""
    path = folder / "build.toml"
    before = path.read_text(encoding="utf-8")
    write_project(project)
    assert records(read_project(folder)) == records(project)
    lines = list(difflib.ndiff(before.splitlines(), path.read_text(encoding="utf-8").splitlines()))
    return [line for line in lines if line[0] in "-+" and line[2:].strip()]


@pytest.fixture
def project(tmp_path):
    return read_project(made(tmp_path / "car"))


@pytest.fixture
def folder(project, tmp_path):
    return tmp_path / "car"


def test_one_number_changed_changes_its_line_and_keeps_the_remark(project, folder):
    assert difference(folder, used(project, distance_a_year=sure(12000))) == ["- distance_a_year = 10000   # km", "+ distance_a_year = 12000   # km"]


def test_a_number_becomes_a_range_on_one_line(project, folder):
    assert difference(folder, used(project, distance_a_year=RANGE)) == [
        "- distance_a_year = 10000   # km",
        "+ distance_a_year = {low = 1, likely = 2, high = 3.5}   # km",
    ]


def test_a_range_becomes_a_number_or_another_range(project, folder):
    value = project.file.value
    old = "- as_is = { low = 900, likely = 1000, high = 1200 }   # EUR"
    assert difference(folder, changed(project, value=value.model_copy(update={"as_is": Estimate(Decimal(900), Decimal(1000), Decimal(1300))}))) == [
        old,
        "+ as_is = { low = 900, likely = 1000, high = 1300 }   # EUR",
    ]
    assert difference(folder, changed(project, value=value.model_copy(update={"as_is": sure(1100)})))[1:] == ["+ as_is = 1100   # EUR"]


def test_a_new_key_stands_in_its_table(project, folder):
    assert difference(folder, used(project, horizon_years=30)) == ["+ horizon_years = 30"]


def test_a_new_key_of_an_option_stands_above_its_inner_tables(project, folder):
    assert difference(folder, option(project, 1, note="red", purchase_costs=RANGE)) == [
        "+ purchase_costs = {low = 1, likely = 2, high = 3.5}",
        '+ note = "red"',
    ]


def test_a_key_that_is_gone_takes_its_line_with_it(project, folder):
    difference(folder, used(project, horizon_years=30))
    assert difference(folder, project) == ["- horizon_years = 30"]


def test_a_fact_changes_from_a_number_to_a_word(project, folder):
    assert difference(folder, option(project, 1, facts={"seats": "unknown"})) == ["- seats = 4", '+ seats = "unknown"']


def test_true_and_1_are_two_things(tmp_path):
    folder = made(tmp_path / "car", build=TOML.replace("at_least = 2", "yes = true").replace("seats = 2", "seats = true").replace("seats = 4", "seats = true"))
    project = read_project(folder)
    must = project.file.must_haves[0].model_copy(update={"yes": None, "at_least": sure(1)})
    project = option(option(changed(project, must_haves=(must,)), 0, facts={"seats": 1}), 1, facts={"seats": 1})
    assert difference(folder, project) == ["- yes = true", "+ at_least = 1", "- seats = true", "+ seats = 1", "- seats = true", "+ seats = 1"]


def test_a_table_is_added_to_an_option(project, folder):
    loan = Loan(amount=RANGE, rate=Decimal("0.05"), months=36)
    assert difference(folder, option(project, 1, loan=loan)) == [
        "+ [options.loan]",
        "+ amount = {low = 1, likely = 2, high = 3.5}",
        "+ rate = 0.05",
        "+ months = 36",
    ]


def test_a_list_of_small_tables_stays_on_its_line(project, folder):
    hybrid = tuple(Consumption(source="petrol", amount=amount, unit="L/100 km", distance_share=Decimal("0.5")) for amount in (3, 9))
    found = difference(folder, option(option(project, 0, energy=hybrid), 1, one_offs=(OneOff(what="fee", amount=5),)))
    assert [line[:12] for line in found] == ["- energy = [", "+ energy = [", "+ one_offs ="]
    found = difference(folder, option(project, 0, energy=(hybrid[0].model_copy(update={"distance_share": sure(1)}),)))
    assert found[1] == '+ energy = [{source = "petrol", amount = 3, unit = "L/100 km", distance_share = 1}]'


def test_an_option_is_added_at_the_end(project, folder):
    assert difference(folder, changed(project, options=(*project.options, project.options[1].model_copy(update={"id": "newer", "name": "a newer car", "price": RANGE})))) == [
        "+ [[options]]",
        '+ id = "newer"',
        '+ name = "a newer car"',
        '+ kind = "buy"',
        "+ price = {low = 1, likely = 2, high = 3.5}",
        "+ decline_rate = 0.1",
        "+ [options.facts]",
        "+ seats = 4",
    ]
    assert (folder / "build.toml").read_text(encoding="utf-8").count("\n\n[[options]]") == 2


def test_an_option_is_added_between_two_others(project, folder):
    found = difference(folder, changed(project, options=(project.options[0], project.options[1].model_copy(update={"id": "newer", "name": "a newer car"}), project.options[1])))
    assert found[:2] == ["+ [[options]]", '+ id = "newer"'] and not any(line.startswith("-") for line in found)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_removed_option_leaves_the_remarks_around_it(tmp_path, end):
    folder = made(tmp_path / "car", build=swapped(TOML, "# what else", THIRD + "# what else").replace("\n", end))
    project = read_project(folder)
    gone = [f"- {line}" for line in THIRD.splitlines()[1:] if line]
    assert difference(folder, changed(project, options=(project.options[0], project.options[2]))) == gone
    assert f"seats = 2{end}{end}# a third, in one line each{end}{end}# what else" in (folder / "build.toml").read_bytes().decode()


def test_the_last_option_is_removed_and_the_remark_at_the_end_stays(project, folder):
    found = difference(folder, changed(project, options=project.options[:1]))
    assert len(found) == 8 and all(line[0] == "-" and "#" not in line.replace("# EUR", "") for line in found)
    assert (folder / "build.toml").read_text(encoding="utf-8").endswith("# what else there is\n\n# the end\n")


def test_all_tables_of_a_kind_are_added_and_removed(project, folder):
    before = (folder / "build.toml").read_text(encoding="utf-8")
    assert len(difference(folder, changed(project, disclosures=(GIFT, GIFT.model_copy(update={"gave": "a mat"}))))) == 8
    assert len(difference(folder, changed(project, disclosures=()))) == 8
    assert (folder / "build.toml").read_text(encoding="utf-8").rstrip() == before.rstrip()


def test_a_renamed_option_keeps_its_remarks(project, folder):
    assert difference(folder, option(project, 1, id="newer")) == ['- id = "other"', '+ id = "newer"']


def test_options_on_one_line_can_come_and_go(tmp_path):
    one = '{ id = "build", name = "b", kind = "build", decline_rate = 0.1, facts = { seats = 2 } }'
    two = '{ id = "b", name = "c", kind = "buy", price = 1, decline_rate = 0.1, facts = { seats = 2 } }'
    folder = made(tmp_path / "car", build=swapped(TOML[: TOML.index("[[options]]")], "format = 1", f"options = [{one}, {two}]\nformat = 1"))
    project = read_project(folder)
    assert [line[:9] for line in difference(folder, changed(project, options=project.options[:1]))] == ["- options", "+ options"]
    assert [line[:9] for line in difference(folder, project)] == ["- options", "+ options"]


def test_a_form_is_declared_and_the_csv_file_turned_with_it(project, folder):
    form = CsvForm(decimal=",", separator=";", date_order="dmy", encoding="cp1252")
    assert difference(folder, changed(project, files=Files(lines=form))) == [
        "+ [files.lines]",
        '+ decimal = ","',
        '+ date_order = "dmy"',
        '+ encoding = "cp1252"',
        '+ separator = ";"',
    ]
    assert (folder / "lines.csv").read_text(encoding="cp1252").splitlines()[2] == "a2;Engine;gaskets;part;500;03/02/2026;a set"


def test_what_would_not_be_read_again_is_not_written(project, folder):
    before = (folder / "build.toml").read_bytes()
    with pytest.raises(ProjectFaults, match="build.toml line 16, use.years_kept: must be at most 40, got 50."):
        write_project(used(project, years_kept=50))
    broken = project.lines[1].model_copy(update={"paid": sure(-1)})
    with pytest.raises(ProjectFaults, match="lines.csv line 3, paid: must be a number of at least 0, got -1."):
        write_project(used(project, years_kept=6).model_copy(update={"lines": (project.lines[0], broken)}))
    assert (folder / "build.toml").read_bytes() == before
