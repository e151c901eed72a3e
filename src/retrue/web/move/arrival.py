"""Arrival: four sides and feet on the truck and on the floor, beside the seller's photographs."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import move
from retrue.records.moving import Arrived
from retrue.store.proof import prove_picture
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.move.papers import damage_pdf
from retrue.web.move.plan import show
from retrue.web.prove.papers import pdf
from retrue.web.prove.where import place_of
from retrue.web.uploads import SCALED, content

CAUTION = "X44"


async def show_arrival(request: Request, /, **more: Any) -> Response:
    """Photograph each side twice; say what is broken; the note has a last day."""
    place, state = await place_of(request), request.app.state
    today = state.clock().date()
    view = await deed(move.arrival, request, place.view.id, place.key, state.kinds, today)
    return show(request, "arrival.html", place, view=view, today=today.isoformat(),
                caution=place.kind.cautions[CAUTION], **more)  # fmt: skip


@again(show_arrival)
async def post_side(request: Request) -> Response:
    """Keep the photographs of one side."""
    form, place = await typed(request), await place_of(request)
    kinds = request.app.state.kinds
    for count, upload in enumerate(form.files("picture")):
        name = upload.filename or ""
        writer = hand(request, form) if count == 0 else hand(request)
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
    )  # fmt: skip
    where = (place.view.id, place.key, fact, request.app.state.kinds)
    await deed(move.arrived, request, *where, **hand(request, form))
    return to(f"{place.path}/arrival#note")


async def damage_file(request: Request) -> Response:
    """The damage note."""
    place, state = await place_of(request), request.app.state
    today = state.clock().date()
    view = await deed(move.arrival, request, place.view.id, place.key, state.kinds, today)
    where = (place.view.id, place.key, state.kinds)
    pictures = await deed(move.damage_pictures, request, *where)

    def printed(shop: Any) -> bytes:
        return damage_pdf(shop, view, pictures, place.machine.name, by=state.settings.by,
                          version=state.settings.edition, at=state.clock())  # fmt: skip

    return pdf(await deed(printed, request), f"{place.machine.name}-damage.pdf")
