"""What `check` and `cost` say of traps, of what is overruled, and of what was published."""

import json
import shutil

import pytest
from demos import DATA

from buildecon.cli import main
from buildecon.project.honesty import TRAPS


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
    assert "a reader would pay 2,010 USD more. Quote both totals, and disclose who gave what. [sponsored_total]" in told
    assert told.endswith("it is then shown with the reason.")


def test_what_is_overruled_is_never_hidden(capsys, pickup):
    overrule(pickup, "sponsored_total", "The article quotes both.")
    shown = "Overruled by the owner. Given or discounted parts in the quoted total: a reader would pay 2,010 USD more. The reason given: The article quotes both."
    assert shown in run(capsys, "check", pickup) and shown in run(capsys, "cost", pickup)
    for verb in ("check", "cost"):
        found = {one["id"]: one for one in document(capsys, verb, pickup)["honesty"]}
        assert found["sponsored_total"] == {
            "id": "sponsored_total", "name": TRAPS["sponsored_total"], "figure": "a reader would pay 2,010 USD more",
            "cure": "Quote both totals, and disclose who gave what.", "overruled": "The article quotes both.",
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
