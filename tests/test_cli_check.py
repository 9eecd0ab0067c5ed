"""What `check` and `cost` say of traps, of what is overruled, and of what was published."""

import datetime as dt
import json
import shutil

import pytest
from demos import DATA

from buildecon.cli import main
from buildecon.project import read_project
from buildecon.project.honesty import TRAPS
from buildecon.story.telling.published_words import publish_text
from buildecon.story.telling.publishing import WriteUp, publish


@pytest.fixture
def pickup(tmp_path):
    return shutil.copytree(DATA / "pickup", tmp_path / "pickup")


def run(capsys, *typed):
    assert main([str(part) for part in typed]) == 0
    return " ".join(capsys.readouterr().out.split())


def document(capsys, *typed):
    return json.loads(run(capsys, *typed, "--json"))


def overrule(folder, trap, because):
    with (folder / "build.toml").open("a") as file:
        file.write(f'\n[[overruled]]\ntrap = "{trap}"\nbecause = "{because}"\n')


def test_a_trap_is_shown_with_its_word_and_how_to_let_it_stand(capsys, pickup):
    told = run(capsys, "check", pickup)
    assert "a reader would pay 2,010 USD more. Quote both totals. [sponsored_total]" in told
    assert told.endswith("it is then shown with the reason.")


def test_what_is_overruled_is_never_hidden(capsys, pickup):
    overrule(pickup, "sponsored_total", "The article quotes both.")
    shown = "Overruled by the owner. Given or discounted parts in the quoted total: a reader would pay 2,010 USD more. The reason given: The article quotes both."
    assert shown in run(capsys, "check", pickup) and shown in run(capsys, "cost", pickup)
    for verb in ("check", "cost"):
        found = {one["id"]: one for one in document(capsys, verb, pickup)["honesty"]}
        assert found["sponsored_total"] == {
            "id": "sponsored_total", "name": TRAPS["sponsored_total"], "figure": "a reader would pay 2,010 USD more",
            "cure": "Quote both totals.", "overruled": "The article quotes both.",
        }  # fmt: skip


def test_an_overruling_of_nothing_is_said(capsys, pickup):
    overrule(pickup, "no_waste", "There is some.")
    assert "Overruled, and not there: no_waste." in run(capsys, "check", pickup)


def test_published_figures_are_held_against_today_s(capsys, pickup):
    assert document(capsys, "check", pickup)["published"] == []
    published = "figure,value,text,as_of,price_date,version,published_on\n"
    published += 'stands_in_at,57520,"57,520 USD",2026-08-31,,1,2026-09-02\nproject_cash,48000,"48,000 USD",2026-08-31,,1,2026-09-02\ntools,735,735 USD,2026-08-31,,1,2026-09-02\n'
    (pickup / "published.csv").write_text(published)
    told = run(capsys, "check", pickup)
    assert "stands_in_at was published as 57,520 USD on 2026-09-02, version 1; it is 57,820 USD now. The reason in corrections.csv: Half of the gearbox's core deposit, 300, was lost and had been left out. Publish again." in told
    assert "project_cash was published as 48,000 USD on 2026-09-02, version 1; it is 48,230 USD now. Publish again, and add the reason to corrections.csv." in told
    found = document(capsys, "check", pickup)["published"]
    assert [(one["figure"], one["now"], bool(one["reason"])) for one in found] == [("stands_in_at", "57,820 USD", True), ("project_cash", "48,230 USD", False)]


def spend(folder, before, after):
    lines = (folder / "lines.csv").read_text(encoding="utf-8")
    assert lines.count(before) == 1
    (folder / "lines.csv").write_text(lines.replace(before, after), encoding="utf-8")


def test_a_version_published_without_a_reason_is_told_until_there_is_one(capsys, tmp_path):
    folder, out = shutil.copytree(DATA / "roadster", tmp_path / "roadster"), tmp_path / "out"
    publish(WriteUp(read_project(folder)), out, day=dt.date(2026, 10, 1))
    spend(folder, "used alloy set,part,,160,160,", "used alloy set,part,,160,260,")
    anew = WriteUp(read_project(folder))
    publish(anew, out, day=dt.date(2026, 10, 2))
    assert "Publish again" not in publish_text(anew, out, ())
    told = run(capsys, "check", folder)
    assert "Published anew without a reason" in told and "Publish again" not in told and "Published, and no longer so" not in told
    assert "quoted was published as 8,480 GBP in version 1 and as 8,580 GBP in version 2, without a reason. Add it to corrections.csv." in told
    found = document(capsys, "check", folder)
    assert found["published"] == [] and {"figure": "quoted", "published": "8,480 GBP", "version": 1, "published_on": "2026-10-01", "now": "8,580 GBP", "reason": None} in found["without_reason"]
    assert "no reason given" in (out / "article.md").read_text(encoding="utf-8")
    (folder / "corrections.csv").write_text('figure,old,new,reason,date\nquoted,"8,480 GBP","8,580 GBP",A bill was left out.,2026-10-03\n')
    assert document(capsys, "check", folder)["without_reason"] == [] and "without a reason" not in run(capsys, "check", folder)
    (folder / "corrections.csv").write_text('figure,old,new,reason,date\nquoted,"8,400 GBP","8,580 GBP",A bill was left out.,2026-10-03\n')
    assert "corrections.csv line 2, old: must be a text that was published of quoted, got '8,400 GBP'." in run(capsys, "check", folder)
    assert [one["column"] for one in document(capsys, "check", folder)["corrections"]] == ["old"]


def test_what_keeps_story_md_from_being_published_is_told(capsys, pickup):
    assert document(capsys, "check", pickup)["story"] == [] and "story.md" not in run(capsys, "check", pickup)
    (pickup / "story.md").write_text("It cost me 58k.\n\n> so\n", encoding="utf-8")
    told = run(capsys, "check", pickup)
    assert "story.md, before it can be published" in told and "story.md line 3: must be paragraphs, lists and headings, got a quote" in told
    assert [(one["file"], one["line"]) for one in document(capsys, "check", pickup)["story"]] == [("story.md", 1), ("story.md", 3)]
    (pickup / "story.md").unlink()
    assert document(capsys, "check", pickup)["story"] == []
