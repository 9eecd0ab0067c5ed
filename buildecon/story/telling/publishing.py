"""All forms of a write-up at once: what is refused, which files there are, and putting them in a folder."""

import csv
import io
import re
from dataclasses import replace
from datetime import date
from functools import cached_property
from pathlib import Path

from buildecon.decision.honesty import all_traps
from buildecon.ledger.ladder import ladder
from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.for_readers import for_readers
from buildecon.project.in_place import alone, clear_strays, put
from buildecon.project.read import stamps_of
from buildecon.project.write import write_project
from buildecon.story.spreadsheet import cost_sheet
from buildecon.story.telling.aloud.spoken import script
from buildecon.story.telling.article import DAY, article
from buildecon.story.telling.build_book import build_book
from buildecon.story.telling.disclosure import Given, disclosure_sentences, sponsored_marks, undisclosed
from buildecon.story.telling.drawn.frames import IDS, frames, png_of
from buildecon.story.telling.figures import figures
from buildecon.story.telling.markdown import markdown
from buildecon.story.telling.parts_list import parts_rows
from buildecon.story.telling.prose import prose, prose_faults
from buildecon.story.telling.reader.page import reader_section
from buildecon.story.telling.told import Told
from buildecon.story.telling.versions import change_sentences, changes, correction_rows, next_version, published_anew
from buildecon.story.telling.web_page import web_page

SPOKEN = {"script-90-seconds.txt": 90, "script-3-minutes.txt": 180}
OURS = re.compile(rf"\d\d-({'|'.join(IDS)})\.(svg|png)")  # frames of an earlier time, in another place of the row or gone; a picture of the owner's stays
PUBLISHED = "published.csv"
DISCLOSE = "Add it under [[disclosures]] in build.toml: who gave what, and for what."
SHAPES = {"wide": "frames", "tall": "frames-upright", "square": "pictures"}


class WriteUp:
    """The write-up of one project in all its forms, made from a reader's copy of it.

    Parameters
    ----------
    project : Project
        The owner's files. [-]
    """

    def __init__(self, project):
        self.owner, self.project = project, for_readers(project)
        self.told = Told(self.project)

    @cached_property
    def figures(self):
        """Every figure by name."""
        return figures(self.told)

    @cached_property
    def faults(self):
        """What keeps it from being published."""
        silent = undisclosed(self.owner, ladder(self.owner))
        gifts = (Fault("lines.csv", line.row, "funding", f"must be disclosed when it is {line.funding!r}, and {line.supplier or 'its supplier'!r} is not. {DISCLOSE}") for line in silent)
        return (*gifts, *prose_faults(self.project.story, self.figures, self.project.currency))

    @cached_property
    def given(self):
        """What is disclosed."""
        return Given(tuple(disclosure_sentences(self.project, self.told.totals)), sponsored_marks(self.project))

    @cached_property
    def traps(self):
        """How the figures could mislead, and what the owner says to it; what he writes of the basis of the value is judged, and not shown."""
        file, value = self.project.file, self.owner.file.value
        judged = self.project.model_copy(update={"file": file.model_copy(update={"value": file.value.model_copy(update={"basis": value.basis})})})
        return all_traps(replace(self.told.whole, project=judged), self.told.stand.market if self.project.market else None)

    @cached_property
    def version(self):
        """Which time this is published; the last number again where no figure changed."""
        return next_version(self.owner.published, self.figures)

    @cached_property
    def changed(self):
        """Figures published before that are others now, in words."""
        return change_sentences(changes(self.owner.published, self.figures, self.owner.corrections))

    @cached_property
    def frames(self):
        """Drawings, one idea each."""
        return frames(self.told)

    @cached_property
    def article(self):
        """Blocks of the article."""
        return article(self.told, self.figures, prose(self.project.story, self.figures), self.given, self.traps, correction_rows(self.owner))

    @property
    def dated(self):
        """The line that says what day the figures are of."""
        return f"Figures and prices of {self.told.as_of:{DAY}}, in {self.told.currency}; version {self.version}."

    def page(self):
        """The article as one page with its moving part. Html."""
        return web_page(self.article, {frame.id: (frame.alt, frame.svg) for frame in self.frames}, reader_section(self.project), self.dated)

    def markdown(self):
        """The article as Markdown, with the pictures beside it."""
        pictures = {frame.id: (frame.alt, f"pictures/{_file(k, frame)}.png") for k, frame in enumerate(self.frames, 1)}
        return markdown(self.article, pictures, "The page of this article, article.html, has sliders to move these figures.").replace("\n", f"\n\n{self.dated}\n", 1)

    def book(self, prices=False):
        """The buyer's build book as a page. Html."""
        dated = self.dated if prices else f"As of {self.told.as_of:{DAY}}; version {self.version}."
        return web_page(build_book(self.told, self.given, prices), {}, None, dated)

    def spoken(self, seconds):
        """Words to be read aloud in about that time."""
        return script(self.told, seconds)

    def parts(self):
        """The parts list as csv; a cell that begins like a formula is set so that no program takes it for one."""
        rows, text = parts_rows(self.told, self.given.marks), io.StringIO()
        if rows:
            table = csv.DictWriter(text, rows[0], lineterminator="\n")
            table.writeheader()
            table.writerows({name: _plain(name, cell) for name, cell in row.items()} for row in rows)
        return text.getvalue()

    def files(self, prices=False):
        """Every file by its place in the folder, as bytes, one at a time.

        Parameters
        ----------
        prices : bool, optional
            Whether the build book shows what was paid. [-]

        Yields
        ------
        tuple of (str, bytes)
            Place and contents. [-]
        """
        yield "article.html", self.page().encode()
        yield "article.md", self.markdown().encode()
        yield "build-book.html", self.book(prices).encode()
        yield "costs.xlsx", cost_sheet(self.project, self.told.totals)
        yield "parts.csv", self.parts().encode("utf-8-sig")
        for name, seconds in SPOKEN.items():
            yield name, (self.spoken(seconds).rstrip() + "\n").encode()
        for k, frame in enumerate(self.frames, 1):
            for shape, folder in SHAPES.items():
                yield f"{folder}/{_file(k, frame)}.svg", frame.svg[shape].encode()
                yield f"{folder}/{_file(k, frame)}.png", png_of(frame.svg[shape])


