"""What it cost: the book beside the forecast and what is still to come. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import reduce

from retrue.cases.settle.cash_curve import Dated, cash_curve
from retrue.cases.settle.cost_actual import Actual, actuals_of, together
from retrue.cases.settle.cost_days import PlanDay, days_of, last_days, until
from retrue.cases.settle.cost_lines import CashCurve, CostLineRow, CostView, DaysView, Range
from retrue.cases.settle.cost_ranges import NOTHING, against, moved, plus, sure
from retrue.cases.settle.cost_rows import (
    PRICES,
    Behind,
    cost_rows,
    known_price,
    line_rows,
    unbooked,
)
from retrue.cases.settle.cost_said import answer_of, assumed_of, fine_of, next_of
from retrue.cases.settle.cost_still import MachineStill, Still
from retrue.cases.settle.cost_together import lines_together
from retrue.cases.settle.cost_words import LANDED
from retrue.cases.settle.forecast import Forecast, MachineForecast
from retrue.cases.settle.lines import BookLine
from retrue.cases.sheet import HourValues
from retrue.kinds.library import Kind


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """Everything the cost of one lot is told from.

    Attributes
    ----------
    keys : mapping of machine name to key
        Of those whose type is known.
    others : tuple of str
        Keys of the lot's other machines: their money is in the lot's sums.
    kinds : mapping of machine name to Kind
    lines : tuple of BookLine
        Of the lot.
    hours : mapping of key to float
        Own, so far.
    hours_by_card : float
        Of them, told by cards alone.
    frozen_on, begun_on : str
        ISO dates; empty: not frozen; not bought.
    plan_days : mapping of key to PlanDay
    sold_on : mapping of key to str
        ISO dates.
    dated : mapping of key to tuple of Dated
        Of what is to come, by the purchase list.
    """

    lot: str
    lot_name: str
    currency: str
    on: date
    keys: Mapping[str, str]
    kinds: Mapping[str, Kind]
    forecast: Forecast
    still: Still
    others: tuple[str, ...] = ()
    lines: tuple[BookLine, ...] = ()
    hours: Mapping[str, float] = field(default_factory=dict)
    hours_note: str = ""
    hours_by_card: float = 0.0
    open_evenings: int = 0
    frozen_on: str = ""
    begun_on: str = ""
    plan_days: Mapping[str, PlanDay] = field(default_factory=dict)
    sold_on: Mapping[str, str] = field(default_factory=dict)
    dated: Mapping[str, tuple[Dated, ...]] = field(default_factory=dict)
    missing_rates: tuple[tuple[str, str], ...] = ()
    assumed: tuple[str, ...] = ()


def cost_of(seen: Seen, machine: str | None = None) -> CostView:
    """The whole lot with each of its machines, or one of them alone.

    Parameters
    ----------
    seen : Seen
    machine : str or None
        Key; None: the whole lot.

    Returns
    -------
    CostView
        Of the lot; ``machines`` in its order. In the book and put on no machine is in the lot's
        sums alone.
    """
    actuals = actuals_of(seen.lines)
    if machine is not None:
        at = [*seen.keys.values()].index(machine)
        told, left = seen.forecast.machines[at], seen.still.machines[at]
        return _machine(seen, told, left, actuals.get(machine, Actual()))
    mine = [actuals.get(key, Actual()) for key in seen.keys.values()]
    machines = tuple(
        _machine(seen, told, left, actual)
        for told, left, actual in zip(
            seen.forecast.machines, seen.still.machines, mine, strict=True
        )
    )
    rest = together([actuals[key] for key in ("", *seen.others) if key in actuals])
    return _lot(seen, machines, together([*mine, rest]), rest)


def _machine(seen: Seen, told: MachineForecast, left: MachineStill, actual: Actual) -> CostView:
    """One machine."""
    key = seen.keys[told.name]
    bought = any(one.here or one.closed for one in seen.still.machines) or known_price(actual)
    behind = Behind(bought=bought, over=left.closed, here=left.here, powered=left.powered,
                    gone=left.gone, done=frozenset(left.done))  # fmt: skip
    price = _price_left(actual, told.buckets, bought)
    still = dict(left.buckets) | {bucket: sure(money) for bucket, money in price.items()}
    assumed = unbooked(actual, told.buckets, still, behind)
    days = days_of(
        seen.begun_on or seen.frozen_on, seen.on, told.days, left, seen.plan_days.get(key)
    )
    paid = sum(price.values())
    view = _view(
        seen,
        actual,
        hours=seen.hours.get(key, 0.0),
        expected=(told.money, told.landed, told.hours),
        left=(moved(left.money, paid), moved(left.landed, paid), left.hours),
        assumed=assumed,
    )
    stop = left.stop if left.stop is not None and days.reached_on is None else None
    return _said(seen, replace(
        view,
        machine=key,
        machine_name=told.name,
        unplaced=actual.unplaced,
        rows=cost_rows(actual, told.buckets, still, assumed),
        lines=line_rows(actual, told.lines, left.lines, behind, seen.kinds.get(told.name),
                        told.buckets, seen.kinds.values()),
        days=days,
        cash=cash_curve(
            actual, view.still, seen.dated.get(key, ()), on=seen.on,
            until=until(days), floor_a_month=left.floor_a_month,
            stop_at=stop.stop_at if stop is not None else None,
        ),
        stop=stop,
        brings_forecast=left.brings if left.brings.p90 >= NOTHING else None,
        brings_then=told.brings if told.brings.p90 >= NOTHING else None,
        resale_then=told.resale,
        sold_on=seen.sold_on.get(key, ""),
    ))  # fmt: skip


def _lot(seen: Seen, machines: tuple[CostView, ...], actual: Actual, rest: Actual) -> CostView:
    """All machines as one, with what stands on none of them."""
    told, left = seen.forecast, seen.still
    price = {
        bucket: sum(row.still.mean for one in machines for row in one.rows
                    if row.bucket == bucket and row.still is not None)
        for bucket in PRICES
    }  # fmt: skip
    price = {bucket: money + told.on_others.get(bucket, 0.0)
             for bucket, money in price.items() if money}  # fmt: skip
    still = dict(left.buckets) | {bucket: sure(money) for bucket, money in price.items()}
    assumed: dict[str, Range] = {}
    for row in (row for one in machines for row in one.rows):
        if row.assumed is not None:
            assumed[row.bucket] = plus(assumed.get(row.bucket, sure(0.0)), row.assumed)
    if "price" in assumed:
        assumed |= {at: moved(assumed.get(at, sure(0.0)), money)
                    for at, money in told.on_others.items()}  # fmt: skip
    paid = sum(price.values())
    view = _view(
        seen,
        actual,
        hours=sum(seen.hours.get(one.machine, 0.0) for one in machines) + seen.hours.get("", 0.0),
        expected=(told.money, told.landed, told.hours),
        left=(moved(left.money, paid), moved(left.landed, paid), left.hours),
        assumed=assumed,
    )
    days = last_days([one.days for one in machines if one.days.even_on is not None])
    dated = [one for key in seen.keys.values() for one in seen.dated.get(key, ())]
    return _said(seen, replace(
        view,
        rows=cost_rows(actual, told.buckets, still, assumed),
        lines=tuple(lines_together([*(one.lines for one in machines), _nobodys(rest)])),
        days=days,
        cash=cash_curve(
            actual, view.still, dated, on=seen.on, until=until(days),
            floor_a_month=sum(one.cash.floor_a_month for one in machines),
        ),
        brings_forecast=left.brings if left.brings.p90 >= NOTHING else None,
        machines=machines,
        nobodys=float(rest.restored),
        unplaced=sum(not one.bucket and not one.brings and bool(one.in_shop)
                     for one in seen.lines),
    ))  # fmt: skip


def _nobodys(actual: Actual) -> tuple[CostLineRow, ...]:
    return line_rows(actual, (), (), Behind())


Expecting = tuple[Range, Range, Range]  # money, landed, own hours


def _view(
    seen: Seen,
    actual: Actual,
    *,
    hours: float,
    expected: Expecting,
    left: Expecting,
    assumed: Mapping[str, Range],
) -> CostView:
    """The sums, without words, rows and days."""
    restored, landed = float(actual.restored), float(actual.landed)
    behind = reduce(plus, assumed.values(), sure(0.0))
    on_floor = reduce(plus, (one for at, one in assumed.items() if at in LANDED), sure(0.0))
    end, floor = plus(moved(left[0], restored), behind), plus(moved(left[1], landed), on_floor)
    hours_end = moved(left[2], hours)
    rates = (seen.still.rate, seen.still.rate_full)
    return CostView(
        lot=seen.lot,
        lot_name=seen.lot_name,
        machine="",
        machine_name="",
        currency=seen.currency,
        on=seen.on.isoformat(),
        landed=landed,
        restored=restored,
        brings=float(actual.brings),
        running=float(actual.running),
        landed_forecast=expected[1],
        landed_end=floor,
        restored_forecast=expected[0],
        restored_end=end,
        still=left[0],
        assumed_money=behind,
        hours=hours,
        hours_forecast=expected[2],
        hours_still=left[2],
        hours_end=hours_end,
        hours_how=seen.hours_note,
        by_hour_value=hour_values(restored, hours, rates),
        by_hour_value_end=hour_values(end.p50, hours_end.p50, rates),
        hour_rates=rates,
        against=against(end.p50, expected[0]),
        hours_against=against(hours_end.p50, expected[2]) if hours or not assumed else "",
        days=DaysView(),
        cash=CashCurve(
            on=seen.on.isoformat(), points=(), floor_a_month=0.0, stop_at=None, dated=0.0
        ),
        forecast_from=seen.forecast.source,
        forecast_on=seen.frozen_on,
        missing_rates=seen.missing_rates,
        lot_price=seen.forecast.price,
        price_split=seen.forecast.split,
        seed=seen.still.seed,
        worlds=seen.still.worlds,
    )


def hour_values(money: float, hours: float, rates: tuple[float, float]) -> HourValues:
    """Money with own hours at nothing, at what an hour could earn elsewhere, at the full rate.

    Parameters
    ----------
    money : float
    hours : float
    rates : (float, float)
        Of the alternative, and the full one.

    Returns
    -------
    HourValues

    References
    ----------
    By definition.

    Examples
    --------
    >>> hour_values(9840.0, 143.0, (15.0, 45.0))
    HourValues(zero=9840.0, alternative=11985.0, full=16275.0)
    """
    return HourValues(
        zero=money, alternative=money + hours * rates[0], full=money + hours * rates[1]
    )


def _price_left(actual: Actual, forecast: Mapping[str, Range], bought: bool) -> dict[str, float]:
    """The frozen price is still to come where it is not bought yet."""
    if bought or known_price(actual):
        return {}
    return {bucket: forecast[bucket].mean for bucket in PRICES if bucket in forecast}


def _said(seen: Seen, view: CostView) -> CostView:
    """The same with its sentences."""
    next_, why, at = next_of(view, seen.open_evenings)
    return replace(
        view,
        answer=answer_of(view),
        next=next_,
        next_why=why,
        next_at=at,
        assumed=(*assumed_of(view, seen.hours_by_card), *seen.assumed,
                 *seen.still.assumed,
                 *seen.forecast.assumed),
        fine=fine_of(view, LANDED),
    )  # fmt: skip
