"""Writing a project folder: only what changed is changed, and a save that fails leaves what was there."""

import random
import shutil
import signal
import subprocess
import sys
import time
from decimal import Decimal

import pytest
from project.folders import DEMOS, EVENTS, LINES, ROOT, TOML, digests, ignores_permissions, made, python, records, swapped, with_rows

from buildecon.project import ProjectFaults, read_project, write_project
from buildecon.project.write import write_text
from buildecon.quantities.estimate import Estimate, sure

# Run as a program of its own, so that it can die in the middle: sys.argv is the function to die in, the call of it, and the folder.
DYING = """\
import os, sys
from buildecon.project import read_project, write_project
from buildecon.quantities.estimate import sure
name, call, folder = sys.argv[1], int(sys.argv[2]), sys.argv[3]
plain, calls = getattr(os, name), []
def dying(*given, **named):
    calls.append(given)
    return plain(*given, **named) if len(calls) < call else os._exit(9)
project = read_project(folder)
use = project.file.use.model_copy(update={"distance_a_year": sure(12345)})
lines = tuple(line.model_copy(update={"note": "new"}) for line in project.lines)
project = project.model_copy(update={"file": project.file.model_copy(update={"use": use}), "lines": lines})
setattr(os, name, dying)
write_project(project)
"""
SAVE = "import sys; from buildecon.project import *; p = read_project(sys.argv[1]); write_project(p.model_copy(update={'lines': p.lines[:3]}))"


def with_line(project, k, **changed):
    lines = list(project.lines)
    lines[k] = lines[k].model_copy(update=changed)
    return project.model_copy(update={"lines": tuple(lines)})


@pytest.fixture
def folder(tmp_path):
    return made(tmp_path / "car", lines=with_rows("a4,Engine,oil,consumable,20,2026-02-03,"))


@pytest.mark.parametrize("name", DEMOS)
def test_what_was_read_and_not_changed_is_written_to_the_byte(tmp_path, name):
    shutil.copytree(ROOT / "data-demo" / name, tmp_path / name)
    before = digests(tmp_path / name)
    write_project(read_project(tmp_path / name))
    assert digests(tmp_path / name) == before


@pytest.mark.parametrize("name", DEMOS)
def test_one_line_changed_changes_one_line_of_the_file(tmp_path, name):
    shutil.copytree(ROOT / "data-demo" / name, tmp_path / name)
    project, path = read_project(tmp_path / name), tmp_path / name / "lines.csv"
    k = next(k for k, line in enumerate(project.lines) if line.paid)
    before, others = path.read_text(encoding="utf-8").splitlines(), {file: digest for file, digest in digests(path.parent).items() if file != "lines.csv"}
    write_project(with_line(project, k, paid=Estimate(Decimal(11), Decimal("12.50"), Decimal(14))))
    after = path.read_text(encoding="utf-8").splitlines()
    assert [number for number, (old, new) in enumerate(zip(before, after, strict=True)) if old != new] == [project.lines[k].row - 1]
    assert "11/12.50/14" in after[project.lines[k].row - 1]
    assert others.items() <= digests(path.parent).items()


def test_a_project_is_written_to_a_folder_without_files(tmp_path, folder):
    project, empty = read_project(folder), tmp_path / "empty"
    empty.mkdir()
    write_project(project, empty)
    assert records(read_project(empty)) == records(project)


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("lines.csv", lambda text: text.replace("\n", "\r\n")),
        ("lines.csv", lambda text: "\ufeff" + text),
        ("lines.csv", lambda text: text.replace("a2,Engine,", '"a2", "Engine" ,') + "\n\n,,,,,,\n"),
        ("lines.csv", lambda text: text.replace("2026-02-03", "2026-2-3").replace("500", " 500 ")),
        ("build.toml", lambda text: text.replace("\n", "\r\n").replace('"A guess."', '"""A\r\nguess."""')),
        ("build.toml", lambda text: "\ufeff" + text),
        ("build.toml", lambda text: text.replace("3000", "3_000.00").replace("[use]", "[ use ]") + '[energy.diesel]\nunit="L"\nprice=1\n'),
    ],
    ids=["carriage returns", "a byte order mark", "odd quotes and blank rows", "short dates", "carriage returns in TOML", "a mark in TOML", "tables apart"],
)
def test_a_file_without_a_change_keeps_an_unusual_layout(folder, name, change):
    (folder / name).write_bytes(change((folder / name).read_text(encoding="utf-8")).encode())
    before = digests(folder)
    write_project(read_project(folder))
    assert digests(folder) == before


