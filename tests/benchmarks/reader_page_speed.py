"""Run by hand: `python tests/benchmarks/reader_page_speed.py` times the reader's page: from opening to the first curves, and from a slider to the redrawn page, laid out."""

import statistics
import tempfile
from pathlib import Path

from page_speed import CHROMIUM, FLAGS, ROOT
from playwright.sync_api import sync_playwright

from buildecon.project import read_project
from buildecon.story.telling.reader.page import reader_page

# From the frame in which a slider has moved to the page redrawn and laid out; the wait for that frame is the screen's, not the page's.
MOVE = """() => new Promise(done => {
  const slider = document.querySelector('[data-control="distance"]'), drawing = document.querySelector('.reader-chart svg'), times = [];
  const once = (k) => {
    if (k === 60) return done(times);
    let begun = 0;
    new MutationObserver((_, seen) => {
      seen.disconnect();
      document.body.getBoundingClientRect();
      times.push(performance.now() - begun);
      setTimeout(() => once(k + 1), 30);
    }).observe(drawing, { childList: true });
    requestAnimationFrame(() => { begun = performance.now(); });
    slider.value = k % (Number(slider.max) + 1);
    slider.dispatchEvent(new Event('input', { bubbles: true }));
  };
  once(0);
})"""


def main():
    """Each demo, its page closed and opened again five times."""
    for name in ("van", "pickup", "roadster"):
        with tempfile.TemporaryDirectory() as home, sync_playwright() as browser:
            file = Path(home) / "page.html"
            file.write_text(reader_page(read_project(ROOT / "data-demo" / name)), encoding="utf-8")
            context = browser.chromium.launch_persistent_context(f"{home}/profile", executable_path=CHROMIUM, headless=True, args=FLAGS, viewport={"width": 1280, "height": 1000})
            first, moved = [], []
            for _ in range(5):
                page = context.new_page()
                page.goto(file.as_uri())
                first.append(page.evaluate("() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? performance.now()"))
                moved += page.evaluate(MOVE)
                page.close()
            context.close()
            print(f"{name:9} {file.stat().st_size / 1000:.0f} kB, first curves {statistics.median(first):.0f} ms, slider to redrawn {statistics.median(moved):.1f} ms (slowest of {len(moved)}: {max(moved):.1f})")


if __name__ == "__main__":
    main()
