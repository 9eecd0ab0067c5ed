"""Market evidence as dots: what was asked or paid, what that says of this car, and the range it comes to."""

import altair as alt

from buildecon.story.theme import PAGE, styled


def evidence_chart(frames, heading, palette=PAGE):
    """Chart of the evidence, a line a row.

    Parameters
    ----------
    frames : dict
        From `story.worth_tables.evidence_frames`: `rows` (label, kind, what, figure, low, middle, high, bound), `range` (low, likely, high, shown),
        `own` (own, shown), as lists of rows. [money]
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
    kinds = ["sold", "on offer", "bid"]
    scale = alt.Scale(zero=False, nice=True)

    def along(field):
        return alt.X(f"{field}:Q", axis=axis, scale=scale)

    row = alt.Y("label:N", sort=None, title=None, axis=alt.Axis(labelLimit=120, grid=False, labelColor=palette["ink"]))
    here, rows, own = (alt.Chart(alt.NamedData(name)) for name in ("range", "rows", "own"))
    band = here.mark_rect(color=palette["blue"], opacity=0.18).encode(x=along("low"), x2="high:Q")
    likely = here.mark_rule(color=palette["build"], strokeWidth=3).encode(x=along("likely"))
    said = here.mark_text(align="left", dx=6, y=-8, fontSize=13, fontWeight="bold", color=palette["build"]).encode(x=along("likely"), text="shown:N")
    mine = own.mark_rule(color=palette["quiet"], strokeWidth=1.5, strokeDash=[4, 3]).encode(x=along("own"))
    spread = rows.mark_rule(color=palette["blue"], strokeWidth=3, opacity=0.6).encode(x=along("low"), x2="high:Q", y=row)
    shape = alt.Shape("kind:N", scale=alt.Scale(domain=kinds, range=["circle", "triangle-left", "triangle-right"]), legend=None)
    tip = ["what:N", "kind:N", alt.Tooltip("figure:Q", title="the figure", format=",d"), alt.Tooltip("middle:Q", title="says of this car", format=",d")]
    read = rows.mark_point(color=palette["blue"], filled=True, size=90, opacity=1).encode(x=along("middle"), y=row, shape=shape, tooltip=tip)
    written = rows.mark_point(color=palette["quiet"], filled=False, size=70, strokeWidth=1.5, opacity=1).encode(x=along("figure"), y=row, shape=shape, tooltip=tip)
    moved = rows.mark_rule(color=palette["quiet"], strokeWidth=1, strokeDash=[1, 3]).encode(x=along("figure"), x2="middle:Q", y=row)
    bound = rows.mark_text(color=palette["quiet"], dy=-9, fontSize=11).encode(x=along("middle"), y=row, text="bound:N")
    chart = alt.layer(band, mine, likely, moved, spread, written, read, bound, said, title=heading)
    chart = chart.properties(width="container", height={"step": 26}, padding={"left": 5, "right": 20, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("rows", "range", "own")}), palette)
