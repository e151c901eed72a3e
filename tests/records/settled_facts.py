"""Facts of money and sale made fit to be kept: what their rules ask of each other."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from retrue.records.facts import Fact
from retrue.records.settling import (
    BuyerAsked,
    ClockRung,
    ForSale,
    HoursTold,
    Included,
    LedgerTaken,
    Posting,
    Promised,
    RecordGiven,
    RunFigure,
)

HASH = "0f" * 32


def settled(fact: Fact) -> Fact:
    """The same fact with fields that go together."""
    if isinstance(fact, Posting):
        return _posting(fact)
    if isinstance(fact, HoursTold):
        hours = 0.0 if fact.answer == "not_mine" else abs(fact.hours) % 24
        return replace(fact, hours=hours, begin="19:40", end="22:10")
    if isinstance(fact, ClockRung):
        return replace(fact, machine="mill")
    if isinstance(fact, RunFigure):
        low, likely, high = sorted((fact.low, fact.likely, fact.high))
        return replace(fact, item="energy_kw", low=low, likely=likely, high=high)
    if isinstance(fact, ForSale):
        dump, take, ask = sorted((fact.ask, fact.take or fact.ask, fact.dump or fact.ask))
        return replace(fact, ask=ask, take=take, dump=dump)
    if isinstance(fact, Included):
        guard = fact.sort == "guard"
        state = (fact.state or "proved") if guard else ""
        return replace(fact, state=state, grade=abs(fact.grade) % 6, file=None)
    if isinstance(fact, RecordGiven):
        return replace(fact, content_sha256=HASH)
    if isinstance(fact, LedgerTaken):
        return replace(fact, file_sha256=HASH)
    if isinstance(fact, Promised):
        return replace(fact, until_on=None, kept_on=None)
    return replace(fact, answered_on=None) if isinstance(fact, BuyerAsked) else fact


def _posting(fact: Posting) -> Posting:
    fact = replace(
        fact,
        bucket="parts",
        rate_on="2026-11-25" if fact.rate else None,
        shared_by=("mill", "lathe"),
        weights=(Decimal(2), Decimal(1)),
        of="line",
        from_stock="bearings",
        machine="mill",
        from_machine=None,
        receipt=HASH if fact.receipt else None,
        tax_rate=None if fact.tax_rate is None else Decimal("0.21"),
        into_amount=None,
        into_currency="",
        into_place="",
    )
    if fact.sort == "exchanged":
        return replace(fact, currency="EUR", into_amount=Decimal("1.00"), into_currency="CHF")
    return fact
