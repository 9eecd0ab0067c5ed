"""Cost a month of one car by years kept, stacked by cause, with the cheapest years marked."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled

ROOM = 130  # pixels at the right for the names of the causes


def kept_chart(frames, heading, palette=PAGE):
    """Chart of cost a month by years kept and by cause.

    Parameters
    ----------
    frames : dict
        From `story.how_long_tables.kept_frames`: `causes` (years, cause, per_month, order), `total` (years, per_month), `least` (years, per_month, shown),
        `names` (years, cause, middle, y), `chosen` (years, per_month, shown), as lists of rows; `top` of the frame. [money/month]
    heading : str
        Unit at the head of the y axis. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place. [-]
    """
    scale = alt.Scale(domainMin=0, nice=False, range=[0, alt.expr(f"width - {ROOM}")])
    axis = alt.Axis(titleAnchor="end", tickMinStep=1, format="d", labelOverlap="parity", labelSeparation=8)
    years = alt.X("years:Q", title="years kept", axis=axis, scale=scale)
    causes, total, least, names, chosen = (alt.Chart(alt.NamedData(name)) for name in ("causes", "total", "least", "names", "chosen"))
    shades = alt.Opacity("order:Q", scale=alt.Scale(domain=[0, 8], range=[0.55, 0.08], clamp=True), legend=None)
    heights = alt.Scale(domainMax=alt.expr("top"), nice=False)
    bands = causes.mark_area(clip=True, color=palette["blue"], stroke=palette["ground"], strokeWidth=1).encode(
        x=years, y=alt.Y("per_month:Q", stack="zero", title=None, axis=alt.Axis(tickCount=6), scale=heights), opacity=shades, order="order:Q", detail="cause:N",
        tooltip=["cause:N", "years:Q", "per_month:Q"],
    )  # fmt: skip
    line = total.mark_line(clip=True, color=palette["build"], strokeWidth=3.5).encode(x=years, y="per_month:Q")
    ring = least.mark_point(size=120, filled=False, strokeWidth=2, color=palette["ink"], opacity=1).encode(x=years, y="per_month:Q")
    drop = least.mark_rule(color=palette["ink"], strokeWidth=1, strokeDash=[1, 3]).encode(x=years, y="per_month:Q", y2=alt.datum(0))
    words = [layer.encode(x=years, y="per_month:Q", text="shown:N") for layer in haloed(least, palette, alt.value(palette["build"]), align=alt.expr("datum.years > 12 ? 'right' : 'left'"), dx=alt.expr("datum.years > 12 ? -6 : 6"), dy=alt.expr("datum.per_month > top / 7 ? 18 : -14"), fontWeight="bold")]  # under the curve, which is higher on both sides
    rule = chosen.mark_rule(color=palette["quiet"], strokeWidth=1).encode(x=years)
    dot = chosen.transform_filter("datum.per_month <= top").mark_circle(size=70, color=palette["build"], opacity=1).encode(x=years, y="per_month:Q")
    figure = [layer.encode(x=years, y="per_month:Q", text="shown:N") for layer in haloed(chosen.transform_filter("datum.per_month <= top"), palette, alt.value(palette["build"]), align="left", dx=8, dy=-14, fontWeight="bold")]
    told = names.mark_text(align="left", dx=24, fontSize=12, color=palette["ink"]).encode(x=years, y="y:Q", text="cause:N")
    leader = names.mark_rule(color=palette["quiet"], strokeWidth=1, xOffset=7, x2Offset=20).encode(x=years, x2="years:Q", y="middle:Q", y2="y:Q")
    chart = alt.layer(bands, rule, line, drop, ring, dot, *words, *figure, leader, told, title=heading).add_params(alt.param(name="top", value=frames["top"]))
    chart = chart.properties(width="container", height=380, padding={"left": 5, "right": 5, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("causes", "total", "least", "names", "chosen")}), palette)
