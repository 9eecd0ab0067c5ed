"""A spreadsheet of what a build has cost: its lines, its totals as formulas over them, and what is in it; no supplier, order, document or note."""

import io
from dataclasses import dataclass
from datetime import date
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
        An .xlsx file of the sheets `lines`, `totals` and `about`. [-]
    """
    from openpyxl import Workbook

    book, entries, saved = Workbook(), _entries(project, totals), io.BytesIO()
    book.active.title, book.properties.creator, book.properties.title = "lines", "buildecon", _clean(project.file.build.name)
    _write_lines(book.active, entries)
    _write_totals(book.create_sheet("totals"), project, totals, entries)
    _write_about(book.create_sheet("about"), project, totals)
    for sheet in book:
        sheet.page_setup.orientation, sheet.page_setup.fitToHeight, sheet.sheet_properties.pageSetUpPr.fitToPage = "landscape", 0, True
    book.calculation.fullCalcOnLoad = True
    book.save(saved)
    return saved.getvalue()


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
    from openpyxl.utils import get_column_letter

    forms = [form for _, form, *_ in COLUMNS]
    _write_row(sheet, 1, HEADERS, forms, heading=True)
    for row, entry in enumerate(entries, start=2):
        _write_row(sheet, row, [cell(entry) for *_, cell in COLUMNS], forms)
    for k, column in enumerate(COLUMNS, start=1):
        sheet.column_dimensions[get_column_letter(k)].width = column[2]
    sheet.freeze_panes, sheet.print_title_rows = "A2", "1:1"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(COLUMNS))}{len(entries) + 1}"


def _write_totals(sheet, project, totals, entries):
    """The ladder, own hours, systems, natures and causes, one below the other."""
    for letter, width in zip("ABCDEF", (46, 15, 15, 15, 15, 80), strict=True):
        sheet.column_dimensions[letter].width = width
    over = _ranges(len(entries))
    _write_ladder(sheet, project, totals, over)
    # SUMIFS takes engine for Engine and a star for anything, so the owner's own names are compared letter by letter.
    _write_groups(sheet, "system", totals.systems, [f"=SUMPRODUCT(--EXACT({over['system']},$A{{0}}),{over[name]})" for name in SUMMED])
    _write_groups(sheet, "nature", totals.natures, [f"=SUMIFS({over[name]},{over['nature']},$A{{0}})" for name in SUMMED])
    _write_causes(sheet, totals, entries, over)


def _ranges(count):
    """Where each column of sheet `lines` stands, as formulas name it."""
    from openpyxl.utils import get_column_letter

    return {header: f"lines!${get_column_letter(k)}$2:${get_column_letter(k)}${count + 1}" for k, header in enumerate(HEADERS, start=1)}


def _write_ladder(sheet, project, totals, over):
    """Each rung is the one before and its own lines; own hours come from the cells below it, the last three from the prices a reader sees."""
    forms = [TEXT, MONEY, MONEY, MONEY, MARK, TEXT]
    _write_row(sheet, 1, ["rung", project.currency, "low", "high", "", "what it takes in"], forms, heading=True)
    at = {rung.id: row for row, rung in enumerate(totals.rungs, start=2)}
    hours = max(at.values()) + 2
    counted = hours + 2 + ("hobby", "wage", "shop").index(project.file.own_hours.convention)
    for rung in totals.rungs:
        formulas = [_rung_formula(rung.id, at, letter, over, end, (hours + 1, counted)) for letter, end in zip("BCD", ("cost", "low", "high"), strict=True)]
        mark = "quoted" if rung.id == project.file.build.quoted_rung else ""
        _write_row(sheet, at[rung.id], [rung.label, *formulas, mark, rung.includes], forms, bold=bool(mark))
    _write_hours(sheet, hours, project, counted)


def _write_hours(sheet, first, project, counted):
    forms = [TEXT, MONEY, MONEY, MONEY, MARK]
    ways = ("hours", project.hours_spent), ("rate as a hobby", ZERO), ("rate at a wage", project.file.own_hours.wage), ("rate of a shop", project.file.own_hours.shop_rate)
    _write_row(sheet, first, ["own hours", "likely", "low", "high", ""], forms, heading=True)
    for row, (label, part) in enumerate(ways, start=first + 1):
        _write_row(sheet, row, [label, part.likely, part.low, part.high, "counted above" if row == counted else ""], forms)


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
    first, forms = sheet.max_row + 2, [TEXT, MONEY, MONEY, MONEY, MONEY]
    _write_row(sheet, first, [name, "planned", "actual", "to come", "difference"], forms, heading=True)
    for row, group in enumerate(groups, start=first + 1):
        _write_row(sheet, row, [group.name, *(one.format(row) for one in sums), f"=ROUND(C{row}+D{row}-B{row},6)"], forms)
    _write_row(sheet, row + 1, ["all", *(f"=ROUND(SUM({letter}{first + 1}:{letter}{row}),6)" for letter in "BCDE")], forms, bold=True)


def _write_causes(sheet, totals, entries, over):
    """From plan to actual in steps that add up to it, money back left out."""
    first, forms = sheet.max_row + 2, [TEXT, MONEY]
    _write_row(sheet, first, ["from plan to actual, by cause", "amount"], forms, heading=True)
    _write_row(sheet, first + 1, ["planned", f'=SUMIFS({over[PLAN]},{over["nature"]},"<>credit")'], forms)
    causes = dict.fromkeys([*(step.cause for step in waterfall(totals.settled).steps), *filter(None, (entry.why for entry in entries))])
    for row, cause in enumerate(causes, start=first + 2):
        cost, planned = (f"SUMIFS({over[name]},{over['why it differs']},$A{row})" for name in ("cost", PLAN))
        _write_row(sheet, row, [cause, f"=ROUND({cost}-{planned},6)"], forms)
    last = first + 1 + len(causes)
    _write_row(sheet, last + 1, ["actual", f"=SUM(B{first + 1}:B{last})"], forms, bold=True)


def _write_about(sheet, project, totals):
    """What a reader must know to read the figures."""
    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 34, 110
    for row, (name, text) in enumerate(_about(project, totals), start=1):
        _write_row(sheet, row, [name, text], [LONG, LONG])
        sheet.row_dimensions[row].height = min(16 * max(ceil(len(name) / 30), ceil(len(text) / 105)), 400)


def _about(project, totals):
    build, label = project.file.build, next(rung.label for rung in totals.rungs if rung.id == project.file.build.quoted_rung)
    said = {"build": build.name, "currency": project.currency, "as of": f"{build.as_of:%d %B %Y}", "total quoted": f"{label}. {build.quoted_because}"}
    given = [("disclosed", sentence) for sentence in disclosure_sentences(project, totals)]
    return [*said.items(), *ABOUT.items(), *given, *(("caution", text) for text in cautions(project))]


def _write_row(sheet, row, values, forms, heading=False, bold=False):
    """One row; a heading stands on the side of what is below it, an empty cell stays empty."""
    from openpyxl.styles import Alignment, Font, PatternFill

    for k, (value, form) in enumerate(zip(values, forms, strict=True), start=1):
        if value is None or value == "":
            continue
        cell = sheet.cell(row, k)
        _fill(cell, value, TEXT if heading else form)
        if form != MONEY or heading:
            cell.alignment = Alignment(horizontal=SIDES[form], vertical="top", wrap_text=form == LONG)
        if heading or bold:
            cell.font = Font(name="Calibri", size=11, bold=True)
        if heading:
            cell.fill = PatternFill("solid", start_color=SHADE)


def _fill(cell, value, form):
    """A cell; what the owner wrote is text whatever it begins with, never a formula."""
    if form == DAY and value < FIRST_DAY:
        value, form = f"{value.year:04}-{value.month:02}-{value.day:02}", TEXT
    if form in (MONEY, DAY):
        cell.value, cell.number_format = value, form
    else:
        cell.value = _clean(value)
        cell.data_type, cell.quotePrefix = "s", cell.value[0] in "=+-@"


def _clean(text):
    """Text without the control characters that no workbook can hold."""
    return "".join(letter if letter >= " " or letter in "\t\n" else "\ufffd" for letter in text.replace("\r\n", "\n").replace("\r", "\n"))


def _planned(settled):
    """The plan as the owner wrote it, below 0 for money to come back."""
    return settled.planned - settled.laid_plan if settled.line.planned else None
