"""What the same work is worth, and what else would do it: the value everything is held against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.books.value import discount_factors
from retrue.cases.assume import AGE_YEARS, Settled
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.instead import Other, OtherWay, bought_in
from retrue.kinds.library import Cost, Kind, Three
from retrue.records.facts import Alternative, Machine

Floats = NDArray[np.float64]
DAYS_A_YEAR = 365.25

# Common practice, judgement, no source.
NEED_HOURS_A_YEAR = 200.0
NEED_COST_PER_HOUR = 45.0
RUNNING_PER_HOUR = 6.2  # maintenance, energy, insurance, tooling of a restored machine
NEW_RUNS_CHEAPER = 1.0  # per hour, less maintenance
HOURS_LOG_SD_SAID = 0.25
HOURS_LOG_SD_ASSUMED = 0.5
MARKET_LOG_SD = 0.35  # all machines of a kind bring more or less together
SINGLE_LOG_SD = 0.28  # and each on its own: together the 0.45 of the tables
USED_HOURS, USED_DAYS = Three(10.0, 24.0, 60.0), Three(20.0, 45.0, 110.0)
NEW_HOURS, NEW_DAYS = Three(8.0, 20.0, 40.0), Three(60.0, 110.0, 220.0)


@dataclass(frozen=True, slots=True, eq=False)
class Worth:
    """What work of one kind is worth to the shop in every world.

    Attributes
    ----------
    margin_a_year : ndarray, shape (worlds,)
        What a machine of our own saves in a year of that work, operator's hour paid.
    hours_a_year : ndarray, shape (worlds,)
        Hours of that work in a year.
    interest, horizon : float
    best : str
        The alternative with the highest mean value, fixed before worlds are looked at.
    value : ndarray, shape (worlds,)
        Its value.
    price : ndarray, shape (worlds,)
        What getting it costs; zero where the work is bought in.
    own_hours : ndarray, shape (worlds,)
        Own hours it takes.
    delay_costs : bool
        Whether falling back on it later loses its margin meanwhile.
    names : tuple of (str, float)
        All alternatives with their mean values.
    others : mapping of str to Other
        The same with all they take and bring.
    """

    margin_a_year: Floats
    hours_a_year: Floats
    interest: float
    horizon: float
    best: str
    value: Floats
    price: Floats
    own_hours: Floats
    delay_costs: bool
    names: tuple[tuple[str, float], ...]
    others: Mapping[str, Other] = field(default_factory=dict)

    def margin_from(self, days: Floats) -> Floats:
        """Present value of the margin from a day until the horizon, shape (worlds,)."""
        return self.margin_a_year * present_years(days, self.interest, self.horizon)


def present_years(days: Floats | float, interest: float, horizon: float) -> Floats:
    """Present value of one unit a year, flowing from a day until the horizon.

    Parameters
    ----------
    days : float or ndarray, shape (worlds,)
    interest : float
        Share a year.
    horizon : float
        Years.

    Returns
    -------
    ndarray, shape (worlds,)
        Years, discounted; zero when the day lies beyond the horizon.

    Notes
    -----
    The integral of (1 + i)**-t from the day to the horizon.

    Examples
    --------
    >>> round(float(present_years(0.0, 0.08, 7.0)), 4)
    5.412
    """
    start = np.minimum(np.asarray(days, dtype=np.float64) / DAYS_A_YEAR, horizon)
    if interest == 0.0:
        return np.asarray(horizon - start)
    ends = discount_factors(interest, start) - discount_factors(interest, horizon)
    return np.asarray(ends / np.log1p(interest))


def later(days: Floats | float, interest: float) -> Floats:
    """What one unit of money on a later day is worth now.

    Parameters
    ----------
    days : float or ndarray, shape (worlds,)
    interest : float
        Share a year.

    Returns
    -------
    ndarray, shape (worlds,)
    """
    return discount_factors(interest, np.asarray(days, dtype=np.float64) / DAYS_A_YEAR)


def ages(machine: Machine, drawer: Drawer) -> Floats:
    """The age in every world: as said, or from a wide range.

    Parameters
    ----------
    machine : Machine
    drawer : Drawer

    Returns
    -------
    ndarray, shape (worlds,), years
    """
    if machine.age_years is not None:
        return np.full(drawer.worlds, machine.age_years)
    return drawer.pert(machine.name, "age", Three(*AGE_YEARS))


def new_prices(machine: Machine, kind: Kind, drawer: Drawer) -> Floats:
    """The price of a comparable new machine today in every world.

    Parameters
    ----------
    machine : Machine
    kind : Kind
    drawer : Drawer

    Returns
    -------
    ndarray, shape (worlds,), money
    """
    if machine.new_price is not None:
        return np.full(drawer.worlds, float(machine.new_price))
    return drawer.pert(machine.name, "new price", band(kind, "info: base of resale").amount)


def market(kind: Kind, drawer: Drawer) -> Floats:
    """How the market for a kind stands when it is sold, the same for every machine of it.

    Parameters
    ----------
    kind : Kind
    drawer : Drawer

    Returns
    -------
    ndarray, shape (worlds,)
        A factor with median one.
    """
    return drawer.lognormal(kind.id, "market", MARKET_LOG_SD)


def resale_luck(machine: Machine, kind: Kind, drawer: Drawer) -> Floats:
    """What one machine brings against the tables: the market of its kind, and its own luck.

    The spread of the tables is shared out so that both together have it.

    Parameters
    ----------
    machine : Machine
    kind : Kind
    drawer : Drawer

    Returns
    -------
    ndarray, shape (worlds,)
        A factor with median one.
    """
    log_sd = kind.levels["right"].resale_log_sd
    own = max(0.0, log_sd**2 - MARKET_LOG_SD**2) ** 0.5
    return market(kind, drawer) * drawer.lognormal(machine.name, "resale", own)


def resale_share(shares: dict[int, float], age: Floats) -> Floats:
    """Share of the new price at an age; straight in the logarithm, and on beyond the last age.

    Parameters
    ----------
    shares : dict of int to float
        Age in years to share of the price of a comparable new machine.
    age : ndarray, shape (worlds,), years

    Returns
    -------
    ndarray, shape (worlds,)
    """
    years = np.array(sorted(shares), dtype=np.float64)
    logs = np.log(np.array([shares[int(y)] for y in years]))
    slope = (logs[-1] - logs[-2]) / (years[-1] - years[-2])
    inside = np.interp(age, years, logs)
    return np.asarray(
        np.exp(np.where(age > years[-1], logs[-1] + slope * (age - years[-1]), inside))
    )


def band(kind: Kind, when: str, *, dearest: bool = True) -> Cost:
    """The price band of a kind with this role.

    Parameters
    ----------
    kind : Kind
    when : str
        The role in the tables: ``info: alternative``.
    dearest : bool
        Of several the dearest (proven), else the cheapest (running).

    Returns
    -------
    Cost
    """
    rows = [cost for cost in kind.costs.values() if cost.when == when]
    pick = max if dearest else min
    return pick(rows, key=lambda cost: cost.amount.likely)


def worth_of_work(case: LotCase, kind: Kind, settled: Settled, drawer: Drawer) -> Worth:
    """The work of one kind and its best alternative, world by world.

    Parameters
    ----------
    case : LotCase
    kind : Kind
    settled : Settled
    drawer : Drawer

    Returns
    -------
    Worth
    """
    work = _work(case, kind, settled, drawer)
    given = [a for a in case.alternatives if a.kind == kind.id]
    nothing = np.zeros(drawer.worlds)
    values = {say("buy the work in"): bought_in(nothing, nothing)}
    for alternative in given:
        values[alternative.name] = _typed(alternative, kind, settled, drawer, work)
    if not given:
        values[say("a proven used one")] = _used(kind, settled, drawer, work)
        values[say("a new one")] = _new(kind, settled, drawer, work)
    means = {name: float(other.value.mean()) for name, other in values.items()}
    best = max(means, key=lambda name: means[name])
    return Worth(
        margin_a_year=work.margin,
        hours_a_year=work.hours,
        interest=settled.interest,
        horizon=settled.horizon,
        best=best,
        value=values[best].value,
        price=values[best].price,
        own_hours=values[best].own_hours,
        delay_costs=values[best].earns,
        names=tuple(means.items()),
        others=values,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Work:
    """Hours of work in a year, and what a machine of our own saves with them."""

    hours: Floats
    margin: Floats


def _work(case: LotCase, kind: Kind, settled: Settled, drawer: Drawer) -> _Work:
    """Saved in a year: what the work costs now, less running it and the operator's hour."""
    needs = [need for need in case.needs if need.kind == kind.id]
    if case.needs and not needs:
        return _Work(np.zeros(drawer.worlds), np.zeros(drawer.worlds))
    said = bool(needs) and all(need.hours_a_year is not None for need in needs)
    spread = HOURS_LOG_SD_SAID if said else HOURS_LOG_SD_ASSUMED
    factor = drawer.lognormal(kind.id, "hours of work a year", spread)
    yearly, saved = 0.0, 0.0
    for hours, cost in [(n.hours_a_year, n.cost_now_per_hour) for n in needs] or [(None, None)]:
        price = NEED_COST_PER_HOUR if cost is None else float(cost)
        share = NEED_HOURS_A_YEAR / max(1, len(needs)) if hours is None else hours
        yearly += share
        saved += share * (price - RUNNING_PER_HOUR - settled.rate)
    return _Work(factor * yearly, factor * saved)


