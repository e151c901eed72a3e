"""What the owner chooses: an aim, a way, a renewal, an extra; the newest counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack

from retrue.cases.fix.choices import refuse_choice
from retrue.cases.fix.scene import aim_of
from retrue.kinds.library import Kind
from retrue.phases.fix.here import machine_at
from retrue.records.fixing import Chosen
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop


def choose(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    chosen: Chosen,
    **hand: Unpack[Hand],
) -> Record[Chosen]:
    """Keep a choice; price, options, cards and dates follow it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    chosen : Chosen
        Its lot and machine are filled in here; a way left empty: what is reckoned best again.
    **hand : Hand
        Who chooses.

    Returns
    -------
    Record of Chosen
        The same one where the same was chosen before.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        It cannot be chosen: nothing of that name, or the level does not allow it; a stop item
        is never lived with.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    fact = replace(chosen, lot=spot.lot, machine=spot.machine)
    kept = shop.current(Chosen, lot=spot.lot, machine=spot.machine)
    level = aim_of([one.fact for one in kept], spot.machine)[1]
    refuse_choice(fact, shop.history(spot.machine)[-1].fact, kind, level)
    old = next((one for one in reversed(kept) if _same(one.fact, fact)), None)
    if old is not None and old.fact == fact:
        return old
    return shop.add(fact, replaces=old.id if old else None, **hand)


def _same(one: Chosen, other: Chosen) -> bool:
    return (one.sort, one.what) == (other.sort, other.what)
