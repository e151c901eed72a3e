"""The front page while little is loaded: the first form of an empty shop, or how far it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import note
from retrue.records.facts import Lot
from retrue.records.shop import Record, RecordShop
from retrue.web.called import page
from retrue.web.door import deed
from retrue.web.pages import render

WAIT_S = 1.5  # right after the start, so long for what is worked out once
LOOK_AGAIN = {"refresh": "2", "cache-control": "no-store"}  # a browser does, with or without script
show_first = page("first:show_first")
show_home = page("fix.home:show_home")


@dataclass(frozen=True, slots=True)
class LotLine:
    """A lot on the list."""

    id: str
    name: str
    kept: datetime


async def show_front(request: Request) -> Response:
    """Tonight, what is due, who owes what; every machine with its one next step; then my lots."""
    lots = await deed(note.lots, request)
    if not lots:
        return await show_first(request)
    behind = request.app.state.behind
    if not await run_in_threadpool(behind.ready, WAIT_S):
        lines, share = await deed(lot_lines, request, lots), behind.share
        return render(request, "home_soon.html", lots=lines, share=share, headers=LOOK_AGAIN)
    return await show_home(request, lots)


def lot_lines(shop: RecordShop, lots: list[Record[Lot]]) -> list[LotLine]:
    """The lots, the newest first, by the ids of their first records."""
    return [
        LotLine(shop.history(one.id)[0].id if one.replaces else one.id, one.fact.name, one.noted_at)
        for one in reversed(lots)
    ]
