"""The cost of keeping in thousands of scenarios at once: a loop over the exits, in which every name is a vector of scenarios.

It gives what `keeping` gives, at a price of a few additions for each exit. What grows by a fixed factor is multiplied by it instead of being
raised to a power; the months inside a step of 3 or 12 are added up beforehand, so their flows are still those of each month.
"""

import numpy as np

from buildecon.ownership.terms import HAIR, LIMITS, TINY, WEAR_KM, WITH_AN_AXIS, not_zero, renewals_by
from buildecon.quantities.bounds import within

CHUNK = 4096  # scenarios at once: what is worked on stays near the processor, and a call costs little beside its work
STEPS = (1, 3, 12)


def totals(terms, months, step=1, discount_rate=0.0, inflation_rate=0.0, reduce=None):
    """Present value of having each option to the end of every step, in every scenario.

    Parameters
    ----------
    terms : Terms
        Leading axes options and scenarios. [-]
    months : int
        How far; a whole number of steps. [month]
    step : {1, 3, 12}, optional
        From one exit to the next. [month]
    discount_rate, inflation_rate : array_like, shape () or (scenarios,), optional
        Both effective; money is today's. [1/year]
    reduce : callable, optional
        Given each block of `blocks` in turn, so that the whole need not be kept; a block is overwritten by the next. [-]

    Returns
    -------
    ndarray, shape (options, exits, scenarios), or list
        Cost, positive, the start first; a list of what `reduce` gave where there is one. [money]

    Raises
    ------
    ValueError
        For a step that is none of these, months that are no whole number of steps, a rate of -1 or less, or terms without two leading axes.

    Examples
    --------
    >>> from buildecon.ownership.terms import Terms
    >>> cost = totals(Terms(9000, {"tax": [[240], [600]]}, value=[[9000, 8000]], decline_rate=0.1), 24, step=12)
    >>> print(cost.shape, cost[:, 2].round(2).tolist())
    (2, 3, 2) [[2190.0, 3000.0], [2910.0, 3720.0]]
    """
    if reduce is not None:
        return [_kept(reduce(block), block) for _, block in blocks(terms, months, step, discount_rate, inflation_rate)]
    grid = _Grid(terms, months, step, discount_rate, inflation_rate)
    found = np.empty((grid.options, grid.exits + 1, grid.scenarios))
    for where in grid.chunks(CHUNK):
        grid.fill(found[:, :, where], where)
    return found


def blocks(terms, months, step=1, discount_rate=0.0, inflation_rate=0.0, chunk=CHUNK):
    """The same, some scenarios at a time.

    Parameters
    ----------
    terms : Terms
        Leading axes options and scenarios. [-]
    months : int
        How far; a whole number of steps. [month]
    step : {1, 3, 12}, optional
        From one exit to the next. [month]
    discount_rate, inflation_rate : array_like, shape () or (scenarios,), optional
        Both effective; money is today's. [1/year]
    chunk : int, optional
        Scenarios at a time. [-]

    Returns
    -------
    iterator of (slice, ndarray of shape (options, exits, chunk))
        Which scenarios, and their cost; the array is overwritten by the next. [money]
    """
    grid = _Grid(terms, months, step, discount_rate, inflation_rate)
    if not chunk >= 1:
        raise ValueError(f"chunk must be at least 1, got {chunk}.")
    return _blocks(grid, int(chunk))


def _blocks(grid, chunk):
    room = np.empty(grid.options * (grid.exits + 1) * min(chunk, grid.scenarios))
    for where in grid.chunks(chunk):
        block = room[: grid.options * (grid.exits + 1) * (where.stop - where.start)].reshape(grid.options, grid.exits + 1, -1)
        grid.fill(block, where)
        yield where, block


def _kept(result, block):
    """A result that is a part of the block is copied before the block is used again."""
    return result.copy() if isinstance(result, np.ndarray) and np.may_share_memory(result, block) else result


