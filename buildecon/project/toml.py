"""The text of build.toml: where a key stands, and how a value is set without touching the remarks around it."""

import re
import tomllib
from decimal import Decimal

from buildecon.project.fields import Record
from buildecon.quantities.estimate import Estimate

RANGE = {"low", "likely", "high"}
NAMES = ("id", "name", "supplier", "source", "trap", "what")  # what tells one table of a list from the next


def line_of(text, keys):
    """Line of build.toml on which a key stands, or the nearest table above it.

    Parameters
    ----------
    text : str
        The file. [-]
    keys : sequence of str or int
        Path of the key; list positions count from 0. [-]

    Returns
    -------
    int
        Counted from 1; 0 where nothing matches. [-]
    """
    best, depth, seen, here = 0, 0, {}, ()
    for number, line in enumerate(_without_prose(text).split("\n"), start=1):  # splitlines would also count U+2028 and its like
        if header := re.match(r"\s*(\[\[?)\s*([^\]]+?)\s*\]", line):
            names = tuple(part.strip().strip("\"'") for part in header[2].split("."))
            if header[1] == "[[":
                seen = {path: count for path, count in seen.items() if path[: len(names)] != names or path == names}  # lists inside start anew
                seen[names] = seen.get(names, -1) + 1
            here = ()
            for k in range(len(names)):
                here += (names[k],)
                here += (seen[names[: k + 1]],) if names[: k + 1] in seen else ()
            path = here
        elif key := re.match(r"\s*[\"']?([A-Za-z0-9_. -]+?)[\"']?\s*=", line):
            path = (*here, *(part.strip() for part in key[1].split(".")))
        else:
            continue
        if len(path) > depth and tuple(keys[: len(path)]) == path:
            best, depth = number, len(path)
    return best


def toml_text(file, before=""):
    """Text of build.toml with only the values set anew that changed.

    Parameters
    ----------
    file : BuildFile
        What it is to say. [-]
    before : str, optional
        What it says now, with its remarks. [-]

    Returns
    -------
    str
        The whole file. [-]
    """
    import tomlkit

    wanted = plain(file)
    for key in [key for key, value in tomllib.loads(before).items() if _is_tables(value)]:
        before = _without_gone(before, key, [_name(table) for table in wanted.get(key, [])])
    document = tomlkit.parse(before)
    _merge(document, wanted, top=True)
    return tomlkit.dumps(document)


def _without_gone(text, key, names):
    """build.toml without the tables that are gone; the remarks below them stay, being the heading of what comes next."""
    old = tomllib.loads(text).get(key, [])
    if len(old) > len(names):
        for k in reversed(range(len(old))):
            text = text if _name(old[k]) in names else _cut(text, key, k)
    return text


def _cut(text, key, k):
    lines, bare = text.split("\n"), _without_prose(text).split("\n")
    start = line_of(text, (key, k)) - 1
    if not re.match(rf"\s*\[\[\s*{key}\s*\]\]", bare[start]):
        return text  # a list on one line, for _merge_lists
    inside = re.compile(rf"\s*([^\s\[]|\[\[?\s*{key}\s*\.|$)")
    end = next((n for n in range(start + 1, len(lines)) if not inside.match(bare[n])), len(lines))
    while re.match(r"\s*(#.*)?$", bare[end - 1]):
        end -= 1
    if start and not lines[start - 1].strip() and not "".join(lines[end : end + 1]).strip():
        end += 1
    return "\n".join(lines[:start] + lines[end:])


def plain(value):
    """A record as tables, lists and numbers that TOML has; what the owner did not write is left out.

    Parameters
    ----------
    value : Record, Estimate, Decimal or a collection of them
        Any part of build.toml. [-]

    Returns
    -------
    dict, list, int, float or str
        The same part. [-]
    """
    if isinstance(value, Estimate):
        parts = [_number(part) for part in (value.low, value.likely, value.high)]
        return parts[1] if value.is_sure else dict(zip(("low", "likely", "high"), parts, strict=True))
    if isinstance(value, Record):
        written = [name for name in type(value).model_fields if name in value.model_fields_set]
        return {name: plain(getattr(value, name)) for name in written if getattr(value, name) is not None}
    if isinstance(value, dict):
        return {name: plain(part) for name, part in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(part) for part in value]
    return _number(value) if isinstance(value, Decimal) else value


def _number(value):
    return int(value) if value == value.to_integral_value() and value.as_tuple().exponent >= 0 else float(value)


def _merge(table, wanted, top=False):
    """Set what differs, drop what is gone, descend where both are tables or lists of tables."""
    from tomlkit.items import AoT

    for key in [key for key in table if key not in wanted]:
        del table[key]
    for key, value in wanted.items():
        old = table.get(key)
        if isinstance(value, dict) and isinstance(old, dict):
            _merge(old, value)
        elif _is_tables(value) and _is_tables(old) and (len(old) == len(value) or isinstance(old, AoT)):
            _merge_lists(old, value)
        elif not _is_same(old, value):
            table[key] = _item(value, top=top and old is None)


def _is_same(old, value):
    if old is None:
        return value in ([], {})  # as good as left out
    if isinstance(old, str) and isinstance(value, str):
        return old.replace("\r\n", "\n") == value  # as tomllib reads a text of several lines
    return old == value and isinstance(old, bool) == isinstance(value, bool)  # 1 == True


def _is_tables(value):
    return isinstance(value, list) and bool(value) and all(isinstance(part, dict) for part in value)


def _merge_lists(old, wanted):
    """Tables of a list one by one; where one came or went under [[headings]], those of the same name keep their comments."""
    if len(old) == len(wanted):
        for before, after in zip(old, wanted, strict=True):
            _merge(before, after)
        return
    names = [_name(table) for table in wanted]
    for k in reversed(range(len(old))):
        if _name(old[k]) not in names:
            del old[k]
    for k, table in enumerate(wanted):
        if k < len(old) and _name(old[k]) == names[k]:
            _merge(old[k], table)
        else:
            item = _item(table)
            if k and not old[k - 1].as_string().endswith("\n\n"):
                item.trivia.indent = "\n"
            old.insert(k, item)
    while len(old) > len(wanted):
        del old[-1]


def _name(table):
    return next((table[key] for key in NAMES if key in table), None)


def _item(value, inline=False, top=False):
    """A TOML item: lists of tables at the top stand under [[headings]], those further in and ranges on one line."""
    import tomlkit

    if isinstance(value, dict):
        inline = inline or set(value) == RANGE
        table = tomlkit.inline_table() if inline else tomlkit.table()
        for key, part in value.items():
            table[key] = _item(part, inline)
        return table
    if not isinstance(value, list):
        return tomlkit.item(value)
    items = tomlkit.aot() if top and _is_tables(value) else tomlkit.array()
    for part in value:
        items.append(_item(part, inline=not (top and isinstance(part, dict))))
    return items


def _without_prose(text):
    """build.toml with a quote alone on each line of its long texts, which may look like keys and headings."""
    return re.sub(r'"""[\s\S]*?"""|\'\'\'[\s\S]*?\'\'\'', lambda prose: '"' + '\n"' * prose[0].count("\n"), text)
