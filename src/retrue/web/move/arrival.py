"""Arrival: four sides and feet on the truck and on the floor, beside the seller's photographs."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.paper.damage_note import DamageNote, damage_note, damage_text
from retrue.phases import move, worth
from retrue.phases.move import Arrival
from retrue.records.hand import numbered
from retrue.records.moving import Arrived
from retrue.store.proof import prove_picture
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.move.papers import note_of
from retrue.web.move.plan import show
from retrue.web.prove.papers import pdf
from retrue.web.prove.where import Place, place_of
from retrue.web.uploads import SCALED, content

CAUTION = "X44"


async def show_arrival(request: Request, /, **more: Any) -> Response:
    """Photograph each side twice; say what is broken; the note has a last day."""
    place, state = await place_of(request), request.app.state
    today = state.clock().date()
    view = await deed(move.arrival, request, place.view.id, place.key, state.kinds, today)
    note = await _note(request, place, view)
    text = damage_text(note, on=today) if note else ""
    return show(request, "arrival.html", place, view=view, today=today.isoformat(), text=text,
                caution=place.kind.cautions[CAUTION], **more)  # fmt: skip


@again(show_arrival)
async def post_side(request: Request) -> Response:
    """Keep the photographs of one side."""
    form, place = await typed(request), await place_of(request)
    kinds = request.app.state.kinds
    for count, upload in enumerate(form.files("picture")):
        name = upload.filename or ""
        writer = numbered(hand(request, form), count)
        await deed(
            move.keep_side, request, place.view.id, place.key, content(upload),
            name.removeprefix(SCALED), prove_picture, kinds, spot=form.text("spot"),
            side=form.text("side"), whole=not name.startswith(SCALED), **writer,
        )  # fmt: skip
    return to(f"{place.path}/arrival#{form.text('side')}")


@again(show_arrival)
async def post_arrived(request: Request) -> Response:
    """Keep how it came."""
    form, place = await typed(request), await place_of(request)
    damage: Any = form.text("damage") or "not_looked"
    law: Any = form.text("law") or "CMR"
    days = form.whole("local_days")
    delivered = form.text("delivered_on")
    form.check()
    fact = Arrived(
        lot=place.view.id, machine=place.key, carrier=form.text("carrier"),
        waybill=form.text("waybill"), delivered_on=delivered, damage=damage,
        found_on=form.text("found_on") or None, text=form.text("text"), law=law, local_days=days,
        written_on=form.text("written_on") or None,
    )  # fmt: skip
    where = (place.view.id, place.key, fact, request.app.state.kinds)
    await deed(move.arrived, request, *where, **hand(request, form))
    return to(f"{place.path}/arrival#note")


async def damage_file(request: Request) -> Response:
    """The damage note."""
    place, state = await place_of(request), request.app.state
    today = state.clock().date()
    view = await deed(move.arrival, request, place.view.id, place.key, state.kinds, today)
    note = await _note(request, place, view)
    if note is None:
        raise NotYet(
            say("no damage is kept of this machine"),
            remedy=say("Say on the page of the arrival what is broken, and keep it."),
        )
    at = state.clock()
    content = await deed(lambda _: damage_note(note, at=at), request)
    return pdf(content, f"{place.machine.name}-damage.pdf")


async def _note(request: Request, place: Place, view: Arrival) -> DamageNote | None:
    """The note to the carrier, where there is damage."""
    if view.dates is None:
        return None
    state = request.app.state
    where = (place.view.id, place.key, state.kinds)
    pictures = await deed(move.damage_pictures, request, *where)
    mine = await deed(worth.my_shop, request)
    name = mine.fact.name if mine else say("my shop")
    edition = state.settings.edition.removeprefix("retrue ")
    return note_of(view, pictures, name, by=state.settings.by, version=edition)
