"""Rules that hold between the files of a project: what one names, another must have."""

from collections import Counter, defaultdict
from decimal import Decimal

from buildecon.project.chances import figure_at
from buildecon.project.faults import Fault, unknown_name, wrong
from buildecon.project.fills import fill_faults
from buildecon.project.half_way import half_way_faults
from buildecon.project.honesty import honesty_faults
from buildecon.project.job_rules import job_faults
from buildecon.quantities.money import converted
from buildecon.quantities.units import BOUGHT_AS, PER_100_KM

BACK = {"refund": "payment", "store credit": "payment", "deposit back": "deposit", "deposit lost": "deposit", "core credit": "core deposit", "core lost": "core deposit"}
OUT_AS = {"credit spent": "payment"}
ALREADY = ("deposit", "deposit back", "deposit lost", "core deposit", "core lost", "store credit", "credit spent")  # a payment without a date is a bill, a core credit still owed
CENT = Decimal("0.01")
OLDEST = 1900  # year of a piece of market evidence


def consistency_faults(project, line_of, broken=frozenset()):
    """Faults between the files of a project.

    Parameters
    ----------
    project : Project
        Whose records are each valid on their own. [-]
    line_of : callable
        Line of build.toml for a path of keys. [-]
    broken : set of str, optional
        Names of files with faults, of which records may be missing: what needs all of them is not judged. [-]

    Returns
    -------
    list of Fault
        Empty where all agree. [-]
    """
    rules = [_line_faults(project)]
    if project.file is not None:
        rules += [_event_faults(project, broken), _option_faults(project, line_of, broken), _build_faults(project, line_of, broken), _market_faults(project, line_of, broken), fill_faults(project, broken), half_way_faults(project, line_of, broken), job_faults(project, line_of, broken), honesty_faults(project, line_of, broken)]
    return [fault for rule in rules for fault in rule]


def _line_faults(project):
    for table in ("lines", "market"):
        first = {}
        for row in getattr(project, table):
            if row.id in first:
                yield Fault(f"{table}.csv", row.row, "id", f"must be unique, got {row.id!r}, which line {first[row.id]} has already.")
            first.setdefault(row.id, row.row)
    with_events = {event.line for event in project.events}
    for line in project.lines:
        if line.paid is not None and with_events & {line.id, line.kit}:
            message = f"must be empty, got {line.paid.likely}: events.csv has the money of {line.id!r}. Keep one of the two."
            yield Fault("lines.csv", line.row, "paid", message)
        if line.kit and line.kit in with_events and line.list_price is None and line.share is None:
            yield Fault("lines.csv", line.row, "list_price", f"must be given to split the price of kit {line.kit!r} over its parts; or share on all of them.")
        if line.return_by and line.date and line.return_by < line.date:
            yield Fault("lines.csv", line.row, "return_by", wrong(f"on or after its date, {line.date}", line.return_by))
    ids = {line.id for line in project.lines}
    kits = defaultdict(list)
    for line in project.lines:
        kits[line.kit].append(line)
        if line.nature == "credit" and line.to_finish is not None:
            yield Fault("lines.csv", line.row, "to_finish", "must be empty on a credit. Write a sale or grant without a date in events.csv for money still to come.")
    for kit, parts in kits.items():
        shared = sum(line.share is not None for line in parts)
        if kit and 0 < shared < len(parts):
            yield Fault("lines.csv", parts[0].row, "share", f"must be given on all parts of kit {kit!r}, or on none, got {shared} of {len(parts)}.")
        if kit and kit in with_events and not shared and not any(line.list_price and line.list_price.likely for line in parts):
            yield Fault("lines.csv", parts[0].row, "list_price", f"must be above 0 on a part of kit {kit!r}, to split its price.")
    for line in project.lines:
        if line.date and project.file is not None and line.date > project.file.build.as_of and line.paid is not None:
            cure = "Leave paid empty for what is still to come; else move as_of in build.toml."
            yield Fault("lines.csv", line.row, "date", wrong(f"on or before as_of, {project.file.build.as_of}", line.date, cure))
        if line.kit in ids and line.kit:
            yield Fault("lines.csv", line.row, "kit", wrong("a name that no line has as its id", line.kit))
    yield from _laid_faults(project)
    for line in project.lines:
        if line.tool_rule not in ("", "in full") and (line.funding != "own" or line.price_today is not None):
            yield Fault("lines.csv", line.row, "tool_rule", wrong("empty or 'in full' on a line with a price_today or funding of its own", line.tool_rule))


