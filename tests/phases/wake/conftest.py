"""A floor with a mill, a lathe, a manual mill and a grinder, in memory, and their plates."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

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


class Clock:
    """A clock that a test moves; each look is a millisecond later than the last."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(milliseconds=1)
        return self.now

    def passes(self, minutes: float) -> datetime:
        self.now += timedelta(minutes=minutes)
        return self.now


class Floor(FakeShop):
    """The shop, with the library and a clock that a test moves."""

    kinds: Mapping[str, Kind]

    def __init__(self) -> None:
        self.clock = Clock()
        super().__init__(self.clock)


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