def _typed(
    alternative: Alternative, kind: Kind, settled: Settled, drawer: Drawer, work: _Work
) -> Other:
    """An alternative as the owner typed it; its price is all in."""
    if alternative.way == "buy_in":
        extra = float(alternative.cost_per_hour or 0.0)
        years = present_years(0.0, settled.interest, settled.horizon)
        return bought_in(np.asarray(-extra * work.hours * years), extra * work.hours)
    new = alternative.way == "new"
    guess = band(kind, "info: base of resale" if new else "info: alternative").amount
    three = Three(*(float(p) for p in alternative.price)) if alternative.price else guess
    price = drawer.pert(kind.id, f"price of {alternative.name}", three)
    days = _or(
        alternative.days, drawer, f"days of {alternative.name}", NEW_DAYS if new else USED_DAYS
    )
    hours = _or(
        alternative.own_hours,
        drawer,
        f"hours of {alternative.name}",
        NEW_HOURS if new else USED_HOURS,
    )
    share = alternative.resale_share
    left = price * (share if share is not None else 0.42 if new else 0.6)
    dearer = float(alternative.cost_per_hour or 0.0)
    saved = work.margin - dearer * work.hours
    return _value(price, hours, days, left, saved, settled, alternative.way)


def _or(given: float | None, drawer: Drawer, name: str, guess: Three) -> Floats:
    return (
        drawer.pert("alternatives", name, guess)
        if given is None
        else np.full(drawer.worlds, float(given))
    )