def _laid_faults(project):
    """A cost is laid on lines that are there, keep their own cost, and agree on how it is shared."""
    places = laid_on(project.lines)
    for line in project.lines:
        if not line.lay_on:
            continue
        where = places[line.id]
        if not where:
            names = {*(one.id for one in project.lines), *(one.kit for one in project.lines if one.kit), *(one.order for one in project.lines if one.order)} - {line.id}
            message = f"must be the id of another line, a kit, or an order with other lines, got {line.lay_on!r}, which {unknown_name(line.lay_on, names)}"
            yield Fault("lines.csv", line.row, "lay_on", message)
        elif any(one.lay_on for one in where):
            yield Fault("lines.csv", line.row, "lay_on", wrong("a line whose own cost stays with it", line.lay_on))
        elif len({one.share is None for one in where}) > 1:
            yield Fault("lines.csv", line.row, "lay_on", f"must find a share on all lines of {line.lay_on!r}, or on none.")
        if line.nature == "base car":
            yield Fault("lines.csv", line.row, "lay_on", "must be empty on the base car.")
        if line.funding != "own" or line.price_today is not None or line.tool_rule not in ("", "in full"):
            yield Fault("lines.csv", line.row, "lay_on", "must be empty on a line with a price_today, a tool_rule or funding of its own.")
        if line.nature != "credit" and any(one.nature in ("credit", "base car") for one in where):
            yield Fault("lines.csv", line.row, "lay_on", wrong("a line that is no credit and not the base car", line.lay_on))
        meant = [word for word in ("id", "kit", "order") if any(getattr(one, word) == line.lay_on for one in project.lines if one.id != line.id and not one.lay_on)]
        if len(meant) > 1:
            yield Fault("lines.csv", line.row, "lay_on", f"must name one thing, got {line.lay_on!r}, which is {' and '.join(meant)}. Rename one of them.")


def laid_on(lines):
    """The lines on which the costs of others are laid.

    Parameters
    ----------
    lines : sequence of Line
        All of a project. [-]

    Returns
    -------
    dict of str to list of Line
        By id of each line with `lay_on`: one line, or those of a kit or an order; empty where there is none of that name. Freight,
        credits, the base car and what is itself laid on others are not of an order. [-]
    """
    named = {name: defaultdict(list) for name in ("id", "kit", "order")}
    for line in lines:
        named["id"][line.id].append(line)
        if line.kit:
            named["kit"][line.kit].append(line)
        if line.order and line.nature not in ("freight and tax", "credit", "base car") and not line.lay_on:
            named["order"][line.order].append(line)
    suppliers = {name: {one.supplier for one in ones} for name, ones in named["order"].items()}
    found = {}
    for line in lines:
        if line.lay_on:
            places = ([other for other in named[name].get(line.lay_on, ()) if other.id != line.id] for name in ("id", "kit", "order"))
            where = next(filter(None, places), [])
            if line.supplier in suppliers.get(line.lay_on, ()) and all(one.order == line.lay_on for one in where):
                where = [one for one in where if one.supplier == line.supplier]  # two shops may count alike
            found[line.id] = where
    return found


