"""Own hours beside those that were expected, as the page of what it cost has them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime

from retrue.cases.settle.cost_lines import CostView
from retrue.cases.settle.evening_clock import Wall
from retrue.cases.settle.hour_lines import HoursView
from retrue.cases.settle.hours_view import expected_hours
from retrue.cases.spot import find_lot, first_id
from retrue.kinds.library import Kind
from retrue.phases.settle.costing import cost
from retrue.phases.settle.hours import this_wall, told_hours
from retrue.records.facts import Frozen, Machine
from retrue.records.fixing import PlanKept
from retrue.records.shop import RecordShop


def hours(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    now: datetime | None = None,
    lot: str | None = None,
    wall: Wall = this_wall,
) -> HoursView:
    """Own hours of the shop: open questions, what counts, clocks that run, what was expected.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    kinds : mapping of str to Kind
        The library.
    on : date
        Nothing after that day counts; evenings of the four weeks before it are asked about.
    now : datetime, optional
        No evening ends after it; None: the end of that day.
    lot : str, optional
        Name or id; None: all.
    wall : callable
        The clock on the wall.

    Returns
    -------
    HoursView

    Raises
    ------
    Unknown
        No such lot.
    """
    view = told_hours(shop, on=on, now=now, lot=lot, wall=wall)
    home = None if lot is None else find_lot(shop, lot)[0]
    machines = [one for one in shop.current(Machine) if home in (None, one.fact.lot)]
    here = {first_id(shop, one): one.fact.lot for one in machines}
    seen = _frozen_costs(shop, kinds, home, on)
    plans = shop.current(PlanKept)
    return replace(view, expected=expected_hours(seen, plans, view.by_machine, here))


def _frozen_costs(
    shop: RecordShop, kinds: Mapping[str, Kind], home: str | None, on: date
) -> Iterator[CostView]:
    """What each machine cost, of the lots whose price was frozen."""
    lots = dict.fromkeys(one.fact.lot for one in shop.current(Frozen))
    for lot in lots:
        if home in (None, lot):
            yield from cost(shop, lot, None, kinds, on=on).machines
