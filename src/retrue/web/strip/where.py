"""Where a page of taking apart stands, and what its forms answer."""

from __future__ import annotations

import re
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from retrue.web.door import fresh, to
from retrue.web.forms import Typed
from retrue.web.pages import render, wants_json
from retrue.web.prove.where import Place

STRIP = 2  # its place on the path
BACK = re.compile(
    r"night|evening|cleaning|remaining|apart|(places|apart)/[\w.-]+"
)  # pages that a form comes from


def home_of(place: Place) -> str:
    """Where the pages of taking this machine apart begin."""
    return f"{place.path}/strip"


def show(request: Request, template: str, place: Place, /, **values: Any) -> Response:
    """A page of taking apart."""
    given: dict[str, Any] = {
        "phase": STRIP,
        "place": place,
        "here": home_of(place),
        "fresh": fresh,
    }
    return render(request, f"strip/{template}", **given | values)


def kept(request: Request, path: str, id: str) -> Response:
    """After a form: the page. What waited on a telephone hears the id of what was kept, alone."""
    if wants_json(request):
        return JSONResponse({"id": id, "schema": "kept/1"})
    return to(path)


def back_of(place: Place, form: Typed) -> str:
    """The page that a form says it came from; the list of places where it names none of ours."""
    back = form.text("back")
    return home_of(place) + (f"/{back}" if BACK.fullmatch(back) else "")