def _event_faults(project, broken):
    lines = {line.id: line for line in project.lines}
    known = {*lines, *(line.kit for line in project.lines if line.kit)}
    home, as_of = project.currency, project.file.build.as_of
    for event in project.events:
        if event.line not in known and "lines.csv" not in broken:
            yield Fault("events.csv", event.row, "line", f"must be the id of a line or the name of a kit, got {event.line!r}, which {unknown_name(event.line, known)}")
        if event.currency not in ("", home) and event.rate is None:
            yield Fault("events.csv", event.row, "rate", f"must be given for {event.currency}: {home} for one {event.currency} on that date.")
        if event.currency in ("", home) and event.rate is not None:
            yield Fault("events.csv", event.row, "rate", wrong(f"empty for an amount in {home}", event.rate, "Name the currency, or drop the rate."))
        if event.kind in ("sale", "grant") and event.line in lines and lines[event.line].nature != "credit":
            yield Fault("events.csv", event.row, "kind", f"must stand against a line of nature 'credit', got {lines[event.line].nature!r}.")
        if event.date is None and event.kind in ALREADY:
            yield Fault("events.csv", event.row, "date", f"must be given for a {event.kind}: it is a thing that has happened.")
        if event.kind == "refund" and event.date is None and event.due is None:
            yield Fault("events.csv", event.row, "date", "must be given for a refund, or due for one still owed.")
        if event.date and event.date > as_of:
            cure = "Leave it empty and write due, if it has not happened yet; else move as_of in build.toml."
            yield Fault("events.csv", event.row, "date", wrong(f"on or before as_of, {as_of}", event.date, cure))
    if "events.csv" not in broken:
        yield from _more_back_than_out(project)
        yield from _more_credit_spent_than_given(project, lines)


def suppliers_of(project):
    """Who sold each line and each kit.

    Parameters
    ----------
    project : Project
        With its lines. [-]

    Returns
    -------
    dict of str to str
        By id or name of the kit; a kit has the supplier of its first part. [-]
    """
    return {**{line.kit: line.supplier for line in reversed(project.lines) if line.kit}, **{line.id: line.supplier for line in project.lines}}


def _more_credit_spent_than_given(project, lines):
    """Store credit is given and spent at one supplier: compared in its own currency where it has one, else at home."""
    shops, moved = suppliers_of(project), [event for event in project.events if event.kind in ("store credit", "credit spent")]
    currencies = defaultdict(set)
    for event in moved:
        currencies[shops.get(event.line, "")].add(event.currency or project.currency)
    given, spent = Counter(), Counter()
    for event in moved:
        shop = shops.get(event.line, "")
        rate = event.rate.likely if event.rate and len(currencies[shop]) > 1 else Decimal(1)
        (given if event.kind == "store credit" else spent)[shop] += converted(event.amount.likely, rate)
    for event in moved:
        shop = shops.get(event.line, "")
        if event.kind == "credit spent" and spent[shop] > given[shop] + CENT:
            yield Fault("events.csv", event.row, "amount", f"must be at most the store credit of {shop or 'its supplier'!r}, {given[shop]}, got {spent[shop]} in all.")


def _more_back_than_out(project):
    """Refunds above their payments, deposits back above deposits: in their own currency where they have one, else in home currency."""
    home, out, back = project.currency, Counter(), Counter()
    currencies = defaultdict(set)
    for event in project.events:
        currencies[event.line, _paired(event.kind)].add(event.currency or home)
    rows = []
    for event in project.events:
        key = (event.line, _paired(event.kind))
        rate = event.rate.likely if event.rate and len(currencies[key]) > 1 else Decimal(1)
        (back if event.kind in BACK else out)[key] += converted(event.amount.likely, rate)
        rows += [(event, key)] if event.kind in BACK else []
    for event, key in rows:
        if back[key] > out[key] + CENT and len(currencies[key]) == 1:
            message = f"must be at most the {key[1]}s of {event.line!r}, {out[key]}, got {back[key]} in all."
            yield Fault("events.csv", event.row, "amount", message + " Check which line it belongs to.")


def _paired(kind):
    return BACK.get(kind) or OUT_AS.get(kind, kind)


