"""Marks of a drawing as SVG: text, bars, lines and dots, with the owner's words made safe."""

from typing import NamedTuple
from xml.sax.saxutils import escape

from buildecon.story.theme import FONT, LIGHT

TYPE = 40  # least size of type on a frame of 1920 or 1080 pixels [pixel]
LARGE = 48  # type where there is room for it [pixel]
LEAD = 1.2  # from line to line, times the size
GAP = 20  # between a mark and its words [pixel]
WIDE = 1400  # a space from this width on holds names beside their bars [pixel]


class Space(NamedTuple):
    """A part of the frame: its left upper corner, width and height. [pixel]"""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self):
        """Right edge. [pixel]"""
        return self.x + self.width

    @property
    def bottom(self):
        """Lower edge. [pixel]"""
        return self.y + self.height


def text_mark(x, y, text, size=TYPE, role="ink", **style):
    """A line of text.

    Parameters
    ----------
    x, y : float
        Where its line begins, ends or has its middle. [pixel]
    text : str
        One line. [-]
    size : float, optional
        Of the type. [pixel]
    role : str, optional
        Colour, by its name in the theme. [-]
    style : optional
        `bold`, and `anchor`: start, middle or end. [-]

    Returns
    -------
    str
        SVG. [-]
    """
    weight = ' font-weight="bold"' if style.get("bold") else ""
    anchor = f' text-anchor="{style["anchor"]}"' if style.get("anchor", "start") != "start" else ""
    return f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" fill="{LIGHT[role]}"{weight}{anchor}>{escape(text)}</text>'


def lines_mark(x, y, lines, size=TYPE, role="ink", **style):
    """Lines of text under each other.

    Parameters
    ----------
    x, y : float
        Place of the first. [pixel]
    lines : sequence of str
        What they say. [-]
    size : float, optional
        Of the type. [pixel]
    role : str, optional
        Colour. [-]
    style : optional
        As of `text_mark`. [-]

    Returns
    -------
    list of str
        SVG, one a line. [-]
    """
    return [text_mark(x, y + k * LEAD * size, line, size, role, **style) for k, line in enumerate(lines)]


def box_mark(space, role, hollow=False, dotted=False):
    """A rectangle.

    Parameters
    ----------
    space : Space
        Where. [pixel]
    role : str
        Colour. [-]
    hollow, dotted : bool, optional
        Outline instead of a fill, and whether that is dotted. [-]

    Returns
    -------
    str
        SVG. [-]
    """
    if not hollow:
        return f'<rect x="{_n(space.x)}" y="{_n(space.y)}" width="{_n(space.width)}" height="{_n(space.height)}" fill="{LIGHT[role]}"/>'
    inner = Space(space.x + 2, space.y + 2, max(space.width - 4, 0), max(space.height - 4, 0))
    dash = ' stroke-dasharray="4 8"' if dotted else ""
    return f'<rect x="{_n(inner.x)}" y="{_n(inner.y)}" width="{_n(inner.width)}" height="{_n(inner.height)}" fill="{LIGHT["ground"]}" stroke="{LIGHT[role]}" stroke-width="4"{dash}/>'


def line_mark(points, role, width=2, dash=()):
    """A line through points.

    Parameters
    ----------
    points : sequence of (float, float)
        In order. [pixel]
    role : str
        Colour. [-]
    width : float, optional
        Of the line. [pixel]
    dash : sequence of float, optional
        Strokes and gaps; empty for a line without gaps. [pixel]

    Returns
    -------
    str
        SVG. [-]
    """
    pattern = f' stroke-dasharray="{" ".join(map(_n, dash))}"' if dash else ""
    told = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
    return f'<polyline points="{told}" fill="none" stroke="{LIGHT[role]}" stroke-width="{_n(width)}" stroke-linejoin="round"{pattern}/>'


def dot_mark(x, y, radius, role, hollow=False):
    """A dot.

    Parameters
    ----------
    x, y : float
        Its middle. [pixel]
    radius : float
        Of it. [pixel]
    role : str
        Colour. [-]
    hollow : bool, optional
        A ring instead. [-]

    Returns
    -------
    str
        SVG. [-]
    """
    fill = LIGHT["ground" if hollow else role]
    return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" fill="{fill}" stroke="{LIGHT[role]}" stroke-width="4"/>'


def svg(width, height, title, alt, marks):
    """A whole drawing.

    Parameters
    ----------
    width, height : int
        Of it. [pixel]
    title, alt : str
        For who cannot see it. [-]
    marks : sequence of str
        SVG, the lowest first. [-]

    Returns
    -------
    str
        One SVG document on the ground of the house. [-]
    """
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" font-family="{FONT}" role="img">'
    ground = f'<rect width="{width}" height="{height}" fill="{LIGHT["ground"]}"/>'
    return "\n".join([head, f"<title>{escape(title)}</title>", f"<desc>{escape(alt)}</desc>", ground, *marks, "</svg>"])


def _n(value):
    """A place in pixels, as short as can be."""
    return f"{value:.1f}".removesuffix(".0")
