"""Frames for video, the article and posts: one idea each, wide, tall and square."""

import re
from dataclasses import dataclass

from buildecon.story.telling.blocks import clean
from buildecon.story.telling.drawn.choice_scenes import choice_scenes
from buildecon.story.telling.drawn.cost_scenes import cost_scenes, hours_scene
from buildecon.story.telling.drawn.drawing import GAP, LEAD, TYPE, Space, svg, text_mark
from buildecon.story.telling.drawn.scenes import short
from buildecon.story.telling.drawn.type_widths import ASCENT, DESCENT, text_width, wrapped
from buildecon.story.telling.drawn.worth_scene import worth_scene
from buildecon.story.telling.sponsors import sponsors_line
from buildecon.story.theme import LIGHT

SHAPES = {"wide": (1920, 1080), "tall": (1080, 1920), "square": (1080, 1080)}
MARGIN = 0.05  # of width and height, on every side: what screens and players may cut off
MOST = 12  # frames
IDS = ("total", "ladder", "systems", "plan", "given", "worth", "kept", "from_today", "joy", "chance", "cheaper", "ways", "hours")  # all there can be
TITLES = {"wide": (80, 74, 68, 62, 56), "tall": (80, 74, 68, 62, 56), "square": (66, 60, 54, 50)}  # sizes tried [pixel]
LINES = {"wide": 2, "tall": 3, "square": 3}
HERO = 290  # size of the one figure of the first frame, where it fits [pixel]
AIR = {"wide": 50, "tall": 60, "square": 34}  # under the head and over the foot [pixel]
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
    scenes = [*cost_scenes(told), *filter(None, [worth_scene(told)]), *choice_scenes(told)]
    scenes += [scene for scene in [hours_scene(told)] if scene and len(scenes) < MOST]
    return tuple(_frame(scene, told) for scene in scenes)


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
    title, told_by = clean(scene.title), "; ".join(clean(line) for line in scene.told)
    alt = clean(" ".join([f"{title.rstrip('.')}.", scene.note, f"{told_by}." if told_by else ""]), 2000)
    return Frame(scene.id, title, alt, {shape: _drawn(scene, told, shape, alt) for shape in SHAPES})


def _drawn(scene, told, shape, alt):
    width, height = SHAPES[shape]
    space = Space(width * MARGIN, height * MARGIN, width * (1 - 2 * MARGIN), height * (1 - 2 * MARGIN))
    head, y = _head(scene, space, shape)
    foot, bottom = _foot(scene, told, space, shape)
    picture = Space(space.x, y + AIR[shape], space.width, bottom - AIR[shape] - y - AIR[shape])
    return svg(width, height, clean(scene.title), alt, [*head, *scene.draw(picture), *foot])


def _head(scene, space, shape):
    """The title in the largest type that fits, the note under it, and where they end."""
    title, marks, y = MONEY.sub("\u00a0", " ".join(scene.title.split())), [], space.y
    if scene.id == "total" and (figure := FIRST.match(title)):
        size = min(HERO, space.width / text_width(figure[0], 1, True))
        title, y = title[figure.end() :].strip(" :"), y + ASCENT * size
        marks, y = [text_mark(space.x, y, figure[0], size, "build", bold=True)], y + DESCENT * size
    size, lines = _title(title, space.width, shape)
    key, y = _key(scene, title) if not marks else "", y + 0.94 * size  # an accent on a capital rises that far
    marks += [_coloured(text_mark(space.x, y + 1.12 * k * size, line, size, "ink", bold=True), key) for k, line in enumerate(lines)]
    y += 1.12 * (len(lines) - 1) * size + DESCENT * size
    for line in wrapped(MONEY.sub("\u00a0", scene.note), space.width, TYPE, 1 if shape == "wide" else 2) if scene.note else ():
        y += LEAD * TYPE
        marks.append(text_mark(space.x, y, line, TYPE, "quiet"))
    return marks, y + DESCENT * TYPE


def _title(title, width, shape):
    """The largest size at which the title fits its lines, and those lines, of about one length."""
    sizes, most = TITLES[shape], LINES[shape]
    size = next((size for size in sizes if len(wrapped(title, width, size, most + 1, True)) <= most), sizes[-1])
    lines = wrapped(title, width, size, most, True)
    narrower = (width * share / 40 for share in range(20, 40))
    return size, next((tried for room in narrower if (tried := wrapped(title, room, size, most + 1, True)) and len(tried) <= len(lines) and not any(line.endswith("…") for line in tried)), lines)


def _key(scene, title):
    found = FIRST.search(title)
    return MONEY.sub("\u00a0", scene.key) or (found[0] if found else "")


def _coloured(mark, key):
    """A line of the title with the key figure in the colour of the build."""
    return mark.replace(key, f'<tspan fill="{LIGHT["build"]}">{key}</tspan>', 1) if key else mark


def _foot(scene, told, space, shape):
    """The date in the corner, who gave parts or the name of the build on the left, and where they begin."""
    day = told.as_of
    date = f"{day.day} {day:%b %Y}"
    room = space.width - text_width(date, TYPE) - 2 * GAP
    sponsor = sponsors_line(told) if scene.money else ""
    lines = _foot_lines(sponsor, space.width, room) if sponsor else wrapped(short(told.project.file.build.name, 1400), room, TYPE, 1)
    base = space.bottom - DESCENT * TYPE - 2
    top = base - (len(lines) - 1) * LEAD * TYPE
    marks = [text_mark(space.right, base, date, TYPE, "quiet", anchor="end")]
    marks += [text_mark(space.x, top + k * LEAD * TYPE, line, TYPE, "ink" if sponsor else "quiet") for k, line in enumerate(lines)]
    return marks, top - ASCENT * TYPE


def _foot_lines(sponsor, width, room):
    """Who gave parts, of which only the last line shares its row with the date."""
    lines = wrapped(sponsor, width, TYPE, 2)
    return lines if text_width(lines[-1], TYPE) <= room else wrapped(sponsor, room, TYPE, 3)
