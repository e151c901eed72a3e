"""The first card of tonight at every machine that is worked for."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date

from retrue.cases.onward_facts import CardAhead
from retrue.kinds.library import Kind
from retrue.phases.fix.owned import in_hand
from retrue.phases.fix.tonight import held_lots
from retrue.records.shop import RecordShop


def first_cards(
    shop: RecordShop, kinds: Mapping[str, Kind], on: date, lots: Collection[str]
) -> Mapping[str, CardAhead]:
    """The first card of an evening alone at each machine in hand, and how far its cards are.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    lots : collection of str
        Ids; of those in hand, only these.

    Returns
    -------
    mapping of str to CardAhead
        By machine; of a lot that contradicts itself nothing stands.
    """
    first: dict[str, CardAhead] = {}
    for one in held_lots(shop, kinds, on, sorted(in_hand(shop) & frozenset(lots))):
        first |= one.first
    return first
