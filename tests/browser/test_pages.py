"""The page in a real browser: it draws, obeys the sliders, stays on this machine, fits a phone and follows the dark."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from demos import DATA, demo

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = pytest.mark.skipif(CHROMIUM is None and not os.environ.get("CI"), reason="no Chromium found on this machine")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip
TEXTS = """() => {
  const deep = (root, found = []) => {
    root.querySelectorAll('*').forEach(e => { if (e.matches('.vega-embed svg')) found.push(e); if (e.shadowRoot) deep(e.shadowRoot, found); });
    return found;
  };
  return deep(document).flatMap(svg => [...svg.querySelectorAll('text')].map(text => text.textContent));
}"""

INSIDE = """() => { const deep = (root, found = []) => { root.querySelectorAll('*').forEach(e => { if (e.matches('.vega-embed svg')) found.push(e);
             if (e.shadowRoot) deep(e.shadowRoot, found); }); return found; };
           return deep(document).every(svg => { const frame = svg.getBoundingClientRect();
           return [...svg.querySelectorAll('text')].filter(t => t.textContent).every(t => { const b = t.getBoundingClientRect();
             return b.left >= frame.left - 1 && b.right <= frame.right + 1 && b.top >= frame.top - 1 && b.bottom <= frame.bottom + 1; }); }); }"""


@pytest.fixture(scope="module")
def address():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "buildecon", "open", str(DATA / "van"), "--port", str(port), "--no-browser"]
    with subprocess.Popen(command, cwd=Path(__file__).parents[2], stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as server:
        up = False
        for _ in range(300):
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{port}/health", timeout=1).close()
                up = True
                break
            except OSError:
                time.sleep(0.1)
        try:
            assert up, server.stdout.read1().decode()
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()


@pytest.fixture
def opened(address, tmp_path):
    from playwright.sync_api import sync_playwright

    with sync_playwright() as browser:
        contexts = []

        def opening(width=1280, height=1000, scheme="light", path="", until="364"):
            context = browser.chromium.launch_persistent_context(
                tmp_path / f"{len(contexts)}", executable_path=CHROMIUM, headless=True, args=FLAGS, color_scheme=scheme, viewport={"width": width, "height": height}
            )
            contexts.append(context)
            page = context.new_page()
            page.asked = []
            page.on("request", lambda request: page.asked.append(request.url))
            page.goto(address + path)
            page.wait_for_selector(".vega-embed svg", timeout=60000)
            page.wait_for_function(f"() => ({TEXTS})().includes('{until}')", timeout=60000)
            return page

        yield opening
        for context in contexts:
            context.close()


def shows(page, *texts):
    """Waits until every text stands in some chart: they are not all drawn at once."""
    page.wait_for_function(f"texts => {{ const drawn = new Set(({TEXTS})()); return texts.every(text => drawn.has(text)); }}", arg=list(texts), timeout=30000)


def test_another_site_in_the_same_browser_is_refused(address):
    for stranger in ({"Host": "shop.example"}, {"Origin": "http://shop.example"}):
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(urllib.request.Request(address, headers=stranger))
        assert refused.value.code == 403
        refused.value.close()


def test_every_notebook_is_served_and_nothing_beside_them(address):
    with urllib.request.urlopen(f"{address}/page/what_has_it_cost/") as answer:
        assert b"what_has_it_cost" in answer.read()
    for path in ("/page/nothing/", "/page/..%2Fpyproject/"):
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(address + path)
        assert refused.value.code == 404
        refused.value.close()


def test_the_page_shows_the_answer_and_asks_nobody_outside(opened, address):
    page = opened()
    assert page.locator(".lead").inner_text().startswith("Keep it: from here it costs 116 EUR a month less than newer factory e-van Brevane E50, kept 6 years")
    assert "costs 364 EUR a month" in page.locator(".answer").inner_text()
    shows(page, "364", "327", "2.7 years: keep diesel + zone charge", "years kept", "EUR a month, today's money, whole story")
    outside = [url for url in page.asked if not url.startswith((address, "data:", "blob:"))]
    assert page.asked and not outside


def test_a_pressed_slider_changes_sentence_and_chart(opened):
    page = opened()
    years = page.get_by_role("slider", name="Years kept")
    years.focus()
    years.press("ArrowRight")
    page.wait_for_function("() => document.querySelector('.answer').innerText.includes('Kept 7 years')", timeout=20000)
    page.wait_for_function(f"() => ({TEXTS})().includes('344')", timeout=20000)  # by hand: (20,035 + 7 x 1,962.9 - 12,000 x 0.88^7) / 84 = 343.7
    assert "costs 344 EUR a month" in page.locator(".answer").inner_text()


def test_from_today_redraws_the_chart(opened):
    page = opened()
    page.get_by_text("from today", exact=True).first.click()
    page.wait_for_function(f"() => ({TEXTS})().includes('211')", timeout=20000)


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_sticks_out_sideways(opened, width):
    page = opened(width=width, height=844)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(INSIDE)


def test_the_dark_page_is_dark_chart_and_all(opened):
    page = opened(scheme="dark")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert ground == "rgb(29, 33, 38)"
    assert page.evaluate("getComputedStyle(document.body).getPropertyValue('--be-build')").strip() == "#f0896b"


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "light"), (390, "dark")])
def test_what_is_it_worth_draws_both_charts_inside_the_page(opened, address, width, scheme):
    page = opened(width=width, height=844, scheme=scheme, path="/page/what_is_it_worth/", until="11,000 upside down")
    assert "it would sell, finished, for about 12,000 EUR" in page.locator(".lead").inner_text()
    shows(page, "12,000", "m4 sold", "stripped")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(INSIDE)
    assert not [url for url in page.asked if not url.startswith((address, "data:", "blob:"))]


def test_a_turned_margin_moves_the_range_on_the_page(opened):
    from buildecon.market.worth import as_stated, worth
    from buildecon.story.worth_words import price_text

    van = demo("van")
    turned = as_stated(van).model_copy(update={"asking_percent": 0.0})
    page = opened(path="/page/what_is_it_worth/", until="12,000")
    asks = page.get_by_role("slider", name="Asking prices stand above a price by, %")
    asks.focus()
    asks.press("Home")
    page.wait_for_function(f"() => ({TEXTS})().includes('{price_text(worth(van, turned).value.likely)}')", timeout=20000)
    page.get_by_text("What if asking prices were sales?").first.click()
    page.wait_for_function("() => document.body.innerText.includes('Asks or bids taken for prices')", timeout=20000)


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "light"), (390, "dark")])
def test_how_long_to_keep_it_draws_inside_the_page_and_obeys_a_slider(opened, address, width, scheme):
    page = opened(width=width, height=844, scheme=scheme, path="/page/how_long_to_keep_it/", until="364 at 6 years")
    assert "'build, grant paid' costs least at the last year looked at: kept 20 years or more" in page.locator(".lead").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(INSIDE)
    years = page.get_by_role("slider", name="Years kept")
    years.focus()
    years.press("ArrowRight")
    page.wait_for_function(f"() => ({TEXTS})().includes('344 at 7 years')", timeout=20000)
    assert not [url for url in page.asked if not url.startswith((address, "data:", "blob:"))]


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "light"), (390, "dark")])
def test_finish_or_sell_draws_inside_the_page_and_obeys_a_slider(opened, address, width, scheme):
    page = opened(width=width, height=844, scheme=scheme, path="/page/finish_or_sell/", until="Part it out")
    assert "Nothing is left to finish. Sell it as it stands: 12,000 EUR in hand." in page.locator(".lead").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(INSIDE)
    today = page.get_by_role("slider", name="Sells for as it stands")
    today.focus()
    today.press("ArrowRight")
    page.wait_for_function(f"() => ({TEXTS})().includes('12,100')", timeout=20000)
    assert not [url for url in page.asked if not url.startswith((address, "data:", "blob:"))]


RADIOS = """() => { const deep = (root) => [...root.querySelectorAll('*')].flatMap(e => [...(e.matches('[role=radiogroup] *') ? [e.getBoundingClientRect().right] : []), ...(e.shadowRoot ? deep(e.shadowRoot) : [])]);
  return deep(document); }"""


def test_the_choices_of_the_story_wrap_on_a_phone(address, tmp_path):
    from playwright.sync_api import sync_playwright

    with sync_playwright() as browser:
        context = browser.chromium.launch_persistent_context(tmp_path / "phone", executable_path=CHROMIUM, headless=True, args=FLAGS, viewport={"width": 390, "height": 844})
        page = context.new_page()
        page.goto(f"{address}/page/tell_the_story/")
        page.wait_for_function(f"() => ({RADIOS})().length > 12", timeout=60000)
        assert max(page.evaluate(RADIOS)) <= 390
        context.close()
