"""Parameter, program and manual files of a machine, each with its checksum, and read back."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import strip
from retrue.store.proof import prove
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.find.start import unpicked
from retrue.web.prove.where import place_of
from retrue.web.strip.where import home_of, show
from retrue.web.uploads import content


async def show_files(request: Request, /, **more: Any) -> Response:
    """The files of the machine with their checksums, and room for one more."""
    place = await place_of(request)
    files = await deed(strip.machine_files, request, place.view.id, place.key)
    return show(request, "files.html", place, files=files, sorts=strip.FILE_SORTS, **more)


@again(show_files)
async def post_file(request: Request) -> Response:
    """Keep a file of the machine."""
    form, place = await typed(request), await place_of(request)
    sent = form.files("file")
    if not sent:
        raise unpicked("file")
    given = (content(sent[0]), sent[0].filename or "", prove)
    named = {"sort": form.text("sort") or "other", **hand(request, form)}
    record = await deed(strip.keep_machine_file, request, place.view.id, place.key, *given, **named)
    return to(f"{home_of(place)}/files#{record.id}")


@again(show_files)
async def post_read_back(request: Request) -> Response:
    """Hold a copy that was read back against the kept file: the same, or not the same."""
    form, place = await typed(request), await place_of(request)
    sent = form.files("copy")
    if not sent:
        raise unpicked("copy")
    file = request.path_params["file"]
    await deed(strip.read_back, request, file, content(sent[0]), **hand(request, form))
    return to(f"{home_of(place)}/files#{file}")
