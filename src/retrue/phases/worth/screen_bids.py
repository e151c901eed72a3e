"""What several bids of one sale may take together, and which bids that makes the best."""

from __future__ import annotations

from dataclasses import replace
from typing import Unpack

from retrue.base.refusals import Overtaken
from retrue.phases.worth.screen_ids import named, standing
from retrue.phases.worth.screening import catalogue_id
from retrue.records.hand import Hand
from retrue.records.screening import Budget
from retrue.records.sending import same_or_kept
from retrue.records.shop import Record, RecordShop


def budget_of(shop: RecordShop, catalogue: str) -> Record[Budget] | None:
    """What the bids of a sale may take together; None: nobody has said.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Name or id.

    Returns
    -------
    Record of Budget or None
    """
    return standing(shop, Budget, catalogue_id(shop, catalogue))[1]


def set_budget(
    shop: RecordShop, catalogue: str, said: Budget, **hand: Unpack[Hand]
) -> Record[Budget]:
    """Say what the bids of a sale may take together.

    Parameters
    ----------
    shop : RecordShop
    catalogue : str
        Name or id.
    said : Budget
        Its ``catalogue`` is set here.
    **hand : Hand

    Returns
    -------
    Record of Budget
        It takes the place of what stood; the same again is the one that stands.

    Raises
    ------
    Unusable
        A figure that cannot be.
    Overtaken
        Somebody else said otherwise at the same moment.
    """
    home = catalogue_id(shop, catalogue)
    fact = replace(said, catalogue=home)
    first, old = standing(shop, Budget, home)
    if old is not None:
        return same_or_kept(shop, fact, old, hand)
    try:
        return shop.add(fact, **named(hand, first))
    except Overtaken:  # somebody else said it first
        old = standing(shop, Budget, home)[1]
        if old is None or old.fact != fact:
            raise
        return old