@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_a_changed_file_keeps_its_line_ends_and_its_byte_order_mark(folder, mark):
    path = folder / "lines.csv"
    before = (mark + path.read_text(encoding="utf-8").replace("\n", "\r\n")).encode()
    path.write_bytes(before)
    write_project(with_line(read_project(folder), 1, note="two sets"))
    assert path.read_bytes() == before.replace(b"a set", b"two sets")


def test_the_columns_stay_in_the_order_of_the_file_and_new_ones_come_last(folder):
    write_project(with_line(read_project(folder), 1, supplier="Ines"))
    assert (folder / "lines.csv").read_text(encoding="utf-8").splitlines()[:3] == [
        "id,system,item,nature,paid,date,note,supplier",
        "a1,Base,the car,base car,1000,2026-01-02,,",
        "a2,Engine,gaskets,part,500,2026-02-03,a set,Ines",
    ]


def test_rows_that_are_gone_are_gone_and_the_header_stays(folder):
    write_project(read_project(folder).model_copy(update={"events": (), "market": ()}))
    assert (folder / "events.csv").read_text(encoding="utf-8") == EVENTS.split("\n")[0] + "\n"


def test_a_file_gets_the_permissions_of_the_old_one(folder):
    (folder / "lines.csv").chmod(0o640)
    write_project(with_line(read_project(folder), 1, note="x"))
    assert (folder / "lines.csv").stat().st_mode & 0o777 == 0o640


def test_a_number_that_would_be_read_two_ways_is_written_so_that_it_is_not(folder):
    write_project(with_line(read_project(folder), 1, paid=Estimate(Decimal(1), Decimal("1.125"), Decimal("1.250"))))
    assert "1/1.1250/1.2500" in (folder / "lines.csv").read_text(encoding="utf-8")
    assert read_project(folder).lines[1].paid.likely == Decimal("1.125")


@pytest.mark.parametrize("name", ["build.toml", "lines.csv", "events.csv"])
def test_the_target_of_a_symbolic_link_is_not_written_over(tmp_path, folder, name):
    project = with_line(read_project(folder), 1, note="x")
    shutil.move(folder / name, tmp_path / "kept")
    (folder / name).symlink_to(tmp_path / "kept")
    before = digests(tmp_path)
    with pytest.raises(ProjectFaults, match="must be a plain file, got a symbolic link"):
        write_project(project)
    with pytest.raises(ProjectFaults, match="must be a plain file, got a symbolic link. The old file is untouched."):
        write_text(folder / name, "x")
    assert digests(tmp_path) == before


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("lines.csv", with_rows("a4,Engine,oil,consumable,TBC,,"), "lines.csv line 5, paid"),
        ("lines.csv", swapped(LINES, "note", "colour"), "lines.csv line 1, colour"),
        ("lines.csv", "", "lines.csv: must not be empty."),
        ("build.toml", swapped(TOML, "years_kept = 5", "years_kept ="), "build.toml line 16: must be TOML"),
        ("build.toml", swapped(TOML, "years_kept = 5", "years_kept = 5\nyears_meant = 6"), "build.toml line 17, use.years_meant"),
    ],
)
def test_what_was_broken_after_reading_is_not_written_over(folder, name, text, words):
    project = with_line(read_project(folder), 1, note="x")
    (folder / name).write_text(text, encoding="utf-8")
    before = digests(folder)
    with pytest.raises(ProjectFaults, match=words):
        write_project(project)
    assert digests(folder) == before


