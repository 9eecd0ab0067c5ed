"""All forms of a write-up at once: what is refused, which files there are, and putting them in a folder."""

import csv
import io
import re
from functools import cached_property
from pathlib import Path

from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.in_place import put
from buildecon.story.spreadsheet import cost_sheet
from buildecon.story.telling.article import DAY, Given, article
from buildecon.story.telling.build_book import build_book
from buildecon.story.telling.disclosure import disclosure_sentences, sponsored_marks, undisclosed
from buildecon.story.telling.figures import figures
from buildecon.story.telling.frames import frames
from buildecon.story.telling.markdown import markdown
from buildecon.story.telling.parts_list import parts_rows
from buildecon.story.telling.pictures import png_of
from buildecon.story.telling.prose import prose, prose_faults
from buildecon.story.telling.reader_page import reader_section
from buildecon.story.telling.spoken import script
from buildecon.story.telling.told import Told
from buildecon.story.telling.web_page import web_page

SPOKEN = {"script-90-seconds.txt": 90, "script-3-minutes.txt": 180}
OURS = re.compile(r"\d\d-[a-z_]+\.(svg|png)")  # frames of an earlier time, which may have had other names
SHAPES = {"wide": "frames", "tall": "frames-upright", "square": "pictures"}


class WriteUp:
    """The write-up of one project in all its forms.

    Parameters
    ----------
    project : Project
        The files. [-]
    version : int, optional
        Which time it is published. [-]
    changes : sequence of dict, optional
        Corrections, as rows of text. [-]
    """

    def __init__(self, project, version=1, changes=()):
        self.project, self.version, self.changes, self.told = project, version, changes, Told(project)

    @cached_property
    def figures(self):
        """Every figure by name."""
        return figures(self.told)

    @cached_property
    def faults(self):
        """What keeps it from being published."""
        return (*undisclosed(self.project, self.told.totals), *prose_faults(self.project.story, self.figures, self.project.currency))

    @cached_property
    def given(self):
        """What is disclosed."""
        return Given(tuple(disclosure_sentences(self.project, self.told.totals)), sponsored_marks(self.project))

    @cached_property
    def frames(self):
        """Drawings, one idea each."""
        return frames(self.told)

    @cached_property
    def article(self):
        """Blocks of the article."""
        return article(self.told, self.figures, prose(self.project.story, self.figures), self.given, self.changes)

    @property
    def dated(self):
        """The line that says what day the figures are of."""
        return f"Figures and prices of {self.told.as_of:{DAY}}, in {self.told.currency}; version {self.version}."

    def page(self):
        """The article as one page with its moving part. Html."""
        pictures = {frame.id: (frame.alt, frame.svg["square"]) for frame in self.frames}
        return web_page(self.article, pictures, reader_section(self.project), self.dated)

    def markdown(self):
        """The article as Markdown, with the pictures beside it."""
        pictures = {frame.id: (frame.alt, f"pictures/{_file(k, frame)}.png") for k, frame in enumerate(self.frames, 1)}
        return markdown(self.article, pictures, "The page of this article, article.html, has sliders to move these figures.").replace("\n", f"\n\n{self.dated}\n", 1)

    def book(self, prices=False):
        """The buyer's build book as a page. Html."""
        return web_page(build_book(self.told, self.given, prices), {}, None, self.dated)

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


def publish(write_up, out, prices=False):
    """All forms written to a folder; files of other names in it are left alone.

    Parameters
    ----------
    write_up : WriteUp
        Of a project. [-]
    out : str or Path
        The folder; made where it is not there. [-]
    prices : bool, optional
        Whether the build book shows what was paid. [-]

    Returns
    -------
    tuple of str
        Places of the files in it. [-]

    Raises
    ------
    ProjectFaults
        If something given is not disclosed, a figure in the owner's words is typed, or the folder cannot be written to; then nothing is written.
    """
    out = Path(out)
    if write_up.faults:
        raise ProjectFaults(write_up.faults)
    if Path(write_up.project.folder).resolve() in (out.resolve(), *out.resolve().parents):
        raise ProjectFaults([Fault(out.name, 0, "", "must be a folder outside the project folder, where nothing private lies. Give another.")])
    contents = dict(write_up.files(prices))
    try:
        for place in dict.fromkeys(Path(name).parent for name in contents):
            (out / place).mkdir(parents=True, exist_ok=True)
            put({out / name: raw for name, raw in contents.items() if Path(name).parent == place})
        for folder in SHAPES.values():
            for old in (out / folder).iterdir():
                if OURS.fullmatch(old.name) and f"{folder}/{old.name}" not in contents:
                    old.unlink()
    except OSError as trouble:
        raise ProjectFaults([Fault(str(out), 0, "", f"must be a folder that can be written to, got {trouble.strerror!r}. Give another.")]) from None
    return tuple(contents)


def _file(k, frame):
    return f"{k:02}-{frame.id}"


def _plain(name, cell):
    if name.startswith(("paid", "a reader")):
        return cell.replace(",", "")
    return f"'{cell}" if cell[:1] in "=+-@\t\r" and cell else cell
