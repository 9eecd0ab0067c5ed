"""What the build costs more a month by years kept: a band, its middle, and the chance that it is the cheaper."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled


def band_chart(frames, heading, palette=PAGE):
    """Chart of the chances by years kept.

    Parameters
    ----------
    frames : dict
        From `story.doubt_tables.band_frames`: `band` (years, low, middle, high), `told` (years, high, shown), `chosen` (years), as lists of rows; `top` and
        `bottom` of the frame. [money/month]
    heading : str
        Unit at the head. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place. [-]
    """
    axis = alt.Axis(titleAnchor="end", tickMinStep=1, format="d", labelOverlap="parity", labelSeparation=8)
    years = alt.X("years:Q", title="years kept", axis=axis, scale=alt.Scale(zero=False, nice=False, padding=12))
    scale = alt.Scale(domainMin=alt.expr("bottom"), domainMax=alt.expr("top"), nice=False)
    band, told, chosen = (alt.Chart(alt.NamedData(name)) for name in ("band", "told", "chosen"))
    tip = ["years:Q", "low:Q", "middle:Q", "high:Q"]
    spread = band.mark_area(color=palette["blue"], opacity=0.22).encode(x=years, y=alt.Y("low:Q", title=None, axis=alt.Axis(tickCount=6, format=",d"), scale=scale), y2="high:Q", tooltip=tip)
    middle = band.mark_line(color=palette["build"], strokeWidth=3).encode(x=years, y=alt.Y("middle:Q", scale=scale))
    even = alt.Chart(alt.InlineData([{}])).mark_rule(color=palette["ink"], strokeWidth=1.5).encode(y=alt.datum(0))
    rule = chosen.mark_rule(color=palette["quiet"], strokeWidth=1).encode(x=years)
    words = [layer.encode(x=years, y=alt.Y("high:Q", scale=scale), text="shown:N") for layer in haloed(told, palette, alt.value(palette["ink"]), dy=-12, fontWeight="bold")]
    chart = alt.layer(spread, even, rule, middle, *words, title=heading).add_params(alt.param(name="top", value=frames["top"]), alt.param(name="bottom", value=frames["bottom"]))
    chart = chart.properties(width="container", height=300, padding={"left": 5, "right": 20, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("band", "told", "chosen")}), palette)
