"""The reader's part as text: what is in it, what never is, and that nothing an owner writes can break out of it."""

import json
from html.parser import HTMLParser

import pytest
from demos import changed, demo, money
from readers import at_start, evil, hard, page_says

from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare
from buildecon.ledger.ladder import ladder
from buildecon.story.telling.reader.controls import Settings, as_published, at_rate, comparison_at, controls, given, round_step
from buildecon.story.telling.reader.data import reader_data
from buildecon.story.telling.reader.names import plainly_named
from buildecon.story.telling.reader.page import json_text, reader_page, reader_section


class Tags(HTMLParser):
    """Elements by name, and the text of the data block."""

    def __init__(self, text):
        super().__init__()
        self.seen, self.data, self.inside = [], "", False
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.seen.append(tag)
        self.inside = tag == "script" and ("type", "application/json") in attributes

    def handle_data(self, text):
        self.data += text if self.inside else ""
        self.inside = False


@pytest.mark.parametrize("name", ["van", "pickup", "roadster"])
def test_as_published_the_comparison_is_that_of_the_files(name):
    project = demo(name)
    totals = ladder(project)
    own, shown = compare(project, totals, as_written(project, totals)), comparison_at(project, totals, as_published(project))
    assert (own.total == shown.total).all()


def test_given_parts_at_street_price_put_more_into_the_build_and_nothing_else():
    # The pickup's suspension at 2,480 instead of 1,860, and what else was given or discounted: 2,010 in all, over 72 months 27.92.
    project = demo("pickup")
    totals, start = ladder(project), as_published(project)
    paid, street = (comparison_at(project, totals, Settings(start.years_kept, start.distance_a_year, street_prices=on)) for on in (False, True))
    assert given(totals) == 2010.0
    assert street.per_month[0, 72] - paid.per_month[0, 72] == pytest.approx(2010 / 72)
    assert (street.total[2:] == paid.total[2:]).all()


def test_hours_at_a_wage_are_in_the_sums_and_a_price_of_energy_moves_who_uses_it():
    # 430 hours at 15 EUR over 72 months are 89.58 EUR a month; 0.10 EUR on a kWh at 23 / 0.88 kWh a 100 km and 17,460 km are 38.03 EUR.
    van = demo("van")
    totals, start = ladder(van), as_published(van)
    first = comparison_at(van, totals, start)
    paid = comparison_at(van, totals, Settings(start.years_kept, start.distance_a_year, hours_rate=15.0))
    dear = comparison_at(van, totals, Settings(start.years_kept, start.distance_a_year, prices={"charging": 0.3395}))
    assert paid.per_month[1, 72] - first.per_month[1, 72] == pytest.approx(430 * 15 / 72)
    assert dear.per_month[1, 72] - first.per_month[1, 72] == pytest.approx(0.10 * 23 / 0.88 * 174.60 / 12)
    assert dear.per_month[2, 72] == first.per_month[2, 72]


def test_a_rate_of_the_files_keeps_its_name():
    hours = demo("van").file.own_hours
    assert [at_rate(hours, rate).convention for rate in (0.0, 15.0, 25.0, 17.0)] == ["hobby", "wage", "shop", "wage"]
    assert float(at_rate(hours, 17.0).wage) == 17.0


@pytest.mark.parametrize(("least", "step"), [(1, 1.0), (1.1, 2.0), (4.9, 5.0), (5.1, 10.0), (485, 500.0), (0.0069, 0.01), (0.03, 0.05)])
def test_steps_are_round(least, step):
    assert round_step(least) == step


@pytest.mark.parametrize("project", [demo("van"), demo("pickup"), demo("roadster"), hard("van", 0)], ids=["van", "pickup", "roadster", "hard"])
def test_every_control_has_rising_stops_with_the_owners_figure_among_them(project):
    turned, start = controls(project, ladder(project)), as_published(project)
    for one in (turned["years"], turned["distance"], turned["hours"], *turned["energy"]):
        assert one["stops"] == sorted(set(one["stops"])) and 0 <= one["at"] < len(one["stops"])
    assert turned["years"]["stops"][turned["years"]["at"]] == start.years_kept
    assert turned["distance"]["stops"][turned["distance"]["at"]] == start.distance_a_year
    assert turned["hours"]["stops"][turned["hours"]["at"]] == start.hours_rate
    assert {0.0, float(project.file.own_hours.wage), float(project.file.own_hours.shop_rate)} <= set(turned["hours"]["stops"])


def test_what_would_move_nothing_is_no_control():
    van = demo("van")
    idle = changed(van, own_hours=van.file.own_hours.model_copy(update={"spent": money("0")}))
    turned = controls(idle, ladder(idle))
    assert turned["hours"] is None and turned["street"] is None
    assert "reader-hours" not in reader_section(idle).html


def test_the_data_is_json_and_each_array_stands_once():
    data = reader_data(hard("pickup", 0))
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert len({tuple(each) for each in data["series"]}) == len(data["series"])
    assert set(data["views"]) == {WHOLE_STORY, FROM_TODAY}


@pytest.mark.parametrize("text", ["</script>", "<!--", "a\u2028b\u2029c", "&amp;<>", "\u05d0"])
def test_json_in_a_page_says_the_same_without_a_letter_that_a_page_would_read(text):
    found = json_text({"name": text})
    assert json.loads(found) == {"name": text}
    assert not set(found) & set("<>&\u2028\u2029")


@pytest.mark.parametrize("name", ["</script><script>alert(1)</script><img src=x onerror=alert(2)>", "a\u2028b", "\u202eturned", "x" * 100_000, '" onload="x'])
def test_a_name_cannot_break_out_of_the_page(name):
    page = reader_page(evil(name))
    tags = Tags(page)
    assert tags.seen.count("script") == 2 and "img" not in tags.seen
    assert json.loads(tags.data)["views"][WHOLE_STORY]["options"][0]["name"] == plainly_named(evil(name)).options[0].name
    assert "\u202e" not in page and len(page.encode()) < 1_500_000


def test_long_names_that_differ_at_their_ends_still_do():
    names = [option.name for option in plainly_named(evil("x" * 100_000)).options]
    assert len(set(names)) == len(names) and max(map(len, names)) <= 80


def test_nothing_private_is_in_the_page():
    van, secret = demo("van"), "SECRET"
    lines = tuple(line.model_copy(update={"supplier": secret, "order": secret, "part_number": secret, "note": secret, "item": secret, "system": secret}) for line in van.lines)
    options = tuple(option.model_copy(update={"note": secret}) for option in van.options)
    file = changed(van, options=options, build=van.file.build.model_copy(update={"summary": secret, "quoted_because": secret}), value=van.file.value.model_copy(update={"basis": secret}))
    page = reader_page(file.model_copy(update={"lines": lines, "folder": secret}))
    assert secret not in page
    assert len(page.encode()) < 1_500_000


def test_the_page_asks_for_nothing_outside_itself():
    page = reader_page(demo("pickup"))
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "").replace("http-equiv", "")
    assert " style=" not in page and " onclick=" not in page
    assert "default-src 'none'" in page


def test_the_page_says_first_what_the_package_says():
    project = demo("van")
    data, totals = reader_data(project), ladder(project)
    told = page_says(project, totals, data, at_start(data))
    html = reader_section(project).html
    assert "costs 364 EUR a month" in told["answer"]
    assert told["answer"].replace("'", "&#x27;") in html
    assert all("<tspan" in html and f">{figure}</tspan>" in html for figure in told["figures"])
