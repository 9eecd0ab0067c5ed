"""The plain sentences: every figure rounded here and nowhere else, with its currency."""

import math

from buildecon.decision.compare import FROM_TODAY, joy_by, price_of_joy
from buildecon.decision.option_terms import counted_on
from buildecon.quantities.timevalue import level_payment

NOT_DONE = "not done"
NOT_ADVICE = "This is arithmetic on your own figures. It is not financial, tax or legal advice."
CAUTIONS = {
    # NHTSA DOT HS 811 825 (2013), seen in its abstract: 71 % for cars of 18 years and more against cars of 0 to 3 years.
    "old shell": "An old shell keeps the crash structure of its model year, whatever is new in it. In US fatal crashes of 2005 to 2011 the driver "
    "of a car 18 years or older was 71 % more likely to be killed than the driver of one up to 3 years old (NHTSA DOT HS 811 825, 2013).",
    "high voltage": "High voltage kills. Have a qualified person make it safe, check it and sign it off; work isolated, with rated tools and a second person there.",
    "brakes": "Brakes, steering and tyres must suit the new weight and power. Have a qualified person inspect them before the road.",
    "fuel": "Fuel lines and tanks that were moved or opened need an inspection for leaks by a qualified person.",
    "lifting": "Never work under a car that is held by a jack alone; engines and packs need rated lifting gear.",
}
LOCAL_RULES = "Rules on emissions, identity, inspection, tax and zones are local and change: ask the office that decides before you spend."


def amount(value, currency, decimals=0):
    """An amount with its currency.

    Parameters
    ----------
    value : float or Decimal
        Amount. [money]
    currency : str
        ISO 4217 code. [-]
    decimals : int, optional
        Shown. [-]

    Returns
    -------
    str
        As `23,035 EUR`; a dash where there is none. [-]
    """
    return f"{number(value, decimals)} {currency}" if not _is_nothing(value) else "-"


def number(value, decimals=0):
    """A figure with thousands separated.

    Parameters
    ----------
    value : float or Decimal
        Figure. [-]
    decimals : int, optional
        Shown. [-]

    Returns
    -------
    str
        A dash where there is none. [-]
    """
    if _is_nothing(value):
        return "-"
    text = f"{value:,.{decimals}f}"
    return text.lstrip("-") if float(text.replace(",", "")) == 0 else text


def years_text(years):
    """Years in words, one decimal where they are not whole.

    Parameters
    ----------
    years : float
        How many. [year]

    Returns
    -------
    str
        As `1 year`, `6 years`, `2.7 years`, `4 months`. [-]
    """
    if 0 < years < 0.95:
        months = max(round(12 * years), 1)
        return f"{months} {'month' if months == 1 else 'months'}"
    shown = f"{years:.0f}" if abs(years - round(years)) < 0.05 else f"{years:.1f}"
    return f"{shown} year" if shown == "1" else f"{shown} years"


def called(name):
    """A name inside a sentence, in quotes where it has a comma of its own.

    Parameters
    ----------
    name : str
        Of an option. [-]

    Returns
    -------
    str
        The name. [-]
    """
    return f"'{name}'" if "," in name else name


def answer(comparison, totals):
    """The answer to build or buy in one sentence or two.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    totals : Ladder
        For money counted on and not received. [-]

    Returns
    -------
    str
        Plain words with figures and currency. [-]
    """
    years, currency = comparison.what_if.years_kept, comparison.project.currency
    month, build = comparison.month(years), comparison.options[comparison.build]
    lead = f"Kept {years_text(years)}" + (" from today" if comparison.view == FROM_TODAY else "")
    said = f"{lead}, {called(build.name)} costs {amount(comparison.per_month[comparison.build, month], currency)} a month"
    if waiting := counted_on(build, totals):
        said += f" (counting on {amount(waiting, currency)} not yet received)"
    rival = comparison.cheapest_rival(years)
    if rival is None:
        said += "; nothing else meets every must-have, so there is no price of joy."
    else:
        joy = price_of_joy(comparison)[month]
        name = f"{called(comparison.options[rival].name)}, the cheapest other that meets every must-have"
        if abs(joy) < 0.5:
            said += f", the same as {name}"
        else:
            said += f", {amount(abs(joy), currency)} {'more' if joy > 0 else 'less'} than {name}"
        said += f"; {_turning(comparison, rival)}."
    if not comparison.passes[comparison.build]:
        failed = "; ".join(gate.reason for gate in comparison.gates[comparison.build] if not gate.passes)
        said += f" But the build itself fails a must-have: {failed}."
    return said