class _Grid:
    """Terms and rates laid out on (options, scenarios), and the exits."""

    def __init__(self, terms, months, step, discount_rate, inflation_rate):
        if step not in STEPS:
            raise ValueError(f"step must be 1, 3 or 12 months, got {step}.")
        if not (months >= 0 and months % step == 0):
            raise ValueError(f"months must be a whole number of steps of {step}, at least 0, got {months}.")
        self.step, self.exits = step, int(months) // step
        rates = {"discount": within("discount_rate", discount_rate, -1 + 1e-9), "inflation": within("inflation_rate", inflation_rate, -1 + 1e-9)}
        flat = {name: np.asarray(getattr(terms, name), dtype=float) for name in LIMITS} | {name: np.asarray(rate) for name, rate in rates.items()}
        flat["yearly"] = np.asarray(sum((np.asarray(amount, dtype=float) for amount in terms.yearly.values()), np.zeros(())))
        deep = {name: np.atleast_1d(np.asarray(getattr(terms, name), dtype=float)) for name in WITH_AN_AXIS if getattr(terms, name) is not None}
        shape = np.broadcast_shapes(*(a.shape for a in flat.values()), *(a.shape[:-1] for a in deep.values()))
        if len(shape) != 2:
            raise ValueError(f"terms must have two leading axes, options and scenarios, got {shape}. Numbers by option alone are (options, 1).")
        for axis in (("energy", "energy_growth"), ("renewal_cost", "first_km", "life_km")):
            last = np.broadcast_shapes(*((deep[name].shape[-1],) for name in axis))
            deep |= {name: np.broadcast_to(deep[name], (*deep[name].shape[:-1], *last)) for name in axis}
        for name in ("value_path", "end_path"):
            if name in deep and deep[name].shape[-1] != self.exits + 1:
                raise ValueError(f"{name} must have a value for each of {self.exits + 1} exits, got shape {np.shape(getattr(terms, name))}.")
        self.options, self.scenarios = shape
        self.of = {name: np.broadcast_to(a, shape) for name, a in flat.items()}
        # The axis of sources, components or exits goes first, so that each of them is one vector of scenarios.
        self.of |= {name: np.moveaxis(np.broadcast_to(a, (*shape, a.shape[-1])), -1, 0) for name, a in deep.items()}
        self.room = None

    def chunks(self, chunk):
        return (slice(at, min(at + chunk, self.scenarios)) for at in range(0, self.scenarios, chunk))

    def fill(self, block, where):
        for option in range(self.options):
            one = {name: a[..., option, where] for name, a in self.of.items()}
            _fill(block[option], one, self.step, self._renewed(one))

    def _renewed(self, one):
        """Discounted renewals by step, or None; the room is used again."""
        if not np.any(one["renewal_cost"]):
            return None
        n, rows = one["value"].size, self.exits + 1
        if self.room is None or self.room.size < rows * n:
            self.room = np.empty(rows * n)
        table = self.room[: rows * n].reshape(rows, n)
        table.fill(0)
        km, by_month = np.maximum(one["km_a_year"], TINY), -np.log1p(one["discount"]) / 12
        with np.errstate(over="ignore"):
            first, life = one["first_km"] * 12 / km, one["life_km"] * 12 / km
        often = life.min(axis=-1) < 1
        costly = one["renewal_cost"].any(axis=-1)
        for these, add in ((costly & ~often, _renew), (costly & often, _renew_by_the_month)):
            if np.any(these):
                add(table, self.step, one["renewal_cost"][these], (first[these], life[these]), by_month)
        return table


