"""When each component is renewed, on one time line."""

import altair as alt

from buildecon.story.theme import PAGE, styled


def renewals_chart(frames, heading, palette=PAGE):
    """Chart of renewals by years kept.

    Parameters
    ----------
    frames : dict
        From `story.how_long_tables.renewals_frames`: `renewals` (what, years, cost, shown, distance), as a list of rows; `end` of the years looked at. [money]
    heading : str
        Over the drawing. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place; as high as it has components. [-]
    """
    axis = alt.Axis(title="years kept", titleAnchor="end", tickMinStep=1, format="d", labelOverlap="parity", labelSeparation=8, grid=True, gridColor=palette["hair"])
    base = alt.Chart(alt.NamedData("renewals"))
    row = alt.Y("what:N", sort=None, title=None, axis=alt.Axis(labelLimit=150, grid=False, labelColor=palette["ink"]))
    years = alt.X("years:Q", axis=axis, scale=alt.Scale(domainMin=0, domainMax=alt.expr("end"), nice=False))
    size = alt.Size("cost:Q", scale=alt.Scale(range=[40, 320]), legend=None)
    dots = base.mark_circle(color=palette["blue"], opacity=0.8).encode(x=years, y=row, size=size, tooltip=["what:N", "years:Q", "cost:Q", "distance:Q"])
    words = base.mark_text(color=palette["ink"], dy=-12, fontSize=11).encode(x=years, y=row, text="shown:N")
    chart = alt.layer(dots, words, title=heading).add_params(alt.param(name="end", value=frames["end"])).properties(width="container", height={"step": 40}, padding={"left": 5, "right": 20, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={"renewals": frames["renewals"]}), palette)