def test_a_character_that_the_encoding_lacks_stops_the_whole_save(tmp_path):
    folder = made(tmp_path / "car", build=TOML + '[files.lines]\nencoding = "cp1252"\n')
    project = with_line(read_project(folder), 2, note="Łódź")
    project = project.model_copy(update={"market": project.market[:0]})
    before = digests(folder)
    with pytest.raises(ProjectFaults) as refusal:
        write_project(project)
    assert str(refusal.value) == "lines.csv line 4: must be cp1252 text, got 'Ł'. Declare another encoding under [files]. The old file is untouched."
    assert digests(folder) == before


def test_a_folder_that_is_not_there_is_no_place_to_write(tmp_path, folder):
    with pytest.raises(ProjectFaults, match="build.toml: must be writable, got 'No such file or directory'. The old file is untouched."):
        write_project(read_project(folder), tmp_path / "nowhere")


def test_a_folder_that_may_not_be_written_keeps_its_files(folder):
    if ignores_permissions():
        pytest.skip("needs a user whom permissions bind: this one is root, on a system without prctl")
    before = digests(folder)
    folder.chmod(0o555)
    try:
        done = python("-c", SAVE, folder, rights=False)
    finally:
        folder.chmod(0o755)
    assert done.stderr.splitlines()[-1].endswith("lines.csv: must be writable, got 'Permission denied'. The old file is untouched.")
    assert digests(folder) == before


@pytest.mark.parametrize(
    ("name", "call", "saved"),
    [("fsync", 1, False), ("fsync", 2, False), ("chmod", 1, False), ("fsync", 3, False), ("replace", 1, False), ("replace", 2, True), ("replace", 3, True), ("replace", 4, True)],
)
def test_a_save_that_dies_in_the_middle_is_wholly_there_or_not_at_all(folder, name, call, saved):
    before = records(read_project(folder))
    done = python("-c", DYING, name, call, folder)
    assert done.returncode == (0 if (name, call) == ("replace", 4) else 9)
    project = read_project(folder)
    assert project.file.use.distance_a_year == sure(12345 if saved else 10000)
    assert {line.note for line in project.lines} == {"new"} if saved else records(project) == before
    assert not (folder / ".saving.json").exists()
    write_project(with_line(project, 1, note="afterwards"))
    assert read_project(folder).lines[1].note == "afterwards"


SAVING_FOR_EVER = """\
import sys
from buildecon.project import read_project, write_project
k = int(sys.argv[2])
while True:
    project = read_project(sys.argv[1])
    k += 1
    lines = tuple(line.model_copy(update={"note": f"n{k}"}) for line in project.lines)
    for line in lines:
        line.model_fields_set.add("note")
    plan = project.file.build.model_copy(update={"summary": f"n{k}"})
    plan.model_fields_set.add("summary")
    write_project(project.model_copy(update={"lines": lines, "file": project.file.model_copy(update={"build": plan})}))
    print(k, flush=True)
"""


def test_what_was_typed_after_a_save_was_cut_off_is_kept_beside(folder):
    assert python("-c", DYING, "replace", 2, folder).returncode == 9
    typed = (folder / "lines.csv").read_text().replace(",oil,", ",oil typed by hand,")
    (folder / "lines.csv").write_text(typed)
    read_project(folder)
    assert typed in [path.read_text() for path in (folder / "before").glob("lines.*.csv")]


def test_a_folder_by_another_name_is_the_same_folder(folder, monkeypatch):
    project = read_project(folder)
    (folder / "lines.csv").write_text((folder / "lines.csv").read_text().replace(",oil,", ",oil and filter,"))
    monkeypatch.chdir(folder.parent)
    with pytest.raises(ProjectFaults, match="was changed meanwhile"):
        write_project(with_line(project, 1, note="x"), folder.name)


