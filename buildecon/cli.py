"""The `buildecon` command: one verb a question, each on a project folder. Imports wait for the verb that needs them."""

import argparse
import json
import shlex
import shutil
import sys
from pathlib import Path

from buildecon import __version__

PAGES = ("build_or_buy", "what_has_it_cost", "what_is_it_worth", "how_long_to_keep_it", "finish_or_sell", "what_to_cut", "enter_receipts", "tell_the_story")
# Said on a terminal where it takes more than a second.
LONG = {
    "check": "Reading the folder ...", "import": "Reading the file ...", "cost": "Adding up ...", "worth": "Reading the evidence ...", "keep": "Working out every length of keeping ...",
    "finish": "Working out the ways on and their chances ...", "decide": "Working out the chances ...", "trim": "Looking for the best set of jobs ...",
    "publish": "Writing it up ...",
}  # fmt: skip


def main(arguments=None):
    """Run one verb.

    Parameters
    ----------
    arguments : sequence of str, optional
        As typed after `buildecon`. [-]

    Returns
    -------
    int
        0, or 2 where something must be put right first. [-]
    """
    typed = _parser().parse_args(arguments)
    if not hasattr(typed, "run"):
        _parser().print_help()
        return 0
    from buildecon.project.faults import ProjectFaults
    from buildecon.story.waiting import told

    for stream in (sys.stdout, sys.stderr):  # a terminal that lacks a letter shows it escaped
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        with told(LONG.get(typed.verb, "")):
            answer = typed.run(typed)
        print(answer, flush=True)
    except ProjectFaults as trouble:
        if getattr(typed, "json", False):
            print(_json({"format": "buildecon.faults/1", "faults": [vars(fault) for fault in trouble.faults]}))
        count = len(trouble.faults)
        print(trouble, file=sys.stderr)
        print(f"{count} {'fault' if count == 1 else 'faults'}. Nothing was changed.", file=sys.stderr)
        return 2
    except BrokenPipeError:
        sys.stderr.close()
    except OSError as trouble:
        print(f"buildecon: the answer must be writable to its output, got {trouble.strerror!r}.", file=sys.stderr)
        return 2
    return 0