def _fill(out, one, step, renewed):
    """Rows of one option: what has been paid by each exit, less what the car brings then."""
    n = out.shape[-1]
    by_month = -np.log1p(one["discount"]) / 12
    factor = np.exp(by_month)
    level, rising, over = _sums(factor, step)
    rise = one["upkeep"] / 144 * (one["upkeep_by_year"] + one["upkeep_by_km"] * (one["km_a_year"] / WEAR_KM))
    each = (one["yearly"] + one["upkeep"] - one["enjoyment"]) / 12
    flow = _own(each * level + rise * rising, n)  # of the next step, in the money of its start
    more = rise * step * level
    streams = _streams(one, by_month, step, n)
    premium = _premium(one, level, step)
    lasting = _lasting(one, by_month, step)

    path, end, left = one.get("value_path"), one.get("end_path"), 1 - one["selling_share"]
    worth = _own(end[0] if end is not None else left * (one["value"] if path is None else path[0]), n)
    shrink = over * (1 - one["decline_rate"]) ** (step / 12)
    discounted, paid, part = np.ones(n), _own(one["money_in"] - one["loan"], n), np.empty(n)
    paid += np.where(one["build_months"] == 0, one["build_cost"], 0.0)
    np.subtract(paid, worth, out=out[0])
    out[0] += one["loan"]
    for row in range(1, out.shape[0]):
        month = row * step
        if premium is not None and (month - step) % 12 == 0:
            flow += premium(month - step)
        np.multiply(flow, discounted, out=part)
        paid += part
        flow += more
        discounted *= over
        for stream, growth in streams:
            paid += stream
            stream *= growth
        if renewed is not None:
            paid += renewed[row - 1]
        lasting = [what for what in lasting if not what.over_by(month, paid)]
        if end is not None:
            np.multiply(end[row], discounted, out=worth)
        elif path is None:
            worth *= shrink
        else:
            np.multiply(path[row], discounted, out=worth)
            worth *= left
        np.subtract(paid, worth, out=out[row])
        for what in lasting:
            what.add_to(out[row], month, part)


def _own(values, n):
    """A vector that may be written to."""
    return np.array(np.broadcast_to(values, n))


def _sums(x, step):
    """Sums of x^j and of j x^j over the months j = 1 ... step, and x^step; no limit is needed where x is 1.

    The months 1 to 3 first; then twice, as many months again: those are x^n times the sum, with n more in each place.
    """
    if step == 1:
        return x, x, x
    over = x * x * x
    total, placed = x * (1 + x * (1 + x)), x * (1 + x * (2 + x * 3))
    for n in (3, 6) if step == 12 else ():
        placed = placed * (1 + over) + n * over * total
        total = total * (1 + over)
        over = over * over
    return total, placed, over


def _streams(one, by_month, step, n):
    """Each energy's cost of the first step and its factor from one step to the next, discounted."""
    found = []
    for amount, growth in zip(one["energy"], one["energy_growth"], strict=True):
        if np.any(amount):
            total, _, over = _sums(np.exp(np.log1p(growth) / 12 + by_month), step)
            found.append((_own(amount / 12 * total, n), over))
    return found


