"""From plan to actual: one bar a cause, each starting where the one above ends."""

import altair as alt

from buildecon.story.theme import PAGE, styled


def causes_chart(frames, heading, palette=PAGE):
    """Chart of why a build cost more than planned.

    Parameters
    ----------
    frames : dict
        `causes`: the rows of `story.cost_tables.causes_rows`. [money]
    heading : str
        Unit, at the head. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place; the plan is 0. [-]
    """
    kinds = {"total": palette["steel"], "dearer": palette["build"], "cheaper": palette["blue"]}
    axis = alt.Axis(labelOverlap="parity", labelSeparation=8, tickCount=5, grid=True, gridColor=palette["hair"], titleAnchor="end")
    y = alt.Y("name:N", sort=None, title=None, axis=alt.Axis(labelLimit=170, grid=False))
    base = alt.Chart(alt.NamedData("causes"))
    bars = base.mark_bar(size=15).encode(
        y=y,
        x=alt.X("start:Q", title=None, axis=axis),
        x2="end:Q",
        color=alt.Color("kind:N", scale=alt.Scale(domain=list(kinds), range=list(kinds.values())), legend=None),
    )
    inside = base.transform_calculate(at="max(datum.start, datum.end)")
    words = inside.mark_text(align="left", dx=5, fontSize=12, color=palette["ink"]).encode(y=y, x=alt.X("at:Q"), text="shown:N")
    chart = alt.layer(bars, words, title=heading).properties(width="container", height={"step": 24}, padding={"left": 5, "right": 45, "top": 5, "bottom": 5})
    return styled(chart.properties(datasets={"causes": frames["causes"]}), palette)
