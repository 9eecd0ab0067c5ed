"""The page of receipts in a real browser: an export goes up, its rows are judged, and what is saved is in the folder."""

import shutil
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from demos import DATA

from buildecon.project import read_project

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = pytest.mark.skipif(CHROMIUM is None and not __import__("os").environ.get("CI"), reason="no Chromium found on this machine")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip
ORDERS = "Shop report\nBestellnummer;Datum;Artikel;Shop;Betrag\nQ1;02.05.2026;bolt kit;Räder & Co;4,80\nQ1;02.05.2026;bolt kit;Räder & Co;4,80\nQ2;40.05.2026;hose;A Shop;12,00\nQ3;04.05.2026;lamp;A Shop;<20\n"


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "dark")])
def test_an_export_goes_up_is_judged_and_saved(tmp_path, width, scheme):
    from playwright.sync_api import sync_playwright

    shutil.copytree(DATA / "van", tmp_path / "van")
    (tmp_path / "orders.csv").write_text(ORDERS, encoding="cp1252")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "buildecon", "open", str(tmp_path / "van"), "enter_receipts", "--port", str(port), "--no-browser"]
    with subprocess.Popen(command, cwd=Path(__file__).parents[2], stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as server, sync_playwright() as browser:
        try:
            for _ in range(300):
                try:
                    socket.create_connection(("127.0.0.1", port)).close()
                    break
                except OSError:
                    time.sleep(0.1)
            context = browser.chromium.launch_persistent_context(
                tmp_path / "profile", executable_path=CHROMIUM, headless=True, args=FLAGS, color_scheme=scheme, viewport={"width": width, "height": 1000}
            )
            page = context.new_page()
            page.goto(f"http://127.0.0.1:{port}")
            page.wait_for_selector("input[type=file]", state="attached", timeout=60000)
            page.wait_for_selector("marimo-data-editor canvas", timeout=60000)
            page.set_input_files("input[type=file]", tmp_path / "orders.csv")
            page.get_by_text("4 rows:").wait_for(timeout=60000)
            assert "2 accepted, 0 already there, 1 asked about, 1 rejected" in page.evaluate("document.body.innerText")
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            button = page.get_by_role("button", name="Save these rows")
            ground, ink = button.evaluate("b => [getComputedStyle(b).backgroundColor, getComputedStyle(b.querySelector('*') ?? b).color]")
            assert ground != ink
            button.click()
            page.get_by_text("Saved in").wait_for(timeout=60000)
            assert [line.item for line in read_project(tmp_path / "van").lines[-2:]] == ["bolt kit", "bolt kit"]
            assert list((tmp_path / "van" / "before").glob("lines.*.csv"))
            context.close()
        finally:
            server.terminate()
