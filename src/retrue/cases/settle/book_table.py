"""The book as a table: the same columns written and read. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from retrue.cases.settle.derived_lines import expected
from retrue.cases.settle.kept import BookKept
from retrue.cases.settle.lines import Book, BookLine
from retrue.records.settling import Posting

COLUMNS: Mapping[str, str] = {
    "id": "what other rows name this one by",
    "state": "told: posted; expected rows are not read again",
    "posted_on": "day of the paper: 2026-11-25",
    "sort": ("bought, paid, deposit, deposit_back, sold, received, returned, moved, exchanged"),
    "what": "in words",
    "whom": "at whom, from whom",
    "amount": "in its currency, 0 or more",
    "currency": "three letters; left out, the shop's",
    "rate": "shop's currency for one of it",
    "rate_on": "day that rate is of",
    "tax_rate": "a share: 0.21",
    "tax_in": "yes: the amount holds it; no: it comes on top",
    "tax_scheme": "ordinary, margin, private, import; empty: ordinary",
    "tax_reclaimable": "yes, no; empty: as the scheme says",
    "lot": "its name; empty: the shop as a whole",
    "machine": "its name; empty: the whole lot",
    "bucket": "where the money went",
    "line": "F15:local, E11: what of the forecast it was for",
    "paid_from": "bank, cash, card, own_pocket, owed",
    "split": "of a shared line: value, equal, mass, weights",
    "shared_by": "names of machines, a semicolon between them; empty: all of the lot",
    "weights": "one for each of them",
    "from_stock": "of moved: name on the shelf",
    "from_machine": "of moved: the machine it came from",
    "units": "how many",
    "into_amount": "of exchanged: what came in",
    "into_currency": "of exchanged: its currency",
    "into_place": "of exchanged: where it came in: bank, cash, card, own_pocket",
    "of": "id of the line that is returned, settled, or whose deposit comes back",
    "source": "what it was made from",
    "receipt": "hash of the kept paper",
    "text": "a sentence",
    "net": "told: without tax",
    "tax": "told",
    "tax_back": "told: what of it comes back",
    "in_shop": "told: what it costs, in the shop's currency",
    "shares": "told: machine and amount, a semicolon between them",
}
"""Columns and what stands in them; told ones are not read."""

TOLD = ("state", "net", "tax", "tax_back", "in_shop", "shares")
NAMED = ("lot", "machine", "from_machine")


def table_rows(kept: BookKept, book: Book) -> list[list[Any]]:
    """Heading and rows of a book, newest first.

    Parameters
    ----------
    kept : BookKept
    book : Book
        Of it: its lines are the rows.

    Returns
    -------
    list of list
        Decimals, text or None.

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> table_rows(BookKept(shop=Shop()), Book(currency="EUR")) == [list(COLUMNS)]
    True
    """
    facts: dict[str, Posting] = {one.first.id: one.newest.fact for one in kept.postings}
    if any(line.state == "expected" for line in book.lines):
        facts |= {fact.source: fact for fact in expected(kept, on=date.max)}
    rows: list[list[Any]] = [list(COLUMNS)]
    for line in book.lines:
        told = _told(line)
        if line.id in facts:
            told |= _said(facts[line.id], kept) | _stood(line, facts[line.id])
        rows.append([told.get(column) for column in COLUMNS])
    return rows


def _told(line: BookLine) -> dict[str, Any]:
    shares = "; ".join(f"{one.machine_name or '-'} {one.amount}" for one in line.shares)
    names = ("id", "state", "posted_on", "sort", "what", "whom", "amount", "currency", "rate",
             "bucket", "line", "paid_from", "of", "source")  # fmt: skip
    told = {name: getattr(line, name) or None for name in names}
    zero = {name: getattr(line, name) for name in ("amount", "net", "tax", "tax_back", "in_shop")}
    return told | zero | {"rate_on": line.rate_on or None, "shares": shares or None}


def _stood(line: BookLine, fact: Posting) -> dict[str, Any]:
    """The rate and the shares as they stood, so that the table says the same without the shop."""
    told: dict[str, Any] = {}
    if line.rate is not None:
        told |= {"rate": line.rate, "rate_on": line.rate_on}
    shared = fact.sort != "moved" and len(line.shares) > 1
    if shared and all(one.machine_name for one in line.shares) and line.in_shop:
        told |= {
            "split": "weights",
            "shared_by": "; ".join(one.machine_name for one in line.shares),
            "weights": "; ".join(str(abs(one.amount)) for one in line.shares),
        }
    return told


def _said(fact: Posting, kept: BookKept) -> dict[str, Any]:
    names = ("posted_on", "sort", "what", "whom", "amount", "currency", "rate", "rate_on",
             "tax_rate", "bucket", "line", "paid_from", "split", "from_stock", "units",
             "into_amount", "into_currency", "into_place", "of", "source", "receipt",
             "text")  # fmt: skip
    told: dict[str, Any] = {name: getattr(fact, name) or None for name in names}
    machines = {key: one.name for key, one in kept.machines.items()}
    lots = {id: one.name for id, one in kept.lots.items()}
    reclaimable = {None: None, True: "yes", False: "no"}[fact.tax_reclaimable]
    return told | {
        "amount": fact.amount,
        "tax_in": "yes" if fact.tax_in else "no",
        "tax_scheme": fact.tax_scheme or None,
        "tax_reclaimable": reclaimable,
        "lot": lots.get(fact.lot or "", fact.lot),
        "machine": machines.get(fact.machine or "", fact.machine),
        "from_machine": machines.get(fact.from_machine or "", fact.from_machine),
        "shared_by": "; ".join(machines.get(key, key) for key in fact.shared_by) or None,
        "weights": "; ".join(str(one) for one in fact.weights) or None,
    }
