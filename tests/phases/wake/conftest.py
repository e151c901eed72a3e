"""A floor with a mill, a lathe, a manual mill and a grinder, in memory, and their plates."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.powering import stamp

from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Shop, Terms

MADE = {
    "mill": "vertical_machining_centre",
    "lathe": "turning_centre",
    "knee": "milling_machine",
    "grinder": "surface_grinder",
}


class Floor(FakeShop):
    """The shop, with the words by which every deed finds a machine."""

    kinds: Mapping[str, Kind]

    def at(self, machine: str = "mill") -> tuple[Any, ...]:
        return (self, "school", machine)


@pytest.fixture
def floor(kinds: Mapping[str, Kind]) -> Floor:
    shop = Floor()
    shop.kinds = kinds
    worth.keep_shop(shop, Shop(), by="owner")
    made = [Machine(lot="", name=name, kind=kind) for name, kind in MADE.items()]
    worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    for name in ("mill", "lathe"):
        stamp(shop, "school", name, kinds)
    return shop
