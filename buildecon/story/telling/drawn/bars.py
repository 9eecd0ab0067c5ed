"""Bars from zero, each with its name and figure: beside it where there is width, else above it."""

from dataclasses import dataclass

from buildecon.story.telling.blocks import clean
from buildecon.story.telling.drawn.drawing import GAP, LARGE, LEAD, TYPE, WIDE, Space, box_mark, line_mark, lines_mark, text_mark
from buildecon.story.telling.drawn.type_widths import shortened, text_width, wrapped

MOST_WIDE = 0.46  # of the width of a wide frame, for names
TWO_LINES = 2.3  # height of a row with a name in two lines, times the size
LEAST_ITEM = 4  # room for the name of a thing, times the size; with less it is left out
LEAST_THICK = 30  # of a bar under a name in two lines [pixel]


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
        count, self.lines = max(len(bars), 1), 1
        self.pitch = min(space.height / count, 190 if self.wide else 240)
        self.size = LARGE if self.pitch >= (96 if self.wide else 120) else TYPE
        figures = max((text_width(bar.shown, self.size, True) for bar in bars), default=0)
        names = max((text_width(clean(bar.name), self.size, bar.focus) for bar in bars), default=0)
        if self.wide and names > 0.36 * space.width:
            names, self.size = names * TYPE / self.size, TYPE
            self.lines = 2 if names > MOST_WIDE * space.width and self.pitch >= TWO_LINES * TYPE else 1
            names = min(names, MOST_WIDE * space.width)
        elif not self.wide and names > space.width - figures - GAP:
            self.size = TYPE
            narrow = names > 0 and any(text_width(clean(bar.name), TYPE, bar.focus) > space.width - text_width(bar.shown, TYPE, True) - GAP for bar in bars)
            self.lines = 2 if narrow and self.pitch - 2 * LEAD * TYPE - 22 >= LEAST_THICK else 1
        figures = max((text_width(bar.shown, self.size, True) for bar in bars), default=0)
        self.left = space.x + names + GAP if self.wide else space.x
        self.thick = min(0.64 * self.pitch, 104) if self.wide else min(self.pitch - self.lines * LEAD * self.size - 22, 110)
        room = space.right - self.left - (figures + GAP if self.wide else 0)
        ends = [0.0, *(end for bar in bars for end in (bar.start, bar.end))]
        low, high = min(ends), max(ends)
        self.scale = room / (high - low) if high > low else 0.0
        self.zero = self.left - low * self.scale

    def bar(self, k, bar):
        """Where one bar lies."""
        from_, to = sorted((self.zero + bar.start * self.scale, self.zero + bar.end * self.scale))
        top = self.space.y + k * self.pitch + ((self.pitch - self.thick) / 2 if self.wide else self.lines * LEAD * self.size)
        return Space(from_, top, max(to - from_, 3), self.thick)


def _stairs(rows, bars):
    """A hair from the end of each bar to the step that begins there."""
    pairs = [(k, bar) for k, (bar, after) in enumerate(zip(bars, bars[1:], strict=False)) if after.start and abs(after.start - bar.end) < 1e-6]
    return [line_mark([(x := rows.zero + bar.end * rows.scale, rows.bar(k, bar).y), (x, rows.bar(k + 1, bars[k + 1]).bottom)], "stone", 2) for k, bar in pairs] if rows.wide else []


def _beside(rows, k, bar):
    """Name, bar and figure in one line."""
    box, size = rows.bar(k, bar), rows.size
    base, role = box.y + box.height / 2 + 0.35 * size, "build" if bar.focus else "ink"
    name = wrapped(clean(bar.name), rows.left - GAP - rows.space.x, size, rows.lines, bar.focus)
    return [
        *lines_mark(rows.left - GAP, base - (len(name) - 1) * LEAD * size / 2, name, size, role, anchor="end", bold=bar.focus),
        box_mark(box, bar.role, bar.hollow),
        text_mark(max(box.right, rows.zero) + GAP, base, bar.shown, size, role, bold=True),
    ]


def _above(rows, k, bar):
    """Name and figure over the bar."""
    box, size = rows.bar(k, bar), rows.size
    base, role = box.y - 0.34 * size, "build" if bar.focus else "ink"
    name = wrapped(clean(bar.name), rows.space.width - text_width(bar.shown, size, True) - GAP, size, rows.lines, bar.focus)
    return [
        *lines_mark(rows.space.x, base - (len(name) - 1) * LEAD * size, name, size, role, bold=bar.focus),
        text_mark(rows.space.right, base, bar.shown, size, role, anchor="end", bold=True),
        box_mark(box, bar.role, bar.hollow),
    ]


def listed_picture(space, bars, lines):
    """Bars, and under them some lines of words.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    bars : sequence of Bar
        A few. [money]
    lines : sequence of str or of (str, str, str)
        Words, or what it cost, what it is and who gave it: what it is gives way first. What does not fit is counted on the last one. [-]

    Returns
    -------
    list of str
        SVG. [-]
    """
    bar = 130 if space.width >= WIDE else 150
    upper = Space(space.x, space.y, space.width, min(bar * len(bars), 0.6 * space.height))
    room = max(int((space.bottom - upper.bottom - 1.5 * GAP) / (LEAD * TYPE)), 0)
    rows = [_fitted(line, space.width) for line in lines]
    most = len(rows) if sum(map(len, rows)) <= room else next((k for k in range(len(rows), 0, -1) if sum(map(len, rows[:k])) < room), 0)
    more = [f"and {len(rows) - most} more"] if most < len(rows) and room else []
    y = upper.bottom + 1.5 * GAP + 0.8 * TYPE
    return [*bars_picture(upper, bars), *lines_mark(space.x, y, [*(text for row in rows[:most] for text in row), *more], TYPE, "ink")]


def in_full(line):
    """A line of `listed_picture` with nothing cut.

    Parameters
    ----------
    line : str or tuple of (str, str, str)
        Words, or what it cost, what it is and who gave it. [-]

    Returns
    -------
    str
        One line. [-]
    """
    if isinstance(line, str):
        return line
    cost, item, giver = line
    return f"{cost}: {item}, {giver}" if giver else f"{cost}: {item}"


def _fitted(line, width):
    """The line in one row, or two; what was given gives way before who gave it."""
    if isinstance(line, str) or text_width(in_full(line), TYPE) <= width or not line[2]:
        return (shortened(in_full(line), width, TYPE),)
    cost, item, giver = line
    room = width - text_width(f"{cost}: , {giver}", TYPE)
    if room >= LEAST_ITEM * TYPE:
        return (f"{cost}: {shortened(item, room, TYPE)}, {giver}",)
    bare = f"{cost}, {giver}"
    return (bare,) if text_width(bare, TYPE) <= width else (shortened(f"{cost}: {item}", width, TYPE), shortened(f"from {giver}", width, TYPE))
