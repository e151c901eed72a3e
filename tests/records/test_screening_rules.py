"""A fact of a screened catalogue holds nothing that cannot be."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from retrue.records.checking import problems_of
from retrue.records.screening import Bidder, Budget, Catalogue, PartScreened, Screening, Share

HASH = "0f" * 32


def catalogue(**more: Any) -> Catalogue:
    plain = {"name": "a sale", "content_sha256": HASH, "file_name": "sale.csv", "year": 2026}
    return Catalogue(**(plain | more))


def bidder(**more: Any) -> Bidder:
    return Bidder(**({"catalogue": "c", "number": "12", "who": "An"} | more))


@pytest.mark.parametrize(
    "fact",
    [
        catalogue(),
        catalogue(rate_currencies=("USD",), rates=(Decimal("0.92"),), rate_on="2026-11-26"),
        catalogue(columns=(("asking", "Startpreis"),), premium=0.18, sale="sealed"),
        Screening(catalogue="c", key=HASH, seed=7, worlds=2000, lot_count=0, part_count=0),
        Share(catalogue="c", key=HASH, part=0, worker="w", who="An"),
        bidder(limit=Decimal(0)),
        bidder(result="won", amount=Decimal(280)),
        bidder(result="lost"),
        Budget(catalogue="c"),
        Budget(catalogue="c", money=Decimal(40000), odds=0.9, only=("12",)),
    ],
)
def test_what_can_be_is_kept(fact: Any):
    assert list(problems_of(fact)) == []


@pytest.mark.parametrize(
    ("fact", "fields"),
    [
        (catalogue(content_sha256="x"), ["content_sha256"]),
        (catalogue(year=26), ["year"]),
        (catalogue(name=" "), ["name"]),
        (catalogue(premium=18.0, closes_at="Thursday"), ["premium", "closes_at"]),
        (catalogue(rate_currencies=("USD",)), ["rates"]),
        (
            catalogue(rate_currencies=("dollar",), rates=(Decimal(0),), rate_on="2026-11-26"),
            ["rate_currencies", "rates"],
        ),
        (catalogue(rate_currencies=("USD",), rates=(Decimal(1),)), ["rate_on"]),
        (catalogue(columns=(("asking", "a"), ("asking", "b"))), ["columns"]),
        (PartScreened(catalogue="c", key="x", part=0, content="{}"), ["key"]),
        (Share(catalogue="c", key=HASH, part=-1, worker="w", who=""), ["part", "who"]),
        (bidder(result="won"), ["amount"]),
        (bidder(amount=Decimal(280)), ["amount"]),
        (bidder(limit=Decimal(-1)), ["limit"]),
        (bidder(text="W" * 4_001), ["text"]),
        (Budget(catalogue="c", odds=90.0, hours=-1.0), ["hours", "odds"]),
    ],
)
def test_what_cannot_be_is_named_by_its_field(fact: Any, fields: list[str]):
    assert [one.where for one in problems_of(fact)] == fields
