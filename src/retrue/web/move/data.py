"""Data saved before the plug is pulled: each sort with its file, checksum and read-back."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import say
from retrue.phases import move
from retrue.records.moving import DataCopy
from retrue.store.proof import prove
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.move.plan import show
from retrue.web.prove.where import Place, place_of
from retrue.web.uploads import content

CAUTION = "X13"


async def show_data(request: Request, /, **more: Any) -> Response:
    """What is saved, what is not, and how to read it back."""
    place = await place_of(request)
    kinds = request.app.state.kinds
    plan = await deed(move.plan, request, place.view.id, place.key, kinds)
    return show(request, "data.html", place, data=plan.data,
                caution=place.kind.cautions[CAUTION], **more)  # fmt: skip


@again(show_data)
async def post_copy(request: Request) -> Response:
    """Keep a copy with its checksum, or why there can be none."""
    form, place = await typed(request), await place_of(request)
    sort: Any = form.text("sort")
    kept = await _kept(request, form, place)
    how = form.text("how") or (say("file") if kept else "")
    fact = DataCopy(lot=place.view.id, machine=place.key, sort=sort, how=how, file=kept,
                    second_place=form.text("second_place"), none=form.text("none"))  # fmt: skip
    where = (place.view.id, place.key, fact, request.app.state.kinds)
    await deed(move.keep_copy, request, *where, **hand(request, form))
    return to(f"{place.path}/move/data#{sort}")


async def _kept(request: Request, form: Typed, place: Place) -> str | None:
    """The id of the file that came along, if one did."""
    sent = form.files("file")
    if not sent:
        return None
    where = (place.view.id, place.key, content(sent[0]), sent[0].filename or "", prove)
    kinds = request.app.state.kinds
    record = await deed(move.keep_data_file, request, *where, kinds, **hand(request))
    return str(record.id)


@again(show_data)
async def post_read_back(request: Request) -> Response:
    """Compare what was read again with what was kept."""
    form, place = await typed(request), await place_of(request)
    sent = form.files("again")
    sort = form.text("sort")
    if sent:
        where = (place.view.id, place.key, sort, content(sent[0]), request.app.state.kinds)
        await deed(move.read_back, request, *where, **hand(request, form))
    return to(f"{place.path}/move/data#{sort}")
