"""The house: rooms import downwards only, and every room is in the picture."""

from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def test_rooms_import_in_one_direction(monkeypatch, capsys):
    from importlinter.cli import lint_imports

    monkeypatch.chdir(ROOT)
    assert lint_imports(config_filename="pyproject.toml", no_cache=True) == 0, capsys.readouterr().out


@pytest.mark.skipif(not (ROOT / ".git").exists(), reason="not a clone: no git folder to list the files of")
def test_the_top_level_holds_what_it_should():
    import subprocess

    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split()
    top = {name.split("/")[0] for name in tracked}
    assert {name for name in top if not name.startswith(".")} == {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "notebooks", "buildecon", "data-demo", "tests", "LICENSE",
    }  # fmt: skip
