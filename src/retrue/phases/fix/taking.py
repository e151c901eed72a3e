"""What keeps a quote from being taken: it has run out, is younger than the order, or is done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.find.standing import standing
from retrue.cases.kept_case import kept_case
from retrue.cases.spot import first_id
from retrue.kinds.library import Kind
from retrue.phases.fix.out_amending import still_to_come
from retrue.records.facts import Machine
from retrue.records.fixing import Quoted
from retrue.records.shop import RecordShop


def not_taken(
    shop: RecordShop, quoted: Quoted, on: date, kinds: Mapping[str, Kind], today: date | None
) -> Iterator[Problem]:
    """Why a quote cannot be taken on a day.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    quoted : Quoted
    on : date
        The day of the order.
    kinds : mapping of str to Kind
        By it the order of what is done already is refused; empty: nobody looks.
    today : date or None
        No order is of a later day; None: nobody says which day it is.

    Yields
    ------
    Problem
    """
    yield from still_to_come(on.isoformat(), today, "on")
    if on.isoformat() < quoted.quoted_on:
        what = say("is {day}, before the quote of {quoted}", day=on, quoted=quoted.quoted_on)
        yield Problem("on", what, say("Look at both dates again."))
    until = quoted.valid_until_on
    if until is not None and until < on.isoformat():
        what = say("held until {day} only", day=until)
        remedy = say("Ask {whom} again and keep what is said, or correct the day it holds until.",
                     whom=quoted.vendor)  # fmt: skip
        yield Problem("valid_until_on", what, remedy)
    if _is_done(shop, quoted, kinds):
        what = say("{line} is done already", line=quoted.line)
        remedy = say("Open its card again first; or keep what you order with retrue fix send.")
        yield Problem("line", what, remedy)


def _is_done(shop: RecordShop, quoted: Quoted, kinds: Mapping[str, Kind]) -> bool:
    """Whether the fault or job of its line is behind every machine it is for."""
    head = quoted.line.partition(":")[0]
    machines = [
        one.fact
        for one in shop.current(Machine, lot=quoted.lot)
        if quoted.machine in (None, first_id(shop, one)) and one.fact.kind in kinds
    ]
    mine = [
        one for one in machines if head in kinds[one.kind].faults or head in kinds[one.kind].jobs
    ]
    if not mine:
        return False
    case = kept_case(shop, quoted.lot)
    states = [standing(case, one.name, kinds[one.kind]) for one in mine]
    return all(
        head in one.jobs_done or head in (one.treated | one.absent) - one.present for one in states
    )
