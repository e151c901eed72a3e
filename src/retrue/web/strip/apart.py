"""Take something off, find it again by its code, put it back."""

from __future__ import annotations

from typing import Any, get_args

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from retrue.paper.codes import read_code
from retrue.phases import strip
from retrue.phases.strip import TakenLine
from retrue.records.hand import numbered
from retrue.records.stripping import TakenSort
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.find.start import unpicked
from retrue.web.prove.where import Place, place_of
from retrue.web.strip.camera import Shown, keep_shots, prove_each
from retrue.web.strip.where import home_of, show

SORTS: tuple[str, ...] = get_args(TakenSort)
COPIED = ("sort", "place", "what", "from_end", "to_end", "count", "torque_nm", "shim_mm")


async def _taken(request: Request, place: Place, *sorts: str) -> tuple[TakenLine, ...]:
    kinds = request.app.state.kinds
    lines: tuple[TakenLine, ...] = await deed(
        strip.taken, request, place.view.id, place.key, kinds, sorts
    )
    return lines


def _by_code(lines: tuple[TakenLine, ...], code: str) -> TakenLine | None:
    return next((one for one in lines if code and code in (one.code, one.id)), None)


async def show_apart(request: Request, /, **more: Any) -> Response:
    """Take something off; what was just kept shows its code; below it, all that is off."""
    place, asked = await place_of(request), request.query_params
    lines = await _taken(request, place)
    kept = _by_code(lines, asked.get("kept", ""))
    same = _by_code(lines, asked.get("same", ""))
    filled = {name: getattr(same, name) for name in COPIED} if same else {}
    sort = asked.get("sort", "")
    return show(
        request,
        "apart.html",
        place,
        lines=[one for one in reversed(lines) if not sort or one.sort == sort],
        off=sum(not one.back for one in lines),
        kept=kept,
        sorts=SORTS,
        sort=sort,
        at=asked.get("place", ""),
        **{"typed": filled} | more,
    )


@again(show_apart)
async def post_apart(request: Request) -> Response:
    """Keep what was taken off, with its photographs; its code is made here."""
    form, place = await typed(request), await place_of(request)
    sort, where = form.text("sort"), form.text("place")
    named = {
        "what": form.text("what"),
        "from_end": form.text("from_end"),
        "to_end": form.text("to_end"),
        "count": form.whole("count"),
        "torque_nm": form.real("torque_nm"),
        "shim_mm": form.real("shim_mm"),
        "state": form.text("state") or "whole",
        "text": form.text("text"),
    }
    form.check()
    for field, value in (("sort", sort), ("place", where)):
        if not value:
            raise unpicked(field)
    sent = form.files("picture")
    await run_in_threadpool(prove_each, sent)  # a refused one must not leave a code behind
    at = (place.view.id, place.key, where, sort, request.app.state.kinds)
    record = await deed(strip.take_off, request, *at, **named, **hand(request, form))
    if sent:
        of = Shown(where, taken=record.id)
        await keep_shots(request, place, of, sent, numbered(hand(request, form), 1))
    return to(f"{home_of(place)}/apart?kept={record.fact.code}")


async def show_label(request: Request, /, **more: Any) -> Response:
    """What one label belongs to: from, to, its photographs, and one tap to put it back."""
    place, kinds = await place_of(request), request.app.state.kinds
    at = (place.view.id, place.key, request.path_params["code"], kinds)
    line: TakenLine = await deed(strip.taken_line, request, *at)
    return show(request, "label.html", place, line=line, **more)


@again(show_label)
async def post_back(request: Request) -> Response:
    """Put something back."""
    form, place = await typed(request), await place_of(request)
    named = {"torque_nm": form.real("torque_nm"), "text": form.text("text")}
    form.check()
    at = (place.view.id, place.key, request.path_params["code"])
    await deed(strip.put_back, request, *at, **named, **hand(request, form))
    return to(f"{home_of(place)}/{'remaining' if form.text('back') == 'remaining' else 'apart'}")


async def show_remaining(request: Request, /, **more: Any) -> Response:
    """What is not yet back, the last one off first; empty before first power."""
    place, kinds = await place_of(request), request.app.state.kinds
    lines = await deed(strip.remaining, request, place.view.id, place.key, kinds)
    return show(request, "remaining.html", place, lines=lines, **more)


async def find_label(request: Request) -> Response:
    """A typed code, or the one in the square pattern, leads to its line."""
    code = read_code(request.query_params.get("code", ""))
    lot, machine, _ = await deed(strip.label_by_code, request, code)
    return to(f"/lots/{lot}/machines/{machine}/strip/apart/{code}")