def test_a_saver_killed_at_any_moment_never_leaves_half_a_save(folder):
    moments, last = random.Random(20261125), 0
    for _ in range(12):
        with subprocess.Popen([sys.executable, "-c", SAVING_FOR_EVER, str(folder), str(last)], stdout=subprocess.PIPE, text=True) as saver:
            assert saver.stdout.readline().strip()
            time.sleep(moments.uniform(0, 0.05))
            saver.send_signal(signal.SIGKILL)
            rest = saver.stdout.read().split()
        project = read_project(folder)
        notes = {line.note for line in project.lines} | {project.file.build.summary}
        assert len(notes) == 1  # all lines and build.toml are of one save
        last = int(notes.pop()[1:])
        assert not rest or last >= int(rest[-1])


FULL = """\
import resource, signal, sys
from buildecon.project import read_project, write_project
project = read_project(sys.argv[1])
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), int(sys.argv[2])))
line = project.lines[1].model_copy(update={"note": "x" * 3000})
line.model_fields_set.add("note")
write_project(project.model_copy(update={"lines": (project.lines[0], line, *project.lines[2:])}))
"""


@pytest.mark.parametrize("room", [10, 2000])
def test_a_disk_that_takes_no_more_changes_no_file(folder, room):
    # 10 bytes stop the copy in before/, 2,000 the new lines.csv: the system refuses the write itself
    before = digests(folder)
    done = python("-c", FULL, folder, room)
    assert done.returncode == 1 and "lines.csv: must be writable, got 'File too large'. The old file is untouched." in done.stderr
    assert {name: digest for name, digest in digests(folder).items() if not name.startswith("before")} == before


def test_a_promise_that_is_no_list_of_files_is_told_and_nothing_is_moved(folder):
    for text in ("half a li", '{"lines.csv": "../elsewhere"}', '["lines.csv"]'):
        (folder / ".saving.json").write_text(text)
        with pytest.raises(ProjectFaults, match=r"\.saving\.json: must let a save be finished that was cut off"):
            read_project(folder)
    (folder / ".saving.json").unlink()
    read_project(folder)


def test_a_save_leaves_beside_the_files_only_a_copy_of_what_it_replaced(folder):
    before = digests(folder)
    write_project(with_line(read_project(folder), 1, note="x"))
    after = digests(folder)
    copies = set(after) - set(before)
    assert len(copies) == 1 and copies.pop().startswith("before/lines.")
    assert before["lines.csv"] in after.values() and after["lines.csv"] != before["lines.csv"]


def test_a_file_changed_since_it_was_read_is_never_written_over(folder):
    project = read_project(folder)
    (folder / "lines.csv").write_text((folder / "lines.csv").read_text().replace(",oil,", ",oil and filter,"))
    before = digests(folder)
    with pytest.raises(ProjectFaults, match="lines.csv: must be as it was read, and was changed meanwhile"):
        write_project(with_line(project, 1, note="x"))
    assert digests(folder) == before


def test_of_two_savers_at_once_one_is_told_and_neither_is_lost(folder):
    code = "import sys; from buildecon.project import read_project, write_project\np = read_project(sys.argv[1]); sys.stdin.read(1)\nlines = list(p.lines); lines[1] = lines[1].model_copy(update={'note': sys.argv[2]}); lines[1].model_fields_set.add('note')\nwrite_project(p.model_copy(update={'lines': tuple(lines)}))"
    savers = [subprocess.Popen([sys.executable, "-c", code, str(folder), note], stdin=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for note in ("from the first", "from the second")]
    time.sleep(3)  # both have read; then both save
    for saver in savers:
        saver.stdin.write("x")
        saver.stdin.flush()
    told = [saver.communicate(timeout=60)[1] for saver in savers]
    assert sorted(bool(text) for text in told) == [False, True], told
    assert "changed meanwhile" in "".join(told)
    assert read_project(folder).lines[1].note in ("from the first", "from the second")
