"""The deeds by which the phases take back what is theirs: the diary asks them by room."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from retrue.phases import fix, move, prove, settle, strip, wake
from retrue.phases.diary import TakeBack
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop


def _sale(shop: RecordShop, one: Record[Any], reason: str, hand: Hand) -> object:
    """Of an offer what stood before counts again; its sale goes out of the book with it."""
    return settle.as_before(shop, one.id, at=(one.fact.lot, one.fact.machine), **hand)


ROOMS: Mapping[str, TakeBack] = {
    "strip": lambda shop, one, reason, hand: strip.withdraw(shop, one.id, reason, **hand),
    "move": lambda shop, one, reason, hand: move.withdraw(shop, one.id, reason, **hand),
    "fix": lambda shop, one, reason, hand: fix.take_back_mark(shop, one.id, reason=reason, **hand),
    "wake": lambda shop, one, reason, hand: wake.take_back(shop, one.id, reason=reason, **hand),
    "prove": lambda shop, one, reason, hand: prove.take_back_sensed(shop, one.id, reason, **hand),
    "settle": lambda shop, one, reason, hand: settle.take_back(shop, one.id, reason, **hand),
    "sale": _sale,
    "hours": lambda shop, one, reason, hand: settle.take_back_hours(shop, one.id, **hand),
}
