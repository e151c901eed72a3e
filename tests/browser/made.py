"""Lots that stand in the shop before the browser looks; the walk to one is a test of its own."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from tests.browser.conftest import House

from retrue.phases import worth
from retrue.phases.worth import LotView
from retrue.records.facts import Lot, Machine, Terms
from retrue.store.proof import prove

NAMES = {"vertical_machining_centre": "Machining centre", "turning_centre": "Turning centre"}


def lot_of(house: House, name: str, pictures: list[str] | None = None) -> str:
    """The address of a new lot of both machines, with photographs that nobody sorted yet."""
    view = _made(house, name, tuple(NAMES))
    contents = [(Path(path).name, Path(path).read_bytes()) for path in pictures or ()]
    if contents:
        worth.keep_pictures(house.shop, view.id, contents, prove, by="owner")
    return f"{house.address}/lots/{view.id}"


def machine_of(house: House, name: str) -> str:
    """The address of the only machine of a new lot."""
    view = _made(house, name, ("vertical_machining_centre",))
    return f"{house.address}/lots/{view.id}/machines/{view.machines[0][0]}"


def machines_of(house: House, name: str) -> list[str]:
    """The addresses of both machines of a new lot."""
    view = _made(house, name, tuple(NAMES))
    return [f"{house.address}/lots/{view.id}/machines/{key}" for key, _ in view.machines]


def _made(house: House, name: str, kinds: tuple[str, ...]) -> LotView:
    machines = [Machine(lot="", name=NAMES[kind], kind=kind) for kind in kinds]
    terms = Terms(lot="", bid_now=Decimal(4000), premium=0.16, distance_km=42.0)
    return worth.new_lot(house.shop, Lot(name=name), terms, machines, by="owner")