def publish(write_up, out, prices=False, more=(), day=None):
    """All forms written to a folder, and the figures to the project's published.csv; files of other names in the folder are left alone.

    Parameters
    ----------
    write_up : WriteUp
        Of a project. [-]
    out : str or Path
        The folder; made where it is not there. [-]
    prices : bool, optional
        Whether the build book shows what was paid. [-]
    more : iterable of (str, bytes), optional
        Further files. [-]
    day : date, optional
        Of publishing; today by default. [-]

    Returns
    -------
    tuple of str
        Places of the files in it. [-]

    Raises
    ------
    ProjectFaults
        If something given is not disclosed, a figure in the owner's words is typed, somebody else published meanwhile, or the folder cannot be written to;
        published.csv is then as it was.
    """
    out, home = Path(out), Path(write_up.owner.folder).resolve()
    if write_up.faults:
        raise ProjectFaults(write_up.faults)
    if home in (out.resolve(), *out.resolve().parents):
        raise ProjectFaults([Fault(f"{out}", 0, "--out", "must be a folder outside the project folder, whose files are private. Give another.")])
    if write_up.owner.stamps and stamps_of(home).get(PUBLISHED) != write_up.owner.stamps.get(PUBLISHED):
        raise ProjectFaults([Fault(PUBLISHED, 0, "", "must be as it was read, and was changed meanwhile. Read the folder again; nothing was written.")])
    contents = {**dict(write_up.files(prices)), **dict(more)}
    try:
        for place in dict.fromkeys(Path(name).parent for name in contents):
            _fill(out / place, {Path(name).name: raw for name, raw in contents.items() if Path(name).parent == place})
        for folder in SHAPES.values():
            for old in (out / folder).iterdir():
                if OURS.fullmatch(old.name) and f"{folder}/{old.name}" not in contents:
                    old.unlink()
    except OSError as trouble:
        raise ProjectFaults([Fault(f"{out}", 0, "--out", f"must be a folder that can be written to, got {trouble.strerror!r}. Give another.")]) from None
    write_project(published_anew(write_up.owner, write_up.figures, day or date.today()))
    return tuple(contents)


def _fill(folder, contents):
    """Files put into one folder, together; what an earlier time that was cut off left beside them goes."""
    folder.mkdir(parents=True, exist_ok=True)
    with alone(folder):
        clear_strays(folder, tuple(contents))
        put({folder / name: raw for name, raw in contents.items()})


def _file(k, frame):
    return f"{k:02}-{frame.id}"


def _plain(name, cell):
    if name.startswith(("paid", "a reader")):
        return cell.replace(",", "")
    return f"'{cell}" if cell[:1] in "=+-@\t\r" and cell else cell
