"""The five-second note, and files given out again."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import note
from retrue.records.facts import File
from retrue.records.hand import numbered
from retrue.records.shop import Record, RecordShop
from retrue.store.proof import prove
from retrue.web.called import in_turn
from retrue.web.door import FILE, again, deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import render
from retrue.web.uploads import SCALED, content


async def show_notes(request: Request, /, **more: Any) -> Response:
    """One photograph and/or one sentence; below it what was noted, the newest first."""
    notes = await deed(note.notes, request)
    lots = await deed(note.lots, request)
    if request.state.role != "owner":  # what others wrote down may be about money
        mine = request.state.device
        notes = [one for one in notes if one.device == mine]
        ours = await deed(_in_hand, request)
        lots = [one for one in lots if one.id in ours]
    newest = list(reversed(notes))
    return render(request, "note.html", notes=newest, lots=lots, id=fresh(), **more)


def _in_hand(shop: RecordShop) -> frozenset[str]:
    """Lots that are worked on; only a helper's page asks."""
    with in_turn:
        from retrue.phases import fix
    return fix.in_hand(shop)


async def _kept_file(request: Request, form: Typed) -> str | None:
    uploads = form.files("picture")
    if not uploads:
        return None
    upload = uploads[0]
    name = upload.filename or ""
    record: Record[File] = await deed(
        note.keep_file,
        request,
        content(upload),
        name.removeprefix(SCALED),
        prove,
        whole=not name.startswith(SCALED),
        **numbered(hand(request, form), FILE),
    )
    return record.id


@again(show_notes)
async def post_note(request: Request) -> Response:
    """Keep the note."""
    form = await typed(request)
    file = await _kept_file(request, form)
    lot = form.text("lot") or None
    writer = hand(request, form)
    await deed(note.note, request, form.text("text"), file=file, lot=lot, **writer)
    return to("/note#kept")


@again(show_notes)
async def post_alarm(request: Request) -> Response:
    """Keep an alarm: its text, and what I was doing."""
    form = await typed(request)
    named = {"doing": form.text("doing"), "lot": form.text("lot") or None}
    writer = hand(request, form)
    await deed(note.alarm, request, form.text("alarm"), **named, **writer)
    return to("/note#kept")


@again(show_notes)
async def post_setting(request: Request) -> Response:
    """Keep that a setting was changed."""
    form = await typed(request)
    named: dict[str, Any] = {name: form.text(name) for name in ("old", "new", "why")}
    named |= {"put_back": form.yes_no("put_back"), "lot": form.text("lot") or None}
    writer = hand(request, form)
    await deed(note.changed_setting, request, form.text("setting"), **named, **writer)
    return to("/note#kept")
