"""Everything that is published: from one source, nothing private in it, and nothing of the owner's that could run."""

import csv
import datetime as dt
import io
import re
import shutil
import zipfile
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path

import markdown_it
import openpyxl
import pytest
from attacks import attacked
from demos import DATA, changed, demo, money

from buildecon.decision.compare import compare
from buildecon.decision.honesty import all_traps
from buildecon.project import ProjectFaults, read_project
from buildecon.story.telling.drawn.frames import IDS
from buildecon.story.telling.out_folder import has_pages
from buildecon.story.telling.published_words import FILES
from buildecon.story.telling.publishing import WriteUp, publish

SECRET = "Zxq{}Vault"  # in every place that is nobody's business


def text_of(name, raw):
    """All that a file says; a workbook and its parts unpacked."""
    if name.endswith(".xlsx"):
        with zipfile.ZipFile(io.BytesIO(raw)) as book:
            return "\n".join(book.read(part).decode("utf-8", "replace") for part in book.namelist())
    return raw.decode("utf-8", "replace")


def written(project, prices=True):
    return {name: text_of(name, raw) for name, raw in WriteUp(project).files(prices)}


def seeded(project):
    """A project with a secret in every private place."""
    lines = tuple(line.model_copy(update={"note": SECRET.format("note"), "order": SECRET.format("order") if line.order else "", "supplier": SECRET.format("seller") if line.supplier == "private buyer" else line.supplier}) for line in project.lines)
    market = tuple(one.model_copy(update={"note": SECRET.format("evidence"), "what": SECRET.format("what") + one.id, "id": SECRET.format("id") + one.id}) for one in project.market)
    seeded = project.model_copy(update={
        "lines": lines, "market": market,
        "events": tuple(event.model_copy(update={"note": SECRET.format("moved"), "document": SECRET.format("paper")}) for event in project.events),
        "hours": tuple(row.model_copy(update={"note": SECRET.format("hours")}) for row in project.hours),
        "energy": tuple(fill.model_copy(update={"note": SECRET.format("fill"), "place": SECRET.format("place")}) for fill in project.energy),
        "statements": tuple(one.model_copy(update={"note": SECRET.format("bank"), "source": SECRET.format("card")}) for one in project.statements),
    })  # fmt: skip
    options = tuple(option.model_copy(update={"note": SECRET.format("option")}) for option in project.options)
    return changed(seeded, options=options, value=project.file.value.model_copy(update={"basis": SECRET.format("basis")}))


@pytest.mark.parametrize("name", ["van", "pickup"])
def test_nothing_private_is_in_any_file(name):
    owner = demo(name)
    files = written(seeded(owner))
    assert not [(file, found) for file, text in files.items() for found in re.findall(r"Zxq\w+Vault", text)]
    named = {*owner.file.publish.name_suppliers, *(one.supplier for one in owner.file.disclosures)}
    private = {line.supplier for line in owner.lines} - named | {line.order for line in owner.lines} | {event.document for event in owner.events}
    private = {text for text in private if re.search(r"\d|[A-Z]\w+ [A-Z&]", text)}  # "several shops" is no secret
    assert len(private) > 20
    mine = {file: said for file, said in written(owner).items() if not file.endswith(".png")}
    assert not [(file, text) for text in private for file, said in mine.items() if text in said]


class Seen(HTMLParser):
    """Tags, and attributes that could run or fetch."""

    def __init__(self):
        super().__init__()
        self.scripts, self.wrong = 0, []

    def handle_starttag(self, tag, attributes):
        self.scripts += tag == "script"
        for name, value in attributes:
            if name.startswith("on") or (name in ("src", "href", "srcset", "action") and not (value or "").startswith(("data:image/svg+xml;base64,", "#"))):
                self.wrong.append((tag, name, value))
        if tag in ("iframe", "object", "embed", "link", "base"):
            self.wrong.append((tag, "", ""))


