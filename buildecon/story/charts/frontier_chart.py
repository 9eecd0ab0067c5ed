"""What the best set of jobs is worth by the money spent on it, beside the line where worth and cost are the same."""

import altair as alt

from buildecon.story.theme import PAGE, haloed, styled


def frontier_chart(frames, heading, palette=PAGE):
    """Chart of worth by money.

    Parameters
    ----------
    frames : dict
        From `story.trim_tables.frontier_frames`: `sets` (money, worth, jobs), `even` (money, worth), `marks` (money, worth, shown, chosen), `budget` (money,
        shown), as lists of rows; `top`, `bottom`, `right` and `left` of the frame. [money]
    heading : str
        Unit at the head of the y axis. [-]
    palette : dict of str to str, optional
        Of `story.theme`. [-]

    Returns
    -------
    altair.LayerChart
        As wide as its place. [-]
    """
    across = alt.Scale(domainMin=alt.expr("left"), domainMax=alt.expr("right"), nice=False)
    height = alt.Scale(domainMin=alt.expr("bottom"), domainMax=alt.expr("top"), nice=False)
    money = alt.X("money:Q", title="money spent", axis=alt.Axis(titleAnchor="end", tickCount=6, format=",d", labelOverlap="parity", labelSeparation=8), scale=across)
    worth = alt.Y("worth:Q", title=None, axis=alt.Axis(tickCount=6, format=",d"), scale=height)
    sets, even, marks, budget = (alt.Chart(alt.NamedData(name)) for name in ("sets", "even", "marks", "budget"))
    line = even.mark_line(color=palette["quiet"], strokeWidth=1, strokeDash=[1, 3], clip=True).encode(x=money, y=worth)
    steps = sets.mark_line(interpolate="step-after", color=palette["build"], strokeWidth=3.5, clip=True).encode(x=money, y=worth)
    dots = sets.mark_circle(size=36, color=palette["build"], opacity=1, clip=True).encode(x=money, y=worth, tooltip=["money:Q", "worth:Q", "jobs:N"])
    rule = budget.mark_rule(color=palette["blue"], strokeWidth=1.5, strokeDash=[5, 4]).encode(x=money)
    said = budget.mark_text(align="left", baseline="bottom", dx=5, dy=-6, fontSize=12, color=palette["blue"]).encode(x=money, y=alt.value(alt.expr("height")), text="shown:N")
    rings = marks.mark_point(size=150, filled=False, strokeWidth=2, color=palette["ink"], opacity=1).encode(x=money, y=worth)
    words = [layer.encode(x=money, y=worth, text="shown:N") for layer in haloed(marks, palette, alt.value(palette["build"]), align=alt.expr("datum.money > left + 0.7 * (right - left) ? 'right' : 'left'"), dx=alt.expr("datum.money > left + 0.7 * (right - left) ? 4 : -4"), dy=-18, fontWeight="bold")]
    chart = alt.layer(line, rule, steps, dots, rings, said, *words, title=heading).add_params(*(alt.param(name=name, value=frames[name]) for name in ("top", "bottom", "right", "left")))
    chart = chart.properties(width="container", height=340, padding={"left": 5, "right": 20, "top": 12, "bottom": 5})
    return styled(chart.properties(datasets={name: frames[name] for name in ("sets", "even", "marks", "budget")}), palette)
