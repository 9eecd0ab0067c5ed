"""What `publish` says: what was written, what a reader is told of it, and the names of the figures."""

from buildecon.story.cost_words import trap_rows, trap_sentences
from buildecon.story.plain import bullets, paragraph, sheet
from buildecon.story.telling.article import DAY

READ_ME, OURS = "READ-ME.txt", "This folder was written by buildecon publish."
FILES = (
    ("article.html", "the article as one page, with sliders, for any browser and without a network"),
    ("article.md", "the same as Markdown, its pictures in pictures/"),
    ("frames/, frames-upright/", "drawings for video, 1920 by 1080 and 1080 by 1920, as PNG and SVG"),
    ("script-90-seconds.txt, script-3-minutes.txt", "to be read aloud"),
    ("costs.xlsx, parts.csv", "every line and total by formula; the parts list"),
    ("build-book.html", "for who buys the car"),
    ("pages/", "the notebooks as still pages"),
)


def publish_text(written, out, files):
    """What was published, in plain words.

    Parameters
    ----------
    written : WriteUp
        The write-up. [-]
    out : str
        The folder. [-]
    files : sequence of str
        What is in it. [-]

    Returns
    -------
    str
        For a terminal. [-]
    """
    said = f"{len(files)} files in {out}: figures of {written.told.as_of:{DAY}}, version {written.version}. Look at {out}/article.html first."
    parts = [paragraph(said), bullets("Written", _there(files)), bullets("Figures published before that are others now", written.changed), bullets("Told to readers, so that nothing misleads", trap_sentences(written.traps, ids=True))]
    return "\n\n".join(filter(None, parts))


def _there(files):
    """What there is, each with what it is."""
    return [f"{name}: {words}." for name, words in FILES if any(file.startswith(name.split(", ")[0].rstrip("/")) for file in files)]


def read_me(written, files):
    """What stands beside the files: what each is, and of what day.

    Parameters
    ----------
    written : WriteUp
        The write-up. [-]
    files : sequence of str
        What is in the folder. [-]

    Returns
    -------
    str
        Plain text, with the line by which a folder of ours is known. [-]
    """
    last = "What stands here under these names is written anew each time; put nothing of your own under them. Other files stay."
    return "\n\n".join([OURS, written.dated, "\n".join(_there(files)), last]) + "\n"


def publish_document(written, out, files):
    """The same as an object.

    Parameters
    ----------
    written : WriteUp
        The write-up. [-]
    out : str
        The folder. [-]
    files : sequence of str
        What is in it. [-]

    Returns
    -------
    dict
        Format `buildecon.publish/1`. [-]
    """
    return {
        "format": "buildecon.publish/1", "out": f"{out}", "version": written.version, "as_of": written.told.as_of.isoformat(), "files": list(files),
        "changed": list(written.changed), "honesty": trap_rows(written.traps),
    }  # fmt: skip


def figures_text(written):
    """The names that story.md may use, with what they stand at.

    Parameters
    ----------
    written : WriteUp
        The write-up. [-]

    Returns
    -------
    str
        A table. [-]
    """
    rows = [[f"{{{one.id}}}", one.text, one.what] for one in written.figures.values()]
    return sheet(["in story.md", "today", "what it is"], rows, {0, 1, 2})
