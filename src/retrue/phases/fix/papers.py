"""What to do on paper and in a calendar: job cards, one week, every day that a plan has."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.fix.buying_lines import BuyRow
from retrue.cases.fix.calendar_entries import CalendarEntry, calendar_entries
from retrue.cases.fix.hands import hands_of
from retrue.cases.fix.lines import Cards, Owed
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.visit_lines import VisitLines, card_lines_of, sheets_of, visit_of
from retrue.cases.fix.week_lines import WeekLines, week_of
from retrue.kinds.library import Kind
from retrue.phases.fix.buying import buying
from retrue.phases.fix.hands import workers
from retrue.phases.fix.waiting import waiting
from retrue.records.shop import RecordShop


def card_sheets(
    made: Cards, kinds: Mapping[str, Kind], *, place: str = "", card: str = ""
) -> tuple[VisitLines, ...]:
    """Cards as their sheets take them.

    Parameters
    ----------
    made : Cards
        Of one machine.
    kinds : mapping of str to Kind
        The library.
    place, card : str
        One visit by the id of its place, or one card by its key; else every visit.

    Returns
    -------
    tuple of VisitLines
        One at least.

    Raises
    ------
    Unknown
        No such card, or nothing to do at that place.
    NotYet
        Nothing is left at this machine.
    """
    kind = kinds[made.kind]
    if card:
        return (card_lines_of(made, card, kind),)
    if place:
        return (visit_of(made, place, kind),)
    sheets = sheets_of(made, kind)
    if not sheets:
        raise NotYet(
            say("{machine} has no card to print", machine=made.machine_name),
            remedy=say("Choose what it is worked for, or say what was found."),
        )
    return sheets


def week(
    shop: RecordShop | None, view: PlanView, kinds: Mapping[str, Kind], *, on: date, day: date
) -> WeekLines:
    """One week of a plan, with whom to ring and what to order in it.

    Parameters
    ----------
    shop : RecordShop or None
        Where it is kept; it is only read. None: what the plan itself tells.
    view : PlanView
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    day : date
        Any day of the week.

    Returns
    -------
    WeekLines
    """
    owed, rows = _around(shop, view, kinds, on)
    hands = tuple(hands_of(one.fact) for one in workers(shop)) if shop is not None else ()
    return week_of(view, day, kinds, on=on, hands=hands, owed=owed, buying=rows)


def calendar(
    shop: RecordShop | None, view: PlanView, kinds: Mapping[str, Kind], *, on: date
) -> tuple[CalendarEntry, ...]:
    """Every evening of a plan, days of hire, whom to ring, what to order, promised dates.

    Parameters
    ----------
    shop : RecordShop or None
        Where it is kept; it is only read. None: what the plan itself tells.
    view : PlanView
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.

    Returns
    -------
    tuple of CalendarEntry
    """
    owed, rows = _around(shop, view, kinds, on)
    hands = tuple(hands_of(one.fact) for one in workers(shop)) if shop is not None else ()
    return calendar_entries(view, hands=hands, owed=owed, buying=rows)


def _around(
    shop: RecordShop | None, view: PlanView, kinds: Mapping[str, Kind], on: date
) -> tuple[tuple[Owed, ...], tuple[BuyRow, ...]]:
    """What is out and what is to be bought, of the lots of a plan."""
    if shop is None:
        return (), ()
    out = waiting(shop, on=on, kinds=kinds).owed
    rows = buying(shop, kinds, on=on).rows
    return (
        tuple(one for one in out if one.out.lot in view.lots),
        tuple(row for row in rows if row.lot in view.lots),
    )
