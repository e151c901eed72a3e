"""Where fault-finding begins: what does it do? And what was learned so far."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.phases import find
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.find.aim import picture_of, show
from retrue.web.prove.where import place_of


async def show_start(request: Request, /, **more: Any) -> Response:
    """Troubles that are open, and the list of what such a machine may do."""
    place = await place_of(request)
    search = request.query_params.get("search", "")
    kinds = request.app.state.kinds
    return show(
        request,
        "start.html",
        place,
        symptoms=find.symptoms(place.kind, search),
        search=search,
        troubles=await deed(find.troubles, request, place.view.id, place.key, kinds),
        levels=place.kind.levels,
        id=fresh(),
        **more,
    )


@again(show_start)
async def post_told(request: Request) -> Response:
    """Keep what the machine does; then its page."""
    form = await typed(request)
    place = await place_of(request)
    symptom = form.text("symptom")
    if not symptom:
        form.problems.append(
            Problem("symptom", say("nothing was picked"), say("Pick the line that is nearest."))
        )
    form.check()
    named = {
        "comes_and_goes": form.text("comes_and_goes") == "yes",
        "picture": await picture_of(request, form),
        **hand(request, form),
    }
    kinds, words = request.app.state.kinds, form.text("words")
    told = await deed(find.tell, request, place.view.id, place.key, symptom, words, kinds, **named)
    return to(f"{place.path}/find/{told.id}")


async def show_learned(request: Request, /, **more: Any) -> Response:
    """Guessed, was, next time."""
    place = await place_of(request)
    known = await deed(find.learned, request, request.app.state.kinds)
    serials = await deed(find.serials, request)
    return show(request, "learned.html", place, learned=known, serials=serials, **more)


def unpicked(field: str) -> Unusable:
    """What to say where nothing was picked."""
    return Unusable(
        say("nothing was picked"),
        remedy=say("Pick one and send it again; nothing else was lost."),
        problems=(Problem(field, say("is empty"), say("Pick one.")),),
    )
