"""Curves by years kept, each with its label at its end."""

from dataclasses import dataclass

from buildecon.story.telling.blocks import clean
from buildecon.story.telling.drawn.drawing import GAP, LEAD, TYPE, WIDE, Space, dot_mark, line_mark, text_mark
from buildecon.story.telling.drawn.type_widths import DESCENT, shortened, text_width, wrapped

TIGHT, APART = 1.1, 20  # from line to line of one label, times the size, and between two labels [pixel]


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
    return max(int((space.height - 2 * LEAD * TYPE) / _height(space)), 1)


def _height(space, count=None):
    """Height of a label: the name, in two lines on a tall frame or where that many have room for it, and the figure."""
    high = 3 * TIGHT * TYPE + APART
    roomy = count is not None and count * high <= space.height - 2 * LEAD * TYPE
    return high if roomy or space.height > space.width else high - TIGHT * TYPE


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
    least, most = (0.32, 0.4) if wide else (0.38, 0.46)
    names = max((text_width(clean(curve.name), TYPE, curve.role == "build") for curve in curves), default=0)
    labels, axis = min(max(names, least * space.width), most * space.width), max(text_width(words, TYPE) for _, words in ticks) + GAP
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
    return marks + _labels(curves, at, Space(space.right - labels, space.y, labels, space.height - line), _height(space, len(curves)))


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


def _labels(curves, at, space, height):
    """Names and figures at the ends of the curves, pushed apart, with a hair from curve to label."""
    ends, step = [at(*curve.points[-1]) for curve in curves], TIGHT * TYPE
    places = pushed_apart([y for _, y in ends], height, space.y, space.bottom)
    marks, most = [], round((height - APART) / step) - 1
    for curve, (x, y), middle in zip(curves, ends, places, strict=True):
        ours, role = curve.role == "build", {"build": "build", "passes": "ink", "fails": "quiet"}[curve.role]
        lines = [*wrapped(clean(curve.name), space.width, TYPE, most, ours), shortened(curve.shown, space.width, TYPE, ours)]
        top = middle - len(lines) * step / 2 + 0.84 * TYPE
        marks.append(line_mark([(x + 8, y), (space.x - GAP / 2, middle)], "quiet", 1.5))
        marks += [text_mark(space.x, top + k * step, line, TYPE, role, bold=ours) for k, line in enumerate(lines)]
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
