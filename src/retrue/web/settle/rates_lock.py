"""Rates of other currencies, and the closing of the book."""

from __future__ import annotations

from datetime import date
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.formatter import decimals, number
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.books.rates import MOST_DAYS_OLD
from retrue.phases import settle
from retrue.records.settling import BooksClosed, DayRate
from retrue.records.shop import Record
from retrue.store.spreadsheet import as_csv
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.settle.post import home_currency
from retrue.web.settle.where import just_kept, show, today
from retrue.web.uploads import content

RATES, LOCK = "/settle/rates", "/settle/lock"


async def show_rates(request: Request, /, **more: Any) -> Response:
    """Rates that are kept, and the form for one more or a table of them."""
    asked = {name: request.query_params.get(name, "") for name in ("currency", "on", "count")}
    asked["count"] = asked["count"] if asked["count"].isdecimal() else ""
    asked["on"] = asked["on"] or today(request).isoformat()
    rates: list[Record[DayRate]] = await deed(settle.kept_rates, request)
    return show(
        request, "rates.html", rates=rates, asked=asked, kept=just_kept(request, rates, rate_title),
        missing=(await deed(settle.book, request, on=today(request))).missing_rates,
        home=await deed(home_currency, request), most_days=MOST_DAYS_OLD, id=fresh(), **more,
    )  # fmt: skip


def rate_title(fact: DayRate) -> str:
    """A rate in words."""
    return say(
        "{currency} on {day}: {rate}", currency=fact.currency, day=fact.rate_on,
        rate=number(fact.rate, decimals(float(fact.rate))),
    )  # fmt: skip


@again(show_rates)
async def post_rate(request: Request) -> Response:
    """Keep the rate of a day; a second figure takes the place of the first."""
    form = await typed(request)
    rate, day = form.amount("rate"), form.day("rate_on") or today(request).isoformat()
    if rate is None and "rate" not in {one.where for one in form.problems}:
        form.problems.append(
            Problem("rate", say("is empty"), say("Type what one of it was worth."))
        )
    form.check()
    record: Record[DayRate] = await deed(
        settle.day_rate, request, form.text("currency"), rate, rate_on=date.fromisoformat(day),
        on=today(request), sure=form.text("sure") == "yes", **hand(request, form),
    )  # fmt: skip
    return to(f"{RATES}?kept={record.id}")


@again(show_rates)
async def post_rate_file(request: Request) -> Response:
    """Keep the rates of a table; all of them, or none."""
    form = await typed(request)
    uploads = form.files("table")
    if not uploads:
        form.problems.append(Problem("table", say("is not picked"), say("Pick the file.")))
    form.check()
    name = uploads[0].filename or say("table")
    sent = await run_in_threadpool(content, uploads[0])
    text = await run_in_threadpool(as_csv, sent, name)
    kept = await deed(
        settle.import_rates, request, text, name, on=today(request),
        sure=form.text("sure") == "yes", **hand(request, form),
    )  # fmt: skip
    return to(f"{RATES}?count={len(kept)}")


async def show_lock(request: Request, /, **more: Any) -> Response:
    """Up to when the book is closed, and the form to close it further."""
    closings: list[Record[BooksClosed]] = await deed(settle.closings, request)
    kept = just_kept(request, closings, lambda fact: say("closed up to {day}", day=fact.until_on))
    return show(request, "lock.html", closings=closings, kept=kept, id=fresh(), **more)


@again(show_lock)
async def post_lock(request: Request) -> Response:
    """Close the book up to a day."""
    form = await typed(request)
    until = form.day("until_on")
    if until is None and not form.problems:
        form.problems.append(Problem("until_on", say("is not picked"), say("Pick the day.")))
    form.check()
    record: Record[BooksClosed] = await deed(
        settle.lock, request, date.fromisoformat(str(until)), on=today(request),
        text=form.text("text"), **hand(request, form),
    )  # fmt: skip
    return to(f"{LOCK}?kept={record.id}")