def _turning(comparison, rival):
    """When the build becomes cheaper than whatever is cheapest then, or that it never does within the range searched."""
    found = comparison.against_cheapest()
    span = f"0 to {years_text(found.high)}"
    if not found.at:
        return f"the two cost the same from {span}" if found.verdict == "equal" else f"it is {'cheaper' if found.verdict == 'first always' else 'dearer'} at every length from {span}"

    def turn(one):
        then = comparison.cheapest_rival(math.floor(12 * one.at + 0.5) / 12)
        against = "" if then == rival else f", against {called(comparison.options[then].name)}"
        return f"{'cheaper' if one.cheaper_after == 'first' else 'dearer'} after {years_text(one.at)}{against}"

    return "it becomes " + ", then ".join(turn(one) for one in found.crossings if one.kind != "touch") + f" (searched {span})"


def break_even_verdict(found, build, other):
    """What a search for break-even found, in words.

    Parameters
    ----------
    found : BreakEven
        In years kept; the build is the first. [-]
    build, other : str
        Names. [-]

    Returns
    -------
    str
        One sentence with the range searched. [-]
    """
    names = {"first": called(build), "second": called(other)}
    span = f"searched 0 to {years_text(found.high)}"
    if not found.at:
        touches = " and touches at " + ", ".join(years_text(one.at) for one in found.crossings) if found.crossings else ""
        if found.verdict == "equal":
            return f"both cost the same throughout ({span})"
        return f"{names['first' if found.verdict == 'first always' else 'second']} is the cheaper throughout{touches} ({span})"
    parts = [f"{names[found.crossings[0].cheaper_before]} is cheaper up to {years_text(found.at[0])}"]
    changes = [one for one in found.crossings if one.kind != "touch"]
    for one, following in zip(changes, [*changes[1:], None], strict=True):
        parts.append(f"{names[one.cheaper_after]} " + (f"up to {years_text(following.at)}" if following else "beyond"))
    return ", ".join(parts) + f" ({span})"


def joy_sentence(comparison):
    """The price of joy at the years kept: a month, a drive day, an hour.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    str
        One sentence. [-]
    """
    years, currency = comparison.what_if.years_kept, comparison.project.currency
    joy = price_of_joy(comparison)[comparison.month(years)]
    if _is_nothing(joy):
        return "No price of joy: no other option meets every must-have."
    spread = joy_by(comparison, abs(joy), years)
    words = [f"{amount(abs(joy), currency)} a month"]
    words += [f"{amount(spread['per_drive_day'], currency, 2)} a drive day"] if spread["per_drive_day"] is not None else []
    words += [f"{amount(spread['per_hour'], currency, 2)} an hour of {_hours_of(comparison)}"] if spread["per_hour"] is not None else []
    kind = "Price of joy" if joy >= 0 else "No price of joy, the build is the cheap choice and saves"
    return f"{kind}{':' if joy >= 0 else ''} {', or '.join(words)}, kept {years_text(years)}. Own hours are counted as {_convention(comparison)}."


def _hours_of(comparison):
    if comparison.view == FROM_TODAY:
        return "driving"
    return "building and driving" if float(comparison.project.file.use.drive_hours_a_year) else "building"


def _convention(comparison):
    hours = comparison.project.file.own_hours
    if comparison.view == FROM_TODAY:
        return "spent already, whatever they are worth"
    return {"hobby": "a hobby, at 0", "wage": "labour at a wage, in the sums", "shop": "labour at a shop rate, in the sums"}[hours.convention]


def gate_cost_sentence(comparison):
    """What each must-have costs a month at the years kept.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    list of str
        One sentence a must-have that shuts something out. [-]
    """
    years, currency = comparison.what_if.years_kept, comparison.project.currency
    names = {must.id: must.name for must in comparison.project.file.must_haves}
    said = []
    for id, (cost, k) in comparison.gate_costs(years).items():
        if k is None:
            said.append(f"Without the must-have '{names[id]}' nothing more would pass: what fails it fails another as well.")
        elif _is_nothing(cost):
            said.append(f"The must-have '{names[id]}' leaves nothing that passes; without it {comparison.options[k].name} would.")
        elif cost < 0.5:
            said.append(f"The must-have '{names[id]}' costs nothing, kept {years_text(years)}: what it shuts out is no cheaper.")
        else:
            said.append(
                f"The must-have '{names[id]}' costs {amount(cost, currency)} a month, kept {years_text(years)}: it shuts out {comparison.options[k].name}."
            )
    return said


