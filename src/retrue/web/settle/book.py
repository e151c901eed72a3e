"""The book: its lines, one line, what stands where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any
from urllib.parse import quote, urlencode

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.currencies import minor_units
from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.settle.book_words import place_words, sort_words
from retrue.cases.settle.cost_words import bucket_words
from retrue.cases.settle.ledger import summed
from retrue.cases.settle.lines import AccountRow, Book, BookLine
from retrue.phases import settle
from retrue.records.settling import BUCKETS, Posting
from retrue.records.shop import Record, RecordShop
from retrue.store.table_out import csv_of, xlsx_of
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.settle.post import (
    BOOK,
    every_for,
    form_words,
    home_currency,
    receipt_sent,
    with_receipt,
)
from retrue.web.settle.posting_form import in_form, posting_of
from retrue.web.settle.where import show, today

AT_ONCE = 50
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BookPage:
    """What one page of the book shows of it."""

    lines: tuple[BookLine, ...]
    count: int
    spent: Decimal
    brought: Decimal
    expected: int
    months: tuple[str, ...]
    places: tuple[AccountRow, ...]  # money, debts, deposits, tax
    machines: tuple[AccountRow, ...]
    between: tuple[AccountRow, ...]  # currencies
    query: str
    newer: int | None
    older: int
    left: int


def words() -> dict[str, Any]:
    """What every page of the book tells amounts and codes with."""
    return {
        "digits": minor_units,
        "bucket_words": bucket_words,
        "sort_words": sort_words,
        "place_words": place_words,
    }


def page_of(view: Book, asked: Mapping[str, str]) -> tuple[Book, BookPage]:
    """The lines that were asked for, and the part of them on one page.

    Parameters
    ----------
    view : Book
        Of the lot or machine that was asked for.
    asked : mapping
        ``bucket``, ``month``, and ``from``: the number of the first line.

    Returns
    -------
    tuple of (Book, BookPage)
    """
    months = tuple(sorted({line.posted_on[:7] for line in view.lines}, reverse=True))
    bucket, month = asked.get("bucket", ""), asked.get("month", "")
    if bucket or month:
        wanted = "" if bucket == "none" else bucket
        lines = (
            line
            for line in view.lines
            if (not bucket or line.bucket == wanted) and line.posted_on.startswith(month)
        )
        view = summed(view, lines)
    first = int(asked["from"]) if asked.get("from", "").isdecimal() else 0
    first = min(first, max(0, len(view.lines) - 1))
    end = first + AT_ONCE
    brought = -view.by_bucket.get("brought", Decimal(0))
    kept = {name: asked.get(name, "") for name in ("for", "bucket", "month")}
    there = [one for one in view.accounts if one.amount]
    return view, BookPage(
        lines=view.lines[first:end],
        count=len(view.lines),
        spent=sum(view.by_bucket.values(), Decimal(0)) + brought,
        brought=brought,
        expected=sum(line.state == "expected" for line in view.lines),
        months=months,
        places=tuple(one for one in there if ":" not in one.account and one.account != "exchange"),
        machines=tuple(one for one in there if ":" in one.account),
        between=tuple(one for one in there if one.account == "exchange"),
        query=urlencode(kept),
        newer=max(0, first - AT_ONCE) if first else None,
        older=end if end < len(view.lines) else 0,
        left=max(0, len(view.lines) - end),
    )


async def book_asked(request: Request) -> tuple[Book, BookPage]:
    """The book of what the address asks for."""
    asked = dict(request.query_params)
    lot, _, machine = asked.get("for", "").partition("|")
    view: Book = await deed(
        settle.book, request, on=today(request), lot=lot or None, machine=machine or None
    )
    return page_of(view, asked)


async def show_book(request: Request, /, **more: Any) -> Response:
    """The latest lines, what they come to, what stands where."""
    view, page = await book_asked(request)
    asked = {name: request.query_params.get(name, "") for name in ("for", "bucket", "month")}
    every = {
        "every_for": await deed(every_for, request),
        "buckets": [(one, bucket_words(one)) for one in BUCKETS],
    }
    return show(request, "book.html", view=view, page=page, asked=asked, **every, **words(), **more)


async def give_csv(request: Request) -> Response:
    """The whole book as CSV."""
    rows = await deed(_rows, request, today(request))
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote('book.csv')}"}
    return Response(csv_of(rows), media_type="text/csv", headers=headers)


async def give_xlsx(request: Request) -> Response:
    """The whole book as a spreadsheet."""
    rows = await deed(_rows, request, today(request))
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote('book.xlsx')}"}
    return Response(xlsx_of(rows), media_type=XLSX, headers=headers)


def _rows(shop: RecordShop, on: date) -> list[list[Any]]:
    return settle.book_table(shop, settle.book(shop, on=on))


def one_line(shop: RecordShop, wanted: str, on: date) -> tuple[BookLine, Record[Posting]]:
    """A line in the book, as it counts and as it is kept."""
    first, record = settle.one_posting(shop, wanted)
    for line in settle.book(shop, on=on).lines:
        if line.id == first and line.state == "posted":
            return line, record
    raise Unknown(say("no line in the book is called {wanted}", wanted=wanted),
                  remedy=say("Open the book again and choose from it."))  # fmt: skip


async def show_line(request: Request, /, **more: Any) -> Response:
    """One line: what it costs whom, its receipt, what may follow, correct, take back."""
    line, record = await deed(one_line, request, request.path_params["line"], today(request))
    kept = {"id": record.id, "title": line.what} if request.query_params.get("kept") else None
    start = in_form(record.fact)
    start["for"] = _named(start["for"], line)
    receipt = await deed(settle.receipt_file, request, line.receipt)
    every = await form_words(request)
    return show(
        request, "line.html", line=line, record_id=record.id, kept=kept, start=start, id=fresh(),
        receipt=receipt, **every, **words(), **more,
    )  # fmt: skip


def _named(value: str, line: BookLine) -> str:
    """A machine that was kept without its lot, as the field names it."""
    return f"{line.lot}{value}" if value.startswith("|") else value


@again(show_line)
async def post_correct(request: Request) -> Response:
    """Say a line anew."""
    form = await typed(request)
    sha256 = await receipt_sent(request, form)
    home: str = await deed(home_currency, request)
    fact = posting_of(form, home=home, today=today(request).isoformat())
    wanted = request.path_params["line"]
    old: Posting = (await deed(settle.one_posting, request, wanted))[1].fact
    fact = with_receipt(fact, sha256)
    if fact.machine is None and fact.lot == old.lot:
        fact = replace(fact, shared_by=old.shared_by)
    if fact.shared_by and old.split == "weights" and not fact.split:
        fact = replace(fact, split=old.split, weights=old.weights)
    await deed(settle.correct, request, wanted, fact, on=today(request),
               kinds=request.app.state.kinds, **hand(request, form))  # fmt: skip
    return to(f"{BOOK}/{wanted}")
