"""What moves the answer: the build's extra cost a month with each input at its low and its high."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled


def swings_chart(frames, heading, palette=PAGE):
    """Chart of one input at a time.

    Parameters
    ----------
    frames : dict
        From `story.doubt_tables.swings_frames`: `swings` (label, low, high, at_low, at_high, flips), `middle` (middle, shown), as lists of rows. [money/month]
    heading : str
        Unit along the axis. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place; as high as it has rows. [-]
    """
    axis = alt.Axis(title=None, labelOverlap="parity", labelSeparation=8, tickCount=6, format=",d", grid=True, gridColor=palette["hair"])
    scale = alt.Scale(zero=False, nice=True, padding=38)
    swings, middle = (alt.Chart(alt.NamedData(name)) for name in ("swings", "middle"))

    def along(field):
        return alt.X(f"{field}:Q", axis=axis, scale=scale)

    row = alt.Y("label:N", sort=None, title=None, axis=None)
    tip = ["label:N", alt.Tooltip("low:Q", title="least"), alt.Tooltip("high:Q", title="most"), alt.Tooltip("flips:N", title=" ")]
    bars = swings.mark_bar(height=11, yOffset=7, color=palette["blue"], opacity=alt.expr("datum.flips ? 0.85 : 0.4")).encode(x=along("low"), x2="high:Q", y=row, tooltip=tip)
    left = swings.mark_text(align="right", dx=-5, dy=7, fontSize=11, color=palette["quiet"]).encode(x=along("low"), y=row, text="at_low:N")
    right = swings.mark_text(align="left", dx=5, dy=7, fontSize=11, color=palette["quiet"]).encode(x=along("high"), y=row, text="at_high:N")
    named = [layer.encode(x=alt.value(0), y=row, text="label:N") for layer in haloed(swings, palette, alt.value(palette["ink"]), size=12, align="left", dy=-8)]
    at = middle.mark_rule(color=palette["build"], strokeWidth=2.5).encode(x=along("middle"))
    even = middle.mark_rule(color=palette["ink"], strokeWidth=1.5, strokeDash=[5, 3]).encode(x=alt.datum(0))
    chart = alt.layer(bars, at, even, left, right, *named, title=heading)
    chart = chart.properties(width="container", height={"step": 38}, padding={"left": 5, "right": 20, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("swings", "middle")}), palette)
