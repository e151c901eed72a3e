"""The as-found list of one place, and its cleaning, which waits for the list."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import strip
from retrue.phases.strip import PlaceStands
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.find.start import unpicked
from retrue.web.forms import Typed
from retrue.web.prove.where import Place, place_of
from retrue.web.strip.where import back_of, home_of, kept, show


def _at(request: Request, place: Place) -> tuple[str, str, str]:
    return place.view.id, place.key, request.path_params["place"]


async def show_place(request: Request, /, **more: Any) -> Response:
    """One place: cautions, what is lacking before it is cleaned or opened, its list."""
    place, kinds = await place_of(request), request.app.state.kinds
    stands: PlaceStands = await deed(strip.place_stands, request, *_at(request, place), kinds)
    night = (place.view.id, place.key, kinds)
    return show(
        request,
        "place.html",
        place,
        stands=stands,
        allowed=await deed(strip.allowed, request, *night),
        mucks=place.kind.mucks,
        **more,
    )


@again(show_place)
async def post_entry(request: Request) -> Response:
    """Keep one line of the list: done, a reading, later, or not possible because."""
    form, place = await typed(request), await place_of(request)
    entry, said = form.text("entry"), _said(form)
    form.check()
    at = (place.view.id, place.key, entry, request.app.state.kinds)
    record = await deed(strip.say_entry, request, *at, **said, **hand(request, form))
    return kept(request, f"{back_of(place, form)}#{entry}", record.id)


def _said(form: Typed) -> dict[str, Any]:
    """A ready reason is a key by itself; words typed beside it count with their own key."""
    said: dict[str, Any] = {"state": form.text("state") or "done", "text": form.text("text")}
    if why := form.text("why"):
        return said | {"state": "not_possible", "why": why}
    if said["state"] == "not_possible":
        return said | {"why": form.text("because")}
    if said["state"] == "done":
        said |= {"reading": form.real("reading", signed=True), "unit": form.text("unit")}
    return said


@again(show_place)
async def post_cleaned(request: Request) -> Response:
    """Keep that the place was cleaned; refused with the list while something is lacking."""
    form, place = await typed(request), await place_of(request)
    muck = form.text("muck")
    named = {
        "hours": form.real("hours"),
        "waste_kg": form.real("waste_kg"),
        "text": form.text("text"),
    }
    form.check()
    if not muck:
        raise unpicked("muck")
    at = (*_at(request, place), muck, request.app.state.kinds)
    await deed(strip.clean, request, *at, **named, **hand(request, form))
    return to(f"{home_of(place)}/places/{request.path_params['place']}#cleaned")
