"""A spreadsheet of what a build has cost: its lines, its totals as formulas over them, and what is in it; no supplier, order, document or note."""

import io
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from math import ceil

from buildecon.ledger.ladder import PROJECT_RUNGS, list_price, rung_of, today_prices
from buildecon.ledger.repricing import street_price
from buildecon.ledger.settlement import Settled, to_come
from buildecon.ledger.variance import cause_of, waterfall
from buildecon.project.fields import ZERO
from buildecon.story.telling.disclosure import disclosure_sentences
from buildecon.story.words import cautions

TEXT, LONG, MARK, MONEY, DAY = "text", "long text", "mark", "#,##0.00", "yyyy-mm-dd"  # what a cell holds; of figures and days also how they are shown
SIDES, SHADE = {TEXT: "left", LONG: "left", MARK: "center", MONEY: "right", DAY: "center"}, "E8E8E8"
FIRST_DAY = date(1900, 3, 1)  # before it spreadsheets count days in different ways; such a date is written as text
NO_DIFFERENCE = "no difference"


@dataclass(frozen=True)
class _Entry:
    """A line with all that its row says. [money]"""

    settled: Settled
    rung: str
    to_come: Decimal
    today: Decimal

    @property
    def why(self):
        if self.settled.line.nature == "credit":
            return ""
        return cause_of(self.settled) if self.settled.cost != self.settled.planned else NO_DIFFERENCE


PLAN = "plan with what is laid on it"
# Sheet `lines`, left to right: header, form, width, and the cell. `import` reads back those that are named as in lines.csv, and `cost` as paid.
COLUMNS = (
    ("id", TEXT, 9, lambda entry: entry.settled.line.id),
    ("system", TEXT, 24, lambda entry: entry.settled.line.system),
    ("item", TEXT, 42, lambda entry: entry.settled.line.item),
    ("nature", TEXT, 16, lambda entry: entry.settled.line.nature),
    ("cause", TEXT, 20, lambda entry: entry.settled.line.cause),
    ("planned", MONEY, 12, lambda entry: _planned(entry.settled)),
    (PLAN, MONEY, 26, lambda entry: entry.settled.planned or None),
    ("cost", MONEY, 12, lambda entry: entry.settled.cost),
    ("low", MONEY, 12, lambda entry: entry.settled.low),
    ("high", MONEY, 12, lambda entry: entry.settled.high),
    ("to come", MONEY, 12, lambda entry: entry.to_come or None),
    ("date", DAY, 12, lambda entry: entry.settled.line.date),
    ("grade", TEXT, 11, lambda entry: entry.settled.line.grade),
    ("funding", TEXT, 12, lambda entry: entry.settled.line.funding),
    ("part number", TEXT, 18, lambda entry: entry.settled.line.part_number),
    ("street price", MONEY, 13, lambda entry: _likely(entry.settled.line.street_price)),
    ("list price", MONEY, 12, lambda entry: _likely(entry.settled.line.list_price)),
    ("price date", DAY, 12, lambda entry: entry.settled.line.price_date),
    ("rung", TEXT, 24, lambda entry: entry.rung),
    ("why it differs", TEXT, 20, lambda entry: entry.why),
    ("reader pays", MONEY, 13, lambda entry: street_price(entry.settled)),
    ("reader pays at list", MONEY, 18, lambda entry: list_price(entry.settled)),
    ("again today", MONEY, 13, lambda entry: entry.today),
)
HEADERS, SUMMED = tuple(column[0] for column in COLUMNS), (PLAN, "cost", "to come")
READERS = {"at_street_price": "reader pays", "at_list_price": "reader pays at list", "replacement_today": "again today"}
ABOUT = {
    "in it": "Every line of the ledger with its plan, its cost once refunds and deposits are settled, what is still to come, and the prices a reader "
    "would see. A range counts at its likely figure; a bill not yet paid is still to come.",
    "not in it": "Suppliers, orders, documents and notes; the cost of keeping the car; what it is worth. Deposits still owed back are no cost.",
    "whose figures": "Lines are the owner's own figures.",
    "formulas": "Every total is a formula over the sheet lines, as far as its last row. The rung, why a line differs and what a reader pays "
    "were worked out when this file was written.",
    "the way back": "Add rows below the last one, or change what the owner wrote, then: buildecon import FOLDER FILE --source sheet --confirm. "
    "New rows are taken, changed ones asked about, to be taken with --take. What the program worked out is not read back: low, high, to come and all from the rung on.",
}


