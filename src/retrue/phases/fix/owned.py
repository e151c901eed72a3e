"""Lots whose machines are worked on: those that are in hand, not those that one bids for."""

from __future__ import annotations

from typing import Any

from retrue.phases.fix.here import lots_worked
from retrue.records.by_lot import marks_now
from retrue.records.facts import Outcome
from retrue.records.fixing import CardMarked, Chosen, Out
from retrue.records.moving import Arrived, LaidUp
from retrue.records.seeking import Act
from retrue.records.shop import RecordShop
from retrue.records.stripping import AsFound

# what is kept only of a machine that was bought
OURS: tuple[type[Any], ...] = (Arrived, LaidUp, AsFound, Act, CardMarked, Chosen, Out)


def in_hand(shop: RecordShop) -> frozenset[str]:
    """Lots that were won, or whose machines are on the floor or on their way.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    frozenset of str
        Their ids. Nobody is told to work on what he only bids for.
    """
    won = {one.fact.lot for one in shop.current(Outcome) if one.fact.result == "won"}
    kept = {lot for lot in marks_now(shop, OURS) if lot is not None}
    return frozenset(won | kept)


def bid_for(shop: RecordShop) -> frozenset[str]:
    """Lots that are neither in hand nor lost nor walked away from.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    frozenset of str
        Their ids.
    """
    return frozenset(lots_worked(shop)) - in_hand(shop)


def worked_on(shop: RecordShop) -> tuple[str, ...]:
    """The lots that lists and plans are about where nobody names one.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    tuple of str
        Ids, in the order they were kept: those in hand; before the first is, all that one bids
        for, to see what would come.
    """
    every, mine = lots_worked(shop), in_hand(shop)
    return tuple(one for one in every if one in mine) or every