def near_misses(comparison):
    """Must-haves met or missed by a hair.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    list of str
        With the option's name. [-]
    """
    pairs = zip(comparison.options, comparison.gates, strict=True)
    return [f"{option.name}: {gate.reason}" for option, gates in pairs for gate in gates if gate.near]


def assumptions(comparison, notes=True):
    """What the figures rest on.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    notes : bool, optional
        With the owner's notes on the options and the basis of the value; without them for readers. [-]

    Returns
    -------
    list of str
        One a line. [-]
    """
    file, what_if = comparison.project.file, comparison.what_if
    unit, currency = file.build.distance_unit, comparison.project.currency
    written = float(comparison.project.option(file.build.quoted_option).value or file.value.finished)
    said = [
        f"Prices of {file.build.as_of:%d %B %Y}, in today's money; discount rate {what_if.discount_percent:g} % a year; monthly steps.",
        f"{number(what_if.distance_a_year)} {unit} and {number(float(file.use.drive_days_a_year))} drive days a year.",
        f"The build's value when done: {amount(what_if.end_value, currency)}" + (f" ({file.value.basis})" if what_if.end_value == written and notes else "." if what_if.end_value == written else ", as moved."),
        *_energy_prices(file, what_if.energy_price),
        "What wears out and the end of a life are in these sums where build.toml gives them; ranges count in the chances, likely figures everywhere else.",
    ]
    if what_if.still_to_come:
        said.append(f"Still to come: {amount(what_if.still_to_come, currency)}; a range counts at its mean, (low + 4 likely + high) / 6.")
    if comparison.view == FROM_TODAY and file.build.stage != "finished" and not comparison.done_after:
        said.append("From today, the build counts as finished at once: no months without it are in these sums.")
    shares = {option.name: file.value.selling_cost_share if option.selling_cost_share is None else option.selling_cost_share for option in comparison.options if option.kind != "hire"}
    if selling := [f"{name} {float(share):.0%}" for name, share in shares.items() if share.likely]:
        said.append(f"Selling at the end takes its share of the price: {', '.join(selling)}.")
    for k, option in enumerate(comparison.options):
        if loan := option.loan:
            paid = level_payment(float(loan.amount), float(loan.rate) / 12, loan.months)
            own = float(comparison.terms.money_in[k]) - float(loan.amount)
            said.append(
                f"{option.name}: {amount(float(loan.amount), currency)} on a loan, {amount(paid, currency, 2)} a month for {loan.months} months, "
                f"{amount(own, currency)} of your own at the start; what is owed is cleared at the sale; inflation {float(file.use.inflation_rate):.1%} a year."
            )
    paths = (f"{option.name}: {option.value_path.kind}" for option in comparison.options if option.value_path)
    said += [f"Value by another path than one share a year: {', '.join(told)}."] if (told := list(paths)) else []
    return said + [f"{option.name}: {option.note}" for option in comparison.options if option.note and notes]


def _energy_prices(file, times):
    """One line for each energy: its price, its tariffs, its growth."""
    for name, energy in file.energy.items():
        parts = [f"{part.name} {float(part.share):.0%} at {times * float(part.price):.4g}" for part in energy.tariffs]
        price = ", ".join(parts) if parts else f"{times * float(energy.price):.4g}"
        growth = f", rising {float(energy.price_growth_rate):.1%} a year above general prices" if energy.price_growth_rate.likely else ""
        moved = "" if times == 1 else f" ({times:g} times the files' price)"
        yield f"{name[0].upper()}{name[1:]}: {price} {file.build.currency} a {energy.unit}{growth}{moved}."


def cautions(project):
    """The usual cautions for the work in a project, the local rules, and that this is no advice.

    Parameters
    ----------
    project : Project
        Its `build.cautions` names the kinds of work. [-]

    Returns
    -------
    list of str
        One a line. [-]
    """
    named = dict.fromkeys(("old shell", *project.file.build.cautions))
    return [*(CAUTIONS[name] for name in named), LOCAL_RULES, NOT_ADVICE]


def is_figure(cell):
    """Whether a cell of a table goes to the right.

    Parameters
    ----------
    cell : str
        Finished text. [-]

    Returns
    -------
    bool
        True for a number, a share, what stands in place of one, or nothing. [-]
    """
    return not cell or cell in ("-", NOT_DONE) or cell.lstrip("+-").rstrip("%").replace(",", "").replace(".", "").isdigit()


def _is_nothing(value):
    return value is None or math.isnan(value)
