"""`[options.value_path]`: how the value of an option goes on, where one rate of decline does not tell it."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import Amount, Positive, Rate, Record, Share, bounded

# What each kind of curve needs; where there are two ways to say it, either of them.
NEEDS = {
    "steady": (("decline_rate",),),
    "years and distance": (("decline_rate", "distance_rate"),),
    "two stage": (("decline_rate", "first_years", "later_rate"),),
    "floor then rise": (("decline_rate", "floor_value", "rise_rate"), ("decline_rate", "first_years", "rise_rate")),
    "held then declining": (("held_years", "decline_rate"),),
    "straight line": (("over_years", "end_value"),),
    "table": (("table", "later_rate"),),
    "distance": ((),),
}
OF_A_CURVE = {name for ways in NEEDS.values() for way in ways for name in way}
Gain = Annotated[Rate, bounded(0, None, "a fraction a year between 0 and 1", "Write 3 % a year as 0.03.")]


class TableRow(Record):
    """One row of a table of values: what it would sell for after some years."""

    years: Positive
    value: Amount


class ValuePath(Record):
    """`[options.value_path]`: the curve, what that curve needs, and the end of the car's life."""

    kind: Literal[tuple(NEEDS)]
    decline_rate: Rate | None = None
    distance_rate: Share | None = None
    first_years: Amount | None = None
    held_years: Amount | None = None
    later_rate: Rate | None = None
    floor_value: Amount | None = None
    rise_rate: Gain | None = None
    over_years: Positive | None = None
    end_value: Amount | None = None
    table: tuple[TableRow, ...] = ()
    scrap_value: Amount | None = None
    distance_now: Amount | None = None
    lifetime_distance: Positive | None = None

    @model_validator(mode="after")
    def _what_its_curve_needs(self):
        given = {name for name in OF_A_CURVE if getattr(self, name) not in (None, ())}
        ways = NEEDS[self.kind]
        if given not in map(set, ways):
            wanted = " or ".join(", ".join(way) or "none of the rates and values of other kinds" for way in ways)
            nearest = min(ways, key=lambda way: len(given ^ set(way)))
            missing, too_many = [name for name in nearest if name not in given], sorted(given - set(nearest))
            steps = [f"{word} {', '.join(names)}" for word, names in (("add", missing), ("leave out", too_many)) if names]
            cure = "; ".join(steps)
            raise Wrong(f"given {wanted} when kind = {self.kind!r}", f"{cure[0].upper()}{cure[1:]}.")
        if self.kind == "floor then rise" and self.decline_rate.low < 0:
            raise Wrong(f"given a decline_rate of at least 0 when kind = {self.kind!r}", f"It is {self.decline_rate}.")
        return self

    @model_validator(mode="after")
    def _table_rises(self):
        for before, after in zip(self.table, self.table[1:], strict=False):
            if not after.years.low > before.years.high:
                raise Wrong("given a table whose years rise from row to row", f"{after.years} comes after {before.years}.")
        return self

    @model_validator(mode="after")
    def _end_of_life(self):
        named = [name for name in ("distance_now", "lifetime_distance") if getattr(self, name) is not None]
        if named and (len(named) < 2 or self.scrap_value is None) or self.kind == "distance" and not named:
            because = "" if named else " when kind = 'distance'"
            raise Wrong(f"given distance_now, lifetime_distance and scrap_value{because}" + (", or neither distance" if named else ""))
        if named and not self.lifetime_distance.low - self.distance_now.high >= Decimal("1e-6"):
            raise Wrong("given a lifetime_distance above distance_now", f"They are {self.lifetime_distance} and {self.distance_now}.")
        return self
