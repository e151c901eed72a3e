"""The book as one flat JSON object, the same bytes each time."""

from __future__ import annotations

from typing import Any

from retrue.base.say import say
from retrue.cases.settle.lines import Book, BookLine

SCHEMA = "settle.book.1"
PLAIN = ("id", "posted_on", "sort", "what", "whom", "currency", "lot", "lot_name", "bucket",
         "line", "state", "source", "paid_from", "of", "split_words", "rate_on", "brings",
         "missing_rate", "into_currency", "text")  # fmt: skip
MONEY = ("amount", "net", "tax", "tax_back", "in_shop")


def flat(book: Book) -> dict[str, Any]:
    """The book as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    book : Book

    Returns
    -------
    dict
        Money as numbers in the currency beside it.

    Examples
    --------
    >>> flat(Book(currency="EUR"))["balanced"]
    True
    """
    return {
        "accounts": [
            {"account": one.account, "amount": float(one.amount), "currency": one.currency,
             "words": one.words}
            for one in book.accounts
        ],
        "balanced": book.balanced,
        "by_bucket": {name: float(amount) for name, amount in book.by_bucket.items()},
        "closed_until": book.closed_until or None,
        "currency": book.currency,
        "doubts": list(book.doubts),
        "lines": [line_row(one) for one in book.lines],
        "missing_rates": [{"currency": code, "day": day} for code, day in book.missing_rates],
        "schema": SCHEMA,
        "unplaced": book.unplaced,
        "why": {} if book.closed_until else {"closed_until": say("nothing is closed")},
    }  # fmt: skip


def line_row(line: BookLine) -> dict[str, Any]:
    """One line as plain values.

    Parameters
    ----------
    line : BookLine

    Returns
    -------
    dict
    """
    told: dict[str, Any] = {name: getattr(line, name) for name in PLAIN}
    told |= {name: float(getattr(line, name)) for name in MONEY}
    told |= {
        "into_amount": None if line.into_amount is None else float(line.into_amount),
        "machine": line.machine or None,
        "rate": None if line.rate is None else float(line.rate),
        "receipt": line.receipt,
        "shares": [
            {"amount": float(one.amount), "machine": one.machine, "name": one.machine_name}
            for one in line.shares
        ],
    }
    whys = {
        "into_amount": say("nothing was exchanged"),
        "machine": say("it is shared, or the shop's"),
        "rate": say("no rate is kept") if line.missing_rate else say("it is the shop's currency"),
        "receipt": say("none is kept"),
    }
    return told | {"why": {name: why for name, why in whys.items() if told[name] is None}}
