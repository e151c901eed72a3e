"""What was expected when the bid was frozen; without a frozen sheet, what the tables expect."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from retrue.base.say import say
from retrue.belief.posterior import update
from retrue.cases.assume import Settled, settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.fix.far import Far
from retrue.cases.fix.scene import aim_of
from retrue.cases.network import CaseNetwork, build
from retrue.cases.plans import KEEP, Plan
from retrue.cases.settle.cost_expected import Expected, expected_lines
from retrue.cases.settle.cost_lines import From, Range
from retrue.cases.settle.cost_ranges import moved, of_band, range_of, scaled, sure
from retrue.cases.settle.cost_words import LANDED, bucket_of_sheet
from retrue.cases.settle.cost_worlds import Floats, Worlds, aimed, carried
from retrue.cases.sheet import MachineRow, PriceSheet
from retrue.cases.view import look
from retrue.kinds.library import Kind

LEAST = 0.01  # money below which a bucket of the worlds cannot be drawn out to another average


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineForecast:
    """What was expected of one machine, the price with it; shop's currency.

    Attributes
    ----------
    aim, level : str
        What it was to be worked for.
    price : float
        The hammer price not to go above, its part; 0: nobody froze one.
    buckets : mapping of bucket to Range
    money, landed, hours, days, brings : Range
    lines : tuple of Expected
    """

    name: str
    aim: str
    level: str
    price: float
    money: Range
    landed: Range
    hours: Range
    days: Range
    brings: Range
    buckets: Mapping[str, Range] = field(default_factory=dict)
    lines: tuple[Expected, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """Of one lot.

    Attributes
    ----------
    source : str
        frozen, tables.
    money, landed, hours : Range
        Of all machines together: they share luck and price level.
    buckets : mapping of bucket to Range
        The same.
    """

    source: From
    currency: str
    machines: tuple[MachineForecast, ...]
    money: Range
    landed: Range
    hours: Range
    seed: int
    worlds: int
    buckets: Mapping[str, Range] = field(default_factory=dict)
    assumed: tuple[str, ...] = ()


def forecast_of(
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    sheet: PriceSheet | None,
    hammer: float | None,
    shares: Mapping[str, float] | None = None,
    seed: int = 7,
    worlds: int = 2000,
) -> Forecast:
    """What was expected of a lot.

    Parameters
    ----------
    case : LotCase
        As it was known then: nothing done, with the findings and own figures of that day.
    kinds : mapping of kind id to Kind
    sheet : PriceSheet or None
        As frozen; its sums are taken as they stand, and drawn anew for their ranges. None: the
        tables of today are asked.
    hammer : float or None
        Frozen, in the lot's currency.
    shares : mapping of machine name to float, optional
        Of the price; None: by what each alone is worth on the sheet, else alike.
    seed, worlds : int
        Where no sheet says.

    Returns
    -------
    Forecast

    Raises
    ------
    Unknown
        A machine's kind is not among ``kinds``.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> made = forecast_of(case, load(), sheet=None, hammer=3000.0, worlds=300)
    >>> made.source, made.machines[0].buckets["price"].p50
    ('tables', 3000.0)
    >>> lines = sum(one.mean for one in made.machines[0].lines)
    >>> abs(lines - (made.money.mean - 3000.0 * 1.16)) < 20.0
    True
    """
    built = build(case, kinds)
    settled = settle(case, built.kinds)
    if not case.machines:
        return _of_nothing(case, seed, worlds)
    rows = _rows(case, sheet)
    plans = [_plan(case, one.name, built.kinds[one.name], rows) for one in case.machines]
    drawn = _drawn(case, built, settled, plans, seed if sheet is None else sheet.seed, worlds)
    weights = _weights(case, sheet, shares)
    paid = (hammer or 0.0) * settled.exchange
    machines, whole, floor = [], [], []
    for one in drawn:
        prices = _prices(paid * weights[one.name], settled)
        made, by = _machine(one, rows.get(one.name), prices, settled.exchange)
        machines.append(made)
        whole.append(one.money * by + sum(prices.values()))
        floor.append(_landed(one) * by + sum(prices.values()))
    lines = _lines(case, built, drawn, machines)
    return Forecast(
        source="tables" if sheet is None else "frozen",
        currency=case.shop.currency,
        machines=tuple(replace(made, lines=lines[made.name]) for made in machines),
        money=_together([one.money for one in machines], whole),
        landed=_together([one.landed for one in machines], floor),
        hours=_together([one.hours for one in machines], [one.hours for one in drawn]),
        seed=seed if sheet is None else sheet.seed,
        worlds=worlds,
        buckets=_buckets_together(machines, drawn),
        assumed=_assumed(sheet, hammer, settled),
    )


def _of_nothing(case: LotCase, seed: int, worlds: int) -> Forecast:
    """Of a lot without a machine whose type is known."""
    return Forecast(
        source="tables", currency=case.shop.currency, machines=(), money=sure(0.0),
        landed=sure(0.0), hours=sure(0.0), seed=seed, worlds=worlds,
        assumed=(say("No machine of a known type is in the lot: nothing was expected."),),
    )  # fmt: skip


def _rows(case: LotCase, sheet: PriceSheet | None) -> dict[str, MachineRow]:
    """The sheet's row of each machine that it priced."""
    if sheet is None:
        return {}
    here = {one.name for one in case.machines}
    return {row.name: row for row in sheet.machines if row.plan and row.name in here}