def _premium(one, level, step):
    """By how much the flow of a step changes at the start of each policy year; asked for each in turn."""
    if not np.any(one["insurance_share"]):
        return None
    share, path = one["insurance_share"] / 12 * level, one.get("value_path")
    if path is not None:
        return lambda month: share * (path[month // step] - (path[(month - 12) // step] if month else 0.0))
    change = [share * one["value"], share * one["value"] * -one["decline_rate"]]

    def next_change(month):
        if month > 12:
            change[1] *= 1 - one["decline_rate"]
        return change[month > 0]

    return next_change


def _lasting(one, by_month, step):
    """What is paid for some months only."""
    found = []
    if np.any(one["loan"]):
        found.append(_Loan(one, by_month - np.log1p(one["inflation"]) / 12, step))
    spread = np.where(one["build_months"] > 0, one["build_cost"] / np.maximum(one["build_months"], TINY) + one["downtime"], 0.0)
    if np.any(spread):
        found.append(_SomeMonths(spread, by_month, one["build_months"], step))
    return found


class _SomeMonths:
    """Equal amounts at the end of some months, the last of them in part.

    As long as every scenario pays in full, a step's payments are the last one's times a factor; from then on closed sums, and in the end a constant.
    """

    def __init__(self, amount, by_month, count, step):
        self.by_month = not_zero(by_month)
        self.count, self.whole = count, np.floor(count)
        self.scale = amount * np.exp(self.by_month) / np.expm1(self.by_month)
        self.last = amount * (count - self.whole) * np.exp(by_month * (self.whole + 1))
        some = amount > 0
        self.steady, self.end = self.whole[some].min() // step * step, np.ceil(count[some].max())
        self.level, _, self.factor = _sums(np.exp(by_month), step)
        self.next, self.started = amount * self.level, None

    def worth(self, month):
        """Of all payments by a month."""
        return self.scale * np.expm1(self.by_month * np.minimum(month, self.whole)) + np.where(month > self.whole, self.last, 0.0)

    def since_steady(self, month):
        if self.started is None:
            self.started = self.worth(self.steady)
        return self.worth(month) - self.started

    def over_by(self, month, paid):
        """Adds what is certain to what has been paid; whether nothing is left to come."""
        if month <= self.steady:
            paid += self.next
            self.next *= self.factor
        elif month >= self.end:
            paid += self.since_steady(month)
        return month >= self.end

    def add_to(self, row, month, room):
        """What else counts for leaving by a month."""
        if month > self.steady:
            row += self.since_steady(month)


class _Loan(_SomeMonths):
    """Payments, and what clears the loan on sale, deflated and discounted."""

    def __init__(self, one, by_month, step):
        rate = not_zero(one["loan_rate"] / 12)
        self.log_rate = np.log1p(rate)
        payment = one["loan"] * rate / -np.expm1(-one["loan_months"] * self.log_rate)
        super().__init__(payment, by_month, one["loan_months"], step)
        self.gap, self.each_step = -self.count * self.log_rate, step * self.log_rate
        self.per_payment, self.scale_owed = -1 / (rate * self.level), payment / rate

    def add_to(self, row, month, room):
        super().add_to(row, month, room)
        if month <= self.steady:  # the next step's payments have the discount of this month in them
            self.gap += self.each_step
            np.expm1(self.gap, out=room)
            room *= self.next
            room *= self.per_payment
            row += room
        else:
            discounted = np.exp(self.by_month * np.minimum(month, self.count))
            row += -np.expm1(np.minimum(month - self.count, 0) * self.log_rate) * self.scale_owed * discounted


def _renew(table, step, cost, every, by_month):
    """Adds discounted renewals to a table of steps by scenarios; what comes after the last exit goes to a row of its own.

    Components are one long vector; `every` has the months, with fractions, to the first renewal and between two. Each pass is one renewal
    of all that have one more to come.
    """
    rows, n = table.shape
    months, flat = (rows - 1) * step, table.reshape(-1)
    due, life = (amount.reshape(-1) * (1 - HAIR) for amount in every)
    cost, by_month = cost.reshape(-1), np.tile(by_month, len(cost))
    where = np.tile(np.arange(n, dtype=float), due.size // n)
    while True:
        month = np.ceil(due)
        np.maximum(month, 1, out=month)
        np.minimum(month, months + 1, out=month)
        price = month * by_month
        np.exp(price, out=price)
        price *= cost
        if step > 1:
            month /= step
            np.ceil(month, out=month)
        month -= 1
        month *= n
        month += where
        np.add.at(flat, month.astype(np.intp), price)
        due += life
        live = np.flatnonzero(due <= months)
        if live.size == 0:
            return
        if live.size < 0.8 * due.size:
            due, life, cost, by_month, where = (a.take(live) for a in (due, life, cost, by_month, where))


def _renew_by_the_month(table, step, cost, every, by_month):
    """The same where something is renewed more than once a month."""
    first, life = every
    before = np.zeros(cost.shape)
    for month in range(1, step * (len(table) - 1) + 1):
        count = renewals_by(first, life, month)
        table[(month - 1) // step] += (cost * (count - before)).sum(axis=0) * np.exp(month * by_month)
        before = count
