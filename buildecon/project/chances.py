"""`[chances]`: how the ranges of a folder are drawn, what moves together, and what finding out would cost."""

from typing import Annotated, Literal

from pydantic import Field

from buildecon.project.fields import Amount, Record, Share
from buildecon.quantities.estimate import Estimate, sure


class FindingOut(Record):
    """`[[chances.finding_out]]`: an input, by its id, and the price of a quote, an inspection or a look."""

    what: Annotated[str, Field(min_length=1)]
    costs: Amount


class Chances(Record):
    """`[chances]`: the shape of every range, and how far groups of inputs move together; the defaults are common practice, no source."""

    shape: Literal["pert", "triangular", "four in five"] = "pert"
    prices_together: Share = sure("0.6")
    delay_and_cost: Share = sure("0.5")
    values_together: Share = sure("0.8")
    value_from: Literal["owner", "market"] = "owner"
    counted_on: Share = sure(1)
    finding_out: tuple[FindingOut, ...] = ()


def figure_at(file, path):
    """The figure that stands at a path of keys of build.toml.

    Parameters
    ----------
    file : BuildFile
        The file. [-]
    path : str
        Keys with dots between; an option is found by its id, the others of a list by their place from 0. [-]

    Returns
    -------
    Estimate or None
        None where no figure stands there. [-]
    """
    here = file
    for key in path.split("."):
        if isinstance(here, dict):
            here = here.get(key)
        elif isinstance(here, tuple):
            here = next((one for k, one in enumerate(here) if getattr(one, "id", str(k)) == key), None)
        else:
            here = getattr(here, key, None) if key in getattr(type(here), "model_fields", ()) else None
    return here if isinstance(here, Estimate) else None
