"""The largest repair bill worth paying, by year."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled


def limit_chart(frames, heading, palette=PAGE):
    """Chart of the repair limit.

    Parameters
    ----------
    frames : dict
        From `story.how_long_tables.limit_frames`: `limit` (year, middle, until, limit, shown, last), as a list of rows. [money]
    heading : str
        Unit at the head. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place. [-]
    """
    axis = alt.Axis(title="year", titleAnchor="end", tickMinStep=1, format="d", labelOverlap="parity", labelSeparation=8)
    base = alt.Chart(alt.NamedData("limit"))
    height = alt.Y("limit:Q", title=None, axis=alt.Axis(tickCount=5, format=",d"), scale=alt.Scale(domainMin=0))
    bars = base.mark_rect(color=palette["blue"], opacity=0.18).encode(x=alt.X("year:Q", axis=axis, scale=alt.Scale(nice=False)), x2="until:Q", y=height, y2=alt.datum(0))
    line = base.mark_rule(color=palette["build"], strokeWidth=3).encode(x=alt.X("year:Q", axis=axis), x2="until:Q", y=height)
    words = [layer.encode(x=alt.X("middle:Q", axis=axis), y=height, text="shown:N") for layer in haloed(base, palette, alt.value(palette["build"]), align=alt.expr("datum.last ? 'left' : 'center'"), dx=alt.expr("datum.last ? 5 : 0"), dy=alt.expr("datum.last ? 0 : -12"), fontWeight="bold")]
    chart = alt.layer(bars, line, *words, title=heading)
    chart = chart.properties(width="container", height=220, padding={"left": 5, "right": 55, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={"limit": frames["limit"]}), palette)
