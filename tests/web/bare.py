"""A lot of two machines straight in the shop: for pages that are not about its price."""

from __future__ import annotations

from decimal import Decimal

from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.shop import RecordShop

MACHINES = {"vertical_machining_centre": "Bed mill", "turning_centre": "Slant lathe"}


def bare_lot(shop: RecordShop) -> tuple[str, ...]:
    """The paths of its machines, the mill first."""
    machines = [Machine(lot="", name=name, kind=kind) for kind, name in MACHINES.items()]
    terms = Terms(lot="", bid_now=Decimal(4500))
    view = worth.new_lot(shop, Lot(name="Lot 14"), terms, machines, by="owner")
    return tuple(f"/lots/{view.id}/machines/{key}" for key, _ in view.machines)