def cost_sheet(project, totals):
    """A workbook of what the build has cost: every line, every total by formula, and what is and is not in it.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    bytes
        An .xlsx file of the sheets `lines`, `totals` and `about`; the same files give the same bytes. [-]

    Notes
    -----
    Each formula stands with what it gives, so that a viewer that works nothing out shows the totals too.
    """
    from xlsxwriter import Workbook

    entries, saved = _entries(project, totals), io.BytesIO()
    with Workbook(saved, {"in_memory": True}) as book:
        made = datetime.combine(project.file.build.as_of, time())
        book.set_properties({"title": _clean(project.file.build.name), "author": "buildecon", "created": made})
        lines, sums, about = (_Sheet(book, name) for name in ("lines", "totals", "about"))
        _write_lines(lines, entries)
        _write_totals(sums, project, totals, entries)
        _write_about(about, project, totals)
    return saved.getvalue()


class _Sheet:
    """One sheet of a workbook, written row after row."""

    def __init__(self, book, name):
        self.book, self.page, self.looks, self.row = book, book.add_worksheet(name), {}, 0
        self.page.set_landscape()
        self.page.fit_to_pages(1, 0)

    def write(self, values, forms, heading=False, bold=False):
        """The next row; a heading stands on the side of what is below it, an empty cell stays empty; a formula is a pair with what it gives."""
        for column, (value, form) in enumerate(zip(values, forms, strict=True)):
            if value is None or value == "":
                continue
            if form == DAY and not heading and value < FIRST_DAY:
                value, form = f"{value.year:04}-{value.month:02}-{value.day:02}", TEXT
            text = heading or form not in (MONEY, DAY)
            value = _clean(value) if text else value
            look = self._look(form, heading, heading or bold, text and value[0] in "=+-@")
            if text:
                self.page.write_string(self.row, column, value, look)
            elif isinstance(value, tuple):
                self.page.write_formula(self.row, column, value[0], look, float(value[1]))
            elif form == DAY:
                self.page.write_datetime(self.row, column, value, look)
            else:
                self.page.write_number(self.row, column, float(value), look)
        self.row += 1

    def _look(self, form, heading, bold, quoted):
        """What a cell looks like, made once; what the owner wrote is text whatever it begins with, never a formula."""
        asked = (form, heading, bold, quoted)
        if asked not in self.looks:
            look = {"bold": bold, "quote_prefix": quoted}
            if heading or form != MONEY:
                look |= {"align": SIDES[form], "valign": "top", "text_wrap": form == LONG}
            look |= {"bg_color": SHADE} if heading else {"num_format": form} if form in (MONEY, DAY) else {}
            self.looks[asked] = self.book.add_format(look)
        return self.looks[asked]


def _entries(project, totals):
    """Every line with its rung and prices, in the order of lines.csv."""
    labels, stage = {rung.id: rung.label for rung in totals.rungs}, project.file.build.stage
    return [
        _Entry(one, labels[rung_of(one.line)], (_likely(to_come(one, stage)) or Decimal(0)) + one.unpaid, today.amount)
        for one, today in zip(totals.settled, today_prices(project, totals.settled), strict=True)
    ]


def _likely(estimate):
    return estimate.likely if estimate else None


def _write_lines(sheet, entries):
    forms = [form for _, form, *_ in COLUMNS]
    sheet.write(HEADERS, forms, heading=True)
    for entry in entries:
        sheet.write([cell(entry) for *_, cell in COLUMNS], forms)
    for k, column in enumerate(COLUMNS):
        sheet.page.set_column(k, k, column[2])
    sheet.page.freeze_panes(1, 0)
    sheet.page.repeat_rows(0)
    sheet.page.autofilter(0, 0, len(entries), len(COLUMNS) - 1)


def _write_totals(sheet, project, totals, entries):
    """The ladder, own hours, systems, natures and causes, one below the other."""
    for k, width in enumerate((46, 15, 15, 15, 15, 80)):
        sheet.page.set_column(k, k, width)
    over = _ranges(len(entries))
    _write_ladder(sheet, project, totals, over)
    # SUMIFS takes engine for Engine and a star for anything, so the owner's own names are compared letter by letter.
    _write_groups(sheet, "system", totals.systems, [f"=SUMPRODUCT(--EXACT({over['system']},$A{{0}}),{over[name]})" for name in SUMMED])
    _write_groups(sheet, "nature", totals.natures, [f"=SUMIFS({over[name]},{over['nature']},$A{{0}})" for name in SUMMED])
    _write_causes(sheet, totals, entries, over)


def _ranges(count):
    """Where each column of sheet `lines` stands, as formulas name it."""
    from xlsxwriter.utility import xl_col_to_name

    return {header: f"lines!${xl_col_to_name(k)}$2:${xl_col_to_name(k)}${count + 1}" for k, header in enumerate(HEADERS)}


