"""Money in against value while building, on one time axis: the dip, the sunk money, the gap."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled

MONTH = 28 * 24 * 3600 * 1000  # milliseconds: no month is named twice


def dip_chart(frames, heading, palette=PAGE):
    """Chart of money in and value by state.

    Parameters
    ----------
    frames : dict
        From `story.worth_tables.dip_frames`: `money` (day, amount, ahead), `value` (share, since, middle, until, low, likely, high, state, shown, ahead),
        `gap` (day, from, to, middle, shown), as lists of rows. [money]
    heading : str
        Unit, at the head. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place. [-]
    """
    axis = alt.Axis(title=None, format="%b %Y", tickCount=12, tickMinStep=MONTH, labelOverlap="parity", labelSeparation=12)
    top = alt.Axis(tickCount=6, format=",d")

    def day(field):
        return alt.X(f"{field}:T", axis=axis)

    def height(field):
        return alt.Y(f"{field}:Q", title=None, axis=top)

    money, value, gap = (alt.Chart(alt.NamedData(name)) for name in ("money", "value", "gap"))
    dash = alt.StrokeDash("ahead:N", scale=alt.Scale(domain=[False, True], range=[[], [5, 4]]), legend=None)
    spent = money.mark_line(interpolate="step-after", color=palette["build"], strokeWidth=3.5).encode(x=day("day"), y=height("amount"), strokeDash=dash)
    band = value.mark_rect(color=palette["blue"], opacity=0.18).encode(x=day("since"), x2="until:T", y=height("low"), y2="high:Q")
    steps = value.mark_rule(color=palette["blue"], strokeWidth=3).encode(x=day("since"), x2="until:T", y=height("likely"), strokeDash=dash)
    wide, wider = (value.transform_filter(f"datum.share * width > {room}") for room in (36, 64))  # pixels that a figure and a word take
    figures = [layer.encode(x=day("middle"), y=height("likely"), text="shown:N") for layer in haloed(wide, palette, alt.value(palette["blue"]), 12, dy=-10, fontWeight="bold")]
    states = wider.mark_text(color=palette["blue"], dy=13, fontSize=11).encode(x=day("middle"), y=height("likely"), text="state:N")
    apart = gap.mark_rule(color=palette["quiet"], strokeWidth=1, strokeDash=[1, 3]).encode(x=day("day"), y=height("from"), y2="to:Q")
    words = [layer.encode(x=day("day"), y=height("middle"), text="shown:N") for layer in haloed(gap, palette, alt.value(palette["ink"]), align="right", dx=-6, fontWeight="bold")]
    chart = alt.layer(band, spent, steps, apart, *figures, states, *words, title=heading)
    chart = chart.properties(width="container", height=300, padding={"left": 5, "right": 20, "top": 8, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("money", "value", "gap")}), palette)
