"""The pictures that frames are made of, each drawn into a space: facts, bars from zero, what it is worth, curves, a chance."""

from dataclasses import dataclass

from buildecon.story.telling.drawing import LEAD, TYPE, Space, box_mark, clean, dot_mark, line_mark, lines_mark, text_mark
from buildecon.story.telling.type_widths import DESCENT, shortened, text_width, wrapped

WIDE = 1400  # from this width on names stand beside their bars, not above them [pixel]
GAP = 20  # between a mark and its words [pixel]
LARGE = 48  # type where there is room for it [pixel]
LABEL = 2 * LEAD * TYPE + 8  # height of a curve's label [pixel]


@dataclass(frozen=True)
class Bar:
    """One row.

    Parameters
    ----------
    name, shown : str
        What it is, and its figure with its unit. [-]
    end : float
        Where the bar ends. [money]
    start : float
        Where it begins; 0 but for a step. [money]
    role : str
        Colour: `build`, `steel`, `stone`. [-]
    hollow : bool
        Whether it is drawn as an outline: what is less, or fails. [-]
    focus : bool
        Whether it is the one to look at: its words in bold. [-]
    """

    name: str
    shown: str
    end: float
    start: float = 0.0
    role: str = "steel"
    hollow: bool = False
    focus: bool = False


def rows_that_fit(space):
    """How many bars a space holds.

    Parameters
    ----------
    space : Space
        Where. [pixel]

    Returns
    -------
    int
        At least 2. [-]
    """
    return max(int(space.height / (62 if space.width >= WIDE else 86)), 2)


def folded(bars, most, rest):
    """The largest bars, and all others as one.

    Parameters
    ----------
    bars : sequence of Bar
        In the order in which they are drawn. [money]
    most : int
        Rows. [-]
    rest : callable
        The bar for those that have no row of their own. [money]

    Returns
    -------
    tuple of Bar
        In the same order, the rest last. [money]
    """
    if len(bars) <= most:
        return tuple(bars)
    large = set(sorted(range(len(bars)), key=lambda k: -abs(bars[k].end - bars[k].start))[: most - 1])
    return (*(bar for k, bar in enumerate(bars) if k in large), rest([bar for k, bar in enumerate(bars) if k not in large]))


def bars_picture(space, bars):
    """Bars from zero, each with its name and figure.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    bars : sequence of Bar
        As many as fit. [money]

    Returns
    -------
    list of str
        SVG. [-]
    """
    rows = _Rows(space, bars)
    marks = [mark for k, bar in enumerate(bars) for mark in (_beside if rows.wide else _above)(rows, k, bar)]
    foot = space.y + len(bars) * rows.pitch
    return [*_stairs(rows, bars), *marks, *([line_mark([(rows.zero, space.y), (rows.zero, foot)], "ink", 3)] if rows.wide else [])]


class _Rows:
    """Where the rows of bars stand, and the scale they share."""

    def __init__(self, space, bars):
        self.space, self.wide = space, space.width >= WIDE
        count = max(len(bars), 1)
        self.pitch = min(space.height / count, 190 if self.wide else 240)
        self.size = LARGE if self.pitch >= (96 if self.wide else 120) else TYPE
        figures = max((text_width(bar.shown, self.size, True) for bar in bars), default=0)
        names = max((text_width(clean(bar.name), self.size, bar.focus) for bar in bars), default=0)
        if self.wide and names > 0.36 * space.width:
            names, self.size = min(names * TYPE / self.size, 0.36 * space.width), TYPE
        self.left = space.x + names + GAP if self.wide else space.x
        self.thick = min(0.64 * self.pitch, 104) if self.wide else min(self.pitch - LEAD * self.size - 22, 110)
        room = space.right - self.left - (figures + GAP if self.wide else 0)
        ends = [0.0, *(end for bar in bars for end in (bar.start, bar.end))]
        low, high = min(ends), max(ends)
        self.scale = room / (high - low) if high > low else 0.0
        self.zero = self.left - low * self.scale

    def bar(self, k, bar):
        """Where one bar lies."""
        from_, to = sorted((self.zero + bar.start * self.scale, self.zero + bar.end * self.scale))
        top = self.space.y + k * self.pitch + ((self.pitch - self.thick) / 2 if self.wide else LEAD * self.size)
        return Space(from_, top, max(to - from_, 3), self.thick)


