"""Facts of a screened catalogue made fit to be kept: what their rules ask of each other."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from retrue.records.facts import Fact
from retrue.records.screening import (
    Bidder,
    Catalogue,
    CatalogueContent,
    PartScreened,
    Screening,
    Share,
)

HASH = "0f" * 32


def screened(fact: Fact) -> Fact:
    """The same fact with fields that go together."""
    if isinstance(fact, Catalogue):
        columns = dict(fact.columns)
        return replace(
            fact, content_sha256=HASH, year=2026, columns=tuple(columns.items()),
            rate_currencies=("USD",), rates=(Decimal("0.92"),), rate_on="2026-11-26",
        )  # fmt: skip
    if isinstance(fact, CatalogueContent):
        return replace(fact, content_sha256=HASH)
    if isinstance(fact, Screening | Share | PartScreened):
        return replace(fact, key=HASH)
    if isinstance(fact, Bidder):
        return replace(fact, amount=Decimal(280) if fact.result else None)
    return fact
