"""The other pictures that frames are made of: facts, what it is worth with its evidence, a chance."""

from dataclasses import dataclass

from buildecon.story.telling.drawn.drawing import GAP, LARGE, LEAD, TYPE, WIDE, Space, box_mark, dot_mark, line_mark, lines_mark, text_mark
from buildecon.story.telling.drawn.type_widths import DESCENT, shortened, text_width, wrapped


def facts_picture(space, facts):
    """A few figures with what they are, beside each other or under each other.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    facts : sequence of (str, str)
        Figure and words. [-]

    Returns
    -------
    list of str
        SVG. [-]
    """
    return _columns(space, facts) if space.width >= WIDE else _lines(space, facts)


def _columns(space, facts):
    """Figures beside each other at the foot, each over its words."""
    step = (space.width + 3 * GAP) / max(len(facts), 1)
    width = step - 3 * GAP
    size = next((size for size in (96, 84, 72, 60, 52) if all(text_width(figure, size, True) <= width for figure, _ in facts)), LARGE)
    y, marks = max(space.bottom - 1.3 * size - 3 * GAP - 2 * LEAD * TYPE, space.y), []
    for k, (figure, words) in enumerate(facts):
        x = space.x + k * step
        marks += [line_mark([(x, y), (x + width, y)], "ink", 4), text_mark(x, y + 1.5 * GAP + 0.8 * size, shortened(figure, width, size, True), size, "ink", bold=True)]
        marks += lines_mark(x, y + 1.5 * GAP + 1.1 * size + 0.9 * TYPE, wrapped(words, width, TYPE, 2), TYPE, "quiet")
    return marks


def _lines(space, facts):
    """Figures under each other, each beside or under its words."""
    pitch = min(space.height / max(len(facts), 1), 200)
    size = next(size for size in (72, 60, 52, 44, TYPE) if size <= max(0.55 * pitch, TYPE))
    marks = []
    for k, (figure, words) in enumerate(facts):
        y = space.bottom - (len(facts) - k) * pitch
        base, room = y + pitch / 2 + 0.36 * size, space.width - text_width(figure, size, True) - 2 * GAP
        lines = wrapped(words, room, TYPE, 2 if pitch >= 2.4 * LEAD * TYPE else 1)
        marks += [line_mark([(space.x, y), (space.right, y)], "ink", 3), text_mark(space.right, base, figure, size, "ink", anchor="end", bold=True)]
        marks += lines_mark(space.x, base - (len(lines) - 1) * LEAD * TYPE / 2, lines, TYPE, "quiet")
    return marks


@dataclass(frozen=True)
class Valued:
    """Money in beside what it would bring.

    Parameters
    ----------
    money_in : float
        What the car stands in at. [money]
    low, likely, high : float
        The range. [money]
    cars : tuple of (float, bool)
        What each car of the evidence says of this one, and whether it was sold. [money]
    words : tuple of str
        Of the money in, the likely figure, the gap, the range, and the dots. [-]
    """

    money_in: float
    low: float
    likely: float
    high: float
    cars: tuple
    words: tuple


