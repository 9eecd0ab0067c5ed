"""The pictures that frames are made of, each drawn into a space: facts, bars from zero, what it is worth, curves, a chance."""

from dataclasses import dataclass

from buildecon.story.telling.drawing import LEAD, TYPE, Space, box_mark, clean, dot_mark, line_mark, lines_mark, text_mark
from buildecon.story.telling.type_widths import DESCENT, shortened, text_width, wrapped

WIDE = 1400  # from this width on names stand beside their bars, not above them [pixel]
GAP = 20  # between a mark and its words [pixel]
ROW = {True: (62, 116), False: (84, 150)}  # least and most height of a row of bars, wide or not [pixel]
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
    """

    name: str
    shown: str
    end: float
    start: float = 0.0
    role: str = "steel"
    hollow: bool = False


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
    return max(int(space.height / ROW[space.width >= WIDE][0]), 2)


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
    wide = space.width >= WIDE
    least, most = ROW[wide]
    pitch = min(space.height / max(len(bars), 1), most)
    figures = max((text_width(bar.shown, TYPE, True) for bar in bars), default=0)
    names = min(max((text_width(clean(bar.name), TYPE, True) for bar in bars), default=0), 0.36 * space.width) if wide else 0
    left = space.x + names + GAP if wide else space.x
    room = space.right - left - (figures + GAP if wide else 0)
    low, high = min((0.0, *(end for bar in bars for end in (bar.start, bar.end)))), max((0.0, *(end for bar in bars for end in (bar.start, bar.end))))
    scale = room / (high - low) if high > low else 0.0
    zero, marks = left - low * scale, []
    for k, bar in enumerate(bars):
        row = Space(space.x, space.y + k * pitch, space.width, pitch)
        marks += (_beside if wide else _above)(row, bar, zero, scale, (left, figures))
    foot = space.y + len(bars) * pitch
    return [*marks, line_mark([(zero, space.y), (zero, foot)], "ink", 3)] if wide else marks


def _beside(row, bar, zero, scale, columns):
    """Name, bar and figure in one line."""
    thick = min(0.62 * row.height, 64)
    left, middle = columns[0], row.y + row.height / 2
    from_, to = sorted((zero + bar.start * scale, zero + bar.end * scale))
    ours = bar.role == "build"
    name = shortened(clean(bar.name), left - GAP - row.x, TYPE, ours)
    base = middle + 0.35 * TYPE
    return [
        text_mark(left - GAP, base, name, TYPE, "build" if ours else "ink", anchor="end", bold=ours),
        box_mark(Space(from_, middle - thick / 2, max(to - from_, 3), thick), bar.role, bar.hollow),
        text_mark(max(to, zero) + GAP, base, bar.shown, TYPE, "build" if ours else "ink", bold=True),
    ]


def _above(row, bar, zero, scale, columns):
    """Name and figure over the bar."""
    base = row.y + 0.8 * TYPE
    thick = min(row.height - 1.1 * TYPE - 16, 56)
    from_, to = sorted((zero + bar.start * scale, zero + bar.end * scale))
    ours = bar.role == "build"
    name = shortened(clean(bar.name), row.width - text_width(bar.shown, TYPE, True) - GAP, TYPE, ours)
    return [
        text_mark(row.x, base, name, TYPE, "build" if ours else "ink", bold=ours),
        text_mark(row.right, base, bar.shown, TYPE, "build" if ours else "ink", anchor="end", bold=True),
        box_mark(Space(from_, base + 0.3 * TYPE, max(to - from_, 3), thick), bar.role, bar.hollow),
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
    wide = space.width >= WIDE
    count = max(len(facts), 1)
    step = (space.width + 3 * GAP) / count if wide else min(space.height / count, 300)
    width, marks = step - 3 * GAP if wide else space.width, []
    sizes = [size for size in (92, 84, 76, 68, 60, 52, 44) if all(text_width(figure, size, True) <= width for figure, _ in facts)]
    size = sizes[0] if sizes else TYPE
    if not wide:
        size = min(size, max(TYPE, 0.38 * step))
    for k, (figure, words) in enumerate(facts):
        x, y = (space.x + k * step, space.y) if wide else (space.x, space.y + k * step)
        most = max(int(((space.height if wide else step) - 1.2 * size - 2 * GAP) / (LEAD * TYPE)), 1)
        marks += [line_mark([(x, y), (x + width, y)], "ink", 3), text_mark(x, y + GAP + 0.9 * size, shortened(figure, width, size, True), size, "ink", bold=True)]
        marks += lines_mark(x, y + GAP + 1.2 * size + 0.9 * TYPE, wrapped(words, width, TYPE, min(most, 3)), TYPE, "quiet")
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
        Of the money in, the likely figure, the range, and the dots. [-]
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
    scale, line = (space.width - 16) / top, LEAD * TYPE
    step = min(space.height / 3, 210)
    thick = min(step - line - 1.2 * GAP, 90)
    ins, worth, spread, dots = (shortened(words, space.width, TYPE, True) for words in valued.words)
    y = [space.y + k * step for k in range(3)]
    marks = [text_mark(space.x, y[0] + 0.8 * TYPE, ins, TYPE, "build", bold=True), box_mark(Space(space.x, y[0] + line, max(valued.money_in * scale, 3), thick), "build")]
    marks += [text_mark(space.x, y[1] + 0.8 * TYPE, worth, TYPE, "blue", bold=True), box_mark(Space(space.x, y[1] + line, max(valued.likely * scale, 3), thick), "blue")]
    middle, cap = y[1] + line + thick / 2, 0.3 * thick
    low, high = space.x + valued.low * scale, space.x + valued.high * scale
    if valued.high > valued.low:
        marks += [line_mark([(low, middle), (high, middle)], "ground", 12), line_mark([(low, middle), (high, middle)], "ink", 5)]
        marks += [line_mark([(x, middle - cap), (x, middle + cap)], "ink", 5) for x in (low, high)]
    marks += [text_mark(space.x, y[2] + 0.8 * TYPE, spread, TYPE, "ink")] if spread else []
    return marks + _cars(Space(space.x, y[2] + line, space.width, space.bottom - y[2] - line), valued.cars, scale, dots)


def _cars(space, cars, scale, words):
    """Dots in one row, and what they are below it."""
    if not cars:
        return []
    y = space.y + GAP
    marks = [dot_mark(min(max(space.x + price * scale, space.x + 14), space.right - 14), y, 12, "blue", not sold) for price, sold in cars]
    lines = wrapped(words, space.width, TYPE, max(min(int((space.height - 3 * GAP) / (LEAD * TYPE)), 2), 0)) if space.height > 3 * GAP + TYPE else ()
    return [*marks, *lines_mark(space.x, y + 1.4 * GAP + 0.8 * TYPE, lines, TYPE, "quiet")]


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
    height, words = space.height / count if tall else space.height, 3.3 * LEAD * TYPE
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
        marks += lines_mark(at.x, at.y + 0.8 * TYPE + used * LEAD * TYPE, wrapped(of, at.width, TYPE, 3 - used if not beside else 4), TYPE, "quiet")
    return marks
