"""Cost a month by years kept: one line an option, where the build crosses another, and the years chosen."""

import altair as alt

from buildecon.story.theme import COLOURS, DASHES, PAGE, WIDTHS, haloed, styled

NARROW = "width < 520"
HEIGHT = 380


def break_even_chart(frames, heading, palette=PAGE):
    """Chart of cost a month by years kept.

    Parameters
    ----------
    frames : dict
        From `story.tables.break_even_frames`: `curves` (option, role, years, per_month), `ends` (wide, narrow, role, years, y_wide, y_narrow),
        `chosen` (role, years, per_month, shown, y), `crossings` (years, per_month, shown, against, label_at, y, foot), as lists of rows; `top` and `bottom` of the frame, `late` where the
        chosen years are near its right edge. [money/month]
    heading : str
        Unit at the head of the y axis. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place; labels stand in a column of their own at the right. [-]
    """
    roles = list(COLOURS)

    def by_role(values):
        return alt.Scale(domain=roles, range=[values[role] for role in roles])

    colour = alt.Color("role:N", scale=by_role({role: palette[name] for role, name in COLOURS.items()}), legend=None)
    words = alt.Color("role:N", scale=by_role({role: palette["quiet" if name == "stone" else name] for role, name in COLOURS.items()}), legend=None)
    params = [alt.param(name=name, value=frames[name]) for name in ("top", "bottom", "late")]
    along = alt.Scale(domainMin=0, nice=False, range=[0, alt.expr(f"width - ({NARROW} ? 112 : 216)")])
    axis = alt.Axis(titleAnchor="end", tickMinStep=1, format="d", labelOverlap="parity", labelSeparation=8)

    def across(field):
        return alt.X(f"{field}:Q", title="years kept", axis=axis, scale=along)

    years = across("years")
    scale = alt.Scale(domainMin=alt.expr("bottom"), domainMax=alt.expr("top"), nice=False, zero=False)

    def height(field):
        return alt.Y(f"{field}:Q", title=None, scale=scale, axis=alt.Axis(tickCount=6))

    lines = (
        alt.Chart(alt.NamedData("curves"))
        .mark_line(interpolate="monotone", clip=True)
        .encode(
            x=years,
            y=height("per_month"),
            color=colour,
            detail="option:N",
            tooltip=["option:N", "years:Q", "per_month:Q"],
            strokeDash=alt.StrokeDash("role:N", scale=by_role(DASHES), legend=None),
            strokeWidth=alt.StrokeWidth("role:N", scale=by_role(WIDTHS), legend=None),
        )
    )
    labels = alt.Chart(alt.NamedData("ends")).transform_calculate(
        label=f"{NARROW} ? datum.narrow : datum.wide", y=f"{NARROW} ? datum.y_narrow : datum.y_wide"
    )
    names = labels.mark_text(align="left", baseline="middle", dx=10, fontSize=12, lineHeight=14).encode(
        x=years, y=height("y"), text="label:N", color=words
    )
    chosen = alt.Chart(alt.NamedData("chosen"))
    rule = chosen.mark_rule(color=palette["quiet"], strokeWidth=1).encode(x=years)
    dots = chosen.transform_filter("datum.per_month <= top && datum.per_month >= bottom").mark_circle(size=70, opacity=1).encode(x=years, y=height("per_month"), color=colour)
    beside = {"align": alt.expr("late ? 'right' : 'left'"), "dx": alt.expr("late ? -9 : 9"), "baseline": "middle", "fontWeight": "bold"}
    figures = [layer.encode(x=years, y=height("y"), text="shown:N") for layer in haloed(chosen, palette, words, **beside)]
    crossings = alt.Chart(alt.NamedData("crossings")).transform_calculate(told=f"{NARROW} ? datum.shown : datum.shown + ': ' + datum.against")
    rings = crossings.mark_point(size=110, filled=False, strokeWidth=2, color=palette["ink"], opacity=1).encode(x=years, y=height("per_month"))
    drops = crossings.mark_rule(color=palette["ink"], strokeWidth=1, strokeDash=[1, 3]).encode(x=years, y=height("per_month"), y2="foot:Q")
    at = [
        layer.encode(x=across("label_at"), y=height("y"), text="told:N")
        for layer in haloed(crossings, palette, alt.value(palette["ink"]), align="left", dx=4, baseline="middle")
    ]
    chart = alt.layer(rule, drops, lines, dots, rings, *at, *figures, names, title=heading).add_params(*params)
    chart = chart.resolve_scale(color="independent").properties(width="container", height=HEIGHT, padding={"left": 5, "right": 5, "top": 8, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("curves", "ends", "chosen", "crossings")}), palette)
