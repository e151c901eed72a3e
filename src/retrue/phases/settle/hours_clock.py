"""Start and stop, for those who like to press a button."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Unpack

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.settle.evening_clock import Wall
from retrue.cases.settle.evening_rules import RULES
from retrue.cases.settle.hour_clock import Stretch, refuse_second, refuse_stop, running, stretches
from retrue.cases.settle.hours import HoursKept, as_known
from retrue.cases.spot import find
from retrue.kinds.library import Kind
from retrue.phases.settle.hours import this_wall
from retrue.records.hand import Hand
from retrue.records.settling import ClockRung, HoursTold
from retrue.records.shop import Record, RecordShop


def start(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    *,
    now: datetime,
    lot: str | None = None,
    machine: str | None = None,
    at: datetime | None = None,
    worker: str = "",
    line: str = "",
    text: str = "",
    wall: Wall = this_wall,
    **hand: Unpack[Hand],
) -> Record[ClockRung]:
    """Begin to work at a machine.

    Parameters
    ----------
    shop : RecordShop
    kinds : mapping of str to Kind
    now : datetime
    lot, machine : str, optional
        Name or id; without a machine ``text`` says what for.
    at : datetime, optional
        When it began; None: now.
    worker : str
        Whose clock; empty: the hand that starts it.
    line : str
        The card.
    text : str
    wall : callable
    **hand : Hand

    Returns
    -------
    Record of ClockRung

    Raises
    ------
    NotYet
        A clock of the same person runs already: at which machine, since when.
    Unusable
        Neither machine nor words; a moment to come.
    Unknown
        No such lot or machine.
    """
    kept = _sent(shop, hand)
    if kept is not None:
        return kept
    spot = find(shop, lot, machine, kinds) if lot and machine else None
    moment = at or now
    _refuse_future(moment, now)
    every = _stretches(shop, wall, now)
    worker = worker and _as_known(shop, worker, hand, every)
    going = running(every, worker or hand["by"])
    refuse_second(going, "" if going is None else _name(shop, going))
    fact = ClockRung(
        how="start", at=wall(moment).isoformat(timespec="seconds"), worker=worker, line=line,
        lot=spot.lot if spot else lot, machine=spot.machine if spot else None, text=text,
    )  # fmt: skip
    return shop.add(fact, **hand)


def stop(
    shop: RecordShop,
    *,
    now: datetime,
    at: datetime | None = None,
    hours: float | None = None,
    of: str | None = None,
    worker: str = "",
    text: str = "",
    wall: Wall = this_wall,
    **hand: Unpack[Hand],
) -> Record[ClockRung]:
    """Stop working.

    Parameters
    ----------
    shop : RecordShop
    now : datetime
    at : datetime, optional
        When it was; None: now.
    hours : float, optional
        Or how long it was.
    of : str, optional
        Id of the start it ends; None: of the clock that runs.
    worker, text : str
    wall : callable
    **hand : Hand

    Returns
    -------
    Record of ClockRung

    Raises
    ------
    NotYet
        No clock runs; or it began so long ago that it must be said when it was stopped.
    Unusable
        It would end before it began, be longer than a day, or is still to come.
    """
    kept = _sent(shop, hand)
    if kept is not None:
        return kept
    every = _stretches(shop, wall, now)
    worker = worker and _as_known(shop, worker, hand, every)
    going = _named(every, of) if of else running(every, worker or hand["by"])
    moment = at or now
    if hours is not None and going is not None:
        moment = going.begins + timedelta(hours=hours)
    _refuse_future(moment, now)
    going = refuse_stop(going, moment, said=at is not None or hours is not None)
    begun = going.start.fact
    fact = ClockRung(
        how="stop", at=wall(moment).isoformat(timespec="seconds"), lot=begun.lot,
        machine=begun.machine, worker=begun.worker or worker, line=begun.line, text=text,
    )  # fmt: skip
    return shop.add(fact, **hand)


def _as_known(shop: RecordShop, worker: str, hand: Hand, every: Sequence[Stretch]) -> str:
    """A worker as he is written in what was told and clocked."""
    kept = HoursKept(told=tuple(shop.current(HoursTold)), stretches=tuple(every))
    return as_known(worker, hand["by"], kept)


def _sent(shop: RecordShop, hand: Hand) -> Record[ClockRung] | None:
    """What was kept under this id already."""
    try:
        return shop.get(ClockRung, hand["id"]) if hand.get("id") else None
    except Unknown:
        return None


def _stretches(shop: RecordShop, wall: Wall, now: datetime) -> tuple[Stretch, ...]:
    return stretches(shop.current(ClockRung), wall, now=now)


def _named(every: tuple[Stretch, ...], start: str) -> Stretch | None:
    return next((one for one in every if one.start.id == start and not one.counts), None)


def _name(shop: RecordShop, going: Stretch) -> str:
    fact = going.start.fact
    if not fact.machine:
        return fact.text
    return str(getattr(shop.history(fact.machine)[-1].fact, "name", fact.text))


def _refuse_future(moment: datetime, now: datetime) -> None:
    if moment > now + RULES.step:
        what = say("a moment to come")
        remedy = say("Say a time that has passed.")
        raise Unusable(what, remedy=remedy, problems=(Problem("at", what, remedy),))
