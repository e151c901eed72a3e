"""The ladder of first power: where it stands, what comes next, what can be done alone tonight."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.reckon.method import methods
from retrue.phases import wake
from retrue.phases.wake import Ladder
from retrue.web.door import deed, hand, to, typed
from retrue.web.prove.where import place_of
from retrue.web.wake.where import home_of, show, watches_of


async def show_ladder(request: Request, /, **more: Any) -> Response:
    """The stages of first power; with nobody at the main switch, what can be done alone."""
    place, kinds = await place_of(request), request.app.state.kinds
    at_switch = request.query_params.get("at_switch", "").strip()
    at = (place.view.id, place.key)
    ladder: Ladder = await deed(wake.ladder, request, *at, kinds, at_switch=at_switch)
    return show(request, "ladder.html", place, ladder=ladder, at_switch=at_switch,
                books=methods("wake"), **await watches_of(request, place), **more)  # fmt: skip


async def post_back(request: Request) -> Response:
    """Take something of first power back; it stays readable and counts no more."""
    form, place = await typed(request), await place_of(request)
    said = {"reason": form.text("reason"), **hand(request, form)}
    await deed(wake.take_back, request, form.text("record"), **said)
    stage = form.text("stage")
    return to(home_of(place) + (f"/stages/{stage}" if stage in place.kind.stages else ""))
