"""A project folder small enough to break in one place at a time, and what can be asked of a folder."""

import ctypes
import hashlib
import os
import subprocess
import sys
from pathlib import Path

from buildecon.project import ProjectFaults, read_project

ROOT = Path(__file__).parents[2]
DEMOS = ("van", "roadster", "pickup")
TOML = """\
format = 1   # layout

[build]
name = "Test car"
currency = "EUR"   # home money
as_of = 2026-06-30
distance_unit = "km"
stage = "planned"
base_car = "bought"
quoted_because = "It is all of it."
quoted_option = "build"

[use]
distance_a_year = 10000   # km
drive_days_a_year = 100
years_kept = 5

[own_hours]
spent = 10
wage = 10
shop_rate = 20
convention = "hobby"

[value]
as_is = { low = 900, likely = 1000, high = 1200 }   # EUR
finished = 2000
basis = "A guess."

[energy.petrol]
unit = "L"
price = 1.5

[[must_haves]]
id = "seats"
name = "seats"
at_least = 2

[[options]]
id = "build"
name = "this build"
kind = "build"
decline_rate = 0.1
energy = [{ source = "petrol", amount = 8, unit = "L/100 km" }]

[options.facts]
seats = 2

# what else there is
[[options]]
id = "other"
name = "another car"
kind = "buy"
price = 3000   # EUR, as advertised
decline_rate = 0.1

[options.facts]
seats = 4

# the end
"""
LINES = """\
id,system,item,nature,paid,date,note
a1,Base,the car,base car,1000,2026-01-02,
a2,Engine,gaskets,part,500,2026-02-03,a set
a3,Engine,head work,outside work,,2026-03-04,
"""
EVENTS = """\
line,date,kind,amount,currency,rate
a3,2026-03-04,payment,300,,
a3,2026-03-20,refund,40,,
"""
MARKET = """\
id,what,kind,date,price,distance
m1,a like car,sold,2026-05-01,1900,140000
"""
PLAIN = {"build.toml": TOML, "lines.csv": LINES, "events.csv": EVENTS, "market.csv": MARKET}
DROP_RIGHTS = """\
import ctypes, os, sys
for right in (1, 2):  # CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH: by these two root passes over permissions
    ctypes.CDLL(None).prctl(24, right, 0, 0, 0)  # PR_CAPBSET_DROP
os.execv(sys.executable, [sys.executable, *sys.argv[1:]])
"""


def made(folder, **changed):
    """The small folder; `lines=...` gives another lines.csv, None leaves a file out."""
    folder.mkdir(exist_ok=True)
    for name, text in PLAIN.items():
        text = changed.get(name.split(".")[0], text)
        if text is not None:
            (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def swapped(text, old, new):
    """Text with the first `old` replaced, which must be there."""
    assert old in text
    return text.replace(old, new, 1)


def with_rows(*rows):
    """lines.csv with more rows, the first of them on line 5."""
    return LINES + "".join(row + "\n" for row in rows)


def faults_of(folder):
    """Every fault as the owner sees it."""
    try:
        read_project(folder)
    except ProjectFaults as trouble:
        return [str(fault) for fault in trouble.faults]
    return []


def records(project):
    """All that a project holds but where it stands and how it is written; estimates compare by their numbers."""
    rows = {table: [{name: cell for name, cell in row if name != "row"} for row in getattr(project, table)] for table in ("lines", "events", "market")}
    return {name: part for name, part in project.file if name != "files"} | rows


def digests(folder):
    """A digest of every file in a folder, links as links."""
    return {
        str(path.relative_to(folder)): os.readlink(path) if path.is_symlink() else hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_symlink() or path.is_file()
    }


def python(*typed, rights=True):
    """A run of Python at the top of the checkout; without rights, permissions hold for root too."""
    launch = [] if rights or os.geteuid() != 0 else ["-c", DROP_RIGHTS]
    return subprocess.run([sys.executable, *launch, *map(str, typed)], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False)


def ignores_permissions():
    """Whether even a run without rights may read what nobody may; then permissions cannot be tested here."""
    return os.geteuid() == 0 and not hasattr(ctypes.CDLL(None), "prctl")
