"""Days of the move that do not wait: the last one to write to a carrier, rounds at a rest."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from retrue.base.say import say
from retrue.cases.fix.lines import Due
from retrue.cases.move.damage import damage_dates
from retrue.cases.move.rounds import round_due
from retrue.cases.spot import Spot, find_lot, first_id
from retrue.records.facts import Machine
from retrue.records.moving import Arrived, LaidUp, Round
from retrue.records.shop import RecordShop

AHEAD_DAYS = 7  # a round is named so many days before it is due
AFTER_DAYS = (
    14  # a last day that went by is named so long, judgement; the page of the move keeps it
)


def due_of(shop: RecordShop, lot: str, on: date) -> tuple[Due, ...]:
    """Days of the move of one lot that are near or have gone by.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Name of the lot, or the id of any record of its line.
    on : date
        Today.

    Returns
    -------
    tuple of Due
        Soonest first.
    """
    home, name = find_lot(shop, lot)
    found: list[Due] = []
    for record in shop.current(Machine, lot=home):
        spot = Spot(home, name, first_id(shop, record), record.fact.name, None)
        arrived = shop.current(Arrived, machine=spot.machine)
        laid = shop.current(LaidUp, machine=spot.machine)
        rounds = shop.current(Round, machine=spot.machine)
        found += damage_due(spot, [one.fact for one in arrived], on)
        found += rest_due(
            spot, [one.fact for one in laid], [one.observed_at.date() for one in rounds], on
        )
    return tuple(sorted(found, key=lambda one: (one.on, one.machine_name)))


def damage_due(spot: Spot, arrived: list[Arrived], on: date) -> list[Due]:
    """The last day to write to the carrier; written, or two weeks after it, named no more.

    Parameters
    ----------
    spot : Spot
    arrived : list of Arrived
        The newest counts.
    on : date

    Returns
    -------
    list of Due
        Of a machine nobody has looked at yet as well: damage that is found later counts as hidden.

    Examples
    --------
    >>> spot = Spot("l", "school", "m", "mill", None)
    >>> from dataclasses import replace
    >>> came = Arrived(lot="l", machine="m", delivered_on="2026-11-23", damage="hidden")
    >>> [(one.on, one.days_left) for one in damage_due(spot, [came], date(2026, 11, 26))]
    [('2026-12-01', 5)]
    >>> written = replace(came, written_on="2026-11-24")
    >>> damage_due(spot, [written], date(2026, 11, 26))
    []
    """
    fact = arrived[-1] if arrived else None
    if fact is None or fact.damage == "none" or fact.written_on:
        return []
    dates = damage_dates(fact)
    left = (dates.write_by - on).days
    if fact.damage == "not_looked":
        if left < 0:
            return []  # the day has gone by, and nothing is known to be broken
        words = say("Look for damage of the way, and write to the carrier what is broken.")
    else:
        words = say("Last day to write to the carrier of what is broken; local law goes first.")
    if left < -AFTER_DAYS:
        return []
    return [_due("damage", spot, dates.write_by, left, words)]


def rest_due(spot: Spot, laid: list[LaidUp], made: Iterable[date], on: date) -> list[Due]:
    """The next round at a machine that rests, a week ahead.

    Parameters
    ----------
    spot : Spot
    laid : list of LaidUp
        The newest counts.
    made : iterable of date
        Days of the rounds made.
    on : date

    Returns
    -------
    list of Due

    Examples
    --------
    >>> spot = Spot("l", "school", "m", "mill", None)
    >>> laid = LaidUp(lot="l", machine="m", since_on="2026-10-20")
    >>> [one.days_left for one in rest_due(spot, [laid], [], date(2026, 11, 26))]
    [-7]
    """
    due = round_due(laid[-1], made) if laid else None
    if due is None or due > on + timedelta(days=AHEAD_DAYS):
        return []
    return [_due("round", spot, due, (due - on).days, say("Go round the machine at rest."))]


def _due(sort: str, spot: Spot, day: date, left: int, words: str) -> Due:
    return Due(
        sort="damage" if sort == "damage" else "round",
        lot=spot.lot,
        lot_name=spot.lot_name,
        machine=spot.machine,
        machine_name=spot.name,
        on=day.isoformat(),
        days_left=left,
        words=words,
    )
