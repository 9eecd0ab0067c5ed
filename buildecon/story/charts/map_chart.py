"""Who is the cheaper by years kept and distance a year, and where one stands."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled


def map_chart(frames, heading, palette=PAGE):
    """Map of who is the cheaper.

    Parameters
    ----------
    frames : dict
        From `story.doubt_tables.map_frames`: `cells` (years, until, distance, above, cheaper, more), `here` (years, distance, shown), as lists of rows. [-]
    heading : str
        Unit of the distance, at the head. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place. [-]
    """
    axis = alt.Axis(titleAnchor="end", tickMinStep=1, format="d", labelOverlap="parity", labelSeparation=8)
    cells, here = (alt.Chart(alt.NamedData(name)) for name in ("cells", "here"))
    across = alt.Scale(zero=False, nice=False)
    up = alt.Y("distance:Q", title=None, axis=alt.Axis(tickCount=6, format=",d", grid=False), scale=alt.Scale(nice=False))
    shade = alt.Color("cheaper:N", scale=alt.Scale(domain=["the build", "the other"], range=[palette["build"], palette["hair"]]), legend=alt.Legend(title="cheaper", orient="top", symbolType="square"))
    tip = [alt.Tooltip("more:Q", title="the build costs more a month"), alt.Tooltip("cheaper:N", title="cheaper")]
    tiles = cells.mark_rect(opacity=0.75, strokeWidth=0).encode(x=alt.X("years:Q", title="years kept", axis=axis, scale=across), x2="until:Q", y=up, y2="above:Q", color=shade, tooltip=tip)
    ring = here.mark_point(size=130, filled=True, color=palette["ink"], stroke=palette["ground"], strokeWidth=2, opacity=1).encode(x="years:Q", y="distance:Q")
    words = [layer.encode(x="years:Q", y="distance:Q", text="shown:N") for layer in haloed(here, palette, alt.value(palette["ink"]), dy=-14, fontWeight="bold")]
    chart = alt.layer(tiles, ring, *words, title=heading)
    chart = chart.properties(width="container", height=260, padding={"left": 5, "right": 20, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("cells", "here")}), palette)
