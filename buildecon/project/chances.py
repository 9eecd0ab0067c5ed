"""`[chances]`: how the ranges of a folder are drawn, what moves together, and what finding out would cost."""

from typing import Annotated, Literal

from pydantic import Field

from buildecon.project.fields import Amount, Record, Share
from buildecon.quantities.estimate import sure


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
