"""The purchase list as a table: given out, read again, looked at, then kept."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.buying_lines import Buying
from retrue.cases.fix.preview import Preview
from retrue.phases import fix
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv
from retrue.store.table_out import csv_of, xlsx_of
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.buy import BUY, buying_of, show_buy
from retrue.web.fix.where import show, today
from retrue.web.prove.papers import given
from retrue.web.uploads import content

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


async def _rows(request: Request) -> list[list[Any]]:
    view: Buying = await buying_of(request)
    rows: list[list[Any]] = await deed(fix.buying_table, request, view, request.app.state.kinds)
    return rows


async def csv_file(request: Request) -> Response:
    """The purchase list as CSV."""
    rows = await _rows(request)
    return given(csv_of(rows), "to-buy.csv", "text/csv; charset=utf-8")


async def xlsx_file(request: Request) -> Response:
    """The purchase list as a spreadsheet."""
    rows = await _rows(request)
    made = await deed(lambda _: xlsx_of(rows), request)
    return given(made, "to-buy.xlsx", XLSX)


async def _preview(request: Request, kept: str, name: str) -> Preview:
    """What keeping the table with this hash would do."""
    table = await deed(_kept_table, request, kept)
    kinds, on = request.app.state.kinds, today(request)
    read: Preview = await deed(fix.read_buying, request, table, name, kinds, on=on)
    return read


@again(show_buy)
async def post_read(request: Request) -> Response:
    """Show what a filled-in table would change; nothing of it is kept yet."""
    form = await typed(request)
    sent = form.files("table")
    if not sent:
        what, remedy = say("no table was sent"), say("Pick a CSV or XLSX file.")
        raise Unusable(what, remedy=remedy, problems=(Problem("table", what, remedy),))
    name = sent[0].filename or "table"
    kept = await deed(_keep, request, as_csv(content(sent[0]), name))
    read = await _preview(request, kept, name)
    return show(request, "buy_read.html", read=read, kept=kept, id=fresh())


def _kept_table(shop: RecordShop, kept: str) -> bytes:
    return shop.file(kept)


def _keep(shop: RecordShop, table: bytes) -> str:
    return shop.keep_file(table)


@again(show_buy)
async def post_keep(request: Request) -> Response:
    """Keep what the table tells; the same table twice adds nothing."""
    form = await typed(request)
    read = await _preview(request, form.text("kept"), form.text("name") or "table")
    good = form.text("good_rows") == "yes"
    made = await deed(fix.keep_buying, request, read, good_rows=good, **hand(request, form))
    return to(f"{BUY}?kept={len(made)}#list")
