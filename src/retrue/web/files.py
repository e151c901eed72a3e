"""Kept files, given out again: a derived copy to look at, the original to take away."""

from __future__ import annotations

from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.one_way import one_way
from retrue.base.refusals import NotYet, Unknown
from retrue.base.say import say
from retrue.cases.sheet_json import from_json
from retrue.figures.ink import PAPER
from retrue.figures.rule import rule
from retrue.paper.freeze_sheet import freeze_sheet
from retrue.phases import note, settle, worth
from retrue.records.facts import Frozen
from retrue.records.shop import Record
from retrue.store.derived import shown
from retrue.web.door import deed

SIZES = {"small": 320, "large": 1600}  # longest side, pixels
NEVER_CHANGES = {"cache-control": "private, max-age=31536000, immutable", "vary": "Cookie"}
"""Kept by a browser for the device that saw it: one paired anew, as another, asks again."""


async def show_file(request: Request) -> Response:
    """A copy made to be looked at: no metadata, turned upright, never the file itself."""
    size = SIZES.get(request.path_params["size"])
    if size is None:
        raise Unknown(say("There is no such size"), remedy=say("Ask for small or large."))
    record = await deed(note.kept_file, request, request.path_params["file"])
    if request.state.role != "owner" and record.fact.place == settle.RECEIPT:
        raise Unknown(say("There is no such page"), remedy=say("Go on from what there is to do."))
    content = await deed(note.content_of, request, record.id)
    copy = await run_in_threadpool(shown, content, longest_px=size)
    return Response(copy, media_type="image/jpeg", headers=NEVER_CHANGES)


async def give_file(request: Request) -> Response:
    """The original, as it came, to be saved; never shown or run by the browser."""
    record = await deed(note.kept_file, request, request.path_params["file"])
    content = await deed(note.content_of, request, record.id)
    name = quote(one_way(record.fact.name), safe="")
    headers = {
        "content-disposition": f"attachment; filename*=UTF-8''{name}",
        "content-security-policy": "sandbox; default-src 'none'",
    }
    return Response(content, media_type="application/octet-stream", headers=headers)


async def freeze_file(request: Request) -> Response:
    """The frozen number on one page, to hold while bidding."""
    lot = request.path_params["lot"]
    kept: Record[Frozen] | None = await deed(worth.frozen, request, lot)
    if kept is None:
        raise NotYet(say("Nothing is frozen yet"), remedy=say("Freeze the number first."))
    view = await deed(worth.view_lot, request, lot)
    printed = await deed(print_frozen, request, kept)
    name = quote(f"{view.name}-frozen.pdf")
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{name}"}
    return Response(printed, media_type="application/pdf", headers=headers)


def print_frozen(_: object, kept: Record[Frozen]) -> bytes:
    """The sheet as PDF: the numbers that were frozen, not today's."""
    sheet = from_json(kept.fact.sheet)
    picture = rule(sheet.walk_away.spread, float(kept.fact.hammer), sheet.currency, theme=PAPER)
    return freeze_sheet(kept.fact, sheet, picture=picture, by=kept.by, at=kept.noted_at)