def _parser():
    parser = argparse.ArgumentParser(prog="buildecon", description=__import__("buildecon").__doc__)
    parser.add_argument("--version", action="version", version=__version__)
    verbs = parser.add_subparsers(title="verbs", metavar="VERB")
    for name, run, words in (
        ("new", _new, "start a project folder"),
        ("check", _check, "read a project folder and say everything that is wrong with it"),
        ("import", _import, "take an order export, a card statement or a list into the project folder"),
        ("cost", _cost, "what has it cost: the ladder of totals"),
        ("worth", _worth, "what is it worth, and how far upside down"),
        ("keep", _keep, "what does keeping each option cost, by years kept"),
        ("finish", _finish, "half-way: finish it, sell it as it stands, part it out, shelve it or keep it"),
        ("decide", _decide, "build it or buy one"),
        ("trim", _trim, "what to do with the money and hours there are, and what to cut"),
        ("publish", _publish, "write it up: article, page with sliders, frames, spreadsheet, script, build book"),
        ("open", _open, "open the notebooks on a project folder, on this machine only"),
    ):
        verb = verbs.add_parser(name, help=words, description=f"{words[0].upper()}{words[1:]}.")
        verb.add_argument("folder", help="project folder, with build.toml and lines.csv in it")
        verb.set_defaults(run=run, verb=name)
        if name == "import":
            verb.add_argument("file", help="the export, .csv or .xlsx")
            verb.add_argument("--source", required=True, metavar="NAME", help="its kind: a name under [[sources]] in build.toml, or a new one")
            verb.add_argument("--confirm", action="store_true", help="keep the mapping shown for a new source in build.toml")
            verb.add_argument("--take", type=_rows, default=(), metavar="ROWS", help="rows asked about that are to be taken too, as 12,15")
            verb.add_argument("--save", action="store_true", help="write the rows into the folder; else they are only shown")
        if name in ("check", "import", "cost", "worth", "keep", "finish", "decide", "trim", "publish"):
            verb.add_argument("--json", action="store_true", help="give a versioned object instead of text")
        if name == "cost":
            verb.add_argument("--sheet", metavar="FILE.xlsx", help="write lines and totals into a new spreadsheet too")
        if name == "keep":
            verb.add_argument("--years", type=_years, help="years kept, as 3,6,9")
            verb.add_argument("--from-today", action="store_true", help="leave out the money already spent")
        if name in ("keep", "finish", "decide"):
            verb.add_argument("--discount-rate", type=_rate, help="a fraction a year, 0.03 for 3 %%; else the one in build.toml")
        if name == "trim":
            verb.add_argument("--budget", type=_limit, metavar="MONEY", help="money for the jobs; else that of [trim] in build.toml")
            verb.add_argument("--hours", type=_limit, help="own hours for them; else those of [trim]")
            verb.add_argument("--again", action="store_true", help="what somebody would choose who does the whole again")
            verb.add_argument("--selling", action="store_true", help="the car is sold: only what a job adds to the sale counts")
        if name == "publish":
            verb.add_argument("--out", metavar="DIR", help="folder for the files, outside the project folder; what you put there yourself stays")
            verb.add_argument("--figures", action="store_true", help="only list the figures by the names that story.md may use")
            verb.add_argument("--prices", action="store_true", help="show what was paid in the buyer's build book too")
            verb.add_argument("--pages", action="store_true", help="the notebooks as still pages too; where they are in DIR already, they are made again")
        if name == "open":
            verb.add_argument("page", nargs="?", choices=PAGES, default=PAGES[0], help="the question to open; the first by default")
            verb.add_argument("--port", type=int, default=0, help="port on 127.0.0.1; a free one by default")
            verb.add_argument("--no-browser", action="store_true", help="only say where the page is")
    return parser


def _new(typed):
    from buildecon.project.start import start_project

    return start_project(typed.folder)


def _check(typed):
    from buildecon.decision.compare import WHOLE_STORY
    from buildecon.decision.honesty import all_traps
    from buildecon.story.cost_words import trap_rows
    from buildecon.story.plain import check_text
    from buildecon.story.telling.looked_over import looked_over, looked_over_document, looked_over_sections

    whole, _ = _compared(typed, WHOLE_STORY)
    project, market = whole.project, _market(whole.project)
    found, doubts = all_traps(whole, market), _doubts(market)
    counts = {"lines": len(project.lines), "events": len(project.events)}
    told = {"format": "buildecon.check/1", "folder": project.folder} | counts | {"faults": [], "honesty": trap_rows(found), "market": [vars(flag) for flag in doubts]}
    over = looked_over(project)
    return _json(told | looked_over_document(over)) if typed.json else check_text(project, found, doubts, looked_over_sections(over))


def _market(project):
    """The reading of the market; without evidence the model is not loaded."""
    if not project.market:
        return None
    from buildecon.market.worth import worth

    return worth(project)


def _doubts(market):
    """What may make the reading of the market wrong."""
    if market is None:
        return []
    from buildecon.market.flags import flags

    return [flag for flag in flags(market) if flag.grave]


def _import(typed):
    from buildecon.ledger.settlement import settle
    from buildecon.project.exports import COST, suggested, table_of
    from buildecon.project.intake import judged, taken
    from buildecon.project.write import write_project
    from buildecon.story.intake_words import intake_document, intake_text, mapping_text

    project = _project(typed)
    source = next((source for source in project.file.sources if source.name == typed.source), None)
    if source is None:
        source = suggested(typed.file, typed.source)
        if not typed.confirm:
            return _json({"format": "buildecon.mapping/1", "mapping": mapping_text(source)}) if typed.json else mapping_text(source, typed.file, table_of(typed.file, source)[0])
        file = project.file.model_copy(update={"sources": (*project.file.sources, source)})
        file.model_fields_set.add("sources")
        project = project.model_copy(update={"file": file})
    costs = {one.line.id: one.cost for one in settle(project)} if source.columns["paid"] == COST else None
    found = judged(project, source, *table_of(typed.file, source), costs)
    after = taken(project, found, typed.take)
    write_project(after if typed.save else project)  # without --save only a mapping just confirmed is new
    return _json(intake_document(found, typed.take, typed.save)) if typed.json else intake_text(found, typed.take, typed.save)