def _write_ladder(sheet, project, totals, over):
    """Each rung is the one before and its own lines; own hours come from the cells below it, the last three from the prices a reader sees."""
    forms = [TEXT, MONEY, MONEY, MONEY, MARK, TEXT]
    sheet.write(["rung", project.currency, "low", "high", "", "what it takes in"], forms, heading=True)
    at = {rung.id: row for row, rung in enumerate(totals.rungs, start=2)}
    hours = max(at.values()) + 2
    counted = hours + 2 + ("hobby", "wage", "shop").index(project.file.own_hours.convention)
    for rung in totals.rungs:
        formulas = [_rung_formula(rung.id, at, letter, over, end, (hours + 1, counted)) for letter, end in zip("BCD", ("cost", "low", "high"), strict=True)]
        mark = "quoted" if rung.id == project.file.build.quoted_rung else ""
        sheet.write([rung.label, *zip(formulas, (rung.amount, rung.low, rung.high), strict=True), mark, rung.includes], forms, bold=bool(mark))
    sheet.row += 1
    _write_hours(sheet, project, counted)


def _write_hours(sheet, project, counted):
    forms = [TEXT, MONEY, MONEY, MONEY, MARK]
    ways = ("hours", project.hours_spent), ("rate as a hobby", ZERO), ("rate at a wage", project.file.own_hours.wage), ("rate of a shop", project.file.own_hours.shop_rate)
    sheet.write(["own hours", "likely", "low", "high", ""], forms, heading=True)
    for label, part in ways:
        sheet.write([label, part.likely, part.low, part.high, "counted above" if sheet.row + 1 == counted else ""], forms)


def _rung_formula(id, at, letter, over, end, hours):
    stands = f"{letter}{at['stands_in_at']}"
    if id == "with_own_hours":
        return f"={stands}+{letter}{hours[0]}*{letter}{hours[1]}"
    if id in READERS:
        return f"={stands}+SUM({over[READERS[id]]})-SUM({over['cost']})"
    before = "" if id == PROJECT_RUNGS[0] else f"{letter}{at[id] - 1}+"
    return f"={before}SUMIFS({over[end]},{over['rung']},$A{at[id]})"


def _write_groups(sheet, name, groups, sums):
    """Systems or natures against their plan, then all of them together."""
    sheet.row += 1
    first, forms = sheet.row + 2, [TEXT, MONEY, MONEY, MONEY, MONEY]
    sheet.write([name, "planned", "actual", "to come", "difference"], forms, heading=True)
    each = [(group.planned, group.actual, group.to_come, group.actual + group.to_come - group.planned) for group in groups]
    for row, (group, given) in enumerate(zip(groups, each, strict=True), start=first):
        formulas = *(one.format(row) for one in sums), f"=ROUND(C{row}+D{row}-B{row},6)"
        sheet.write([group.name, *zip(formulas, given, strict=True)], forms)
    over = (f"=ROUND(SUM({letter}{first}:{letter}{sheet.row}),6)" for letter in "BCDE")
    sheet.write(["all", *zip(over, (sum(column) for column in zip(*each, strict=True)), strict=True)], forms, bold=True)


def _write_causes(sheet, totals, entries, over):
    """From plan to actual in steps that add up to it, money back left out."""
    sheet.row += 1
    fall, forms = waterfall(totals.settled), [TEXT, MONEY]
    sheet.write(["from plan to actual, by cause", "amount"], forms, heading=True)
    first = sheet.row + 1
    sheet.write(["planned", (f'=SUMIFS({over[PLAN]},{over["nature"]},"<>credit")', fall.planned)], forms)
    causes = {step.cause: step.amount for step in fall.steps}
    for cause in dict.fromkeys([*causes, *filter(None, (entry.why for entry in entries))]):
        cost, planned = (f"SUMIFS({over[name]},{over['why it differs']},$A{sheet.row + 1})" for name in ("cost", PLAN))
        sheet.write([cause, (f"=ROUND({cost}-{planned},6)", causes.get(cause, 0))], forms)
    sheet.write(["actual", (f"=SUM(B{first}:B{sheet.row})", fall.actual)], forms, bold=True)


def _write_about(sheet, project, totals):
    """What a reader must know to read the figures."""
    sheet.page.set_column(0, 0, 34)
    sheet.page.set_column(1, 1, 110)
    for name, text in _about(project, totals):
        sheet.page.set_row(sheet.row, min(16 * max(ceil(len(name) / 30), ceil(len(text) / 105)), 400))
        sheet.write([name, text], [LONG, LONG])


def _about(project, totals):
    build, label = project.file.build, next(rung.label for rung in totals.rungs if rung.id == project.file.build.quoted_rung)
    said = {"build": build.name, "currency": project.currency, "as of": f"{build.as_of:%d %B %Y}", "total quoted": f"{label}. {build.quoted_because}"}
    given = [("disclosed", sentence) for sentence in disclosure_sentences(project, totals)]
    return [*said.items(), *ABOUT.items(), *given, *(("caution", text) for text in cautions(project))]


def _clean(text):
    """Text without the control characters that no workbook can hold."""
    return "".join(letter if letter >= " " or letter in "\t\n" else "\ufffd" for letter in text.replace("\r\n", "\n").replace("\r", "\n"))


def _planned(settled):
    """The plan as the owner wrote it, below 0 for money to come back."""
    return settled.planned - settled.laid_plan if settled.line.planned else None
