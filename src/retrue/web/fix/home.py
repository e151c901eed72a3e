"""The front page: tonight, who owes what, what is due; then my lots."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import fix, worth
from retrue.phases.worth import LotView
from retrue.records.facts import Lot
from retrue.records.shop import Record, RecordShop
from retrue.web.door import deed
from retrue.web.fix.tonight import lists_of
from retrue.web.fix.where import words
from retrue.web.pages import render
from retrue.web.settle.hours import hour_words, open_question, told_by

MOST_OWED = 5


@dataclass(frozen=True, slots=True)
class LotLine:
    """A lot on the list, with the ways to its machines."""

    record: Record[Lot]
    machines: tuple[tuple[str, str], ...]  # address, name


async def home(request: Request, /, **more: Any) -> Response:
    """Tonight, who owes what, what is due; then my lots, the newest first."""
    lots = await deed(worth.lots, request)
    if not lots:
        return render(request, "home.html", lots=[], working=False, **more)
    mine = await deed(fix.in_hand, request)
    lists = await lists_of(request, mine)
    hours = {"question": await open_question(request), "told": await told_by(request)}
    return render(
        request,
        "home.html",
        lots=await deed(_lines, request, lots),
        lists=lists,
        working=lists.said or lists.working,
        most=MOST_OWED,
        **words(request)
        | hour_words(request)
        | hours
        | {"wrong": {one.where: one for one in lists.evening.problems}}
        | more,
    )


def _lines(shop: RecordShop, lots: list[Record[Lot]]) -> list[LotLine]:
    lines = []
    for record in reversed(lots):
        view: LotView = worth.view_lot(shop, record.id)
        at = f"/lots/{view.id}/machines/"
        lines.append(LotLine(record, tuple((at + key, m.fact.name) for key, m in view.machines)))
    return lines
