"""The Jupyter notebook of the write-up: run anew, its outputs are those saved in it."""

import json
import subprocess
import sys
from pathlib import Path

NOTEBOOK = Path(__file__).parents[1] / "notebooks" / "write_up.ipynb"


def test_the_saved_outputs_are_what_it_gives_today():
    # No sanitising: nothing in it has an id of its own making.
    command = [sys.executable, "-m", "pytest", "-q", "-c", "/dev/null", "--rootdir", str(NOTEBOOK.parent), "-p", "no:cacheprovider", "--nbval", str(NOTEBOOK)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300, cwd=NOTEBOOK.parent)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]


def test_every_cell_has_its_output_saved_and_no_place_of_a_machine():
    cells = [cell for cell in json.loads(NOTEBOOK.read_text(encoding="utf-8"))["cells"] if cell["cell_type"] == "code"]
    assert len(cells) > 15 and all(cell["outputs"] and cell["execution_count"] for cell in cells)
    assert not [word for word in ("/work", "/root", "/home", "/tmp") if word in json.dumps(cells)]
    assert not [cell for cell in cells if "\n".join(cell["source"]).count("for ") or "def " in "".join(cell["source"])]
