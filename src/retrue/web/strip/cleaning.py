"""Cleaning by the sort of muck, and the readings it is accepted by."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import strip
from retrue.phases.strip import CleaningStands
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.find.start import unpicked
from retrue.web.prove.where import place_of
from retrue.web.strip.where import home_of, show


async def show_cleaning(request: Request, /, **more: Any) -> Response:
    """By the sort of muck: cautions, never, how, how much; then readings before and after."""
    place, kinds = await place_of(request), request.app.state.kinds
    at = (place.view.id, place.key, kinds)
    stands: CleaningStands = await deed(strip.cleaning, request, *at)
    named = await deed(strip.places, request, *at)
    muck = request.query_params.get("muck", "")
    return show(request, "cleaning.html", place, stands=stands, places=named, muck=muck, **more)


@again(show_cleaning)
async def post_reading(request: Request) -> Response:
    """Keep a reading that cleaning is accepted by."""
    form, place = await typed(request), await place_of(request)
    named: dict[str, Any] = {name: form.text(name) for name in ("point", "unit", "seen", "text")}
    for name in ("reading", "air_c", "humidity_percent"):
        named[name] = form.real(name, signed=name == "air_c")
    form.check()
    for field in ("place", "when", "sort"):
        if not form.text(field):
            raise unpicked(field)
    what = (form.text("place"), form.text("when"), form.text("sort"), request.app.state.kinds)
    at = (place.view.id, place.key, *what)
    await deed(strip.clean_reading, request, *at, **named, **hand(request, form))
    return to(f"{home_of(place)}/cleaning#readings")