def _stairs(rows, bars):
    """A hair from the end of each bar to the step that begins there."""
    pairs = [(k, bar) for k, (bar, after) in enumerate(zip(bars, bars[1:], strict=False)) if after.start and abs(after.start - bar.end) < 1e-6]
    return [line_mark([(x := rows.zero + bar.end * rows.scale, rows.bar(k, bar).y), (x, rows.bar(k + 1, bars[k + 1]).bottom)], "stone", 2) for k, bar in pairs] if rows.wide else []


def _beside(rows, k, bar):
    """Name, bar and figure in one line."""
    box, size = rows.bar(k, bar), rows.size
    base, role = box.y + box.height / 2 + 0.35 * size, "build" if bar.focus else "ink"
    name = shortened(clean(bar.name), rows.left - GAP - rows.space.x, size, bar.focus)
    return [
        text_mark(rows.left - GAP, base, name, size, role, anchor="end", bold=bar.focus),
        box_mark(box, bar.role, bar.hollow),
        text_mark(max(box.right, rows.zero) + GAP, base, bar.shown, size, role, bold=True),
    ]


def _above(rows, k, bar):
    """Name and figure over the bar."""
    box, size = rows.bar(k, bar), rows.size
    base, role = box.y - 0.34 * size, "build" if bar.focus else "ink"
    name = shortened(clean(bar.name), rows.space.width - text_width(bar.shown, size, True) - GAP, size, bar.focus)
    return [
        text_mark(rows.space.x, base, name, size, role, bold=bar.focus),
        text_mark(rows.space.right, base, bar.shown, size, role, anchor="end", bold=True),
        box_mark(box, bar.role, bar.hollow),
    ]


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


def listed_picture(space, bars, lines):
    """Bars, and under them some lines of words.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    bars : sequence of Bar
        A few. [money]
    lines : sequence of str
        What does not fit is counted on the last one. [-]

    Returns
    -------
    list of str
        SVG. [-]
    """
    bar = 130 if space.width >= WIDE else 150
    upper = Space(space.x, space.y, space.width, min(bar * len(bars), 0.6 * space.height))
    room = max(int((space.bottom - upper.bottom - 1.5 * GAP) / (LEAD * TYPE)), 0)
    shown = lines if len(lines) <= room else [*lines[: room - 1], f"and {len(lines) - room + 1} more"] if room else []
    y = upper.bottom + 1.5 * GAP + 0.8 * TYPE
    return [*bars_picture(upper, bars), *lines_mark(space.x, y, [shortened(line, space.width, TYPE) for line in shown], TYPE, "ink")]


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


@dataclass(frozen=True)
class Curve:
    """One option by years kept.

    Parameters
    ----------
    name, shown : str
        Its name, and its figure at the years kept. [-]
    points : tuple of (float, float)
        Years, and cost a month. [year, money/month]
    role : {"build", "passes", "fails"}
        How it is drawn. [-]
    at_chosen : float
        Cost a month at the years kept. [money/month]
    """

    name: str
    shown: str
    points: tuple
    role: str
    at_chosen: float


STROKES = {"build": ("build", 12, ()), "passes": ("steel", 4, ()), "fails": ("stone", 4, (4, 10))}


def curves_that_fit(space):
    """How many curves can have a label of their own.

    Parameters
    ----------
    space : Space
        Where. [pixel]

    Returns
    -------
    int
        At least 1. [-]
    """
    return max(int((space.height - 2 * LEAD * TYPE) / LABEL), 1)


