"""The published page in a real browser, from a file, offline: it fits, it prints, it moves, and nothing planted in it runs."""

import os
import shutil

import pytest
from attacks import attacked
from demos import demo

from buildecon.story.telling.publishing import WriteUp

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = pytest.mark.skipif(CHROMIUM is None and not os.environ.get("CI"), reason="no Chromium found on this machine")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"]


@pytest.fixture
def opened(tmp_path):
    from playwright.sync_api import sync_playwright

    with sync_playwright() as browser:
        contexts = []

        def opening(html, width=1280, scheme="light"):
            file = tmp_path / f"{len(contexts)}.html"
            file.write_text(html, encoding="utf-8")
            context = browser.chromium.launch_persistent_context(
                tmp_path / f"{len(contexts)}", executable_path=CHROMIUM, headless=True, args=FLAGS, color_scheme=scheme, offline=True, viewport={"width": width, "height": 900},
            )  # fmt: skip
            contexts.append(context)
            page = context.new_page()
            page.asked, page.trouble = [], []
            page.on("request", lambda request: page.asked.append(request.url))
            page.on("console", lambda message: page.trouble.append(message.text))
            page.on("pageerror", lambda error: page.trouble.append(str(error)))
            page.on("dialog", lambda dialog: (page.trouble.append(dialog.message), dialog.dismiss()))
            page.goto(file.as_uri())
            page.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done, 50)))")
            return page

        yield opening
        for context in contexts:
            context.close()


@pytest.fixture(scope="module")
def articles():
    return {name: WriteUp(demo(name)).page() for name in ("van", "roadster", "pickup")}


@pytest.mark.parametrize(("name", "width", "scheme"), [("van", 390, "light"), ("roadster", 390, "dark"), ("pickup", 1280, "dark"), ("pickup", 390, "light"), ("roadster", 1280, "light")])
def test_it_fits_and_every_picture_is_there(opened, articles, name, width, scheme):
    page = opened(articles[name], width, scheme)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate("[...document.images].every(image => image.complete && image.naturalWidth > 0 && image.alt)")
    assert page.evaluate("[...document.images].length") >= 7
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert ground == ("rgb(29, 33, 38)" if scheme == "dark" else "rgb(247, 244, 236)")
    assert not page.trouble and all(url.startswith(("file:", "data:")) for url in page.asked)


def test_its_sliders_obey_the_keyboard_and_it_prints(opened, articles):
    page = opened(articles["van"])
    years = page.get_by_role("slider", name="Years kept").first
    years.focus()
    years.press("ArrowRight")
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done, 50)))")
    assert page.locator(".reader-lead").text_content().startswith("Kept 7 years, 'build, grant paid' costs 344 EUR a month")
    printed = page.pdf()
    assert printed.startswith(b"%PDF") and 40_000 < len(printed)
    assert not page.trouble


def test_nothing_planted_runs(opened):
    written = WriteUp(attacked())
    for html in (written.page(), written.book(prices=True)):
        page = opened(html, 390)
        assert not page.trouble and page.evaluate("document.documentElement.scrollWidth") <= 390
        assert page.evaluate("document.querySelectorAll('a[href], iframe, object, embed').length") == 0