def _cost(typed):
    from buildecon.ledger.ladder import ladder
    from buildecon.story.documents import cost_document
    from buildecon.story.plain import cost_text

    project = _project(typed)
    totals = ladder(project)
    if typed.sheet:
        _write_sheet(typed.sheet, project, totals)
    if typed.json:
        return _json(cost_document(project, totals) | ({"sheet": typed.sheet} if typed.sheet else {}))
    return cost_text(project, totals) + (f"\n\nThe sheet is in {typed.sheet}." if typed.sheet else "")


def _write_sheet(file, project, totals):
    from buildecon.project.write import write_new
    from buildecon.story.spreadsheet import cost_sheet

    if Path(file).suffix.lower() != ".xlsx":
        _refuse(f"--sheet must be a file that ends in .xlsx, got {file!r}.")
    write_new(file, cost_sheet(project, totals))


def _worth(typed):
    from buildecon.decision.upside_down import standing
    from buildecon.ledger.ladder import ladder
    from buildecon.market.worth import worth

    project = _project(typed)
    stand = standing(worth(project), ladder(project))
    if typed.json:
        from buildecon.story.worth_document import worth_document

        return _json(worth_document(stand))
    from buildecon.story.worth_plain import worth_text

    return worth_text(stand)


def _keep(typed):
    from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY
    from buildecon.decision.how_long import how_long
    from buildecon.ownership.measured import read_logs
    from buildecon.story.documents import keep_document
    from buildecon.story.how_long_given import how_long_document, how_long_text
    from buildecon.story.plain import keep_text

    comparison = _compared(typed, FROM_TODAY if typed.from_today else WHOLE_STORY)[0]
    use = comparison.project.file.use
    years = typed.years or sorted({*(year for year in (3, 6, 9) if year <= use.horizon_years), use.years_kept})
    if max(years) > use.horizon_years:
        _refuse(f"--years must be at most horizon_years, {use.horizon_years}, got {max(years)}. Raise use.horizon_years in build.toml.")
    found, logs = how_long(comparison), read_logs(comparison.project)
    if typed.json:
        return _json(keep_document(comparison, years) | how_long_document(found, logs))
    return keep_text(comparison, years, how_long_text(found, logs))


def _finish(typed):
    from buildecon.decision.ahead import Turned, sampled
    from buildecon.decision.half_way import half_way
    from buildecon.decision.verdict import not_known
    from buildecon.ledger.ladder import ladder
    from buildecon.story.half_way_given import finish_document, finish_text

    project = _project(typed)
    totals = ladder(project)
    found = half_way(project, totals, Turned(discount_percent=None if typed.discount_rate is None else 100 * typed.discount_rate), sampled(not_known(project, totals)))
    if typed.json:
        return _json(finish_document(found, totals))
    return f"{finish_text(found, totals)}\n\nTo move the numbers yourself: {_command()} open {shlex.quote(typed.folder)} finish_or_sell"


def _decide(typed):
    from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY
    from buildecon.decision.verdict import not_known, verdict
    from buildecon.story.documents import decide_document
    from buildecon.story.plain import decide_text

    whole, today, totals = _compared(typed, WHOLE_STORY, FROM_TODAY)
    found = verdict(whole, today, not_known(whole.project, totals))
    if typed.json:
        from buildecon.story.doubt_document import verdict_document

        return _json(decide_document(whole, today, totals) | {"in_doubt": verdict_document(found)})
    return f"{decide_text(whole, today, totals, found)}\n\nTo move the numbers yourself: {_command()} open {shlex.quote(typed.folder)}"


