"""Run by hand: `python tests/benchmarks/page_speed.py [FOLDER] [PRESSES] [PAGE]` times a cold `open` and a slider press to the redrawn chart.

Absolute times say as much of the machine as of the page, so both are printed beside those of a page with one chart of two points.
"""

import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[2]
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))))
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
PLAIN = """
import marimo
app = marimo.App()

@app.cell
def controls():
    import json
    import marimo as mo
    x = mo.ui.slider(start=1, stop=20, step=1, value=6, label="Years kept")
    x
    return json, mo, x

@app.cell
def drawn(json, mo, x):
    class Two:
        def _mime_(self):
            rows = [{"x": 0, "y": 0}, {"x": 1, "y": x.value}]
            return "application/vnd.vegalite.v6+json", json.dumps({"data": {"values": rows}, "mark": "line", "encoding": {"x": {"field": "x"}, "y": {"field": "y"}}, "usermeta": {"embedOptions": {"renderer": "svg"}}})
    Two()
    return

if __name__ == "__main__":
    app.run()
"""
DRAWN = """() => {
  const deep = (root, found = []) => { root.querySelectorAll('*').forEach(e => { if (e.matches('.vega-embed svg')) found.push(e); if (e.shadowRoot) deep(e.shadowRoot, found); }); return found; };
  const svg = deep(document)[0];
  return svg ? svg.querySelectorAll('path').length : 0;
}"""
PRESS = """() => new Promise(done => {
  const deep = (root, hit, found = []) => { root.querySelectorAll('*').forEach(e => { if (e.matches(hit)) found.push(e); if (e.shadowRoot) deep(e.shadowRoot, hit, found); }); return found; };
  let start;
  addEventListener('keydown', () => { start = performance.now(); }, { capture: true, once: true });
  const seen = new MutationObserver(changes => {  // reading the whole drawing again and again would be timed with it
    if (!start || !changes.some(change => change.target.closest?.('.vega-embed')?.querySelector('svg path'))) return;  // emptied, it is not drawn yet
    seen.disconnect();
    requestAnimationFrame(() => setTimeout(() => done(performance.now() - start)));
  });
  deep(document, '.vega-embed').forEach(drawing => seen.observe(drawing, { childList: true, subtree: true, attributes: true }));
})"""


def timed(command, presses):
    """Seconds from the command to the first chart, and milliseconds of each press."""
    with sync_playwright() as browser, tempfile.TemporaryDirectory() as home:
        context = browser.chromium.launch_persistent_context(home, executable_path=CHROMIUM, headless=True, args=FLAGS, viewport={"width": 1280, "height": 1000})
        page, begun = context.new_page(), time.perf_counter()
        with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as server:
            try:
                port = int(command[command.index("--port") + 1])
                while True:
                    try:
                        socket.create_connection(("127.0.0.1", port)).close()
                        break
                    except OSError:
                        time.sleep(0.01)
                page.goto(f"http://127.0.0.1:{port}")
                page.wait_for_function(DRAWN, polling=10, timeout=60000)
                cold = time.perf_counter() - begun
                time.sleep(3)
                slider = page.get_by_role("slider").first
                slider.focus()
                times = []
                for k in range(presses):
                    waiting = page.evaluate_handle(f"window.pressed = ({PRESS})(), 0")
                    slider.press("ArrowRight" if k % 2 == 0 else "ArrowLeft")
                    times.append(page.evaluate("() => window.pressed"))
                    waiting.dispose()
                    time.sleep(0.25)
                return cold, times
            finally:
                server.kill()
                context.close()


def main(folder=ROOT / "data-demo" / "van", presses=20, asked="build_or_buy"):
    """Both pages in turn, three times."""
    with tempfile.TemporaryDirectory() as place:
        plain = Path(place) / "plain.py"
        plain.write_text(PLAIN)
        pages = {
            asked: [sys.executable, "-m", "buildecon", "open", str(folder), asked, "--port", "28411", "--no-browser"],
            "two points": [sys.executable, "-m", "marimo", "run", str(plain), "--headless", "--no-token", "--no-sandbox", "--host", "127.0.0.1", "--port", "28412"],
        }
        for _ in range(3):
            for name, command in pages.items():
                cold, times = timed(command, int(presses))
                print(f"{name:16} cold {cold:.1f} s, press {statistics.median(times):.0f} ms (median of {len(times)}, {min(times):.0f} to {max(times):.0f})", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
