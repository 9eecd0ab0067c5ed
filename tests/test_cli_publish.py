"""`publish` from the command line: still pages of an earlier time are made again."""

import shutil

from demos import DATA

from buildecon.cli import main


def test_pages_that_are_there_are_made_again_without_being_asked_for(capsys, tmp_path):
    folder, out = shutil.copytree(DATA / "roadster", tmp_path / "roadster"), tmp_path / "out"
    assert main(["publish", str(folder), "--out", str(out)]) == 0 and not (out / "pages").exists()
    (out / "pages").mkdir()
    (out / "pages" / "what_has_it_cost.html").write_text("the figures of then")
    assert main(["publish", str(folder), "--out", str(out)]) == 0
    assert "8,480" in (out / "pages" / "what_has_it_cost.html").read_text(encoding="utf-8") and "pages/: " in capsys.readouterr().out
