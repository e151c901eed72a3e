"""The front page: tonight, what is due, who owes what, every machine with its next step; lots."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import reader
from retrue.cases.fix.lines import Tonight
from retrue.phases import fix, keeping, settle, worth
from retrue.records.facts import Lot
from retrue.records.shop import Record, RecordShop
from retrue.web.door import deed
from retrue.web.first import show_first
from retrue.web.fix.tonight import lists_of
from retrue.web.fix.where import today, words
from retrue.web.pages import render
from retrue.web.settle.hours import hour_words, open_question, told_by
from retrue.web.through import onward

WAIT_S = 1.5  # right after the start, so long for what is worked out once
LOOK_AGAIN = {"refresh": "2", "cache-control": "no-store"}  # a browser does, with or without script
MOST_OWED = 5
MOST_PICKS = 3  # of tonight; the page of what to do has them all


@dataclass(frozen=True, slots=True)
class LotLine:
    """A lot on the list."""

    id: str
    name: str
    kept: datetime


async def home(request: Request, /, **more: Any) -> Response:
    """Tonight, what is due, who owes what; every machine with its one next step; then my lots."""
    lots = await deed(worth.lots, request)
    if not lots:
        return await show_first(request, **more)
    behind = request.app.state.behind
    if not more and not await run_in_threadpool(behind.ready, WAIT_S):
        lines, share = await deed(_lines, request, lots), behind.share
        return render(request, "home_soon.html", lots=lines, share=share, headers=LOOK_AGAIN)
    await deed(behind.read_in, request, reader())
    mine = await deed(fix.in_hand, request)
    lists = await lists_of(request, mine)
    lists = replace(lists, tonight=_short(lists.tonight))
    machines = await onward(request)
    since = await deed(keeping.since_backup, request, today(request))
    return render(
        request,
        "home.html",
        lots=await deed(_lines, request, lots),
        lists=lists,
        working=lists.said or lists.working,
        most=MOST_OWED,
        active=[one for one in machines if one.step is not None],
        over=[one for one in machines if one.step is None],
        after=await deed(settle.due_after_sale, request, today(request)),
        backup=since.words if since.is_due else "",
        question=await open_question(request),
        told=await told_by(request),
        **words(request)
        | hour_words(request)
        | {"wrong": {one.where: one for one in lists.evening.problems}}
        | more,
    )


def _short(tonight: Tonight | None) -> Tonight | None:
    """The first cards of tonight."""
    return None if tonight is None else replace(tonight, picks=tonight.picks[:MOST_PICKS])


def _lines(shop: RecordShop, lots: list[Record[Lot]]) -> list[LotLine]:
    """The lots, the newest first, by the ids of their first records."""
    return [
        LotLine(shop.history(one.id)[0].id if one.replaces else one.id, one.fact.name, one.noted_at)
        for one in reversed(lots)
    ]
