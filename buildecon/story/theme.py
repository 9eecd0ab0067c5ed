"""The look: gasket-paper ground, oxide primer for the build, steel for what one could buy, stone for what fails."""

import altair as alt

FONT = "Liberation Sans, Arial, sans-serif"
LIGHT = {
    "ground": "#F7F4EC", "ink": "#23282E", "quiet": "#5F656C", "hair": "#D9D3C5", "build": "#A33B23",
    "steel": "#3E4C59", "stone": "#8F8778", "blue": "#2C5F7F", "amber": "#8A5A00",
}  # fmt: skip
DARK = {
    "ground": "#1D2126", "ink": "#ECE7DC", "quiet": "#A3A79F", "hair": "#3A4048", "build": "#F0896B",
    "steel": "#B8C4CE", "stone": "#8B867B", "blue": "#86B7D6", "amber": "#E3B04B",
}  # fmt: skip
# On a page the colours are the page's own variables, so that one drawing follows light and dark.
PAGE = {role: f"var(--be-{role}, {colour})" for role, colour in LIGHT.items()}
DASHES = {"build": [], "other build": [7, 3], "passes": [], "fails": [2, 4]}  # a solid line as [1, 0] is a thousand dashes, slow to paint
WIDTHS = {"build": 3.5, "other build": 2, "passes": 2, "fails": 2}
COLOURS = {"build": "build", "other build": "build", "passes": "steel", "fails": "stone"}


def config(palette):
    """Chart settings of the house.

    Parameters
    ----------
    palette : dict of str to str
        `LIGHT`, `DARK` or `PAGE`. [-]

    Returns
    -------
    dict
        A Vega-Lite config. [-]
    """
    words = {"labelColor": palette["quiet"], "titleColor": palette["quiet"], "labelFontSize": 12, "titleFontSize": 12, "titleFontWeight": "normal"}
    return {
        "background": palette["ground"],
        "font": FONT,
        "view": {"stroke": None},
        "axis": words | {"grid": False, "domain": False, "ticks": False, "labelPadding": 8},
        "axisY": {"grid": True, "gridColor": palette["hair"]},
        "axisX": {"ticks": True, "tickColor": palette["hair"], "tickSize": 5},
        "title": {"color": palette["quiet"], "fontSize": 12, "fontWeight": "normal", "anchor": "start", "offset": 12},
    }


def styled(chart, palette=LIGHT):
    """Chart in the look of the house.

    Parameters
    ----------
    chart : altair chart
        Of any kind. [-]
    palette : dict of str to str, optional
        Of this module. [-]

    Returns
    -------
    altair chart
        The same, with its config; drawn as SVG, without a menu. [-]
    """
    return chart.properties(config=alt.Config(**config(palette)), usermeta={"embedOptions": {"renderer": "svg", "actions": False}})


def haloed(chart, palette, colour, size=13, **mark):
    """A text over its own outline in the colour of the ground, so that lines under it do not cut it.

    Parameters
    ----------
    chart : altair Chart
        Over its data. [-]
    palette : dict of str to str
        Of this module. [-]
    colour : altair encoding
        Of the text. [-]
    size : int, optional
        Of the letters. [pixel]
    mark : optional
        What else `mark_text` takes. [-]

    Returns
    -------
    list of altair Chart
        One for a page, whose style paints both at once, which is faster; else the outline and the text. [-]
    """
    outline = {"stroke": palette["ground"], "strokeWidth": 5, "strokeJoin": "round"}
    if palette is PAGE:
        return [chart.mark_text(fontSize=size, **outline, **mark).encode(color=colour)]
    return [chart.mark_text(fontSize=size, color=palette["ground"], **outline, **mark), chart.mark_text(fontSize=size, **mark).encode(color=colour)]