def test_planted_attacks_run_nowhere():
    owner = attacked()
    files = written(owner)
    for name, text in files.items():
        if name.endswith(".html"):
            seen = Seen()
            seen.feed(text)
            assert not seen.wrong and seen.scripts <= 3 and "default-src 'none'" in text, (name, seen.wrong)
            assert "<script>alert" not in text and "<img src=x" not in text, name
        if name.endswith(".svg"):
            assert "<script" not in text and "\u202e" not in text and "onerror" not in re.sub(r">[^<]*<|\"[^\"]*\"", "", text)
        if name.endswith((".svg", ".html", ".md", ".txt", ".csv")):
            assert "\x00" not in text and "\x1b" not in text and "\u202e" not in text, name
    parsed = markdown_it.MarkdownIt("gfm-like", {"linkify": False}).parse(files["article.md"])
    inline = [child for token in parsed for child in token.children or ()]
    assert not [child for child in inline if child.type in ("html_inline", "link_open")] and not [token for token in parsed if token.type in ("html_block", "fence", "code_block")]
    assert {child.attrs["src"].split("/")[0] for child in inline if child.type == "image"} == {"pictures"}
    for row in csv.reader(io.StringIO(files["parts.csv"].removeprefix("\ufeff"))):
        assert not [cell for cell in row if cell[:1] in ("=", "+", "@", "\t")], row
    book = dict(WriteUp(owner).files())["costs.xlsx"]
    for sheet in openpyxl.load_workbook(io.BytesIO(book)):
        assert not [cell for row in sheet for cell in row if cell.data_type == "f" and "HYPERLINK" in str(cell.value)]
    assert max(map(len, files["article.md"].splitlines())) < 3000


def test_a_figure_changed_in_lines_csv_changes_every_form(tmp_path):
    # The roadster's used wheels at 1,160 instead of 160: 8,480 becomes 9,480 everywhere, and nothing says 8,480 any more.
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    publish(WriteUp(read_project(tmp_path / "mine")), tmp_path / "out", day=dt.date(2026, 10, 1))
    lines = tmp_path / "mine" / "lines.csv"
    lines.write_text(lines.read_text().replace("used alloy set,part,,160,160,", "used alloy set,part,,160,1160,"))
    after = WriteUp(read_project(tmp_path / "mine"))
    assert after.version == 2 and any("quoted was published as 8,480 GBP on 2026-10-01, version 1; it is 9,480 GBP now." in said for said in after.changed)
    publish(after, tmp_path / "out", day=dt.date(2026, 11, 1))
    for name in ("article.html", "article.md", "pictures/01-total.svg", "frames/01-total.svg", "frames-upright/01-total.svg"):
        text = re.split("## Corrections|<h2>Corrections", (tmp_path / "out" / name).read_text(encoding="utf-8"))[0]  # which shows both
        assert "9,480" in text.replace("\u00a0", " ") and "8,480" not in text, name
    assert "nine and a half thousand pounds" in (tmp_path / "out" / "script-90-seconds.txt").read_text()
    assert "1160.00" in (tmp_path / "out" / "parts.csv").read_text(encoding="utf-8-sig")
    sheet = openpyxl.load_workbook(tmp_path / "out" / "costs.xlsx")["lines"]
    assert [row[7].value for row in sheet if row[0].value == "r057"] == [1160]
    again = read_project(tmp_path / "mine")
    assert {row.version for row in again.published} == {1, 2} and WriteUp(again).changed == [] and WriteUp(again).version == 2


def test_the_same_files_give_the_same_forms():
    first, second = (dict(WriteUp(demo("roadster")).files()) for _ in range(2))
    assert [name for name in first if first[name] != second[name]] == []


def test_a_gift_without_a_disclosure_and_a_typed_figure_are_refused_and_nothing_is_written(tmp_path):
    pickup = demo("pickup")
    silent = changed(pickup, disclosures=pickup.file.disclosures[:1]).model_copy(update={"story": "It cost 57,820 USD."})
    with pytest.raises(ProjectFaults) as told:
        publish(WriteUp(silent), tmp_path / "out")
    said = [str(fault) for fault in told.value.faults]
    assert any("funding: must be disclosed when it is 'given', and 'Hollow Peak Tents' is not. Add it under [[disclosures]] in build.toml: who gave what, and for what." in one for one in said)
    assert any(one.startswith("story.md line 1: must hold no typed figure, got '57,820 USD'. Write {stands_in_at}") for one in said)
    assert not (tmp_path / "out").exists()


