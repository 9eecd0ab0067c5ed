"""The reader's page in a real browser, from a file, offline: every figure it shows is that of the package, to the last letter."""

import os
import shutil
from random import Random

import numpy as np
import pytest
from demos import changed, demo
from readers import anywhere, at_start, evil, hard, page_says, python_at

from buildecon.ledger.ladder import ladder
from buildecon.quantities.estimate import sure
from buildecon.story.telling.reader.data import reader_data
from buildecon.story.telling.reader.names import plainly_named
from buildecon.story.telling.reader.page import reader_page
from buildecon.story.words import number, years_text

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = pytest.mark.skipif(CHROMIUM is None and not os.environ.get("CI"), reason="no Chromium found on this machine")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip
DEMOS = ("van", "pickup", "roadster")
READ = """() => {
  const texts = (hit) => [...document.querySelectorAll(hit)].map(one => [...one.querySelectorAll('tspan')].map(part => part.textContent).join(' ') || one.textContent);
  const said = (name) => document.querySelector(`[data-said="${name}"]`).textContent;
  const cells = (name) => [...document.querySelectorAll(`[data-table="${name}"] tr`)].map(row => [...row.children].map(cell => cell.textContent));
  const names = ['options', 'joy', 'meet', 'every'];
  return { answer: said('answer'), joy: said('joy'), heading: said('heading'), left: texts('[data-table="left"] p'), figures: texts('.figure'), meetings: texts('.meeting'), ends: texts('.end'),
    captions: names.map(name => document.querySelector(`[data-table="${name}"] .caption`)?.textContent ?? null), tables: Object.fromEntries(names.map(name => [name, cells(name)])) };
}"""
PUT = """(where) => new Promise(done => {
  const control = (name) => document.querySelector(`[data-control="${name}"]`);
  for (const name of ['view', 'unit']) document.querySelector(`[data-control="${name}"][value="${where[name]}"]`).checked = true;
  for (const name of ['rate', 'code', 'years', 'distance', 'hours']) if (control(name)) control(name).value = where[name];
  where.energy.forEach((at, k) => { control(`energy-${k}`).value = at; });
  if (control('street')) control('street').checked = where.street;
  control('years').dispatchEvent(new Event('input', { bubbles: true }));
  requestAnimationFrame(() => setTimeout(done));
})"""
SEPARATE = """() => {
  const boxes = (hit) => [...document.querySelectorAll(hit)].map(one => one.getBoundingClientRect()), frame = document.querySelector('.reader-chart svg').getBoundingClientRect();
  const apart = (all) => all.every((a, k) => all.slice(k + 1).every(b => a.right <= b.left + 1 || b.right <= a.left + 1 || a.bottom <= b.top + 1 || b.bottom <= a.top + 1));
  const inside = boxes('.reader-chart text').every(b => b.left >= frame.left - 1 && b.right <= frame.right + 1 && b.top >= frame.top - 1 && b.bottom <= frame.bottom + 1);
  return { ends: apart(boxes('.end')), inside };
}"""


def drawn(page):
    """Waits for the next drawing; the page's own rules forbid what Playwright would wait with."""
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done)))")


def lead(page):
    drawn(page)
    return page.locator(".reader-lead").text_content()


def unlike(shown, told):
    """What the page shows otherwise than the package, table by table."""
    one, other = ({**each, **each["tables"], "tables": None} for each in (shown, told))
    return {name: _first_unlike(one[name], other[name]) for name in other if one[name] != other[name]}


def _first_unlike(shown, told):
    if not isinstance(shown, list) or len(shown) != len(told):
        return shown, told
    return next(_first_unlike(a, b) for a, b in zip(shown, told, strict=True) if a != b)


