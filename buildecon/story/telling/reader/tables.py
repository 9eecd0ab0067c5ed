"""Rows and sentences of the reader's page as it stands first; `reader.js` sets the same at other settings."""

import numpy as np

from buildecon.decision.compare import WHOLE_STORY
from buildecon.story.dials import soonest
from buildecon.story.tables import cost_at, options_table
from buildecon.story.words import number, years_text


def every_option_table(comparison):
    """Each option at some numbers of years kept, and by distance.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    list of dict
        Cheapest first. [money, money/month, money/km]
    """
    month, unit = comparison.month(comparison.what_if.years_kept), comparison.project.file.build.distance_unit
    order = np.argsort(comparison.per_month[:, month], kind="stable")
    rows = []
    for row, k in zip(options_table(comparison), order, strict=True):
        gates = row.pop("must-haves")
        rows.append(row | {f"a {unit}": number(comparison.per_distance[k, month], 2), "must-haves": gates})
    return rows


def every_year_table(comparison):
    """Each option in every year, to the cent.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    list of dict
        A row a number of years the build can be kept, a column an option. [money/month]
    """
    project = comparison.project
    return [
        {"kept": years_text(year)} | {option.name: cost_at(comparison, k, year, 2) for k, option in enumerate(comparison.options)}
        for year in range(soonest(project), project.file.use.horizon_years + 1)
    ]


def left_out_sentences(comparison):
    """Options that cannot be had in a view.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    list of str
        With the reason. [-]
    """
    return [f"Left out from today: {option.name}, {option.from_today.because.rstrip('.')}." for option in comparison.left_out]


def captions(currency, unit, view):
    """What stands over the tables.

    Parameters
    ----------
    currency : str
        In which the money is shown. [-]
    unit : str
        Of distance. [-]
    view : str
        Whole story or from today. [-]

    Returns
    -------
    dict of str to str
        By table. [-]
    """
    return {
        "options": f"Every option, {view}: {currency} put in, {currency} a month by years kept, {currency} a {unit} at the years set",
        "joy": f"Price of joy by years kept, {view}: below 0 the build is the cheap choice",
        "meet": f"Where the build and each other option cost the same, {view}",
        "every": f"{currency} a month by years kept, {view}, to the cent",
    }


def set_sentence(data):
    """At which numbers the page stands first.

    Parameters
    ----------
    data : dict
        From `reader_data`. [-]

    Returns
    -------
    str
        One line. [-]
    """
    turned, unit = data["controls"], data["unit"]
    parts = [f"kept {years_text(turned['years']['stops'][turned['years']['at']])}", f"{number(turned['distance']['stops'][turned['distance']['at']])} {unit} a year"]
    parts += [f"{one['name']} {one['texts'][one['at']]}" for one in turned["energy"]]
    parts += [f"own hours at {turned['hours']['texts'][turned['hours']['at']]}"] if turned["hours"] else []
    parts += ["parts as the builder paid them"] if turned["street"] else []
    return f"Set to: {'; '.join([*parts, WHOLE_STORY])}. These are the builder's own numbers."