def test_the_project_folder_is_no_place_for_it_and_neither_is_a_file(tmp_path):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    (tmp_path / "file").write_text("mine")
    mine = WriteUp(read_project(tmp_path / "mine"))
    for out, rule in ((tmp_path / "mine" / "out", "must be a folder outside the project folder"), (tmp_path / "file", "must be a folder that can be written to")):
        with pytest.raises(ProjectFaults, match=rule):
            publish(mine, out)
    assert not (tmp_path / "mine" / "published.csv").exists() and (tmp_path / "file").read_text() == "mine"


def test_what_holds_the_project_folder_is_no_place_either(tmp_path):
    (tmp_path / "garage").mkdir()
    shutil.copytree(DATA / "roadster", tmp_path / "garage" / "mine")
    mine = WriteUp(read_project(tmp_path / "garage" / "mine"))
    for out in (tmp_path / "garage", tmp_path, tmp_path / "garage" / "mine" / "..", Path(tmp_path.anchor)):
        with pytest.raises(ProjectFaults, match="must be a folder of its own, and it holds the project folder 'mine'. Give another, as one beside the project folder."):
            publish(mine, out)
    assert {path.name for path in tmp_path.rglob("*.*")} == {path.name for path in (DATA / "roadster").iterdir()}


def test_what_the_owner_put_in_the_folder_stays_and_frames_of_an_earlier_time_go(tmp_path):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    out = tmp_path / "out"
    mine = ("frames/my-photo.jpg", "frames/03-engine.png", "frames/12-under_the_hood.svg", "notes.txt")  # a photo may well be called as a frame is numbered
    (out / "frames").mkdir(parents=True)
    for name in mine:
        (out / name).write_bytes(b"x")
    publish(WriteUp(read_project(tmp_path / "mine")), out)
    for name in ("99-joy.png", ".01-total.svg.abcd1234"):
        (out / "frames" / name).write_bytes(b"x")
    files = publish(WriteUp(read_project(tmp_path / "mine")), out)
    assert {f"{path.relative_to(out)}" for path in out.rglob("*") if path.is_file()} == {*files, *mine}


@pytest.mark.parametrize("name", ["article.md", "frames/01-total.png", "frames/99-joy.png", "READ-ME.txt"])
def test_an_owner_s_own_file_of_one_of_our_names_is_not_written_over(tmp_path, name):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    own = tmp_path / "out" / name
    own.parent.mkdir(parents=True)
    own.write_text("my own words")
    with pytest.raises(ProjectFaults) as told:
        publish(WriteUp(read_project(tmp_path / "mine")), tmp_path / "out")
    rule = f"must be a folder without files of our names in it, unless buildecon publish wrote them, got {name!r} and no READ-ME.txt of ours. Give another folder, or move that file."
    assert [(fault.column, fault.message) for fault in told.value.faults] == [("--out", rule)]
    assert [path for path in (tmp_path / "out").rglob("*") if path.is_file()] == [own] and own.read_text() == "my own words"
    assert not (tmp_path / "mine" / "published.csv").exists()


def test_the_folder_says_what_it_is_and_of_what_day(tmp_path):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    publish(WriteUp(read_project(tmp_path / "mine")), tmp_path / "out")
    said = (tmp_path / "out" / "READ-ME.txt").read_text(encoding="utf-8")
    assert said.startswith("This folder was written by buildecon publish.\n\nFigures and prices of 30 September 2026, in GBP; version 1.\n\narticle.html: the article as one page")
    assert all(f"{name}: " in said for name, words in FILES if name != "pages/") and "pages/:" not in said