@pytest.fixture
def opened(tmp_path):
    from playwright.sync_api import sync_playwright

    with sync_playwright() as browser:
        contexts = []

        def opening(project, width=1280, height=1000, scheme="light", scripts=True):
            file = tmp_path / f"{len(contexts)}.html"
            file.write_text(reader_page(project), encoding="utf-8")
            context = browser.chromium.launch_persistent_context(
                tmp_path / f"{len(contexts)}", executable_path=CHROMIUM, headless=True, args=FLAGS, color_scheme=scheme, offline=True,
                java_script_enabled=scripts, viewport={"width": width, "height": height},
            )  # fmt: skip
            contexts.append(context)
            page = context.new_page()
            page.asked, page.trouble = [], []
            page.on("request", lambda request: page.asked.append(request.url))
            page.on("console", lambda message: page.trouble.append(message.text))
            page.on("pageerror", lambda error: page.trouble.append(str(error)))
            page.on("dialog", lambda dialog: (page.trouble.append(dialog.message), dialog.dismiss()))
            page.goto(file.as_uri())
            if scripts:
                page.evaluate("document.querySelector('details').open = true")
                drawn(page)
            return page

        yield opening
        for context in contexts:
            context.close()


@pytest.mark.parametrize("name", DEMOS)
def test_every_figure_is_that_of_the_package_at_every_distance_and_at_200_settings(opened, name):
    project, random = demo(name), Random(26)
    totals, data, page = ladder(project), reader_data(project), opened(project)
    start = at_start(data)
    settings = [start | {"distance": stop} for stop in range(len(data["controls"]["distance"]["stops"]))] + [anywhere(data, random) for _ in range(200)]
    for where in settings:
        page.evaluate(PUT, where)
        assert unlike(page.evaluate(READ), page_says(project, totals, data, where)) == {}, where
    assert not page.trouble


@pytest.mark.parametrize(("name", "first_path"), [(name, first) for name in DEMOS for first in (0, 5, 6)])
def test_the_engine_gives_the_packages_costs_to_the_cent_whatever_the_options_are(opened, name, first_path):
    project, random = plainly_named(hard(name, first_path)), Random(first_path)
    totals, data, page, replaced = ladder(project), reader_data(project), opened(project), 0
    settings = [anywhere(data, random) for _ in range(25)]
    found = page.evaluate("([data, all]) => all.map(where => buildeconEngine.comparison(data, where).found.map(one => [one.total, one.perMonth.slice(1), one.replaced, one.moneyIn]))", [data, settings])
    for where, options in zip(settings, found, strict=True):
        shown = python_at(project, totals, data, where)
        total, per_month, months, money_in = map(list, zip(*options, strict=True))
        assert np.abs(np.array(total) - shown.total).max() < 1e-6
        assert np.abs(np.array(per_month) - shown.per_month[:, 1:]).max() < 1e-6
        assert months == [each[~np.isnan(each)].tolist() for each in shown.replaced]
        assert money_in == [sum(parts.values()) for parts in shown.money_in]
        replaced += sum(map(len, months))
    assert replaced > 0
    page.evaluate(PUT, settings[0])
    assert page.evaluate(READ) == page_says(project, totals, data, settings[0])


def test_figures_are_rounded_as_the_package_rounds_them(opened):
    random, page = Random(7), opened(demo("roadster"))
    values = [random.uniform(-1, 1) * 10 ** random.uniform(-4, 9) for _ in range(20_000)]
    values += [k / 8 for k in range(-400, 400)] + [k + 0.5 for k in range(-50, 2000, 7)] + [0.0, -0.0, -0.2, 1e21, 1e22, -3e25, 2.675, 1.005, 999.5, 999999.5, 5e-324]
    for decimals in (0, 2, 4):
        assert page.evaluate("([values, decimals]) => values.map(value => buildeconEngine.number(value, decimals))", [values, decimals]) == [number(value, decimals) for value in values]
    years = [k / 97 for k in range(3000)] + [k / 24 for k in range(500)] + [0.949999, 0.95, 0.0416666]
    assert page.evaluate("years => years.map(buildeconEngine.yearsText)", years) == [years_text(each) for each in years]
    assert page.evaluate("[buildeconEngine.number(NaN), buildeconEngine.amount(null, 'EUR')]") == ["-", "-"]


