"""Every public name says what it takes, in which unit, and what it gives."""

import importlib
import inspect
import pkgutil
import re

import pytest
from numpydoc.docscrape import FunctionDoc, NumpyDocString

import buildecon
from buildecon.project.fields import Record

UNITS = {
    "money", "money/year", "money/month", "money/km", "km", "km/year", "km or mi", "L or kWh", "per 100 km", "year", "month", "1/year", "%/year",
    "hour", "pixel", "unit of the search", "-",
}  # fmt: skip
ORDER = ["Parameters", "Returns", "Raises", "Notes", "References", "Examples"]
SKIPPED = {"buildecon.__main__"}


def modules():
    for found in pkgutil.walk_packages(buildecon.__path__, "buildecon."):
        if found.name not in SKIPPED:
            yield importlib.import_module(found.name)


def public(module):
    for name, thing in vars(module).items():
        if not name.startswith("_") and getattr(thing, "__module__", None) == module.__name__ and (inspect.isfunction(thing) or inspect.isclass(thing)):
            yield thing


FUNCTIONS = [thing for module in modules() for thing in public(module) if inspect.isfunction(thing)]
CLASSES = [thing for module in modules() for thing in public(module) if inspect.isclass(thing)]


def name_of(thing):
    return f"{thing.__module__}.{thing.__qualname__}"


def units_in(lines):
    found = re.findall(r"\[([^\]\[]+)\]", re.sub(r"`[^`]*`", "", " ".join(lines)))
    return [unit.strip() for group in found for unit in group.split(",")]


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_a_function_names_its_parameters_in_order_with_units(function):
    doc = FunctionDoc(function)
    wanted = list(inspect.signature(function).parameters)
    told = [name.strip() for entry in doc["Parameters"] for name in entry.name.split(",")]
    assert told == wanted
    if wanted:
        assert doc["Returns"] or doc["Raises"]
    for entry in [*doc["Parameters"], *doc["Returns"]]:
        units = units_in(entry.desc)
        assert units and set(units) <= UNITS, (entry, units)
    sections = [line for line in inspect.getdoc(function).splitlines() if line in ORDER]
    assert sections == sorted(sections, key=ORDER.index)
    assert len(wanted) <= 6


@pytest.mark.parametrize("kind", CLASSES, ids=name_of)
def test_a_class_says_what_it_is(kind):
    text = inspect.getdoc(kind)
    assert text and text.strip().endswith((".", "[-]", "]"))
    if issubclass(kind, Record) or not hasattr(kind, "__dataclass_fields__"):
        return
    told = [name.strip() for entry in NumpyDocString(text)["Parameters"] for name in entry.name.split(",")]
    if told:
        assert told == list(kind.__dataclass_fields__)


@pytest.mark.parametrize("module", list(modules()), ids=lambda module: module.__name__)
def test_a_module_says_what_it_is_for(module):
    assert module.__doc__ and module.__doc__.strip().endswith(".")
