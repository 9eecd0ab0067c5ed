"""Taking in an export: each row is accepted, already there, asked about or rejected, with the reason; none is dropped."""

import re
from collections import Counter, defaultdict
from dataclasses import dataclass

from pydantic import ValidationError

from buildecon.project.consistency import consistency_faults
from buildecon.project.faults import Fault, ProjectFaults, Wrong
from buildecon.project.moneys import UP, alike, moneys, signed
from buildecon.project.read import cell_reader
from buildecon.project.rows import Event, Line
from buildecon.quantities.estimate import Estimate, sure
from buildecon.quantities.money import converted

ACCEPTED, THERE, ASKED, REJECTED = "accepted", "already there", "asked about", "rejected"
SUM = re.compile(r"(grand |sub)?(total|sum|summe|gesamt|totaal|saldo|balance)\b(?P<more>.*)", re.IGNORECASE)



@dataclass(frozen=True)
class Judged:
    """One row of an export and what becomes of it.

    Parameters
    ----------
    row : int
        Row of the file, counted from 1. [-]
    cells : dict of str to str
        What stands in it, by our name of the column. [-]
    verdict : {"accepted", "already there", "asked about", "rejected"}
        What becomes of it. [-]
    reason : str
        Why; may be empty for an accepted row. [-]
    line : Line or None
        What it adds to lines.csv, if taken. [-]
    event : Event or None
        What it adds to events.csv, if taken. [-]
    """

    row: int
    cells: dict
    verdict: str
    reason: str = ""
    line: Line | None = None
    event: Event | None = None


def judged(project, source, header, rows, costs=None):
    """Every row of an export, judged against the ledger.

    Parameters
    ----------
    project : Project
        The ledger as it stands. [-]
    source : Source
        What the columns mean. [-]
    header : sequence of str
        Names of the columns in the file. [-]
    rows : iterable of (int, sequence of str)
        Row number and cells. [-]
    costs : dict of str to Decimal, optional
        What each line has cost in the end, by id, for a file that says that and not what was paid: a sheet of our own. [money]

    Returns
    -------
    list of Judged
        One for each row, in order. [-]

    Raises
    ------
    ProjectFaults
        If a mapped column is not in the file.

    Notes
    -----
    Rows are matched to the ledger by amount to the cent and a date at most `source.days` apart, and each sum of the ledger
    answers for one row only: two like purchases are two, and the same two in a second file are the same two.
    """
    wrong = [name for name in source.columns.values() if header.count(name) != 1]
    if wrong and len(wrong) == len(source.columns):
        message = f"must have the columns of source {source.name!r}, {', '.join(source.columns.values())}, and has {', '.join(filter(None, header)) or 'none'}."
        raise ProjectFaults([Fault(source.name, source.skip + 1, "", message + f" Is it another kind of file, or is what stands between its cells not {source.separator!r}?")])
    if wrong:
        raise ProjectFaults(Fault(source.name, source.skip + 1, name, f"must be one column of the file, and stands there {header.count(name)} times. Its columns: {', '.join(header)}.") for name in wrong)
    return list(_Judge(project, source, header, costs).every(rows))


def taken(project, found, also=()):
    """The project with the accepted rows in it.

    Parameters
    ----------
    project : Project
        The ledger as it stands. [-]
    found : list of Judged
        From `judged`. [-]
    also : collection of int, optional
        Rows that were asked about and are to be taken. [-]

    Returns
    -------
    Project
        With the new lines and events; not yet written. [-]

    Raises
    ------
    ProjectFaults
        If a row of `also` cannot be taken, or the ledger would not hold together.
    """
    by_row = {each.row: each for each in found}
    refused = [row for row in also if row not in by_row or (by_row[row].line is None and by_row[row].event is None)]
    if refused:
        raise ProjectFaults(Fault("rows", row, "", "must be a row that can be taken." + (f" {by_row[row].reason}" if row in by_row else "")) for row in refused)
    new = [each for each in found if each.verdict == ACCEPTED or each.row in also]
    told = {each.line.id: each.line for each in new if each.line}
    lines = [*(told.pop(line.id, line) for line in project.lines), *told.values()]
    events = [*project.events, *(each.event for each in new if each.event)]
    with_events = {event.line for event in events}
    for k, line in enumerate(lines):
        if line.paid is not None and line.id in with_events:  # the money of a line stands in one file only
            events.append(Event(line=line.id, date=line.date, kind="payment", amount=line.paid))
            lines[k] = Line(**{name: getattr(line, name) for name in line.model_fields_set - {"paid"}})
    # Its own stamps: saving it shall not let an older copy of the project be saved over it.
    after = project.model_copy(update={"lines": tuple(lines), "events": tuple(events), "stamps": dict(project.stamps)})
    if faults := consistency_faults(after, lambda *keys: 0):
        raise ProjectFaults(faults)
    return after


