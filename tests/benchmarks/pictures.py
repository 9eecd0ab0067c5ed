"""The README's pictures, made by hand: python tests/benchmarks/pictures.py

Every page of the suite on a demo, the published page and a frame, into data-demo/pictures.
"""

import io
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from playwright.sync_api import sync_playwright

from buildecon.project import read_project
from buildecon.story.page import PAGES
from buildecon.story.telling.drawn.frames import png_of
from buildecon.story.telling.publishing import WriteUp

ROOT = Path(__file__).parents[2]
OUT = ROOT / "data-demo" / "pictures"
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))))
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu"]
SHOWS = {"enter_receipts": "roadster", "what_has_it_cost": "pickup", "what_is_it_worth": "roadster", "how_long_to_keep_it": "pickup", "finish_or_sell": "pickup", "what_to_cut": "pickup", "build_or_buy": "van", "tell_the_story": "pickup"}
DRAWN = "() => { const deep = root => [...root.querySelectorAll('*')].some(e => e.matches('.vega-embed svg, iframe.paper, canvas') || e.shadowRoot && deep(e.shadowRoot)); return deep(document); }"


def served(folder):
    """A server on a demo, and its address."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    server = subprocess.Popen([sys.executable, "-m", "buildecon", "open", str(folder), "--port", str(port), "--no-browser"], cwd=ROOT, stdout=subprocess.DEVNULL)
    for _ in range(200):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/health", timeout=1).close()
            break
        except OSError:
            time.sleep(0.1)
    return server, f"http://127.0.0.1:{port}"


def main():
    """All pictures."""
    from PIL import Image

    OUT.mkdir(exist_ok=True)

    def kept(raw, name, size):
        picture = Image.open(io.BytesIO(raw)).convert("RGB").resize(size, Image.LANCZOS)
        picture.quantize(256, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(OUT / f"{name}.png", optimize=True)

    with sync_playwright() as browser, tempfile.TemporaryDirectory() as home:
        context = browser.chromium.launch_persistent_context(home, executable_path=CHROMIUM, headless=True, args=FLAGS, viewport={"width": 1200, "height": 900})
        page = context.new_page()
        for name in PAGES:
            server, address = served(ROOT / "data-demo" / SHOWS[name])
            try:
                page.goto(f"{address}/page/{name}/")
                if name != "enter_receipts":
                    page.wait_for_function(DRAWN, timeout=60_000)
                time.sleep(3)
                kept(page.screenshot(), name, (600, 450))
            finally:
                server.terminate()
        written = WriteUp(read_project(ROOT / "data-demo" / "van"))
        article = Path(home) / "article.html"
        article.write_text(written.page(), encoding="utf-8")
        page.set_viewport_size({"width": 1060, "height": 760})
        page.goto(article.as_uri())
        page.locator("[data-reader]").first.scroll_into_view_if_needed()
        page.evaluate("document.querySelector('[data-reader]').scrollIntoView(); scrollBy(0, -10)")
        kept(page.screenshot(), "article", (1060, 760))
        context.close()
        pickup = WriteUp(read_project(ROOT / "data-demo" / "pickup"))
        kept(png_of(next(frame for frame in pickup.frames if frame.id == "worth").svg["wide"]), "frame", (600, 338))


if __name__ == "__main__":
    main()