def _trim(typed):
    from buildecon.decision.trim import trimmed, worth_by_money
    from buildecon.decision.work_list import AGAIN, menu, usual_view
    from buildecon.ledger.settlement import settle
    from buildecon.story.trim_given import trim_document, trim_text

    project = _project(typed)
    settled, plan = settle(project), project.file.trim
    jobs = menu(project, settled, AGAIN if typed.again else usual_view(project, settled), not typed.selling)
    budget, hours = (float("inf") if limit is None else float(limit) for limit in (plan.budget if typed.budget is None else typed.budget, plan.hours if typed.hours is None else typed.hours))
    found, curve = trimmed(jobs, budget, hours), worth_by_money(jobs, hours)
    return _json(trim_document(found, curve)) if typed.json else trim_text(found, curve)


def _publish(typed):
    from buildecon.story.telling.out_folder import has_pages
    from buildecon.story.telling.published_words import figures_text, publish_document, publish_text
    from buildecon.story.telling.publishing import WriteUp, publish

    written = WriteUp(_project(typed))
    if typed.figures:
        return _json({"format": "buildecon.figures/1", "figures": [vars(one) for one in written.figures.values()]}) if typed.json else figures_text(written)
    if typed.out is None:
        _refuse("--out must be a folder to write to. Give one, as --out ../write-up, or --figures to see the names of the figures.")
    files = publish(written, typed.out, typed.prices, _pages(written.owner) if typed.pages or has_pages(typed.out) else ())
    return _json(publish_document(written, typed.out, files)) if typed.json else publish_text(written, typed.out, files)


def _pages(project):
    from buildecon.still import still_pages

    return ((f"pages/{name}.html", page.encode()) for name, page in still_pages(project))


def _open(typed):
    from buildecon.serve import serve

    return serve(typed.folder, typed.page, typed.port, not typed.no_browser)


def _command():
    """How this command was called, so that the next one can be."""
    called = Path(sys.argv[0])
    if called.name == "__main__.py":
        return "python -m buildecon"
    return shlex.quote(str(called)) if called.stem == "buildecon" and shutil.which("buildecon") != shutil.which(called) else "buildecon"


def _project(typed):
    from buildecon.project.read import read_project

    return read_project(typed.folder)


def _compared(typed, *views):
    """The comparison in each view, then the ladder."""
    from buildecon.decision.compare import as_written, compare
    from buildecon.ledger.ladder import ladder

    project = _project(typed)
    totals = ladder(project)
    what_if = as_written(project, totals)
    if getattr(typed, "discount_rate", None) is not None:
        what_if = what_if.model_copy(update={"discount_percent": 100 * typed.discount_rate})
    return *(compare(project, totals, what_if, view) for view in views), totals


def _json(document):
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False)


def _years(text):
    try:
        years = [int(part) for part in text.split(",")]
    except ValueError:
        years = []
    if not years or min(years) < 1:
        raise argparse.ArgumentTypeError(f"must be whole years of at least 1 with commas between, as 3,6,9, got {text!r}")
    return years


def _rows(text):
    try:
        return tuple(int(part) for part in text.split(","))
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be row numbers with commas between, as 12,15, got {text!r}") from None


def _rate(text):
    try:
        rate = float(text)
    except ValueError:
        rate = -1
    if not -0.9 <= rate <= 1:
        raise argparse.ArgumentTypeError(f"must be a fraction a year between -0.9 and 1, got {text!r}. Write 3 % as 0.03")
    return rate


def _limit(text):
    try:
        limit = float(text.replace(",", ""))
    except ValueError:
        limit = -1.0
    if not 0 <= limit <= 1e12:
        raise argparse.ArgumentTypeError(f"must be a number of at least 0, got {text!r}")
    return limit


def _refuse(message):
    from buildecon.project.faults import Fault, ProjectFaults

    raise ProjectFaults([Fault("buildecon", 0, "", message)])
