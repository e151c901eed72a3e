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
from retrue.cases.plans import AS_FOUND, KEEP, Plan
from retrue.cases.settle.bearers import by_worth
from retrue.cases.settle.cost_expected import Expected, expected_lines
from retrue.cases.settle.cost_lines import From, Range
from retrue.cases.settle.cost_ranges import moved, of_band, range_of, scaled, sure
from retrue.cases.settle.cost_words import LANDED, bucket_of_sheet
from retrue.cases.settle.cost_worlds import Floats, Worlds, aimed, carried
from retrue.cases.sheet import MachineRow, PriceSheet
from retrue.cases.view import look
from retrue.kinds.library import Kind

SOLD_AS = {"as_found": AS_FOUND, "running": "just_running", "proven": "right"}
"""The state a machine is sold in, and the level its worth is read at."""
PARTS = "parts"
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
    resale : mapping of str to Range
        What it was to bring sold as_found, running, proven, as parts, whatever was planned.
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
    resale: Mapping[str, Range] = field(default_factory=dict)


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
    price : float or None
        The hammer of the whole lot in the shop's currency; None: nobody said any.
    split : str
        How it was split, in words; empty: there is one machine.
    on_others : mapping of bucket to float
        The price's part of machines of an unknown type.
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
    price: float | None = None
    split: str = ""
    on_others: Mapping[str, float] = field(default_factory=dict)


def forecast_of(
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    sheet: PriceSheet | None,
    hammer: float | None,
    others: Sequence[str] = (),
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
        Frozen, or asked where nobody froze one; in the lot's currency. It is split as the book
        splits it: by what each machine alone is worth on the sheet, else alike.
    others : sequence of str
        Names of the lot's machines of an unknown type: the price is theirs too.
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
    weights, split = _weights(case, sheet, others)
    paid = (hammer or 0.0) * settled.exchange
    rest = _prices(paid * sum(weights[name] for name in others), settled)
    machines, whole, floor = [], [], []
    for one in drawn:
        prices = _prices(paid * weights[one.name], settled)
        made, by = _machine(one, rows.get(one.name), prices, settled.exchange)
        machines.append(made)
        whole.append(one.money * by + sum(prices.values()))
        floor.append(_landed(one) * by + sum(prices.values()))
    lines = _lines(case, built, drawn, machines)
    besides = sum(rest.values())
    return Forecast(
        source="tables" if sheet is None else "frozen",
        currency=case.shop.currency,
        machines=tuple(replace(made, lines=lines[made.name]) for made in machines),
        money=moved(_together([one.money for one in machines], whole), besides),
        landed=moved(_together([one.landed for one in machines], floor), besides),
        hours=_together([one.hours for one in machines], [one.hours for one in drawn]),
        seed=seed if sheet is None else sheet.seed,
        worlds=worlds,
        buckets=_with(_buckets_together(machines, drawn), rest),
        price=None if hammer is None else paid,
        split=split,
        on_others=rest,
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
    case: LotCase, sheet: PriceSheet | None, others: Sequence[str]
) -> tuple[dict[str, float], str]:
    """Each machine's part of the price, by the rule of the book; and the rule in words."""
    rows = sheet.machines if sheet is not None else ()
    worth = {row.name: row.walk_away for row in rows if row.walk_away is not None}
    names = [*(one.name for one in case.machines), *others]
    told = by_worth(names, worth)
    whole = sum(float(one) for one in told.weights)
    parts = {
        name: float(one) / whole for name, one in zip(told.keys, told.weights, strict=True)
    }  # fmt: skip
    return parts, told.words if len(names) > 1 else ""


def _with(buckets: Mapping[str, Range], more: Mapping[str, float]) -> dict[str, Range]:
    """Buckets with known sums added."""
    return dict(buckets) | {
        bucket: moved(buckets.get(bucket, sure(0.0)), money) for bucket, money in more.items()
    }


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
        resale=_resale(drawn),
        buckets={name: sure(sum_) for name, sum_ in prices.items()} | buckets,
    ), by


def _resale(drawn: Worlds) -> dict[str, Range]:
    """What it was to bring in each state it can be sold in."""
    one = drawn.prospect
    told = {name: range_of(one.resale(state)) for name, state in SOLD_AS.items()}
    return told | {PARTS: range_of(one.in_parts.brings)}


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
    else:
        told.append(say("No price was frozen: the one that is asked stands in what was "
                        "expected."))  # fmt: skip
    told += [
        say("{field}: {value} ({why})", field=row.field, value=row.value, why=row.why)
        for row in settled.assumed
    ]
    return tuple(told)
