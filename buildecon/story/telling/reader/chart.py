"""The curves as they stand first on the reader's page, as SVG; `reader.js` draws the same at other settings and widths."""

from html import escape

from buildecon.story.tables import LINE, PLOT_HEIGHT, break_even_frames, role
from buildecon.story.telling.reader.controls import round_step
from buildecon.story.words import number

WIDTH, LEFT, RIGHT, ABOVE, BELOW = 800, 56, 216, 12, 44  # of the drawing and around the plot [pixel]
TICKS = 6


def first_drawing(comparison, told):
    """The curves of every option, labelled at their ends.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    told : str
        What the drawing shows, for those who cannot see it. [-]

    Returns
    -------
    str
        An svg element, with classes for its colours. [-]
    """
    frames, horizon = break_even_frames(comparison), float(comparison.years[-1])
    place = _Place(frames["top"], frames["bottom"], horizon)
    late, at = frames["late"], place.x(frames["chosen"][0]["years"])
    pieces = [*_axes(place, horizon), f'<line class="rule" x1="{at}" x2="{at}" y1="{ABOVE}" y2="{ABOVE + PLOT_HEIGHT}"/>']
    pieces += [f'<line class="drop" x1="{place.x(one["years"])}" x2="{place.x(one["years"])}" y1="{place.y(one["per_month"])}" y2="{place.foot}"/>' for one in frames["crossings"]]
    pieces += [_curve(place, comparison, k) for k in range(len(comparison.options))]
    inside = [one for one in frames["chosen"] if frames["bottom"] <= one["per_month"] <= frames["top"]]
    pieces += [f'<circle class="dot {_kind(one)}" cx="{at}" cy="{place.y(one["per_month"])}" r="4.7"/>' for one in inside]
    pieces += [f'<circle class="ring" cx="{place.x(one["years"])}" cy="{place.y(one["per_month"])}" r="5.9"/>' for one in frames["crossings"]]
    pieces += [_text("meeting", place.x(one["label_at"]) + 4, place.y(one["y"]), [f"{one['shown']}: {one['against']}"]) for one in frames["crossings"]]
    pieces += [_text(f"figure {_kind(one)}{' late' if late else ''}", at + (-9 if late else 9), place.y(one["y"]), [one["shown"]]) for one in frames["chosen"]]
    pieces += [_text(f"end {_kind(one)}", place.x(horizon) + 10, place.y(one["y_wide"]), one["wide"]) for one in frames["ends"]]
    frame = f'<clipPath id="reader-plot"><rect x="{LEFT}" y="{ABOVE}" width="{WIDTH - LEFT - RIGHT}" height="{PLOT_HEIGHT}"/></clipPath>'
    size = f'viewBox="0 0 {WIDTH} {ABOVE + PLOT_HEIGHT + BELOW}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(told)}" {size}>{frame}{"".join(pieces)}</svg>'


class _Place:
    """Where a figure stands in the drawing."""

    def __init__(self, top, bottom, horizon):
        self.top, self.bottom, self.horizon = top, bottom, horizon
        self.foot = self.y(bottom)

    def x(self, years):
        return round(LEFT + years / self.horizon * (WIDTH - LEFT - RIGHT), 2)

    def y(self, money):
        return round(ABOVE + (self.top - money) / ((self.top - self.bottom) or 1.0) * PLOT_HEIGHT, 2)


def _axes(place, horizon):
    """Lines across with their amounts, years below."""
    step = round_step(max(place.top - place.bottom, 1e-9) / TICKS)
    ticks = [k * step for k in range(int(place.bottom // step), int(place.top // step) + 1) if place.bottom <= k * step <= place.top]
    for tick in ticks:
        yield f'<line class="{"base" if tick == 0 else "grid"}" x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{place.y(tick)}" y2="{place.y(tick)}"/>'
        yield _text("tick money", LEFT - 8, place.y(tick), [number(tick, 0 if step >= 1 else 2)])
    every = max(round(round_step(horizon / 10)), 1)
    for year in range(0, int(horizon) + 1, every):
        yield _text("tick year", place.x(year), place.foot + 20, [str(year)])
    yield _text("tick title", place.x(horizon), place.foot + 38, ["years kept"])


def _curve(place, comparison, k):
    first = min(max(comparison.ready(k), 1), len(comparison.years) - 1)
    points = zip(comparison.years[first:].tolist(), comparison.per_month[k, first:].tolist(), strict=True)
    line = "L".join(f"{place.x(years)} {min(max(place.y(money), -9000.0), 9000.0)}" for years, money in points)
    return f'<path class="curve {_kind({"role": role(comparison, k)})}" clip-path="url(#reader-plot)" d="M{line}"/>'


def _kind(row):
    return row["role"].replace(" ", "-")


def _text(kind, x, y, lines):
    parts = "".join(f'<tspan x="{x}" dy="{LINE if row else 0}">{escape(line)}</tspan>' for row, line in enumerate(lines))
    return f'<text class="{kind}" x="{x}" y="{y}">{parts}</text>'
