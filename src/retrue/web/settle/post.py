"""Put a line in the book, in plain words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.book_words import PLACES, SCHEMES, SORTS
from retrue.cases.settle.cost_words import bucket_words
from retrue.cases.settle.lines import Book
from retrue.phases import settle, worth
from retrue.records.facts import File
from retrue.records.hand import without_id
from retrue.records.settling import BUCKETS, Posting
from retrue.records.shop import Record, RecordShop
from retrue.store.proof import prove
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.settle.posting_form import in_form, posting_of
from retrue.web.settle.where import back_of, show, today
from retrue.web.uploads import SCALED, content

BOOK = "/settle/book"
ASKED = ("sort", "for", "bucket", "receipt", "what", "amount", "currency", "of", "source")


def every_for(shop: RecordShop) -> list[tuple[str, str]]:
    """What a line may be for: each lot, each of its machines; as values of a field, and names."""
    found = []
    for lot, name, machines in settle.for_whom(shop):
        found.append((lot, say("{lot}, shared", lot=name)))
        found += [(f"{lot}|{key}", f"{name}: {machine}") for key, machine in machines]
    return found


def home_currency(shop: RecordShop) -> str:
    """The shop's own."""
    mine = worth.my_shop(shop)
    return mine.fact.currency if mine is not None else "EUR"


async def form_words(request: Request) -> dict[str, Any]:
    """What the form of a line needs."""
    every = await deed(every_for, request)
    return {
        "every_for": every,
        "every_machine": [(f"|{key.partition('|')[2]}", name) for key, name in every if "|" in key],
        "receipt_kept": getattr(request.state, "receipt", None),
        "sorts": [(key, say(words)) for key, words in SORTS.items()],
        "places": [(key, say(words)) for key, words in PLACES.items()],
        "schemes": [(key, say(words)) for key, words in SCHEMES.items()],
        "buckets": [("", bucket_words("")), *((one, bucket_words(one)) for one in BUCKETS)],
        "home": await deed(home_currency, request),
    }


async def show_post(request: Request, /, **more: Any) -> Response:
    """The form: what happened, how much, for which machine; the rest under more."""
    asked = {name: request.query_params[name] for name in ASKED if name in request.query_params}
    start: dict[str, Any] = {}
    if asked.get("of"):
        start = await deed(_start_of, request, asked["of"], asked.get("sort", ""))
    elif asked.get("source"):
        fact: Posting = await deed(
            settle.expected_posting, request, asked["source"], on=today(request)
        )
        start = in_form(fact)
    values = start | asked | {"posted_on": start.get("posted_on", today(request).isoformat())}
    view: Book = await deed(settle.book, request, on=today(request))
    return show(
        request, "post.html", start=values, id=fresh(), posted=len(view.lines) - known(view),
        known=known(view), **await form_words(request), **more,
    )  # fmt: skip


def known(view: Book) -> int:
    """How many lines are known without typing and wait in the book."""
    return sum(line.state == "expected" for line in view.lines)


def _start_of(shop: RecordShop, of: str, sort: str) -> dict[str, Any]:
    """The form for a line that belongs to another one: its words and its currency."""
    first, record = settle.one_posting(shop, of)
    told = in_form(record.fact)
    keep = ("what", "currency", "for", "bucket", "line", "whom", "amount")
    return {name: told[name] for name in keep if name in told} | {"of": first, "sort": sort}


async def receipt_sent(request: Request, form: Typed) -> str | None:
    """The photograph or PDF that was sent with a form, kept before anything is judged."""
    request.state.receipt = None
    uploads = form.files("paper")
    if not uploads:
        return None
    name = uploads[0].filename or say("photograph")
    bytes_sent = await run_in_threadpool(content, uploads[0])
    record: Record[File] = await deed(
        settle.keep_receipt, request, bytes_sent, name.removeprefix(SCALED), prove,
        whole=not name.startswith(SCALED), **without_id(hand(request)),
    )  # fmt: skip
    request.state.receipt = record.fact.sha256
    return record.fact.sha256


@again(show_post)
async def post_line(request: Request) -> Response:
    """Keep the receipt, then the line; the receipt stays kept where the line is refused."""
    form = await typed(request)
    await receipt_sent(request, form)
    home: str = await deed(home_currency, request)
    fact = posting_of(form, home=home, today=today(request).isoformat())
    fact = with_receipt(fact, request.state.receipt)
    record: Record[Posting] = await deed(
        settle.post,
        request,
        fact,
        on=today(request),
        beside=form.text("beside") == "yes",
        sure=form.text("sure") == "yes",
        kinds=request.app.state.kinds,
        **hand(request, form),
    )
    return to(f"{BOOK}/{record.id}?kept=yes")


def with_receipt(fact: Posting, sha256: str | None) -> Posting:
    """A line with the paper that came with it."""
    return fact if sha256 is None else replace(fact, receipt=sha256)


async def post_expected(request: Request) -> Response:
    """Put a line that is known without typing in the book, as it is known."""
    form = await typed(request)
    source = form.text("source")
    if not source:
        what = say("is not named")
        remedy = say("Open the book again.")
        raise Unusable(what, remedy=remedy, problems=(Problem("source", what, remedy),))
    record: Record[Posting] = await deed(
        settle.post_expected, request, source, on=today(request), **hand(request, form)
    )
    return to(f"{BOOK}/{record.id}?kept=yes")


async def post_take_back(request: Request) -> Response:
    """Take back a record of money and sale; what it said stays readable."""
    form = await typed(request)
    given = (form.text("record"), form.text("reason"))
    await deed(settle.take_back, request, *given, **hand(request, form))
    return to(back_of(form.text("back"), BOOK))