def worth_picture(space, valued):
    """Two bars from zero, the range on the lower one, and under it the evidence as dots on the same scale.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    valued : Valued
        Both. [money]

    Returns
    -------
    list of str
        SVG. [-]
    """
    top = max(valued.money_in, valued.high, *(price for price, _ in valued.cars), 1e-9)
    scale, step = space.width / top, min(space.height / 3, 280 if space.width >= WIDE else 360)
    size = LARGE if step > 180 and space.width >= WIDE else TYPE
    line = LEAD * size
    thick = min(step - line - 1.4 * GAP, 190)
    first, second, third = (Space(space.x, space.y + k * step, space.width, step) for k in range(3))
    ins, worth, gap, spread, dots = valued.words
    room = space.width - text_width(gap, size, True) - 2 * GAP
    if text_width(worth if valued.likely < valued.money_in else ins, size, True) > room:
        room, gap = space.width, ""  # the title has it
    upside_down = valued.likely < valued.money_in
    marks, short = [], second if upside_down else first
    for row, words, value, role in ((first, ins, valued.money_in, "build"), (second, worth, valued.likely, "blue")):
        marks.append(text_mark(row.x, row.y + 0.8 * size, shortened(words, room if row is short else space.width, size, True), size, role, bold=True))
        marks.append(box_mark(Space(row.x, row.y + line, max(value * scale, 3), thick), role))
    less, more = sorted((valued.likely * scale, valued.money_in * scale))
    if more - less > 12:
        marks += [box_mark(Space(space.x + less, short.y + line, more - less, thick), "stone", True, True)]
    marks += [] if not gap else [text_mark(space.right, short.y + 0.8 * size, gap, size, "ink", anchor="end", bold=True)]
    marks += _range(second.y + line + thick / 2, 0.3 * thick, space.x + valued.low * scale, space.x + valued.high * scale) if valued.high > valued.low else []
    marks.append(text_mark(space.x, third.y + 0.8 * size, shortened(spread, space.width, size), size, "ink"))
    return marks + _cars(Space(space.x, third.y + line, space.width, space.bottom - third.y - line), valued.cars, scale, dots)


def _range(y, cap, low, high):
    """A line with ends, on its own outline so that it is seen on any ground."""
    strokes = [[(low, y), (high, y)], [(low, y - cap), (low, y + cap)], [(high, y - cap), (high, y + cap)]]
    return [line_mark(stroke, role, width) for role, width in (("ground", 14), ("ink", 6)) for stroke in strokes]


def _cars(space, cars, scale, words):
    """Dots, those that would touch above each other, and what they are."""
    if not cars:
        return []
    radius, lanes, placed = 11, [], []
    most = max(int((space.height - 1.5 * LEAD * TYPE) / 30), 1)
    for price, sold in sorted(cars):
        x = min(max(space.x + price * scale, space.x + 14), space.right - 14)
        lane = next((k for k, last in enumerate(lanes) if x - last >= 30), len(lanes) if len(lanes) < most else min(range(most), key=lanes.__getitem__))
        lanes[lane : lane + 1] = [x]
        placed.append(dot_mark(x, space.y + GAP + 30 * lane, radius, "blue", not sold))
    base = space.y + GAP + 30 * len(lanes) + TYPE
    fits = base + DESCENT * TYPE <= space.bottom
    return [*placed, *([text_mark(space.x, base, shortened(words, space.width, TYPE), TYPE, "quiet")] if fits else [])]


def chance_picture(space, chances):
    """Of a hundred squares as many filled as the build wins in.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    chances : sequence of (float, str, str)
        The chance, in words, and of what. [-]

    Returns
    -------
    list of str
        SVG. [-]
    """
    count, tall = len(chances), space.height > space.width
    width = space.width if tall else (space.width - 3 * GAP * (count - 1)) / count
    height, words = space.height / count if tall else space.height, (3.3 if space.width >= WIDE else 4.3) * LEAD * TYPE
    beside = width >= 1.5 * (height - GAP)
    side, marks = min(width if not beside else 0.6 * width, height - GAP - (0 if beside else words)), []
    for k, (chance, said, of) in enumerate(chances):
        x, y = (space.x, space.y + k * height) if tall else (space.x + k * (width + 3 * GAP), space.y)
        cell = side / 10
        for n in range(100):
            square = Space(x + n % 10 * cell, y + n // 10 * cell, 0.82 * cell, 0.82 * cell)
            marks.append(box_mark(square, "build" if n < round(100 * chance) else "steel", n >= round(100 * chance)))
        at = Space(x + side + 2 * GAP, y, width - side - 2 * GAP, side) if beside else Space(x, y + side + GAP, width, words)
        marks += lines_mark(at.x, at.y + 0.8 * TYPE, wrapped(said, at.width, TYPE, 2, True), TYPE, "build", bold=True)
        used = len(wrapped(said, at.width, TYPE, 2, True))
        marks += lines_mark(at.x, at.y + 0.8 * TYPE + used * LEAD * TYPE, wrapped(of, at.width, TYPE, max(int(at.height / (LEAD * TYPE)) - used, 1)), TYPE, "quiet")
    return marks