def _option_faults(project, line_of, broken):
    def fault(keys, message, name=None):
        return Fault("build.toml", line_of(*keys), name or ".".join(f"{k + 1}" if isinstance(k, int) else k for k in keys), message)

    file = project.file
    credits = {line.id for line in project.lines if line.nature == "credit"}
    systems = {line.system for line in project.lines}
    for id, count in Counter(option.id for option in file.options).items():
        if count > 1:
            yield fault(("options",), f"must have ids that differ, got {id!r} {count} times.", "options.id")
    for name, count in Counter(option.name for option in file.options).items():
        if count > 1:
            yield fault(("options",), f"must have names that differ, got {name!r} {count} times.", "options.name")
    for id, count in Counter(must.id for must in file.must_haves).items():
        if count > 1:
            yield fault(("must_haves",), f"must have ids that differ, got {id!r} {count} times.", "must_haves.id")
    for k, option in enumerate(file.options):
        for part in option.energy:
            if part.source not in file.energy:
                yield fault(("options", k, "energy"), f"source {part.source!r} {unknown_name(part.source, file.energy)}")
            elif BOUGHT_AS[file.energy[part.source].unit] != PER_100_KM[part.unit][0]:
                yield fault(("options", k, "energy"), wrong(f"in a unit that fits {file.energy[part.source].unit}", part.unit))
            elif part.charging_loss.likely and file.energy[part.source].unit != "kWh":
                yield fault(("options", k, "energy"), wrong("without charging_loss for a fuel", part.charging_loss))
        for name, ids, known in (("counts_on", option.counts_on, credits), ("shares_systems", option.shares_systems, systems)):
            for id in ids:
                if id not in known and "lines.csv" not in broken:
                    yield fault(("options", k, name), f"{id!r} {unknown_name(id, known)}")
        yield from _end_faults(file, option, k, fault)
        if file.build.stage != "planned" and (option.uses_base_car or option.shares_systems) and option.from_today is None:
            yield fault(("options", k, "from_today"), "must say what this option is from today, because it uses the base car and the work has begun.")
        yield from _fact_faults(file, option, k, fault)


def _end_faults(file, option, k, fault):
    """What a car brings and has run at the end of its life fits what it is worth and goes."""
    path, worth = option.value_path, option.value or (file.value.finished if option.kind == "build" else option.price)
    if path and path.scrap_value and path.scrap_value.likely > worth.likely:
        yield fault(("options", k, "value_path", "scrap_value"), wrong(f"at most what it is worth on the first day, {worth.likely}", path.scrap_value.likely, "It would never sell below its scrap: raise the one or lower the other."))
    again = option.wear.again_distance if option.wear else None
    if path and path.lifetime_distance and again and not again.high < path.lifetime_distance.low:
        yield fault(("options", k, "wear", "again_distance"), wrong(f"below lifetime_distance, {path.lifetime_distance.low}", again.high, "A car that has run its life cannot follow."))


def _fact_faults(file, option, k, fault):
    musts = {must.id: must for must in file.must_haves}
    for name in option.facts:
        if name not in musts:
            yield fault(("options", k, "facts", name), unknown_name(name, musts))
    for must in file.must_haves:
        fact = option.facts.get(must.id)
        if fact is None:
            yield fault(("options", k, "facts"), f"must state {must.id!r} ({must.name}), or 'unknown'.")
            continue
        is_number = isinstance(fact, (int, Decimal)) and not isinstance(fact, bool)
        if must.yes:
            fits, rule = isinstance(fact, bool), "true or false"
        elif must.until_year:
            fits, rule = isinstance(fact, int) and not isinstance(fact, bool) or fact == "always", "a last year, or 'always'"
        else:
            fits, rule = is_number, f"a number in {must.unit}" if must.unit else "a number"
        if not fits and fact != "unknown":
            yield fault(("options", k, "facts", must.id), wrong(f"{rule}, or 'unknown'", fact))


