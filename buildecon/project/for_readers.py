"""A project as a reader may have it: the same figures, and nothing that is nobody's business but the owner's."""

from itertools import count


def for_readers(project):
    """The project without notes, papers, order numbers, sellers nobody agreed to name, and what the cars of the market are called.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    Project
        Every total, value and cost is the same: what holds rows together keeps a number in place of its name. [-]

    Notes
    -----
    Named are the suppliers of `[[disclosures]]` and those of `[publish].name_suppliers`. What cars, systems, items, options and kits are called is published.
    """
    file, named = project.file, {one.supplier for one in project.file.disclosures} | set(project.file.publish.name_suppliers)
    supplier, order, car, place, row = _names("supplier", named), _names("order"), _names("car"), _names("place"), _names("row")
    orders = {line.order for line in project.lines if line.order}
    lines = tuple(
        line.model_copy(update={"note": "", "supplier": supplier(line.supplier), "order": order(line.order), "lay_on": order(line.lay_on) if line.lay_on in orders else line.lay_on})
        for line in project.lines
    )
    options = tuple(option.model_copy(update={"note": ""}) for option in file.options)
    return project.model_copy(
        update={
            "folder": "", "lines": lines, "stamps": {},
            "events": tuple(event.model_copy(update={"note": "", "document": ""}) for event in project.events),
            "hours": tuple(hours.model_copy(update={"note": ""}) for hours in project.hours),
            "energy": tuple(fill.model_copy(update={"note": "", "place": place(fill.place)}) for fill in project.energy),
            "market": tuple(one.model_copy(update={"note": "", "id": row(one.id), "what": car(one.what), "car": car(one.car)}) for one in project.market),
            "statements": tuple(one.model_copy(update={"note": "", "source": ""}) for one in project.statements),
            "file": file.model_copy(update={"options": options, "sources": (), "value": file.value.model_copy(update={"basis": ""})}),
        }
    )  # fmt: skip


def _names(kind, kept=frozenset()):
    """A number for each name, the same for the same name; nothing for nothing."""
    known, numbers = {}, count(1)

    def name(text):
        if text and text not in kept and text not in known:
            known[text] = f"{kind} {next(numbers)}"
        return known.get(text, text)

    return name