class _Judge:
    def __init__(self, project, source, header, costs=None):
        self.project, self.source, self.home = project, source, project.currency
        self.place = {meaning: header.index(name) for meaning, name in source.columns.items()}
        self.header = list(header)
        fields = Line.model_fields | {name: Event.model_fields[name] for name in ("currency", "rate", "document", "line", "kind", "due")}
        self.readers = {name: cell_reader(name, fields[name].annotation, source) for name in source.columns if name != "paid"}
        self.read_amount = cell_reader("paid", Line.model_fields["paid"].annotation, source)
        self.ids = {line.id for line in project.lines} | {line.kit for line in project.lines}
        self.lines = {line.id: line for line in project.lines}
        self.by_order = defaultdict(list)
        for line in project.lines:
            self.by_order[line.order].append(line)
        self.money, self.money_of = defaultdict(list), defaultdict(list)
        for money in moneys(project):
            for currency, amount in money.sums:
                self.money[currency, amount.normalize()].append(money)
            self.money_of[money.line].append(money)
        payments = defaultdict(list, {line.id: [line.paid.likely] for line in project.lines if line.paid is not None})
        for event in project.events:
            payments[event.line] += [event.amount.likely] if event.kind == "payment" else []
        self.paid = defaultdict(set, {id: {*amounts, sum(amounts)} for id, amounts in payments.items()})
        self.costs = costs
        if costs is not None:
            self.paid = defaultdict(set, {id: {cost} for id, cost in costs.items()})
        self.seen, self.next, self.as_of = {}, 1, project.file.build.as_of
        self.events = Counter(map(_event_key, project.events))

    def every(self, rows):
        for row, cells in rows:
            if not any(cell.strip() for cell in cells):
                continue
            texts = {meaning: cells[k].strip() for meaning, k in self.place.items() if k < len(cells)}
            if len(cells) != len(self.header):
                yield Judged(row, texts, REJECTED, f"It has {len(cells)} cells, the header {len(self.header)}.")
            else:
                yield self._judge(row, texts, tuple(cell.strip() for cell in cells))

    def _judge(self, row, texts, cells):
        self.row = row
        if list(cells) == self.header:
            return Judged(row, texts, REJECTED, "It is the header again.")
        if self.costs is not None and texts.get("id") in self.costs and texts["id"] not in self.ids:
            return Judged(row, texts, THERE, "It is worked out from [[loans]] in build.toml.")
        known = self.costs is not None and bool(texts.get("id")) and texts["id"] in self.ids
        sums = [found for name in ("id", "line", "order", "item", "supplier", "date") if (found := SUM.fullmatch(texts.get(name, "")))]
        unmarked = not texts.get("id") and not re.match(r"\d", texts.get("date", ""))  # a balance shaft has a day, or an id of the owner's
        if not known and (any(not found["more"].strip(" .:=") for found in sums) or (sums and unmarked)):
            return Judged(row, texts, REJECTED, "It is a sum of other rows.")
        values, wrong = {}, []
        for meaning, text in texts.items():
            if text and meaning != "paid":
                try:
                    values[meaning] = self.readers[meaning](text)
                except ValueError as trouble:
                    wrong.append(f"{self.source.columns[meaning]}: {_said(trouble)}")
        if self.source.holds == "purchases" and not texts["paid"] and values.get("id") and not wrong:
            return self._unpaid(row, texts, values)
        try:
            back, amount, named = self._amount(texts["paid"])
        except ValueError as trouble:
            wrong.append(f"{self.source.columns['paid']}: {_said(trouble)}")
            asked = "one way only" in str(trouble)
            return Judged(row, texts, ASKED if asked and len(wrong) == 1 else REJECTED, " ".join(wrong))
        if wrong:
            return Judged(row, texts, REJECTED, " ".join(wrong))
        if values.get("date") and values["date"] > self.as_of and (values.get("line") or not values.get("to_finish")):
            return Judged(row, texts, REJECTED, f"It is dated after as_of, {self.as_of}. Move as_of in build.toml first.")
        if known:
            return self._known(row, texts, values, -amount.likely if back else amount.likely)
        given = values.get("funding", "own") != "own"  # nothing paid is then what there is to say
        if amount.low <= 0 and amount.high <= 0 and not texts.get("planned") and not given:
            return Judged(row, texts, REJECTED, "No money moved.")
        back = back and values.get("nature", self.source.nature) != "credit"
        currency = values.pop("currency", "") or self.source.currency or self.project.currency
        if named and currency not in named:
            return Judged(row, texts, ASKED, f"It says {texts['paid']}, and the column is read as {currency}. Map a currency column, or declare the currency.")
        foreign = currency != self.project.currency
        rate, document = values.pop("rate", self.source.rate if foreign else None), values.pop("document", "")
        if self.source.holds == "events":
            if back and values.get("kind") in UP:
                return Judged(row, texts, ASKED, f"Its sign says that money came back, its kind that it is a {values['kind']}. Change one of the two.")
            if foreign and rate is None:
                return Judged(row, texts, ASKED, f"It is in {currency}, and there is no rate. Declare rate = ... for the source, or map a column with it.")
            return self._event(row, texts, values, amount, currency if foreign else "", rate, document)
        if foreign and rate is None and (found := self._claim(currency, amount.likely, not back, values)) is None:
            return Judged(row, texts, ASKED, f"It is in {currency}, and there is no rate. Declare rate = ... for the source, or map a column with it.")
        if foreign and rate is None:
            return Judged(row, texts, THERE, f"It is {found.what}.")
        if self.source.holds == "payments" or back:
            return self._payment(row, texts, values, amount, back, currency if foreign else "", rate, document)
        return self._purchase(row, texts, values, amount, currency if foreign else "", rate, document, cells)

    def _unpaid(self, row, texts, values):
        """A line of the owner's own that has no money yet, or whose money stands in events."""
        if values["id"] in self.ids:
            line = self.lines.get(values["id"])
            said = line is not None and not _otherwise(line, values)
            return Judged(row, texts, THERE if said else ASKED, f"Line {values['id']} has it." if said else f"Line {values['id']} is there and says otherwise. Change one of the two.")
        line, trouble = self._line(values)
        if trouble:
            return Judged(row, texts, REJECTED, trouble.strip())
        self.ids.add(line.id)
        self.lines[line.id] = line
        return Judged(row, texts, ACCEPTED, "No money on it yet.", line)

    def _event(self, row, texts, values, amount, currency, rate, document):
        """Money that moved on a line, as a list of it tells."""
        if values.get("line") not in self.ids:
            return Judged(row, texts, REJECTED, f"No line or kit is called {values.get('line', '')!r}. Take in its line first.")
        try:
            event = Event(**{name: values[name] for name in ("line", "date", "kind", "due", "note") if name in values}, amount=amount, currency=currency, rate=rate, document=document)
        except ValidationError as trouble:
            return Judged(row, texts, REJECTED, " ".join(_needs(".".join(map(str, error["loc"])), error) for error in trouble.errors()))
        key = _event_key(event)
        if self.events[key]:
            self.events[key] -= 1
            return Judged(row, texts, THERE, f"It is the {event.kind} of {event.line} that is there already.")
        twin = self.seen.setdefault(key, row)
        return Judged(row, texts, ACCEPTED, "" if twin == row else f"The same as row {twin}, kept as a second one.", event=event)

    def _amount(self, text):
        """Whether money came back, how much, and the currencies that a sign in the cell can mean."""
        negative, amount, named = signed(text, self.read_amount)
        return negative == (self.source.spent == "positive") and amount.high > 0, amount, named

    def _claim(self, currency, amount, out, values):
        """The nearest sum of the ledger that is not yet some other row's."""
        day, near = values.get("date"), []
        for money in self.money[currency, amount.normalize()]:
            gap = abs((money.day - day).days) if money.day and day else 0
            same = alike(money, values)
            apart = money.order and values.get("order", money.order) != money.order
            if money.out == out and not money.claimed and not apart and gap <= self.source.days and (same or (money.day and day)):
                near.append((not same, gap, len(near), money))
        if not near:
            return None
        money = min(near)[-1]
        for one in (money, *money.rivals):
            one.claimed = self.row
        return money

    def _payment(self, row, texts, values, amount, back, currency, rate, document):
        home = converted(amount.likely, rate.likely) if currency and rate else amount.likely
        found = self._claim(self.home, home, not back, values) or (self._claim(currency, amount.likely, not back, values) if currency else None)
        if found:
            return Judged(row, texts, THERE, f"It is {found.what}.")
        if back:
            lines = self._returned(values, amount)
            event = Event(line=lines[0].id, date=values.get("date"), kind="refund", amount=amount, currency=currency, rate=rate, document=document) if len(lines) == 1 else None
            if event and self.source.holds == "purchases":
                return Judged(row, texts, ACCEPTED, f"Refund of {lines[0].id}, {lines[0].item}.", event=event)
            which = "Nothing in the ledger says of what" if not lines else f"It could be of {', '.join(line.id for line in lines[:5])}"
            return Judged(row, texts, ASKED, f"Money came back. {which}. Write it in events.csv under its line." if not event else f"Money came back, likely for {lines[0].id}. Do not take it if it takes back a charge that you have not taken.", event=event)
        line, event, trouble = self._made(values, amount, currency, rate, document)
        like = self.money[self.home, home.normalize()] if values.get("date") else ()
        near = [(abs((money.day - values["date"]).days), money) for money in like if money.out and money.day]
        far = next((f" The same amount, {days} days apart: {money.what}." for days, money in near if not money.claimed), "")
        copy = next((f" Row {money.claimed} is {money.what}: is this the same charge again?" for days, money in near if money.claimed and days <= self.source.days), "")
        left = "left " if copy and not far else ""
        return Judged(row, texts, ASKED, f"No money like it is {left}in the ledger.{far or copy} Take it if it is for the build.{trouble}", line, event)

    def _purchase(self, row, texts, values, amount, currency, rate, document, cells):
        home = converted(amount.likely, rate.likely) if currency else amount.likely
        id = values.get("id")
        if id and id in self.ids:
            return self._known(row, texts, values, amount.likely)
        line, event, trouble = self._made(values, amount, currency, rate, document)
        if trouble:
            return Judged(row, texts, REJECTED, trouble.strip())
        if not id and (found := self._claim(self.home, home, True, values)):  # an id of the owner's own says that it is another
            if found.item.casefold() == values.get("item", "").casefold() or (found.order and found.order == values.get("order")):
                return Judged(row, texts, THERE, f"It is {found.what}.", line, event)
            return Judged(row, texts, ASKED, f"It may be {found.what}: the same amount, at most {self.source.days} days apart. Take it if it is another purchase.", line, event)
        if not id and (twin := self._other_order(home, values)):
            return Judged(row, texts, ASKED, f"It may be {twin.what}, under another order number. Take it if it is another purchase.", line, event)
        if not id and any(SUM.fullmatch(texts.get(name, "")) for name in ("item", "supplier")):
            return Judged(row, texts, ASKED, "It may be a sum of other rows. Take it if it is a purchase.", line, event)
        twin = self.seen.setdefault(cells, row)
        self.ids.add(line.id)
        self.lines[line.id] = line
        self.paid[line.id] = {amount.likely}
        self.by_order[line.order].append(line)
        return Judged(row, texts, ACCEPTED, "" if twin == row else f"The same as row {twin}, kept as a second purchase.", line, event)

    def _other_order(self, home, values):
        """The same article or shop for the same money in the same days, but of another order: it answers for nothing yet."""
        day, said = values.get("date"), {values.get(name, "").casefold() for name in ("item", "supplier")} - {""}
        for money in self.money[self.home, home.normalize()]:
            near = abs((money.day - day).days) <= self.source.days if money.day and day else False
            if near and money.out and not money.claimed and {money.item.casefold(), money.supplier.casefold()} & said:
                return money
        return None

    def _known(self, row, texts, values, amount):
        """A row with the id of a line: it answers for the money of that line, and says the same or is asked about."""
        id = texts["id"]
        if id not in self.lines:
            return Judged(row, texts, ASKED, f"{id} is taken, by a kit or a row above. Give the row an id of its own.")
        for money in self.money_of[id]:
            for one in (money, *money.rivals):
                one.claimed = row
        if self.costs is not None:  # a cell emptied in the sheet says something too
            values = {name: Line.model_fields[name].default for name in self.place if name in Line.model_fields and name != "paid"} | values
        other = _otherwise(self.lines[id], values) + ([] if amount in self.paid[id] else ["paid"])
        if not other:
            return Judged(row, texts, THERE, f"Line {id} has it.")
        line, changed = self.lines[id], {name: values[name] for name in other if name != "paid"}
        there = {name: getattr(line, name) for name in other} | {"paid": " or ".join(f"{paid}" for paid in sorted(self.paid[id]))}
        told = ", ".join(f"{self.source.columns[name]} {'empty' if there[name] in (None, '') else there[name]}" for name in other)
        if "paid" in other and (line.paid is None or self.paid[id] != {line.paid.likely}):
            own = "stands in events.csv" if line.paid is None else f"is {line.paid.likely}; the rest is laid on it, or left out by its rule"
            return Judged(row, texts, ASKED, f"Line {id} is there and says otherwise: {told}. Its own money {own}: change it there.")
        changed |= {"paid": sure(abs(amount))} if "paid" in other else {}
        new, trouble = self._line({name: getattr(line, name) for name in line.model_fields_set} | changed)
        return Judged(row, texts, ASKED, f"Line {id} is there and says otherwise: {told}. Take it to change the line.{trouble}", new)

    def _made(self, values, amount, currency, rate, document):
        """The line, and its payment where that needs a file of its own; or what keeps it from being one."""
        if "id" not in values:
            values = values | {"id": self._new_id()}
        by_event = bool(currency or document)
        line, trouble = self._line(values | ({} if by_event else {"paid": amount}))
        event = Event(line=line.id, date=values.get("date"), kind="payment", amount=amount, currency=currency, rate=rate, document=document) if line and by_event else None
        return line, event, trouble

    def _line(self, values):
        """The line that a row makes, or what keeps it from being one."""
        values = {"system": self.source.system, "nature": self.source.nature, "item": values.get("supplier", "")} | values
        try:
            return Line(**{name: value for name, value in values.items() if name in Line.model_fields}), ""
        except ValidationError as trouble:
            return None, " " + " ".join(_needs(".".join(map(str, error["loc"])), error) for error in trouble.errors())

    def _new_id(self):
        while f"r{self.next:04}" in self.ids:
            self.next += 1
        self.ids.add(id := f"r{self.next:04}")
        return id

    def _returned(self, values, amount):
        """Lines that a refund can be of: of its order, or of its article and supplier."""
        order = values.get("order")
        lines = self.by_order[order] if order else [line for line in self.lines.values() if line.item.casefold() == values.get("item", "\0").casefold()]
        for name in ("part_number", "item"):
            if (wanted := values.get(name)) and (fewer := [line for line in lines if getattr(line, name).casefold() == wanted.casefold()]):
                lines = fewer
        if not lines and self.source.holds == "payments":  # a charge taken back names its shop and its amount, if anything
            said = f"{values.get('supplier', '')} {values.get('item', '')}".casefold()
            lines = [line for line in self.lines.values() if line.supplier and line.supplier.casefold() in said and amount.likely in self.paid[line.id]]
        return [line for line in lines if line.paid is None or line.paid.high >= amount.low]