def test_pages_of_the_last_time_are_never_left_as_they_were(tmp_path):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    out, pages = tmp_path / "out", (("pages/build_or_buy.html", b"then"),)
    assert not has_pages(out)
    publish(WriteUp(read_project(tmp_path / "mine")), out, more=pages)
    assert has_pages(out) and "pages/: " in (out / "READ-ME.txt").read_text()
    with pytest.raises(ProjectFaults, match="must have its pages/ made again, which show the figures of the last time. Publish with --pages, or delete pages/ there."):
        publish(WriteUp(read_project(tmp_path / "mine")), out)
    publish(WriteUp(read_project(tmp_path / "mine")), out, more=(("pages/build_or_buy.html", b"now"),))
    assert (out / "pages" / "build_or_buy.html").read_bytes() == b"now"
    (out / "pages" / "build_or_buy.html").unlink()
    (out / "pages" / "mine.html").write_text("my own")
    assert not has_pages(out) and publish(WriteUp(read_project(tmp_path / "mine")), out)
    (out / "READ-ME.txt").unlink()
    assert not has_pages(out) and not has_pages(tmp_path / "mine" / "lines.csv")


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_every_frame_has_a_name_by_which_it_is_known_as_ours(name):
    ids = [frame.id for frame in WriteUp(demo(name)).frames]
    assert set(ids) <= set(IDS) and len(ids) > 8


def test_who_published_meanwhile_is_not_overwritten_with_older_figures(tmp_path):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    early = WriteUp(read_project(tmp_path / "mine"))
    publish(WriteUp(read_project(tmp_path / "mine")), tmp_path / "out")
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / "out").rglob("*") if path.is_file()}
    with pytest.raises(ProjectFaults, match="must be as it was read, and was changed meanwhile. Read the folder again; nothing was written."):
        publish(early, tmp_path / "out")
    assert before == {path: path.stat().st_mtime_ns for path in (tmp_path / "out").rglob("*") if path.is_file()}


def test_readers_are_told_of_every_trap_that_the_owner_is_told_of():
    roadster = demo("roadster")
    asked = changed(roadster.model_copy(update={"market": ()}), value=roadster.file.value.model_copy(update={"basis": "What two were advertised at by Zxqseller."}))
    whole = compare(asked)
    assert {trap.id for trap in WriteUp(asked).traps} == {trap.id for trap in all_traps(whole)} > {"asks_as_value"}
    assert not [name for name, text in written(asked).items() if "Zxqseller" in text]


def test_who_gave_something_stands_at_the_top_beside_the_line_and_on_the_frame():
    written = WriteUp(demo("pickup"))
    page, said = written.page(), written.markdown()
    assert page.index("Dry Ferry Suspension") < page.index("What the car stands in at") and said.index("Dry Ferry Suspension") < said.index("What the car stands in at")
    tent = next(row for row in csv.DictReader(io.StringIO(written.parts())) if row["part"] == "roof tent")
    assert {row["mark"] for row in csv.DictReader(io.StringIO(written.parts()))} >= {"wrong part"}
    assert tent["mark"] == "given by Hollow Peak Tents" and Decimal(tent["paid, USD"]) == 0 and Decimal(tent["a reader pays"]) == 1690
    assert all("Dry Ferry Suspension" in re.sub(r"<[^>]+>|\s", " ", drawing).replace("  ", " ") or "Dry Ferry" in drawing for frame in written.frames if frame.id != "hours" for drawing in frame.svg.values())


def test_a_page_is_small_and_whole():
    page = WriteUp(demo("van")).page()
    assert len(page.encode()) < 1_500_000 and page.count("<h1") == 1 and page.rstrip().endswith("</html>")
    assert not re.search(r"https?://(?!www\.w3\.org)", page)


def test_a_project_without_market_jobs_or_rivals_is_written_up_too():
    roadster = demo("roadster")
    alone = changed(roadster.model_copy(update={"market": (), "hours": (), "energy": (), "story": ""}), options=tuple(one for one in roadster.options if one.kind == "build"), jobs=(), must_haves=(), improvements=(), contribution=None)
    files = written(alone)
    assert "8,480 GBP" in files["article.md"] and "nothing else meets every must-have" in files["article.md"]
    assert money(1) and files["script-90-seconds.txt"].count(" ") > 60


def test_places_in_the_folder_are_plain_names(tmp_path):
    names = [name for name, _ in WriteUp(attacked()).files()]
    assert all(re.fullmatch(r"[a-z0-9_/-]+\.[a-z]+", name) and ".." not in name for name in names) and len(set(names)) == len(names)
    assert Path(tmp_path, names[0]).resolve().is_relative_to(tmp_path)
