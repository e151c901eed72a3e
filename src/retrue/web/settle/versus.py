"""Was it worth it: against each other way to get the same work done."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.settle.versus_lines import VersusView
from retrue.cases.settle.versus_said import row_words
from retrue.cases.settle.versus_words import other_words
from retrue.phases import settle
from retrue.web.door import deed
from retrue.web.fix.drawn import each_drawn
from retrue.web.fix.options import sum_small
from retrue.web.prove.where import place_of
from retrue.web.settle.where import machine_money, show, today


async def show_versus(request: Request, /, **more: Any) -> Response:
    """Was it worth it, what that hangs on, each other way, the fine print."""
    place, kinds = await place_of(request), request.app.state.kinds
    made: VersusView = await deed(
        settle.versus, request, place.view.id, place.key, kinds, on=today(request),
        **sum_small(request),
    )  # fmt: skip
    hours, rates = await each_drawn(request, [made.hours_curve, made.rate_curve])
    return show(
        request, "versus.html", place=place, made=made, hours=hours, rates=rates,
        here=machine_money(place.view.id, place.key), row_words=row_words,
        other_words=other_words, **more,
    )  # fmt: skip
