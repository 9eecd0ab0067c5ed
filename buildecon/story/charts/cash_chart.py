"""Money out at the end of each month, with the most that was ever out."""

import altair as alt

from buildecon.story.theme import PAGE, styled


def cash_chart(frames, heading, palette=PAGE):
    """Chart of the money tied up in a build over time.

    Parameters
    ----------
    frames : dict
        `cash`: the rows of `story.cost_tables.cash_rows`. [money]
    heading : str
        Unit, at the head. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place. [-]
    """
    base = alt.Chart(alt.NamedData("cash"))
    month = alt.X("month:T", timeUnit="yearmonth", title="end of month", axis=alt.Axis(format="%b %Y", labelOverlap="parity", labelSeparation=8, titleAnchor="end"))
    out = alt.Y("outstanding:Q", title=None, axis=alt.Axis(tickCount=5))
    area = base.mark_area(interpolate="step-after", color=palette["build"], opacity=0.18, line={"color": palette["build"], "strokeWidth": 2}).encode(x=month, y=out)
    peak = base.transform_filter("datum.shown != ''")
    dot = peak.mark_circle(size=70, color=palette["build"], opacity=1).encode(x=month, y=out)
    words = peak.mark_text(align="right", dx=-8, dy=-6, fontSize=13, fontWeight="bold", color=palette["build"]).encode(x=month, y=out, text="shown:N")
    chart = alt.layer(area, dot, words, title=heading).properties(width="container", height=230, padding={"left": 5, "right": 20, "top": 8, "bottom": 5})
    return styled(chart.properties(datasets={"cash": frames["cash"]}), palette)
