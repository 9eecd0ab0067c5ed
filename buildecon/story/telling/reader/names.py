"""Names as a page can hold them, whatever their owner wrote."""

DIRECTIONS = dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A)))  # marks that would turn the rest of a sentence around
LONGEST = {"name": 80, "unit": 20, "because": 300}  # letters


def plainly_named(project):
    """The project with names that a page can hold: no marks that turn the direction of what follows, and no longer than a name is.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    Project
        The same otherwise. [-]
    """
    file = project.file
    options = tuple(_plainly(one).model_copy(update={"from_today": one.from_today and _plainly(one.from_today)}) for one in file.options)
    tables = {"build": _plainly(file.build), "options": options, "must_haves": tuple(map(_plainly, file.must_haves))}
    return project.model_copy(update={"file": file.model_copy(update=tables)})


def _plainly(record):
    """A record with its texts of `LONGEST` in one line and cut to length."""
    texts = {name: " ".join(getattr(record, name).translate(DIRECTIONS).split()) for name in LONGEST if hasattr(record, name)}
    return record.model_copy(update={name: _cut(text, LONGEST[name]) for name, text in texts.items()})


def _cut(text, longest):
    """Names that differ at their ends still do."""
    return text if len(text) <= longest else f"{text[: longest - longest // 4 - 5]} ... {text[-(longest // 4) :]}"
