"""The front page: tonight, what is due, who owes what, every machine with its next step; lots."""

from __future__ import annotations

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import reader
from retrue.cases.fix.lines import Tonight
from retrue.phases import fix, keeping, settle
from retrue.records.facts import Lot
from retrue.records.shop import Record
from retrue.web.door import deed
from retrue.web.fix.tonight import lists_of
from retrue.web.fix.where import today, words
from retrue.web.front import lot_lines
from retrue.web.pages import render
from retrue.web.settle.hours import hour_words, open_question, told_by
from retrue.web.through import onward

MOST_OWED = 5
MOST_PICKS = 3  # of tonight; the page of what to do has them all


async def show_home(request: Request, lots: list[Record[Lot]]) -> Response:
    """Tonight, what is due, who owes what; every machine with its one next step; then my lots."""
    await deed(request.app.state.behind.read_in, request, reader())
    mine = await deed(fix.in_hand, request)
    lists = await lists_of(request, mine)
    lists = replace(lists, tonight=_short(lists.tonight))
    machines = await onward(request)
    since = await deed(keeping.since_backup, request, today(request))
    return render(
        request,
        "home.html",
        lots=await deed(lot_lines, request, lots),
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
        | {"wrong": {one.where: one for one in lists.evening.problems}},
    )


def _short(tonight: Tonight | None) -> Tonight | None:
    """The first cards of tonight."""
    return None if tonight is None else replace(tonight, picks=tonight.picks[:MOST_PICKS])
