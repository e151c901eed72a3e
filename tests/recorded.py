"""A machine whose record can be given away: stop items cleared, guards proved, stages signed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tests.powering import signed_up_to

from retrue.cases.wake.closed import clearing_looks
from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.records.facts import Finding, Lot, Machine, Terms
from retrue.records.settling import Included
from retrue.records.shop import RecordShop

MADE = {"mill": "vertical_machining_centre", "lathe": "turning_centre"}
SELLER = "caretaker"
Here = tuple[str, str]


def bare(shop: RecordShop, name: str = "mill", **more: Any) -> Here:
    """A lot of one machine of which nothing is known; its ids."""
    made = [Machine(lot="", name=name, kind=MADE[name], **more)]
    lot = Lot(name="school", seller=SELLER)
    view = worth.new_lot(shop, lot, Terms(lot=""), made, by="An")
    return view.id, view.machines[0][0]


def say(shop: RecordShop, at: Here, **said: Any) -> str:
    """A finding of the machine; its id."""
    told = {"grade": 3, "channel": "apart"} | said
    return shop.add(Finding(lot=at[0], machine=at[1], **told), by="An").id


def cleared(shop: RecordShop, at: Here, kind: Kind, *, but: tuple[str, ...] = ()) -> None:
    """Every stop item looked at, and nothing seen."""
    stops = [one.id for one in kind.faults.values() if one.urgency == "STOP"]
    for fault in stops:
        if fault not in but:
            say(shop, at, check=clearing_looks(kind, fault)[0], answer="not_seen")


def guard(shop: RecordShop, at: Here, what: str, state: str = "proved", grade: int = 3) -> str:
    """How a guard stands, as anybody might have kept it; its id."""
    told: Any = state
    fact = Included(lot=at[0], machine=at[1], what=what, sort="guard", state=told, grade=grade)
    return shop.add(fact, by="An").id


def ready(shop: RecordShop, kinds: Mapping[str, Kind], name: str = "mill", **more: Any) -> Here:
    """A machine whose record is open."""
    at, kind = bare(shop, name, **more), kinds[MADE[name]]
    cleared(shop, at, kind)
    for one in kind.guards.values():
        guard(shop, at, one.name, "not_fitted" if one.optional else "proved")
    signed_up_to(shop, *at, kinds, "P8")
    return at
