"""The plain sentences of what a build has cost: the quoted total, small change, what is still to come, what could mislead."""

from buildecon.ledger.forecast import forecast
from buildecon.ledger.honesty import traps
from buildecon.ledger.variance import small_change
from buildecon.story.words import amount, number

SMALL = 100  # money; below it an amount is small change


def quoted_sentence(project, totals):
    """The total the owner quotes, why, and how it stands to the cap.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    str
        Plain words with rung, date and currency. [-]
    """
    build, currency = project.file.build, project.currency
    quoted = next(rung for rung in totals.rungs if rung.id == build.quoted_rung)
    said = f"{build.name}: {quoted.label}, {amount(quoted.amount, currency)} as of {build.as_of:%d %B %Y}. {build.quoted_because}"
    if build.cap is not None:
        over, cap = totals["stands_in_at"] - build.cap.likely, build.cap.likely
        share = f" ({abs(over) / cap:.0%})" if cap else ""
        said += f" What the car stands you in is {amount(abs(over), currency)}{share} {'over' if over > 0 else 'under'} the cap of {amount(cap, currency)}"
        ahead = over + totals.expected_to_finish
        said += f"; with what is still to come, {amount(abs(ahead), currency)} {'over' if ahead > 0 else 'under'}." if totals.expected_to_finish else "."
    return said


def small_change_sentence(project, totals):
    """How much went in small amounts.

    Parameters
    ----------
    project : Project
        For its currency. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    str
        One sentence. [-]
    """
    count, small, share = small_change(totals.settled, SMALL)
    part = f", {share:.0%} of what was spent" if share else ""
    return f"Small change: {count} amounts under {SMALL} {project.currency} make {amount(small, project.currency)}{part}."


def honesty_sentences(project, totals):
    """How the figures could mislead: name, figure, cure.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    list of str
        One a trap. [-]
    """
    return [f"{trap.name[0].upper()}{trap.name[1:]}: {trap.figure}. {trap.cure}" for trap in traps(project, totals)]


def forecast_sentences(project, totals):
    """What is still to come: as written, scaled by the overrun so far, and how sure that is.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    list of str
        One a line; empty where nothing is still to come. [-]
    """
    if not totals.to_finish[2]:
        return []
    currency, ahead = project.currency, forecast(project, totals.settled)
    low, likely, high = (number(part) for part in totals.to_finish)
    said = [f"Still to come, as written: {low} to {high} {currency}, likely {likely}, mean {number(totals.expected_to_finish)}; on no rung."]
    if ahead.scaled.likely != ahead.as_written.likely:
        said.append(
            f"Finished lines cost {ahead.overrun:.2f} times their plan. Scaled by that, single figures widened by how thin their paper is (common practice, no source): likely {amount(ahead.scaled.likely, currency)}, up to {number(ahead.scaled.high)}; "
            f"with it the build comes to {amount(ahead.at_completion, currency)} gross, base car in, credits not taken off."
        )
    elif not project.file.plan.scale_by_overrun:
        said.append(f"Not scaled by the overrun so far ({ahead.overrun:.2f} times the plan): {project.file.plan.because.rstrip('.')}.")
    said.append(
        f"Standard deviation of what is left: {number(ahead.together)} {currency} if the lines move together, {number(ahead.apart)} if each goes its own way. "
        "Delay and hidden damage move them together, so the smaller figure is too sure."
    )
    if ahead.committed:
        said.append(f"Of that or beside it, bills not yet paid: {amount(ahead.committed, currency)}.")
    if ahead.contingency:
        said.append(f"Contingency held apart: {amount(ahead.contingency, currency)}, in no figure here.")
    return said
