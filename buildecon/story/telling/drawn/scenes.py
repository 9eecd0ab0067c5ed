"""What a frame says and shows before it has a shape."""

from collections.abc import Callable
from dataclasses import dataclass

from buildecon.story.telling.blocks import clean
from buildecon.story.telling.drawn.bars import bars_picture, folded, rows_that_fit
from buildecon.story.telling.drawn.type_widths import shortened


@dataclass(frozen=True)
class Scene:
    """One idea.

    Parameters
    ----------
    id : str
        What it is about. [-]
    title : str
        The answer, a sentence with its number. [-]
    note : str
        What is and is not in it. [-]
    told : tuple of str
        What the picture shows, in words. [-]
    draw : callable
        The picture's marks in a space. [-]
    key : str
        The figure of the title that is drawn in the colour of the build; its first one where empty. [-]
    money : bool
        Whether money is shown: what was given then stands behind it. [-]
    """

    id: str
    title: str
    note: str
    told: tuple
    draw: Callable
    key: str = ""
    money: bool = True


def short(name, width=1000):
    """A name for inside a title.

    Parameters
    ----------
    name : str
        The owner's. [-]
    width : float, optional
        For type of 60. [pixel]

    Returns
    -------
    str
        Cut to about 30 letters. [-]
    """
    return shortened(clean(name), width, 60, True)


def barred(bars, most, rest=None):
    """What draws bars: those that fit, the largest ones where something must go.

    Parameters
    ----------
    bars : sequence of Bar
        All. [money]
    most : int
        Rows. [-]
    rest : callable, optional
        The bar for all others; without it the last ones are left out. [money]

    Returns
    -------
    callable
        Marks in a space. [-]
    """

    def draw(space):
        here = min(most, rows_that_fit(space))
        return bars_picture(space, folded(bars, here, rest) if rest else bars[:here])

    return draw


def words_of(bars):
    """What bars show, in words.

    Parameters
    ----------
    bars : sequence of Bar
        Any. [money]

    Returns
    -------
    tuple of str
        Name and figure of each. [-]
    """
    return tuple(f"{clean(bar.name)}: {bar.shown}" for bar in bars)
