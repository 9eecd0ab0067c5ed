"""Ways on from a build half-way as ranges, a line each, against selling it as it stands."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled


def ways_chart(frames, heading, palette=PAGE):
    """Chart of what each way brings from today.

    Parameters
    ----------
    frames : dict
        From `story.half_way_tables.ways_frames`: `ways` (name, low, likely, high, shown, best), `sell` (likely, shown), as lists of rows. [money]
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
    scale = alt.Scale(zero=False, nice=True)

    def along(field):
        return alt.X(f"{field}:Q", axis=axis, scale=scale)

    row = alt.Y("name:N", sort=None, title=None, axis=None, scale=alt.Scale(paddingInner=0.1, paddingOuter=0.4))
    ways, sell = (alt.Chart(alt.NamedData(name)) for name in ("ways", "sell"))
    beat = sell.mark_rule(color=palette["quiet"], strokeWidth=1.5, strokeDash=[4, 3]).encode(x=along("likely"))
    colour = alt.condition("datum.best", alt.value(palette["build"]), alt.value(palette["steel"]))
    tip = ["name:N", *(alt.Tooltip(f"{end}:Q", format=",d") for end in ("low", "likely", "high"))]
    spread = ways.mark_bar(size=12, opacity=0.28, cornerRadius=2).encode(x=along("low"), x2="high:Q", y=row, color=colour, tooltip=tip)
    likely = ways.mark_tick(thickness=4, size=20).encode(x=along("likely"), y=row, color=colour, tooltip=tip)
    names = [layer.encode(x=alt.value(4), y=row, text="name:N") for layer in haloed(ways, palette, alt.value(palette["ink"]), align="left", dy=-18)]
    figures = [layer.encode(x=along("likely"), y=row, text="shown:N") for layer in haloed(ways, palette, colour, align="center", dy=19, fontWeight="bold")]
    chart = alt.layer(beat, spread, likely, *names, *figures, title=heading)
    chart = chart.properties(width="container", height={"step": 62}, padding={"left": 5, "right": 20, "top": 8, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("ways", "sell")}), palette)
