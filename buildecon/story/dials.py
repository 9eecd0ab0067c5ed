"""Ends, steps and labels of the sliders of the pages, and which build they turn."""

from math import inf

NEVER = "; right end: never"


def soonest(project):
    """The fewest years a build can be kept: it is not before it is done.

    Parameters
    ----------
    project : Project
        For its quoted build. [-]

    Returns
    -------
    int
        From today. [year]
    """
    built = project.option(project.file.build.quoted_option).build_months
    return int(built.likely) // 12 + 1 if built else 1


def slider_ends(project, written):
    """Ends, steps and labels of the sliders, around what the files say.

    Parameters
    ----------
    project : Project
        For units. [-]
    written : WhatIf
        The files' own numbers. [-]

    Returns
    -------
    dict of str to dict
        By field of WhatIf: start, stop, step, value and label of its slider. [-]
    """
    unit, currency = project.file.build.distance_unit, project.currency
    distance, end, left = written.distance_a_year, written.end_value, written.still_to_come
    finish = max(2 * left, float(project.file.value.finished) / 4)

    def ends(label, value, stop, start=0.0, step=None):
        step = step or _round_step(stop)
        return {"start": min(start, value), "stop": max(stop, value), "step": step, "value": value, "label": label}

    return {
        "years_kept": ends("Years kept", written.years_kept, project.file.use.horizon_years, start=soonest(project), step=1),
        "distance_a_year": ends(f"Distance a year, {unit}", distance, _whole(2.5 * distance), step=_round_step(2.5 * distance), start=0.0),
        "energy_price": ends("Energy price, times today's", 1.0, 3.0, start=0.4, step=0.05),
        "end_value": ends(f"The build's value when done, {currency}", end, _whole(2 * end)),
        "discount_percent": ends("Discount rate, % a year", written.discount_percent, 12.0, step=0.5),
        "still_to_come": ends(f"Build cost still to come, {currency}", left, _whole(finish)),
    }


def keeping_dials(project, written):
    """Ends, steps and labels of the sliders for how long to keep it.

    Parameters
    ----------
    project : Project
        For units. [-]
    written : WhatIf
        The files' own numbers. [-]

    Returns
    -------
    dict of str to dict
        By field of WhatIf: start, stop, step, value and label of its slider. [-]
    """
    shared, build = slider_ends(project, written), project.option(project.file.build.quoted_option)
    found = {name: shared[name] for name in ("years_kept", "distance_a_year", "energy_price", "end_value", "discount_percent")}
    found["upkeep"] = {"start": 0.0, "stop": 4.0, "step": 0.1, "value": 1.0, "label": "Upkeep, times that of the files"}
    found["upkeep_rise_percent"] = {"start": 0.0, "stop": 25.0, "step": 0.5, "value": 0.0, "label": "Upkeep rises by, % of the first year's, each year"}
    if build.value_path is None:
        rate = round(100 * float(build.decline_rate), 2)
        found["decline_percent"] = {"start": min(-10.0, rate), "stop": max(40.0, rate), "step": 0.5, "value": rate, "label": "The build loses, % of its value a year"}
    path, unit = build.value_path, project.file.build.distance_unit
    now = path.distance_now if path and path.lifetime_distance else project.file.this_car.distance
    if now is not None:
        a_year = max(written.distance_a_year, 1.0)
        stop = _whole(float(now) + (project.file.use.horizon_years + 1) * a_year)
        value = float(path.lifetime_distance) if path and path.lifetime_distance else stop
        start = min(_whole(float(now) + a_year), value)
        found["lifetime_distance"] = {"start": start, "stop": max(stop, value), "step": _round_step(stop), "value": value, "label": f"The shell is done at, {unit} on its clock" + ("" if path and path.lifetime_distance else NEVER)}
    return found


def moved(values, ends):
    """What a reader has moved; what stands where it stood is left to the files.

    Parameters
    ----------
    values : dict of str to float
        Of the sliders. [-]
    ends : dict of str to dict
        Their ends. [-]

    Returns
    -------
    dict of str to float
        The others left out. [-]
    """
    return {name: value for name, value in values.items() if value != ends[name]["value"]}


