"""What is on the shelf."""

from __future__ import annotations

from typing import Unpack

from retrue.phases.fix.out_amending import put
from retrue.records.fixing import Stock
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop


def set_stock(shop: RecordShop, stock: Stock, **hand: Unpack[Hand]) -> Record[Stock]:
    """Keep how much of something is on the shelf.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    stock : Stock
        Of a name that stands already, it takes the place of what stood; the same adds nothing.
    **hand : Hand
        Who counted.

    Returns
    -------
    Record of Stock

    Raises
    ------
    Unusable
        A field cannot be; each is named.
    """
    kept = [one for one in shop.current(Stock) if _same(one.fact.name, stock.name)]
    return put(shop, stock, kept[-1] if kept else None, hand)


def _same(one: str, other: str) -> bool:
    return one.strip().casefold() == other.strip().casefold()