@pytest.mark.parametrize(("differences", "met"), [
    ([3, 1, -1, -3], [("crossing", 1.5 / 12)]),
    ([1, 0, 1, -1], [("touch", 1 / 12), ("crossing", 2.5 / 12)]),
    ([-2, 0, 0, 4], [("crossing", 1 / 12)]),
    ([2, 2, 2], []),
    ([0, 0, 0], []),
])  # fmt: skip
def test_crossings_are_those_of_the_package(opened, differences, met):
    from buildecon.decision.breakeven import break_even

    own = break_even(differences, np.arange(len(differences)) / 12)
    found = opened(demo("roadster")).evaluate("f => buildeconEngine.breakEven(f)", differences)
    assert [(one["kind"], pytest.approx(one["at"])) for one in found["crossings"]] == met == [(one.kind, pytest.approx(one.at)) for one in own.crossings]
    assert found["verdict"] == own.verdict


@pytest.mark.parametrize("name", DEMOS)
def test_without_scripts_the_page_stands_with_the_builders_numbers_and_with_them_it_says_the_same(opened, name):
    project = demo(name)
    bare, alive = opened(project, scripts=False), opened(project)
    assert bare.locator("form").is_hidden() and alive.locator("form").is_visible()
    assert bare.locator("noscript p").is_visible()
    kinds = [f'[data-said="{each}"]' for each in ("answer", "joy", "heading", "set")] + ["table", "text.figure", "text.end", "text.meeting", "text.year"]
    for kind in kinds:
        assert bare.locator(kind).all_text_contents() == alive.locator(kind).all_text_contents() != []  or kind == "text.meeting"


def test_every_control_is_reached_and_turned_with_the_keyboard_alone(opened):
    page, seen = opened(demo("pickup")), []
    for _ in range(30):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.dataset.control ?? document.activeElement.textContent"))
    wanted = ["view", "years", "distance", "energy-0", "energy-1", "hours", "street", "unit", "rate", "code", "Back to the builder's numbers"]
    assert [each for each in seen if each in wanted][: len(wanted)] == wanted
    page.locator("#reader-years").focus()
    page.keyboard.press("ArrowRight")
    assert lead(page).startswith("Kept 7 years")
    assert page.locator("#reader-years").get_attribute("aria-valuetext") == "7 years"
    page.locator("#reader-street").focus()
    page.keyboard.press("Space")
    drawn(page)
    assert "given and discounted parts at street price" in page.locator(".reader-set").text_content()
    page.get_by_role("radio", name="the whole story").focus()
    page.keyboard.press("ArrowDown")
    assert lead(page).startswith("Kept 7 years from today")
    page.get_by_role("button", name="Back to the builder's numbers").focus()
    page.keyboard.press("Enter")
    assert lead(page).startswith("Kept 6 years, this build costs 834 USD")
    assert not page.trouble


def test_every_control_has_its_label_and_the_answer_is_told_to_who_cannot_see_it(opened):
    page = opened(demo("pickup"))
    for label in ("Years kept", "Distance a year", "Diesel", "Gasoline", "Own hours at"):
        assert page.get_by_role("slider", name=label, exact=True).count() == 1
    assert page.get_by_role("group", name="Count").get_by_role("radio").count() == 2
    assert page.get_by_label("1 USD =").count() == page.get_by_label("of", exact=True).count() == 1
    assert page.locator(".reader-answer").get_attribute("aria-live") == "polite"
    assert "834 USD a month" in page.get_by_role("img").get_attribute("aria-label")


