"""What the cost of a lot is told from, read from the shop: the lot as it was, and as it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from retrue.cases.case import LotCase
from retrue.cases.fix.agreed import net_of_out
from retrue.cases.fix.agreed_kept import Told
from retrue.cases.fix.plan_json import from_text
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.quotes import change_of
from retrue.cases.fix.typed import MOST_DAYS
from retrue.cases.settle.cash_curve import Dated
from retrue.cases.settle.cost_actual import line_key
from retrue.cases.settle.cost_days import PlanDay
from retrue.cases.settle.cost_expected import mean_of
from retrue.cases.settle.cost_still import ONCE, Known
from retrue.cases.settle.kept import lines_of
from retrue.cases.settle.lines import BookLine
from retrue.records.facts import CostLine, Finding
from retrue.records.fixing import PlanKept
from retrue.records.moving import Planned
from retrue.records.shop import RecordShop

OUT = ("ordered", "sent_out", "here")


def case_then(
    shop: RecordShop, lot: str, case: LotCase, before: int | None, names: Mapping[str, str]
) -> LotCase:
    """The lot as it was known at a moment: nothing done, with the findings of then.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Id of its first record.
    case : LotCase
        As it stands.
    before : int or None
        Number of a record: what was kept after it is left out. None: nothing was bought yet.
    names : mapping of key to machine name

    Returns
    -------
    LotCase
        Shop, terms and machines as they stand.
    """
    bare = replace(case, happened=(), chosen=())
    if before is None:
        return bare
    filled = lines_of(shop, shop.current(Planned, lot=lot))
    planned = {
        (names.get(one.newest.fact.machine), one.newest.fact.method)
        for one in filled
        if one.first.seq < before
    }
    found = lines_of(shop, shop.current(Finding, lot=lot))
    ids = {one.newest.id for one in found if one.first.seq < before}
    own = lines_of(shop, shop.current(CostLine, lot=lot))
    mine = {
        (names.get(one.newest.fact.machine or ""), one.newest.fact.line)
        for one in own
        if one.first.seq < before
    }
    return replace(
        bare,
        findings=tuple(one for one in case.findings if one.id in ids),
        cost_lines=tuple(one for one in case.cost_lines if (one.machine, one.line) in mine),
        planned=tuple(one for one in case.planned if (one.machine, one.method) in planned),
    )


def known_of(
    lines: Iterable[BookLine],
    names: Mapping[str, str],
    arrived: Iterable[str],
    closed: Iterable[str] = (),
) -> Known:
    """What of a lot is paid or owed, for the sum of what is still to come.

    Parameters
    ----------
    lines : iterable of BookLine
        Of the lot.
    names : mapping of key to machine name
    arrived : iterable of str
        Names of machines that came.
    closed : iterable of str
        Names of machines that are done with.

    Returns
    -------
    Known

    Examples
    --------
    >>> known_of((), {}, ("mill",)).arrived
    frozenset({'mill'})
    """
    paid: dict[tuple[str | None, str], float] = {}
    once: dict[tuple[str, str], float] = {}
    for line in lines:
        if line.brings:
            continue
        for share in line.shares:
            name, money = names.get(share.machine), float(share.amount)
            if name is None:
                continue
            if line.line:
                paid[name, line.line] = paid.get((name, line.line), 0.0) + money
            elif line.bucket in ONCE:
                once[name, line.bucket] = once.get((name, line.bucket), 0.0) + money
    whole = {(None, line) for (_, line), money in paid.items() if money > 0.0 and _is_road(line)}
    mine = {at for at, money in paid.items() if money > 0.0}
    return Known(
        lines=tuple(sorted(mine | whole, key=lambda at: (at[0] or "", at[1]))),
        once={at: money for at, money in sorted(once.items()) if money > 0.0},
        arrived=frozenset(arrived),
        closed=frozenset(closed),
        sums={at: money for at, money in paid.items() if money > 0.0},
    )


def _is_road(line: str) -> bool:
    """Costs of the lot as a whole: one truck."""
    return line in ("E20", "E21", "E22", "E23")


def plan_of_shop(shop: RecordShop) -> PlanView | None:
    """The plan that was kept last.

    Parameters
    ----------
    shop : RecordShop
        It is only read.

    Returns
    -------
    PlanView or None
    """
    kept = shop.current(PlanKept)
    return from_text(kept[-1].fact.plan) if kept else None


def plan_days(plan: PlanView | None) -> dict[str, PlanDay]:
    """When the plan has each machine make its first good part.

    Parameters
    ----------
    plan : PlanView or None

    Returns
    -------
    dict of machine key to PlanDay

    Examples
    --------
    >>> plan_days(None)
    {}
    """
    return {
        one.machine: PlanDay(early_on=one.early_on, even_on=one.even_on, late_on=one.promise_on)
        for one in (plan.machines if plan is not None else ())
    }


def dated_of(
    plan: PlanView | None, told: Told, known: Known, names: Mapping[str, str], *, on: date
) -> dict[str, tuple[Dated, ...]]:
    """What is out on the day it is promised for, what the plan buys on the last day to order it.

    Parameters
    ----------
    plan : PlanView or None
    told : Told
        What is out and quoted of the lot.
    known : Known
        What is paid or owed is not bought again.
    names : mapping of key to machine name
    on : date
        Today: nothing is ordered or paid before it.

    Returns
    -------
    dict of machine key to tuple of Dated
    """
    made: dict[str, tuple[Dated, ...]] = {}
    paid = {(machine, line_key(line)) for machine, line in known.lines}
    out = list(_promised(told, on))
    for key, name in names.items():
        sums = dict(_bought(plan, key, on)) if plan is not None else {}
        sums |= {line: one for machine, line, one in out if machine == key}
        mine = tuple(one for line, one in sums.items() if (name, line_key(line)) not in paid)
        if mine:
            made[key] = mine
    return made


def _promised(told: Told, on: date) -> Iterator[tuple[str, str, Dated]]:
    """What is out, at what was agreed, on its day; where nobody promised one, today."""
    for one in told.outs:
        money = net_of_out(one, change_of(told.case), told.quotes) if one.ended is None else None
        if money is not None and money > 0 and one.out.machine is not None:
            day = date.fromisoformat(one.promised_on) if one.promised_on else on
            words = Dated(on=max(day, on), amount=float(money), words=one.out.what)
            yield one.out.machine, one.out.line or one.out.what, words


def _bought(plan: PlanView, machine: str, on: date) -> Iterator[tuple[str, Dated]]:
    for row in plan.rows:
        if row.card.machine != machine or row.card.state == "done":
            continue
        for part in row.card.parts:
            money = row.card.chance * mean_of(part.money)
            if part.state in OUT or money <= 0.0:
                continue
            day = date.fromisoformat(row.begins[:10]) - timedelta(
                days=round(min(part.days, MOST_DAYS))
            )
            yield part.line, Dated(on=max(day, on), amount=money, words=part.what)


def arrived_in(records: Iterable[Any], names: Mapping[str, str]) -> list[str]:
    """Names of machines that came, or that any other records are about.

    Parameters
    ----------
    records : iterable of Record
        Of Arrived, of CaseClosed.
    names : mapping of key to machine name

    Returns
    -------
    list of str

    Examples
    --------
    >>> arrived_in((), {})
    []
    """
    return [names[one.fact.machine] for one in records if one.fact.machine in names]
