"""The first night on one page, the five ticks of an evening, and the list of places."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.phases import strip
from retrue.phases.strip import EntryLine, FirstNight, PlaceStands
from retrue.web.door import deed, hand, typed
from retrue.web.prove.where import place_of
from retrue.web.strip.where import back_of, kept, show

CELL = "A17"  # of the as-found list: cell volts, cell left in its place


async def show_strip(request: Request, /, **more: Any) -> Response:
    """The places of the machine: as found complete or not, may be cleaned, what is not yet back."""
    place, kinds = await place_of(request), request.app.state.kinds
    at = (place.view.id, place.key)
    stands: tuple[PlaceStands, ...] = await deed(strip.places, request, *at, kinds)
    left = await deed(strip.remaining, request, *at, kinds)
    taken = await deed(strip.taken, request, *at, kinds)
    return show(
        request, "places.html", place, stands=stands, left=len(left), taken=len(taken), **more
    )


async def show_night(request: Request, /, **more: Any) -> Response:
    """The first night, one page: may it be left, what dies first, camera, wipes, tomorrow."""
    place, kinds = await place_of(request), request.app.state.kinds
    night: FirstNight = await deed(strip.first_night, request, place.view.id, place.key, kinds)
    asked = request.query_params.get("place", "")
    known = [one.id for one in night.places]
    waits = [one.id for one in night.places if ahead_of(one)]
    at = asked if asked in known else next(iter(waits or known), "")
    ahead = {one.id: ahead_of(one) for one in night.places}
    cell = cell_of(night)
    return show(request, "night.html", place, night=night, at=at, ahead=ahead, cell=cell, **more)


def ahead_of(stands: PlaceStands) -> list[dict[str, str]]:
    """What the shutter takes at a place, one after the other: its shots without a photograph."""
    shots = (one for one in stands.entries if one.entry.what == "shot" and one.state == "open")
    return [{"id": one.entry.id, "text": one.entry.text} for one in shots]


def cell_of(night: FirstNight) -> EntryLine | None:
    """The volts of the memory's cell, where the machine has one: they are read tonight."""
    lines = (one for stands in night.places for one in stands.entries)
    return next((one for one in lines if one.entry.id == CELL), None)


async def show_evening(request: Request, /, **more: Any) -> Response:
    """Five ticks to leave it, every evening."""
    place, kinds = await place_of(request), request.app.state.kinds
    day = request.app.state.clock().date().isoformat()
    ticks = await deed(strip.evening, request, place.view.id, place.key, kinds, day)
    return show(request, "evening.html", place, ticks=ticks, **more)


async def post_tick(request: Request) -> Response:
    """Keep a tick of a list; a pressed one pressed again is taken back."""
    form, place = await typed(request), await place_of(request)
    record, item, list = form.text("record"), form.text("item"), form.text("list")
    back = f"{back_of(place, form)}#{item}"
    if record:
        await deed(strip.untick, request, record, **hand(request, form))
        return kept(request, back, record)
    if list not in strip.LISTS:
        raise Unknown(say("there is no such list"), remedy=say("Open the page again."))
    at = (place.view.id, place.key, list, item, request.app.state.kinds)
    tick = await deed(strip.tick, request, *at, **hand(request, form))
    return kept(request, back, tick.id)
