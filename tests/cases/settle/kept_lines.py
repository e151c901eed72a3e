"""A lot of two machines, and a book of lines typed for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from retrue.cases.happening import Line
from retrue.cases.settle.kept import BookKept, LotHere, MachineHere
from retrue.cases.settle.lines import Book
from retrue.records.facts import Shop
from retrue.records.settling import Posting
from retrue.records.shop import Record

AT = datetime(2026, 11, 20, 18, tzinfo=UTC)
MILL = MachineHere(key="m", name="mill", lot="l", mass_kg=6500)
LATHE = MachineHere(key="t", name="lathe", lot="l", mass_kg=4500)
KEPT = BookKept(
    shop=Shop(),
    lots={"l": LotHere(id="l", name="school")},
    machines={"m": MILL, "t": LATHE},
    worth={"m": 13_000.0, "t": 3_500.0},
)


def record(fact: Any, id: str = "a", seq: int = 1) -> Record[Any]:
    return Record(id=id, kind=fact.KIND, schema=1, seq=seq, noted_at=AT, observed_at=AT, by="me",
                  device="", replaces=None, fact=fact, sha256="", previous="")  # fmt: skip


def posting(sort: Any, amount: str, **more: Any) -> Posting:
    plain = {"posted_on": "2026-11-20", "what": "thing", "lot": "l"}
    return Posting(sort=sort, amount=Decimal(amount), **plain | more)


def with_lines(*facts: Posting, kept: BookKept = KEPT) -> BookKept:
    lines = [record(fact, f"p{at}", at) for at, fact in enumerate(facts, 1)]
    return replace(kept, postings=tuple(Line(one, one) for one in lines))


def stands(book: Book) -> dict[tuple[str, str], Decimal]:
    return {(one.account, one.currency): one.amount for one in book.accounts if one.amount}