def _plan(case: LotCase, machine: str, kind: Kind, rows: Mapping[str, MachineRow]) -> Plan:
    if machine in rows:
        return aimed(kind, rows[machine].plan, rows[machine].level)
    return aimed(kind, *aim_of(case.chosen, machine))


def _drawn(
    case: LotCase,
    built: CaseNetwork,
    settled: Settled,
    plans: Sequence[Plan],
    seed: int,
    worlds: int,
) -> tuple[Worlds, ...]:
    found, _ = evidence(case, built)
    keep = tuple(Plan(KEEP, "right") for _ in plans)
    view = look(case, built, found, settled, drawer=Drawer(seed, case.lot.name, worlds),
                only=(keep,))  # fmt: skip
    return carried(view.chooser, plans, [Far()] * len(plans), through=False)


def _weights(
    case: LotCase, sheet: PriceSheet | None, shares: Mapping[str, float] | None
) -> dict[str, float]:
    """Each machine's part of the price."""
    told = dict(shares or {})
    if not any(told.values()) and sheet is not None:
        told = {row.name: max(0.0, row.walk_away or 0.0) for row in sheet.machines}
    names = [one.name for one in case.machines]
    whole = sum(told.get(name, 0.0) for name in names)
    if whole <= 0.0:
        return dict.fromkeys(names, 1.0 / max(1, len(names)))
    return {name: told.get(name, 0.0) / whole for name in names}


def _prices(hammer: float, settled: Settled) -> dict[str, float]:
    """What goes up with the hammer price: tax that does not come back with what it is on."""
    with_tax = 1.0 + settled.tax / (1.0 + settled.premium)
    told = {
        "price": hammer * with_tax,
        "premium": hammer * settled.premium * with_tax,
        "tax": hammer * settled.duty,
    }
    return {bucket: money for bucket, money in told.items() if money}


