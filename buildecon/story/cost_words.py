"""The plain sentences of what a build has cost: the quoted total, small change, what is still to come, what could mislead."""

from buildecon.ledger.forecast import forecast
from buildecon.ledger.honesty import traps
from buildecon.ledger.hours import hours_by_system
from buildecon.ledger.loans import interest_id
from buildecon.ledger.owed import owed_items, return_windows
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
    """How the figures of the ledger could mislead: name, figure, cure.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    list of str
        One a trap; what the owner has overruled comes last, with the reason. [-]
    """
    return trap_sentences(traps(project, totals))


def trap_sentences(found, ids=False):
    """Traps in words.

    Parameters
    ----------
    found : sequence of Trap
        Of any room. [-]
    ids : bool, optional
        Whether each ends with the word it can be overruled by. [-]

    Returns
    -------
    list of str
        One a trap; what was overruled comes last, with the owner's reason. [-]
    """
    said = []
    for trap in sorted(found, key=lambda trap: bool(trap.overruled)):
        named = f"{trap.name[0].upper()}{trap.name[1:]}: {trap.figure}."
        told = f"Overruled by the owner. {named} The reason given: {trap.overruled.rstrip('.')}." if trap.overruled else f"{named} {trap.cure}"
        said.append(f"{told} [{trap.id}]" if ids else told)
    return said


def trap_rows(found):
    """Traps as an object has them.

    Parameters
    ----------
    found : sequence of Trap
        Of any room. [-]

    Returns
    -------
    list of dict
        `id`, `name`, `figure`, `cure`, `overruled`: the owner's reason or None. [-]
    """
    return [{"id": trap.id, "name": trap.name, "figure": trap.figure, "cure": trap.cure, "overruled": trap.overruled or None} for trap in found]


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


def owed_sentences(project, totals):
    """What is owed to the owner, and what can still go back, with the days left.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    list of str
        One an item; the most pressing first. [-]
    """
    said = []
    for one in owed_items(project):
        of = " ".join(filter(None, [f"for {one.item}" if one.item else "", f"from {one.who}" if one.who else ""]))
        said.append(f"Owed to you, on no rung: {amount(one.amount, project.currency)}, {one.what} {of}".rstrip() + f"{_when(one)}.")
    for one in return_windows(project, totals.settled):
        ended = one.days < 0
        said.append(f"{'Can no longer go back' if ended else 'Can still go back'}: {one.item}{f' to {one.who}' if one.who else ''}, {amount(one.amount, project.currency)}{_when(one)}.")
    return said


def _when(one):
    if one.due is None:
        return ""
    if one.days < 0:
        return f", was due {one.due:%d %B %Y}, {-one.days} {'day' if one.days == -1 else 'days'} ago"
    return f", by {one.due:%d %B %Y}, {one.days} {'day' if one.days == 1 else 'days'} left"


def rules_sentences(project, totals):
    """The rules behind the totals that are the owner's choice: freight, tools, tax inside, loans, hours, the plan.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    list of str
        One a rule that is in use. [-]
    """
    currency, said = project.currency, []
    moved = [one for one in totals.settled if one.line.lay_on]
    if moved:
        said.append(f"Laid on other lines: {amount(sum(-one.laid for one in moved), currency)} of {len(moved)} {_lines(moved)}, by share where written, else by what each cost.")
    tools = [one for one in totals.settled if one.left_out]
    if tools:
        rules = ", ".join(f"{one.line.item} ({one.line.tool_rule})" for one in tools)
        said.append(f"Tools not counted to this build: {amount(sum(one.left_out for one in tools), currency)}, on no rung: {rules}.")
    taxes = [one.line.tax_inside.likely for one in totals.settled if one.line.tax_inside]
    if taxes:
        share = project.file.use.business_share
        back = f"; at a business share of {share.likely:.0%}, {amount(sum(taxes) * share.likely, currency)} might come back to somebody who is registered" if share else ""
        said.append(f"Tax inside the bills: {amount(sum(taxes), currency)} on {len(taxes)} {_lines(taxes)}{back}. Taken off no rung.")
    for loan in project.file.loans:
        paid = next(one.cost for one in totals.settled if one.line.id == interest_id(loan))
        said.append(f"Loan {loan.name}: {amount(paid, currency)} of interest so far, on the rung of gross project cash; what was borrowed and paid off is on none.")
    if logged := [row for row in hours_by_system(project) if row[1] or row[2]]:
        helpers = sum(row[2] for row in logged)
        most = ", ".join(f"{row[0]} {row[1]:g}" for row in logged[:3])
        said.append(f"Own hours, {project.hours_spent.likely:g}: {most}." + (f" Helpers gave {helpers:g} more, in no figure." if helpers else ""))
    if project.file.plan.baseline:
        said.append(f"The plan is the one of {project.file.plan.baseline:%d %B %Y}, frozen." + "".join(f" Revised {one.date:%d %B %Y}: {one.what}, {number(one.before.likely)} to {number(one.after.likely)}." for one in project.file.revisions))
    return said


def _lines(found):
    return "line" if len(found) == 1 else "lines"