def test_money_in_another_currency_is_marked_and_a_rate_that_is_none_changes_nothing(opened):
    page = opened(demo("van"))
    first = page.locator(".reader-lead").text_content()
    fault = page.locator('[data-said="rate-fault"]')
    assert fault.get_attribute("aria-live") == "polite"
    no_rate, no_code = "The rate must be a number above 0; the money is still shown in EUR.", "The code must have three letters, as USD; the money is still shown in EUR."
    for rate, code, told in (("0", "USD", no_rate), ("-1", "", no_rate), ("1.08", "U1", no_code), ("", "USD", ""), ("1.08", "", "")):
        page.fill("#reader-rate", rate)
        page.fill("#reader-code", code)
        drawn(page)
        assert page.locator(".reader-lead").text_content() == first
        assert fault.text_content() == told
    page.fill("#reader-rate", "")
    page.locator("#reader-rate").press_sequentially("e")  # no number yet
    drawn(page)
    assert fault.text_content() == no_rate
    page.fill("#reader-rate", "1.08")
    page.fill("#reader-code", "usd")
    assert "USD" in lead(page)
    note = page.locator('[data-said="rate"]')
    assert note.is_visible()
    # By hand: (20,035 + 6 x 1,962.9 - 12,000 x 0.88^6) / 72.
    assert note.text_content() == "Shown at 1 EUR = 1.08 USD, a rate you typed. In EUR the build costs 364.44 EUR a month."
    assert fault.text_content() == ""


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "light"), (390, "dark")])
@pytest.mark.parametrize("name", DEMOS)
def test_nothing_sticks_out_sideways_and_no_two_names_touch(opened, name, width, scheme):
    project = demo(name)
    page, data, random = opened(project, width=width, height=844, scheme=scheme), reader_data(project), Random(3)
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == ("rgb(29, 33, 38)" if scheme == "dark" else "rgb(247, 244, 236)")
    for where in [at_start(data), *(anywhere(data, random) for _ in range(12))]:
        page.evaluate(PUT, where)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.evaluate(SEPARATE) == {"ends": True, "inside": True}, where


def test_a_curve_begins_when_its_option_is_there_to_be_kept(opened):
    pickup = demo("pickup")
    options = tuple(one.model_copy(update={"build_months": sure(30)}) if one.id == pickup.file.build.quoted_option else one for one in pickup.options)
    page = opened(changed(pickup, options=options))
    drawn(page)
    points = page.evaluate("() => [...document.querySelectorAll('.curve')].map(one => one.getAttribute('d').split('L').length)")
    assert sorted(set(points)) == [240 - 30 + 1, 240]


def test_a_tap_on_the_curves_sets_the_years(opened):
    page = opened(demo("van"))
    place = page.locator("text.year").filter(has_text="10").bounding_box()
    plot = page.locator(".reader-chart svg").bounding_box()
    page.mouse.click(place["x"] + place["width"] / 2, plot["y"] + 100)
    assert lead(page).startswith("Kept 10 years")


def test_on_paper_the_numbers_that_were_set_stand_and_the_sliders_do_not(opened):
    page = opened(demo("van"), scheme="dark")
    page.locator("#reader-years").press("ArrowRight")
    page.emulate_media(media="print")
    assert page.locator("form").is_hidden()
    assert page.locator(".reader-set").text_content().startswith("Set to: kept 7 years; 17,460 km a year; charging 0.2395 EUR a kWh;")
    assert page.evaluate("getComputedStyle(document.querySelector('.reader')).color") == "rgb(35, 40, 46)"
    assert len(page.pdf()) > 10_000


@pytest.mark.parametrize("name", [
    "</script><script>alert(1)</script><img src=x onerror=alert(2)>", "a\u2028b\u2029c", "\u202eturned \u2067round", "\u05d0\u05d1\u05d2 \u0627\u0644", "x" * 100_000, "'\"`${alert(3)}&amp;",
])  # fmt: skip
def test_a_name_that_would_break_out_stays_a_name(opened, name):
    project = evil(name)
    page, data = opened(project), reader_data(project)
    where = at_start(data) | {"years": 8, "view": "from today"}
    page.evaluate(PUT, where)
    assert unlike(page.evaluate(READ), page_says(plainly_named(project), ladder(project), data, where)) == {}
    page.set_viewport_size({"width": 390, "height": 844})
    drawn(page)
    assert page.evaluate("[document.scripts.length, document.images.length]") == [2, 0]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert not page.trouble and len(page.asked) == 1