def _event_key(event):
    return event.line, event.kind, event.date, (event.amount.low, event.amount.likely, event.amount.high), event.currency


def _said(trouble):
    """A fault of a cell, whose form is declared elsewhere than that of the folder's own files."""
    return re.sub(r" for the file in build\.toml, as in \[files\.lines\]| under \[files\]", " for the source", str(trouble))


def _otherwise(line, values):
    """Names of the columns in which a row says otherwise than its line."""
    names = [name for name in values if name in Line.model_fields and name != "note"]
    return [name for name in names if not _equal(getattr(line, name), values[name], line.nature == "credit")]


def _equal(there, here, is_credit=False):
    """Whether both say the same: one figure for a range is its likely one, a credit may stand below 0, and line ends are no difference."""
    if isinstance(there, Estimate) and isinstance(here, Estimate):
        if here.is_sure:
            return there.likely in (here.likely, -here.likely if is_credit else here.likely)
        return (there.low, there.likely, there.high) == (here.low, here.likely, here.high)
    if isinstance(there, str) and isinstance(here, str):
        return there.split() == here.split()
    return there == here


def _needs(name, error):
    reason = error.get("ctx", {}).get("error")
    if isinstance(reason, Wrong):
        return f"{name or 'It'} must be {reason.rule}. {reason.cure}"
    if not error["input"]:
        return f"It has no {name}. Map a column to it" + (f", or declare {name} = ... for the source." if name in ("system", "nature") else ".")
    return f"Its {name} must be one of ours, got {error['input']!r}."
