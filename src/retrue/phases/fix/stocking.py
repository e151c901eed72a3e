"""What is on the shelf."""

from __future__ import annotations

from dataclasses import replace
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
        What it does not say of its least, its unit and its place stays as it stood.
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
    if not kept:
        return put(shop, stock, None, hand)
    return put(shop, _as_it_stood(stock, kept[-1].fact), kept[-1], hand)


def _as_it_stood(stock: Stock, old: Stock) -> Stock:
    """A count alone changes the count."""
    return replace(
        stock,
        name=old.name,
        least=old.least if stock.least is None else stock.least,
        unit=stock.unit or old.unit,
        text=stock.text or old.text,
    )


def _same(one: str, other: str) -> bool:
    return one.strip().casefold() == other.strip().casefold()
