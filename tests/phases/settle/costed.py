"""A lot of two with a frozen number, what is paid for it, and one row or line of its cost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

from tests.cases.priced import lot
from tests.fakes.shop import FakeShop
from tests.library import load

from retrue.cases.settle.cost_lines import CostLineRow, CostRow, CostView
from retrue.phases import settle, worth
from retrue.records.facts import Lot, Machine, Shop, Terms

ON = date(2026, 11, 26)
NOW = datetime(2026, 11, 26, 22, 30, tzinfo=UTC)
BY = {"by": "owner"}
FAULT, GONE, LEFT = "F15", "F01", "F96"
WORLDS = 400


@dataclass(frozen=True)
class Home:
    """A shop with a lot of two: the mill is bought, moved and worked on."""

    shop: FakeShop
    lot: str
    mill: str
    lathe: str

    def cost(self, machine: str | None = None) -> CostView:
        return settle.cost(self.shop, self.lot, machine, load(), on=ON, worlds=WORLDS)


# What is paid: sort, amount, currency, rate, bucket, line, machine, tax that is in it
PAID = (
    ("bought", "4000", "EUR", None, "price", "", None, None),
    ("bought", "640", "EUR", None, "premium", "", None, None),
    ("paid", "1210", "EUR", None, "removal", "E11", "mill", "0.21"),  # 1000 after the tax
    ("paid", "900.10", "CHF", "1.05", "outside", f"{FAULT}:local", "mill", None),
    ("bought", "61.03", "EUR", None, "parts", "", "mill", None),
    ("bought", "85", "EUR", None, "", "", "mill", None),
    ("bought", "95", "EUR", None, "other", "", "lathe", None),
    ("paid", "44", "EUR", None, "running", "", "mill", None),
    ("sold", "150", "EUR", None, "parts", "", "mill", None),
)
HOURS = (("mill", 3.5), ("mill", 2.0), ("lathe", 1.25))


def frozen_lot() -> Home:
    shop, kinds = FakeShop(), load()
    mine = Shop(hour_alternative=Decimal(15), hour_full=Decimal(45), hours_a_week=16)
    worth.keep_shop(shop, mine, **BY)
    terms = Terms(lot="", bid_now=Decimal(3000), premium=0.16, bid_step=Decimal(10),
                  tax_reclaimable=True, tax_rate=0.21)  # fmt: skip
    machines = [
        Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24),
        Machine(lot="", name="lathe", kind="turning_centre", age_years=22),
    ]
    priced = lot()
    view = worth.new_lot(
        shop, Lot(name="school"), terms, machines, priced.needs, priced.alternatives, **BY
    )
    worth.freeze(shop, view.id, kinds, seed=7, worlds=WORLDS, **BY)
    return Home(shop, view.id, *(key for key, _ in view.machines))


def row(view: CostView, bucket: str) -> CostRow:
    return next(one for one in view.rows if one.bucket == bucket)


def line(view: CostView, id: str) -> CostLineRow:
    return next(one for one in view.lines if one.line == id)
