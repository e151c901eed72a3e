"""Closing a machine: what we guessed, what was, what we change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Literal, Unpack

import retrue
from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.fix.outs import outs_of
from retrue.cases.kept_case import kept_case, line_of
from retrue.cases.learned_kinds import every_outcome, every_spent, others_cases, spent_of
from retrue.cases.settle.closed_case import ClosedCase, case_text, read_case
from retrue.cases.settle.closing import LineSpent, compared, told_of
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.settle.cost_lines import CostView
from retrue.cases.settle.fault_guesses import FaultGuess, fault_guesses
from retrue.cases.settle.line_spent import days_waited, hours_spent, money_spent
from retrue.cases.spot import Spot, find
from retrue.kinds.learned_ranges import Spent
from retrue.kinds.library import Kind
from retrue.phases.settle.book import book
from retrue.phases.settle.costing import cost, cost_file, file_book
from retrue.phases.settle.hours import told_hours
from retrue.phases.settle.record import sold_as_of
from retrue.records.facts import Finding, Frozen, Machine
from retrue.records.fixing import Chosen
from retrue.records.hand import Hand
from retrue.records.settling import CaseClosed
from retrue.records.shop import Record, RecordShop

End = Literal["keeps_working", "sold", "parted_out", "scrapped"]
RIGHT = "right"


def closing(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], *, on: date
) -> Closing:
    """What was guessed of a machine and what it was, as it stands today or as it was closed.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library before anything was learned.
    on : date
        Today.

    Returns
    -------
    Closing

    Raises
    ------
    Unknown
        No such lot, machine or type of machine.
    """
    spot = find(shop, lot, machine, kinds)
    kept = shop.current(CaseClosed, machine=spot.machine)
    if kept:
        return _closed(shop, spot, kept[-1], kinds)
    view = cost(shop, spot.lot, spot.machine, kinds, on=on)
    case = _case(shop, spot, view, kinds, "keeps_working", on)
    return replace(
        _told(shop, spot, case, kinds, (*every_spent(shop), *spent_of([case]))),
        still=view.still.mean,
        waits=tuple(_waits(view, case)),
    )


def closing_file(
    case: LotCase,
    content: bytes | None,
    name: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
) -> Closing:
    """The same of a lot that stands in a file, with a book that stands in another.

    Parameters
    ----------
    case : LotCase
        Its findings of faults say what was there; nothing of them was known when it was guessed.
    content : bytes or None
        A table of lines as the book writes it; None: nothing was paid.
    name : str
        Of that file, for refusals.
    machine : str
        By name.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.

    Returns
    -------
    Closing
        Never closed: a file keeps nothing.

    Raises
    ------
    Unreadable, Unusable
        The table is none, or a row of it cannot be.
    Unknown
        The lot has no such machine.
    """
    view = cost_file(case, content, name, machine, kinds, on=on)
    here = next(one for one in case.machines if one.name == machine)
    looks = [one.id for one in case.findings if one.finding.fault is None]
    lines = file_book(case, content, name, on).lines
    made = compared(
        view, kinds[here.kind], fault_guesses(case, looks, machine, kinds),
        tuple(money_spent(lines, machine)), age_years=here.age_years, level=RIGHT,
        end="keeps_working", year=on.year,
    )  # fmt: skip
    spot = Spot(case.lot.name, case.lot.name, machine, machine, kinds[here.kind])
    told = told_of(spot, made, kinds, spent_of([made]), (), 0)
    return replace(told, still=view.still.mean, waits=tuple(_waits(view, made)))


def close(
    shop: RecordShop,
    lot: str,
    machine: str,
    end: End,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    changes: str = "",
    **hand: Unpack[Hand],
) -> Record[CaseClosed]:
    """Keep the table of a machine as it stands; from now on its figures move the tables.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    end : str
        keeps_working, sold, parted_out, scrapped.
    kinds : mapping of str to Kind
        The library before anything was learned.
    on : date
        Today.
    changes : str
        What we change, in one's own words.
    **hand : Hand
        Who closes it.

    Returns
    -------
    Record of CaseClosed
        Closed anew, the newer table takes the place of the older one.

    Raises
    ------
    NotYet
        Nothing was spent, worked or opened: there is nothing to compare.
    """
    spot = find(shop, lot, machine, kinds)
    view = cost(shop, spot.lot, spot.machine, kinds, on=on)
    made = _case(shop, spot, view, kinds, end, on)
    if not any(row.was for row in made.rows):
        raise NotYet(
            say("nothing of {machine} was paid, worked or opened yet", machine=spot.name),
            remedy=say("Put a line in the book, answer an evening, or say what was found."),
        )
    fact = CaseClosed(
        lot=spot.lot, machine=spot.machine, closed_on=on.isoformat(), end=end,
        compared=case_text(made), changes=changes.strip(), version=retrue.__version__,
    )  # fmt: skip
    old = shop.current(CaseClosed, machine=spot.machine)
    if old and replace(old[-1].fact, closed_on=fact.closed_on) == fact:
        return old[-1]
    return shop.add(fact, replaces=old[-1].id if old else None, **hand)


def closed(shop: RecordShop) -> tuple[Record[CaseClosed], ...]:
    """Every machine that is closed, oldest first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    tuple of Record
    """
    return tuple(shop.current(CaseClosed))


def _closed(
    shop: RecordShop, spot: Spot, kept: Record[CaseClosed], kinds: Mapping[str, Kind]
) -> Closing:
    fact = kept.fact
    case = read_case(fact.compared)
    made = _told(shop, spot, case, kinds, tuple(every_spent(shop)))
    return replace(made, closed_on=fact.closed_on, changes=fact.changes)


def _told(
    shop: RecordShop,
    spot: Spot,
    case: ClosedCase,
    kinds: Mapping[str, Kind],
    every: Sequence[Spent],
) -> Closing:
    return told_of(spot, case, kinds, every, every_outcome(shop), len(others_cases(shop)))


def _case(
    shop: RecordShop, spot: Spot, view: CostView, kinds: Mapping[str, Kind], end: End, on: date
) -> ClosedCase:
    machine: Machine = shop.history(spot.machine)[-1].fact
    return compared(
        view,
        kinds[machine.kind],
        _faults(shop, spot, kinds),
        tuple(_spent(shop, spot, kinds, on)),
        age_years=machine.age_years,
        level=_level(shop, spot),
        end=end,
        year=on.year,
        machine=spot.machine,
        sold_as=sold_as_of(shop, spot.lot, spot.machine),
    )


def _faults(shop: RecordShop, spot: Spot, kinds: Mapping[str, Kind]) -> tuple[FaultGuess, ...]:
    """Guessed with what was found until the number was frozen, the first time."""
    frozen = [shop.history(one.id)[0].seq for one in shop.current(Frozen, lot=spot.lot)]
    found = [line_of(shop, one) for one in shop.current(Finding, lot=spot.lot)]
    until = min(frozen, default=0)
    early = {one.newest.id for one in found if one.first.seq < until}
    return fault_guesses(kept_case(shop, spot.lot), early, spot.name, kinds)


def _spent(
    shop: RecordShop, spot: Spot, kinds: Mapping[str, Kind], on: date
) -> Iterator[LineSpent]:
    yield from money_spent(book(shop, on=on, lot=spot.lot).lines, spot.machine)
    yield from hours_spent(told_hours(shop, on=on).rows, spot.machine)
    yield from days_waited(outs_of(shop, spot.lot), spot.machine)


def _level(shop: RecordShop, spot: Spot) -> str:
    aims = [
        one.fact for one in shop.current(Chosen, lot=spot.lot)
        if one.fact.machine == spot.machine and one.fact.sort == "aim"
    ]  # fmt: skip
    return aims[-1].level or aims[-1].way if aims else RIGHT


def _waits(view: CostView, case: ClosedCase) -> Iterator[str]:
    """What is open still; nothing of it forbids closing."""
    if view.unplaced:
        yield say("{count} lines in the book have no place yet.", count=view.unplaced)
    for currency, day in view.missing_rates:
        yield say("No rate is known for {currency} on {day}.", currency=currency, day=day)
    if view.still.mean >= 1.0:
        yield say("Money is still to come: it would count as nothing.")
    if not any(row.sort == "fault" and row.was is not None for row in case.rows):
        yield say("Nobody said what a part was when it was opened: no chance is put to the test.")