def curves_picture(space, curves, frame, ticks, chosen):
    """Curves by years kept, each with its label at its end.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    curves : sequence of Curve
        The build first. [money/month]
    frame : tuple of float
        Years, bottom and top. [year, money/month]
    ticks : sequence of (float, str)
        Rules across, with what they say. [money/month]
    chosen : float
        Years kept. [year]

    Returns
    -------
    list of str
        SVG. [-]
    """
    horizon, bottom, top = frame
    space = Space(space.x, space.y, space.width, min(space.height, 1050))
    line, wide = LEAD * TYPE, space.width >= WIDE
    labels, axis = (0.32 if wide else 0.38) * space.width, max(text_width(words, TYPE) for _, words in ticks) + GAP
    plot = Space(space.x + axis, space.y + 0.4 * TYPE, space.width - labels - axis - 3 * GAP, space.height - 0.4 * TYPE - 1.3 * line)

    def at(years, cost):
        return plot.x + plot.width * years / horizon, plot.bottom - plot.height * (cost - bottom) / (top - bottom)

    marks = []
    for cost, words in ticks:
        y = at(0, cost)[1]
        marks += [line_mark([(plot.x, y), (plot.right, y)], "ink" if cost == 0 else "hair", 3 if cost == 0 else 2), text_mark(plot.x - GAP, y + 0.35 * TYPE, words, TYPE, "quiet", anchor="end")]
    x = at(chosen, bottom)[0]
    marks.append(line_mark([(x, plot.y), (x, plot.bottom)], "quiet", 2))
    marks += _years(plot, horizon, chosen, at, space.bottom - DESCENT * TYPE - 2)
    for curve in reversed(curves):
        role, width, dash = STROKES[curve.role]
        marks.append(line_mark([at(*point) for point in curve.points], role, width, dash))
        if bottom <= curve.at_chosen <= top:
            marks.append(dot_mark(*at(chosen, curve.at_chosen), 12 if curve.role == "build" else 8, role, curve.role == "fails"))
    return marks + _labels(plot, curves, at, Space(space.right - labels, space.y, labels, space.height - line))


def _years(plot, horizon, chosen, at, y):
    """Years under the plot: the chosen ones in words, others where there is room."""
    said = f"{chosen:g} years" if chosen != 1 else "1 year"
    half = text_width(said, TYPE, True) / 2
    x = min(max(at(chosen, 0)[0], plot.x + half), plot.right - half) if plot.width > 2 * half else plot.x + plot.width / 2
    marks = [text_mark(x, y, said, TYPE, "ink", anchor="middle", bold=True)]
    for years in (0, horizon):
        words, there = f"{years:g}", at(years, 0)[0]
        if abs(there - x) > half + text_width(words, TYPE) / 2 + GAP:
            marks.append(text_mark(there, y, words, TYPE, "quiet", anchor="middle"))
    return marks


def _labels(plot, curves, at, space):
    """Names and figures at the ends of the curves, pushed apart, with a hair from curve to label."""
    ends = [at(*curve.points[-1]) for curve in curves]
    places = pushed_apart([y for _, y in ends], LABEL, space.y, space.bottom)
    marks = []
    for curve, (x, y), middle in zip(curves, ends, places, strict=True):
        ours, text = curve.role == "build", {"build": "build", "passes": "ink", "fails": "quiet"}[curve.role]
        marks.append(line_mark([(x + 8, y), (space.x - GAP / 2, middle)], "quiet", 1.5))
        marks.append(text_mark(space.x, middle - 6, shortened(clean(curve.name), space.width, TYPE, ours), TYPE, text, bold=ours))
        marks.append(text_mark(space.x, middle + LEAD * TYPE - 6, shortened(curve.shown, space.width, TYPE, ours), TYPE, text, bold=ours))
    return marks


def pushed_apart(wanted, height, top, bottom):
    """Places as near to those wanted as they can be with no two blocks touching.

    Parameters
    ----------
    wanted : sequence of float
        Middles. [pixel]
    height : float
        Of every block. [pixel]
    top, bottom : float
        What they must stay between. [pixel]

    Returns
    -------
    list of float
        Middles in the order given. [pixel]
    """
    order = sorted(range(len(wanted)), key=lambda k: wanted[k])
    # Blocks that touch stand together around the mean of what they want: the nearest places there are, by least squares.
    groups = []
    for rank, k in enumerate(order):
        groups.append(([k], wanted[k] - rank * height))
        while len(groups) > 1 and groups[-2][1] >= groups[-1][1]:
            (later, b), (sooner, a) = groups.pop(), groups.pop()
            groups.append((sooner + later, (len(sooner) * a + len(later) * b) / (len(sooner) + len(later))))
    places, rank = [0.0] * len(wanted), 0
    least, most = top + height / 2, bottom - height / 2 - (len(wanted) - 1) * height
    for members, base in groups:
        for k in members:
            places[k] = min(max(base, least), max(most, least)) + rank * height
            rank += 1
    return places


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
