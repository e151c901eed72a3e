"""Lines posted in the book of a shop with two machines, and the words of a refusal."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from tests.fakes.shop import FakeShop

from retrue.base.refusals import Refusal
from retrue.phases import settle, worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.settling import Posting
from retrue.records.shop import Record, RecordShop

ON = date(2026, 11, 26)
BY = {"by": "owner"}


def school() -> RecordShop:
    made = FakeShop()
    machines = [Machine(lot="", name=name, kind="vertical_machining_centre")
                for name in ("mill", "lathe")]  # fmt: skip
    worth.new_lot(made, Lot(name="school"), Terms(lot=""), machines, **BY)
    return made


def line(**more: Any) -> Posting:
    plain: dict[str, Any] = {
        "sort": "bought", "posted_on": "2026-11-20", "what": "belts", "amount": Decimal("100.00"),
        "lot": "school", "machine": "mill",
    }  # fmt: skip
    return Posting(**plain | more)


def post(shop: RecordShop, **more: Any) -> Record[Posting]:
    return settle.post(shop, line(**more), on=ON, **BY)


def told(refusal: Refusal) -> str:
    every = " ".join(map(str, refusal.problems))
    return f"{refusal.reason} {refusal.remedy} {every}".replace("\u202f", " ")