def _build_faults(project, line_of, broken):
    build = project.file.build
    chosen = project.option(build.quoted_option)
    builds = [option.id for option in project.options if option.kind == "build"]
    if chosen is None or chosen.kind != "build":
        message = wrong("the id of an option of kind 'build'", build.quoted_option, f"There are: {', '.join(builds) or 'none'}.")
        yield Fault("build.toml", line_of("build", "quoted_option"), "build.quoted_option", message)
    elif chosen.build_months:
        months, use = chosen.build_months.likely, project.file.use
        if months >= 12 * use.years_kept:
            cure = "The years kept count from today, those of building with them."
            yield Fault("build.toml", line_of("use", "years_kept"), "use.years_kept", wrong(f"more years than the {months} months of building of {chosen.id!r}", use.years_kept, cure))
        elif months > 12 * (use.horizon_years - 1):
            yield Fault("build.toml", line_of("use", "horizon_years"), "use.horizon_years", wrong(f"a year more than the {months} months of building of {chosen.id!r}", use.horizon_years))
    spent, logged = project.file.own_hours.spent, [row.hours.likely for row in project.hours if row.who == "own"]
    if spent is None and not logged and "hours.csv" not in broken:
        yield Fault("build.toml", line_of("own_hours"), "own_hours.spent", "must be given, or the hours written in hours.csv. Write 0 if there are none.")
    if spent is not None and sum(logged) > spent.high:
        message = f"must be at least the {sum(logged)} hours that hours.csv holds, got {spent.high}. Leave it out if they are all."
        yield Fault("build.toml", line_of("own_hours", "spent"), "own_hours.spent", message)
    if project.file.clocks and project.file.clocks.shell_like and project.file.this_car.year is None:
        yield Fault("build.toml", line_of("clocks", "shell_like"), "clocks.shell_like", "must stand beside the year of the car under [this_car]. Write it there, or shell_years here instead.")
    for name, count in Counter(one.name for one in project.file.loans).items():
        if count > 1 or any(line.id == f"loan {name}" for line in project.lines):
            yield Fault("build.toml", line_of("loans"), "loans.name", f"must be a name of its own, got {name!r}, which another loan has, or a line as 'loan {name}'.")
    for name, count in Counter(one.name for one in project.file.sources).items():
        if count > 1:
            yield Fault("build.toml", line_of("sources"), "sources.name", f"must have names that differ, got {name!r} {count} times.")
    lines = {f"lines.{line.id}" for line in project.lines}
    for one in project.file.chances.finding_out:
        if one.what not in (*lines, "spent", "half_way.past_overruns", "chances.counted_on") and figure_at(project.file, one.what) is None and not (one.what.startswith("lines.") and "lines.csv" in broken):
            message = wrong("where a figure stands, as 'options.ID.price', 'value.finished' or 'lines.ID'", one.what)
            yield Fault("build.toml", line_of("chances", "finding_out"), "chances.finding_out.what", message)
    if "lines.csv" not in broken and not any(line.nature == "base car" for line in project.lines):
        yield Fault("lines.csv", 0, "nature", "must have one line of nature 'base car': what the car was bought for, or its as-is value today.")


def _market_faults(project, line_of, broken):
    home, as_of, file = project.currency, project.file.build.as_of, project.file
    for row in project.market:
        if row.date > as_of:
            yield Fault("market.csv", row.row, "date", wrong(f"on or before as_of, {as_of}", row.date, "Check its year, or move as_of in build.toml."))
        if row.date.year < OLDEST:
            yield Fault("market.csv", row.row, "date", wrong(f"in {OLDEST} or later", row.date, "Check its year."))
        if row.currency not in ("", home) and row.rate is None:
            yield Fault("market.csv", row.row, "rate", f"must be given for {row.currency}: {home} for one {row.currency} on that date.")
        if row.currency in ("", home) and row.rate is not None:
            yield Fault("market.csv", row.row, "rate", wrong(f"empty for an amount in {home}", row.rate, "Name the currency, or drop the rate."))
    for k, (before, state) in enumerate(zip(file.states, file.states[1:], strict=False), 1):
        if state.since <= before.since:
            yield Fault("build.toml", line_of("states", k, "since"), f"states.{k + 1}.since", wrong(f"after that of the state before it, {before.since}", state.since))
    systems, used = {line.system for line in project.lines}, Counter()
    for k, work in enumerate(file.contribution.work if file.contribution else ()):
        used.update(work.systems)
        for system in work.systems:
            if system not in systems and "lines.csv" not in broken:
                yield Fault("build.toml", line_of("contribution", "work", k), f"contribution.work.{k + 1}.systems", f"{system!r} {unknown_name(system, systems)}")
    for system, count in used.items():
        if count > 1:
            yield Fault("build.toml", line_of("contribution", "work"), "contribution.work", f"must name each system once, got {system!r} {count} times.")
