"""A shop with a lot of two machines, and who writes in it: for tests of the diary."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from tests.fakes.shop import FakeShop
from tests.library import load

from retrue.kinds.library import Kind
from retrue.phases import diary, worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.shop import RecordShop
from retrue.web.taking import ROOMS

BY = {"by": "owner", "device": "phone"}


@dataclass
class Here:
    """A shop with a lot of two machines."""

    shop: RecordShop
    kinds: Mapping[str, Kind]
    lot: str
    mill: str
    lathe: str

    @property
    def at(self) -> dict[str, str]:
        return {"lot": self.lot, "machine": self.mill}

    def back(self, record: str, **named: Any) -> Any:
        return diary.take_back(self.shop, record, rooms=ROOMS, **BY, **named)

    def lines(self, **named: Any) -> list[str]:
        return [row.line for row in diary.kept(self.shop, self.kinds, **named).rows]


def lot_of_two() -> Here:
    """A new shop with them."""
    shop, kinds = FakeShop(), load()
    machines = [
        Machine(lot="", name="Bed mill", kind="vertical_machining_centre"),
        Machine(lot="", name="Slant lathe", kind="turning_centre"),
    ]
    terms = Terms(lot="", bid_now=Decimal(4500))
    view = worth.new_lot(shop, Lot(name="Lot 14"), terms, machines, by="owner")
    (mill, _), (lathe, _) = view.machines
    return Here(shop, kinds, view.id, mill, lathe)