def _used(kind: Kind, settled: Settled, drawer: Drawer, work: _Work) -> Other:
    """A proven used machine of like age, with its own move and hook-up."""
    price = drawer.pert(
        kind.id, "price of a proven used one", band(kind, "info: alternative").amount
    )
    move = sum(
        (
            drawer.pert(kind.id, f"{id} of the alternative", kind.costs[id].amount)
            for id in ("E20", "E24", "E41", "E61")
        ),
        start=np.zeros(drawer.worlds),
    )
    new = drawer.pert(
        kind.id, "new price of the alternative", band(kind, "info: base of resale").amount
    )
    age = drawer.pert(kind.id, "age of the alternative", Three(*AGE_YEARS)) + settled.horizon
    left = new * resale_share(dict(kind.levels["right"].resale_share), age)
    left = left * market(kind, drawer)
    left = left * drawer.lognormal(kind.id, "resale of the alternative", SINGLE_LOG_SD)
    hours = drawer.pert(kind.id, "hours of the alternative", USED_HOURS)
    days = drawer.pert(kind.id, "days of the alternative", USED_DAYS)
    return _value(price + move, hours, days, left, work.margin, settled, "used")


def _new(kind: Kind, settled: Settled, drawer: Drawer, work: _Work) -> Other:
    """A new machine: dear, late, cheaper to run, worth more at the end."""
    price = drawer.pert(kind.id, "price of a new one", band(kind, "info: base of resale").amount)
    age = np.full(drawer.worlds, settled.horizon)
    left = price * resale_share(dict(kind.levels["right"].resale_share), age)
    left = left * market(kind, drawer)
    left = left * drawer.lognormal(kind.id, "resale of a new one", SINGLE_LOG_SD)
    tooling = drawer.pert(kind.id, "tooling of a new one", kind.costs["E61"].amount)
    hours = drawer.pert(kind.id, "hours of a new one", NEW_HOURS)
    days = drawer.pert(kind.id, "days of a new one", NEW_DAYS)
    saved = work.margin + NEW_RUNS_CHEAPER * work.hours
    return _value(price + tooling, hours, days, left, saved, settled, "new")


def _value(
    price: Floats,
    hours: Floats,
    days: Floats,
    left: Floats,
    margin: Floats,
    settled: Settled,
    way: OtherWay,
) -> Other:
    years = present_years(days, settled.interest, settled.horizon)
    end = later(settled.horizon * DAYS_A_YEAR, settled.interest)
    value = -price - hours * settled.rate + margin * years + left * end
    return Other(np.asarray(value), price, hours, days, left, margin, earns=True, way=way)
