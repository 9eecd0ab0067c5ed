"""What the owner writes down: validated records, and the plain files of a project folder."""

from importlib import import_module

# Loaded when asked for, so that a verb that only says what is missing starts at once.
HOMES = {"ProjectFaults": "faults", "read_project": "read", "Project": "records", "WhatIf": "records", "write_project": "write"}
__all__ = ["Project", "ProjectFaults", "WhatIf", "read_project", "write_project"]


def __getattr__(name):
    if name not in HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{HOMES[name]}"), name)
