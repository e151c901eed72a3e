"""Who works when, and with what: kept by name; the newest of a name counts."""

from __future__ import annotations

from typing import Any, TypeVar, Unpack

from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.cases.assume import HOURS_A_WEEK
from retrue.cases.fix.hands import Staff, staff
from retrue.cases.fix.kept import newest_named
from retrue.records.checking import problems_of
from retrue.records.facts import Shop
from retrue.records.fixing import Gear, Worker
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

F = TypeVar("F", Worker, Gear)


def workers(shop: RecordShop) -> tuple[Record[Worker], ...]:
    """Everybody who works, as it was said last.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    tuple of Record of Worker
    """
    return newest_named(shop.current(Worker))


def gear(shop: RecordShop) -> tuple[Record[Gear], ...]:
    """Hoist, floor places and other gear, as it was said last.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    tuple of Record of Gear
    """
    return newest_named(shop.current(Gear))


def staffed(shop: RecordShop) -> Staff:
    """Hands and gear as a plan takes them: as kept, else assumed, and what is assumed in words.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    Staff
    """
    mine = shop.current(Shop)
    hours = mine[-1].fact.hours_a_week if mine else None
    who, what = (one.fact for one in workers(shop)), (one.fact for one in gear(shop))
    return staff(who, what, HOURS_A_WEEK if hours is None else hours)


def set_worker(shop: RecordShop, worker: Worker, **hand: Unpack[Hand]) -> Record[Worker]:
    """Keep who works when; said anew of the same name it takes the old one's place.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    worker : Worker
    **hand : Hand
        Who says it.

    Returns
    -------
    Record of Worker

    Raises
    ------
    Unusable
        A field cannot be; each is named.
    """
    return _keep(shop, worker, workers(shop), hand)


def set_gear(shop: RecordShop, gear: Gear, **hand: Unpack[Hand]) -> Record[Gear]:
    """Keep what there is to lift and where there is room, or on which days it is hired.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    gear : Gear
    **hand : Hand
        Who says it.

    Returns
    -------
    Record of Gear

    Raises
    ------
    Unusable
        A field cannot be; each is named.
    """
    return _keep(shop, gear, newest_named(shop.current(Gear)), hand)


def _keep(shop: RecordShop, fact: F, kept: tuple[Record[Any], ...], hand: Hand) -> Record[F]:
    problems = tuple(problems_of(fact))
    if problems:
        raise Unusable(
            say("this cannot be kept as it stands"),
            remedy=say("Mend what is named."),
            problems=problems,
        )
    sent = _sent(shop, fact, hand)
    if sent is not None:
        return sent
    old = next((one for one in kept if one.fact.name == fact.name), None)
    if old is not None and old.fact == fact:
        return old
    return shop.add(fact, replaces=old.id if old else None, **hand)


def _sent(shop: RecordShop, fact: F, hand: Hand) -> Record[F] | None:
    try:
        found = shop.get(type(fact), hand["id"]) if "id" in hand else None
    except Unknown:
        return None
    return found if found is not None and found.fact == fact else None
