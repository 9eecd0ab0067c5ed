"""Frames for video, the article and posts: one idea each, wide, tall and square."""

import re
from dataclasses import dataclass

from buildecon.story.telling.choice_scenes import choice_scenes
from buildecon.story.telling.drawing import LEAD, TYPE, Space, clean, svg, text_mark
from buildecon.story.telling.pictures import GAP
from buildecon.story.telling.scenes import cost_scenes, hours_scene, short
from buildecon.story.telling.type_widths import ASCENT, DESCENT, text_width, wrapped
from buildecon.story.theme import LIGHT

SHAPES = {"wide": (1920, 1080), "tall": (1080, 1920), "square": (1080, 1080)}
MARGIN = 0.05  # of width and height, on every side: what screens and players may cut off
MOST = 12  # frames
TITLES = {"total": (128, 116, 104, 92, 80, 68), "": (76, 70, 64, 58, 52)}  # sizes tried [pixel]
LINES = {"wide": 2, "tall": 3, "square": 3}
MONEY = re.compile(r"(?<=\d) (?=[A-Z]{3}\b)")
FIRST = re.compile("[\\d,.]+\u00a0[A-Z]{3}")


@dataclass(frozen=True)
class Frame:
    """One idea in every shape.

    Parameters
    ----------
    id, title, alt : str
        What it is about, the answer, and what it shows for who cannot see it. [-]
    svg : dict of str to str
        The drawing by shape: `wide`, `tall`, `square`. [-]
    """

    id: str
    title: str
    alt: str
    svg: dict


def frames(told):
    """All frames of a project.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    tuple of Frame
        In the order of telling; where there would be more than 12 the hours are left out. [-]
    """
    scenes = [*cost_scenes(told), *choice_scenes(told)]
    scenes += [scene for scene in [hours_scene(told)] if scene and len(scenes) < MOST]
    return tuple(_frame(scene, told) for scene in scenes)


def sponsors_line(told):
    """Who stands behind the figures with parts that were given or cheap.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    str
        One sentence for a frame; empty where nobody does. [-]
    """
    names = sponsors(told)
    if not names:
        has = any(one.line.funding != "own" for one in told.totals.settled)
        return "With parts given or discounted" if has else ""
    said = [short(name, 650) for name in names[:2]]
    more = f" and {len(names) - 2} more" if len(names) > 2 else ""
    return f"With parts given or discounted by {(', ' if more else ' and ').join(said)}{more}"


def sponsors(told):
    """Suppliers who gave something or gave it for less, as disclosed and as the parts list has them.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    tuple of str
        Each once, in the owner's order. [-]
    """
    named = [one.supplier for one in told.project.file.disclosures] + [one.line.supplier for one in told.totals.settled if one.line.funding != "own"]
    return tuple(dict.fromkeys(name for name in map(clean, named) if name))


def png_of(drawing):
    """A drawing as a picture of dots.

    Parameters
    ----------
    drawing : str
        SVG of a frame. [-]

    Returns
    -------
    bytes
        PNG of the same size. [-]

    Raises
    ------
    RuntimeError
        Where the library that draws it is not installed. [-]
    """
    try:
        from vl_convert import svg_to_png
    except ImportError:
        raise RuntimeError("vl-convert-python must be installed to make PNG files, and is missing. Run: pip install vl-convert-python. The SVG files need nothing.") from None
    return svg_to_png(drawing)


def _frame(scene, told):
    title = " ".join(scene.title.split())
    alt = " ".join([f"{title.rstrip('.')}.", scene.note, *([f"{'; '.join(scene.told)}."] if scene.told else [])])
    return Frame(scene.id, title, alt, {shape: _drawn(scene, told, shape, alt) for shape in SHAPES})


def _drawn(scene, told, shape, alt):
    width, height = SHAPES[shape]
    space = Space(width * MARGIN, height * MARGIN, width * (1 - 2 * MARGIN), height * (1 - 2 * MARGIN))
    head, y = _head(scene, space, shape)
    foot, bottom = _foot(scene, told, space, shape)
    picture = Space(space.x, y + GAP, space.width, bottom - 1.5 * GAP - y)
    return svg(width, height, scene.title, alt, [*head, *scene.draw(picture), *foot])


def _head(scene, space, shape):
    """The title in the largest type that fits, the note under it, and where they end."""
    title, most = MONEY.sub("\u00a0", scene.title), LINES[shape] + (scene.id == "total")
    sizes = TITLES.get(scene.id, TITLES[""])
    size, lines = next(((size, lines) for size in sizes if not (lines := wrapped(title, space.width, size, most, True))[-1].endswith("…") or "…" in title), (sizes[-1], None))
    lines = lines or wrapped(title, space.width, sizes[-1], most, True)
    marks, y = [], space.y + 0.94 * size  # an accent on a capital rises that far
    for k, line in enumerate(lines):
        marks.append(_with_figure(text_mark(space.x, y + 1.12 * k * size, line, size, "ink", bold=True), line))
    y += 1.12 * (len(lines) - 1) * size + DESCENT * size
    for line in wrapped(MONEY.sub("\u00a0", scene.note), space.width, TYPE, 1 if shape == "wide" else 2) if scene.note else ():
        y += LEAD * TYPE
        marks.append(text_mark(space.x, y, line, TYPE, "quiet"))
    return marks, y + DESCENT * TYPE


def _with_figure(mark, line):
    """The title's first figure in the colour of the build."""
    found = FIRST.search(line)
    return mark.replace(found[0], f'<tspan fill="{LIGHT["build"]}">{found[0]}</tspan>', 1) if found else mark


def _foot(scene, told, space, shape):
    """The date in the corner, who gave parts or the name of the build on the left, and where they begin."""
    day = told.as_of
    date = f"{day.day} {day:%b %Y}"
    room = space.width - text_width(date, TYPE) - 2 * GAP
    sponsor = sponsors_line(told) if scene.money else ""
    lines = wrapped(sponsor or short(told.project.file.build.name, 1400), room, TYPE, 2 if sponsor and shape != "wide" else 1)
    base = space.bottom - DESCENT * TYPE - 2
    top = base - (len(lines) - 1) * LEAD * TYPE
    marks = [text_mark(space.right, base, date, TYPE, "quiet", anchor="end")]
    marks += [text_mark(space.x, top + k * LEAD * TYPE, line, TYPE, "ink" if sponsor else "quiet") for k, line in enumerate(lines)]
    return marks, top - ASCENT * TYPE
