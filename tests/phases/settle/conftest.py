"""The lot of two with its book, what it cost, and its frozen sheet, once a module."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.library import load
from tests.phases.settle.costed import BY, GONE, HOURS, LEFT, NOW, ON, PAID, Home, frozen_lot

from retrue.cases.settle.cost_lines import CostView
from retrue.cases.sheet import PriceSheet
from retrue.cases.sheet_json import from_json
from retrue.phases import settle
from retrue.records.facts import Finding, Frozen
from retrue.records.fixing import Chosen
from retrue.records.moving import Arrived
from retrue.records.settling import HoursTold, Posting


@pytest.fixture(scope="module")
def home() -> Home:
    made, kinds = frozen_lot(), load()
    made.shop.add(Arrived(lot=made.lot, machine=made.mill, delivered_on="2026-10-20"), **BY)
    for sort, amount, currency, rate, bucket, line, machine, tax in PAID:
        fact = Posting(
            sort=sort, posted_on="2026-11-02", what=f"{bucket or 'something'} of {machine}",
            amount=Decimal(amount), currency=currency, rate=Decimal(rate) if rate else None,
            rate_on="2026-11-02" if rate else None, lot=made.lot, machine=machine, bucket=bucket,
            line=line, tax_rate=Decimal(tax) if tax else None, whom="somebody",
        )  # fmt: skip
        settle.post(made.shop, fact, on=ON, **BY)
    for name, hours in HOURS:
        key = {"mill": made.mill, "lathe": made.lathe}[name]
        told = HoursTold(lot=made.lot, machine=key, worked_on="2026-11-05", hours=hours)
        settle.tell_hours(made.shop, told, kinds, now=NOW, **BY)
    seen = {"lot": made.lot, "machine": made.mill, "grade": 3, "channel": "apart"}
    made.shop.add(Finding(fault=GONE, answer="absent", **seen), **BY)
    chosen = Chosen(lot=made.lot, machine=made.mill, sort="way", what=LEFT, way="live_with")
    made.shop.add(chosen, **BY)
    return made


@pytest.fixture(scope="module")
def whole(home: Home) -> CostView:
    return home.cost()


@pytest.fixture(scope="module")
def mill(whole: CostView) -> CostView:
    return whole.machines[0]


@pytest.fixture(scope="module")
def sheet(home: Home) -> PriceSheet:
    return from_json(home.shop.current(Frozen)[-1].fact.sheet)
