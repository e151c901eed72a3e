"""A machine at rest: since when, its rounds and their due dates, the cell, the damp."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.move.steps import ROUND
from retrue.phases import move
from retrue.records.moving import LaidUp, Round
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.move.plan import show
from retrue.web.prove.where import place_of

CAUTION = "X13"


async def show_rest(request: Request, /, **more: Any) -> Response:
    """What is due, then the round, then what was read so far."""
    place, state = await place_of(request), request.app.state
    today = state.clock().date()
    view = await deed(move.rest, request, place.view.id, place.key, state.kinds, today)
    return show(request, "rest.html", place, view=view, round=ROUND, today=today.isoformat(),
                caution=place.kind.cautions[CAUTION], **more)  # fmt: skip


@again(show_rest)
async def post_rest(request: Request) -> Response:
    """Keep that it rests, or that it does no more."""
    form, place = await typed(request), await place_of(request)
    every, years = form.whole("every_days"), form.real("cell_years")
    form.check()
    fact = LaidUp(
        lot=place.view.id, machine=place.key, since_on=form.text("since_on"),
        until_on=form.text("until_on") or None, where=form.text("where"), every_days=every or 30,
        cell_changed_on=form.text("cell_changed_on") or None, cell_years=years,
    )  # fmt: skip
    where = (place.view.id, place.key, fact, request.app.state.kinds)
    await deed(move.lay_up, request, *where, **hand(request, form))
    return to(f"{place.path}/rest")


@again(show_rest)
async def post_round(request: Request) -> Response:
    """Keep one round."""
    form, place = await typed(request), await place_of(request)
    numbers = {
        "air_c": form.real("air_c", signed=True),
        "humidity_percent": form.real("humidity_percent"),
        "machine_c": form.real("machine_c", signed=True),
        "cell_volts": form.real("cell_volts"),
    }
    form.check()
    fact = Round(lot=place.view.id, machine=place.key, done=form.many("done"),
                 text=form.text("text"), **numbers)  # fmt: skip
    where = (place.view.id, place.key, fact, request.app.state.kinds)
    await deed(move.go_round, request, *where, **hand(request, form))
    return to(f"{place.path}/rest#rounds")