def what_if_text(values, ends):
    """What a reader has moved away from the files, for the head of an answer; the years kept are told there anyway.

    Parameters
    ----------
    values : dict of str to float
        Of the sliders. [-]
    ends : dict of str to dict
        Their ends. [-]

    Returns
    -------
    str
        As `What if? Distance a year, km: 12,000 instead of 17,460.`; empty where nothing is moved. [-]
    """
    said = [f"{ends[name]['label']}: {_figure(value)} instead of {'never' if ends[name]['label'].endswith(NEVER) else _figure(ends[name]['value'])}" for name, value in moved(values, ends).items() if name != "years_kept"]
    return f"What if? {'; '.join(said)}." if said else ""


def _figure(value):
    return f"{value:,.2f}".rstrip("0").rstrip(".")


def market_dials(project):
    """Ends, steps and labels of the sliders for what is assumed about the market.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    dict of str to dict
        By field of Turned: start, stop, step, value and label of its slider. [-]
    """
    from buildecon.market.evidence import readings  # the other pages need not wait for the value model
    from buildecon.market.worth import as_stated

    stated, unit = as_stated(project), project.file.build.distance_unit
    labels = {"asking": "Asking prices stand above a price by, %", "dealer": "A dealer's price stands above one by, %", "bid": "A price stands above a bid by, %", "offer": "A price stands above a refused offer by, %"}
    kinds = {read.row.kind for read in readings(project) if read.reading == "margin"}
    found = {}
    for kind, label in labels.items():
        if kind in {name.split()[0] for name in kinds}:
            value = getattr(stated, f"{kind}_percent")
            found[f"{kind}_percent"] = {"start": 0.0, "stop": max(25.0, value), "step": 0.5, "value": value, "label": label}
    if project.market or project.file.market.first_guess:
        found["belief_width"] = {"start": 0.25, "stop": 4.0, "step": 0.25, "value": 1.0, "label": "How wide beliefs are, times"}
    if stated.distance is not None and any(row.distance and float(row.distance) != stated.distance for row in project.market):  # else nothing is corrected for it
        stop = _whole(max(2 * stated.distance, 100.0))
        found["distance"] = {"start": 0.0, "stop": stop, "step": _round_step(stop), "value": stated.distance, "label": f"On this car's clock, {unit}"}
    return found


def trim_dials(menu):
    """Ends, steps and labels of the sliders for what to cut.

    Parameters
    ----------
    menu : Menu
        What can be chosen, with `[trim]` of its project. [money]

    Returns
    -------
    dict of str to dict
        Budget and hours: start, stop, step, value and label of the slider; the right end is more than all the jobs take. [money, hour]
    """
    plan, currency = menu.project.file.trim, menu.project.currency
    whole = sum(work.cost for work in menu.works) + float(sum(menu.phases.opens))
    time = sum(work.hours for work in menu.works)
    found = {}
    for name, most, given, label in (("budget", whole, plan.budget, f"Money for it, {currency}; right end: no limit"), ("hours", time, plan.hours, "Own hours; right end: no limit")):
        given = None if given is None else float(given)
        stop = _whole(max(1.1 * most, 0.0 if given is None else 1.2 * given, 10.0))
        found[name] = {"start": 0.0, "stop": stop, "step": _round_step(stop), "value": stop if given is None else given, "label": label}
    return found


def limits(values, ends):
    """What sliders allow; one at its right end allows all.

    Parameters
    ----------
    values : dict of str to float
        Of the sliders. [money, hour]
    ends : dict of str to dict
        Their ends. [money, hour]

    Returns
    -------
    dict of str to float
        Inf for no limit. [money, hour]
    """
    return {name: inf if value >= ends[name]["stop"] else value for name, value in values.items()}


def builds(project):
    """The builds among the options, for a choice.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    dict of str to str
        Id by name. [-]
    """
    return {option.name: option.id for option in project.options if option.kind == "build"}


def quoted_build(project):
    """Name of the build that is quoted.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    str
        As in `builds`. [-]
    """
    return project.option(project.file.build.quoted_option).name


def with_build(project, id):
    """The project with another of its builds quoted.

    Parameters
    ----------
    project : Project
        The files. [-]
    id : str
        Of a build. [-]

    Returns
    -------
    Project
        The same otherwise. [-]
    """
    build = project.file.build.model_copy(update={"quoted_option": id})
    return project.model_copy(update={"file": project.file.model_copy(update={"build": build})})


def _round_step(stop):
    """A round step that divides a range into about 200."""
    if stop <= 0:
        return 1.0
    power = 10 ** (len(str(int(stop))) - 3)
    return float(max(power, 1))


def _whole(stop):
    """An end that is a whole number of steps."""
    step = _round_step(stop)
    return float(-(-stop // step) * step)