def _machine(
    drawn: Worlds, row: MachineRow | None, prices: Mapping[str, float], exchange: float
) -> tuple[MachineForecast, float]:
    """One machine: its sums as the sheet has them, its ranges as the worlds have, times that."""
    buckets = {name: range_of(money) for name, money in drawn.buckets.items()}
    money, hours, days = range_of(drawn.money), range_of(drawn.hours), range_of(drawn.days)
    by = 1.0
    if row is not None:
        buckets = _as_frozen(buckets, row, exchange, float(drawn.extra.mean()))
        told = sum(one.mean for one in buckets.values())
        by = told / money.mean if money.mean > LEAST else 1.0
        sheet = of_band(row.cost, sum(row.buckets.values()))
        money = moved(scaled(sheet, exchange), float(drawn.extra.mean()))
        hours = moved(of_band(row.own_hours), float(drawn.extra_hours.mean()))
        days = of_band(row.days)
    landed = range_of(_landed(drawn) * by)
    paid = sum(prices.values())
    return MachineForecast(
        name=drawn.name,
        aim=drawn.plan.name,
        level=drawn.plan.level,
        price=prices.get("price", 0.0),
        money=moved(money, paid),
        landed=moved(landed, paid),
        hours=hours,
        days=days,
        brings=range_of(drawn.brings),
        buckets={name: sure(sum_) for name, sum_ in prices.items()} | buckets,
    ), by


def _as_frozen(
    buckets: Mapping[str, Range], row: MachineRow, exchange: float, extra: float
) -> dict[str, Range]:
    """The ranges of the worlds, each drawn out to the average of the sheet."""
    told: dict[str, float] = {}
    for name, money in row.buckets.items():
        bucket = bucket_of_sheet(name)
        told[bucket] = told.get(bucket, 0.0) + money * exchange
    if extra:
        told["parts"] = told.get("parts", 0.0) + extra
    made = {}
    for bucket, mean in told.items():
        drawn = buckets.get(bucket)
        if drawn is None or drawn.mean < LEAST:
            made[bucket] = sure(mean)
        else:
            made[bucket] = scaled(drawn, mean / drawn.mean)
    return made


def _landed(drawn: Worlds) -> Floats:
    """Money on the floor but the price."""
    none = np.zeros(len(drawn.hours))
    mine = (money for bucket, money in drawn.buckets.items() if bucket in LANDED)
    return np.asarray(sum(mine, start=none))


def _together(told: Sequence[Range], drawn: Sequence[Floats]) -> Range:
    """Several machines: the worlds give the range, their own figures its average."""
    whole, mean = range_of(np.asarray(sum(drawn))), sum(one.mean for one in told)
    return scaled(whole, mean / whole.mean) if whole.mean > LEAST else sure(mean)


def _buckets_together(
    machines: Sequence[MachineForecast], drawn: Sequence[Worlds]
) -> dict[str, Range]:
    """Where the money of all machines was to go."""
    made = {}
    for bucket in dict.fromkeys(bucket for one in machines for bucket in one.buckets):
        told = [one.buckets[bucket] for one in machines if bucket in one.buckets]
        money = [one.buckets[bucket] for one in drawn if bucket in one.buckets]
        if money:
            made[bucket] = _together(told, money)
        else:
            made[bucket] = sure(sum(one.mean for one in told))
    return made


def _lines(
    case: LotCase,
    built: CaseNetwork,
    drawn: Sequence[Worlds],
    machines: Sequence[MachineForecast],
) -> dict[str, tuple[Expected, ...]]:
    """What was expected line by line, machine by machine, at the averages of the forecast."""
    found, _ = evidence(case, built)
    marginal = built.marginal_now(update(built.network, found).marginal)
    chances = {key: float(marginal[at]) for key, at in built.faults.items()}
    return {
        one.name: expected_lines(
            case,
            one,
            Far(),
            chances,
            len(drawn),
            means={bucket: told.buckets[bucket].mean for bucket in one.buckets
                   if bucket in told.buckets},
        )
        for one, told in zip(drawn, machines, strict=True)
    }  # fmt: skip


def _assumed(sheet: PriceSheet | None, hammer: float | None, settled: Settled) -> tuple[str, ...]:
    if sheet is not None:
        return ()
    told = [say("No number was frozen before the bidding: what was expected is reckoned from "
                "today's tables and what was seen before the sale.")]  # fmt: skip
    if hammer is None:
        told.append(say("No price was frozen: none is in what was expected."))
    told += [
        say("{field}: {value} ({why})", field=row.field, value=row.value, why=row.why)
        for row in settled.assumed
    ]
    return tuple(told)
