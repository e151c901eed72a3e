"""Nothing lost: the last backup, make one now and take it away, check, export."""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping
from functools import partial
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse

from retrue.base.refusals import NotYet, Refusal
from retrue.base.say import say
from retrue.phases import diary, keeping
from retrue.records.hand import Hand
from retrue.records.keeping import BackedUp
from retrue.records.shop import Record, RecordShop
from retrue.store.inside import Inside
from retrue.store.whole import noted_hash
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.keeper import Keeper, Made
from retrue.web.pages import render

KEEPING = "/shop/keeping"
PIECE = 1 << 20
MOST_SHOWN = 10  # of the backups made before


def keeper_of(request: Request) -> Keeper:
    """Who makes backups on this server."""
    made: Keeper = request.app.state.keeper
    return made


async def show_keeping(request: Request, /, **more: Any) -> Response:
    """When the last backup was and where it went; make one, take it away, check, export."""
    stands = keeper_of(request).stands
    if stands.refusal is not None and "refusal" not in more:
        more = more | {"refusal": stands.refusal}
    on = request.app.state.clock().astimezone().date()
    since = await deed(keeping.since_backup, request, on)
    made = await deed(keeping.backups, request)
    newest = list(reversed(made))[:MOST_SHOWN]
    named = await deed(diary.device_names, request)
    told: dict[str, Any] = {"stands": stands, "since": since, "backups": newest}
    where = partial(where_of, named)
    return render(request, "keeping.html", groups=groups, where=where, **told, **more)


def where_of(named: Mapping[str, str], record: Record[BackedUp]) -> str:
    """Where a backup went, in words."""
    if record.fact.place != keeping.HANDED:
        return record.fact.place
    return say("to {device}", device=named.get(record.device, record.device))


def groups(hash_in_hex: str) -> str:
    """The half of a hash that one notes on paper, in groups of four."""
    return " ".join(hash_in_hex[at : at + 4] for at in range(0, 32, 4))


@again(show_keeping)
async def post_backup(request: Request) -> Response:
    """Begin a backup; the page says how far it is, then hands it out."""
    await typed(request)
    keeper_of(request).begin("backup")
    return to(KEEPING)


@again(show_keeping)
async def post_export(request: Request) -> Response:
    """Begin to write everything in open forms; the page says how far it is, then hands it out."""
    await typed(request)
    keeper_of(request).begin("export")
    return to(KEEPING)


@again(show_keeping)
async def post_check(request: Request) -> Response:
    """Begin to read all of the shop and to name what is not as it was written."""
    form = await typed(request)
    last = form.text("last")
    keeper_of(request).begin("check", last=noted_hash(last) if last else None)
    return to(KEEPING)


async def give_keeping(request: Request) -> Response:
    """How far a backup, a check or an export is, as JSON, for the page that shows it."""
    stands = keeper_of(request).stands
    told = {"going": bool(stands.going), "schema": "keeping/1", "share": round(stands.share, 3),
            "words": stands.words}  # fmt: skip
    return JSONResponse(told)


@again(show_keeping)
async def hand_out(request: Request) -> Response:
    """Hand out the backup or the export that was made; a backup handed out is noted."""
    form = await typed(request)
    every, wanted = keeper_of(request).stands.made, form.text("deed")
    made = next((one for one in every if wanted in ("", one.deed)), None)
    if made is None or not await run_in_threadpool(made.path.exists):
        raise NotYet(
            say("There is no file to hand out any more"), remedy=say("Make it again: it is quick.")
        )
    headers = {
        "content-disposition": f"attachment; filename*=UTF-8''{quote(made.name)}",
        "content-length": str(made.size_bytes),
    }
    return StreamingResponse(
        _pieces(request, made, hand(request)), media_type="application/zip", headers=headers
    )


async def _pieces(request: Request, made: Made, writer: Hand) -> AsyncIterator[bytes]:
    with await run_in_threadpool(made.path.open, "rb") as file:
        while piece := await run_in_threadpool(file.read, PIECE):
            yield piece
    keeper_of(request).handed_out(made)
    await run_in_threadpool(note_handed, request.app.state.shop, made, writer)


def note_handed(shop: RecordShop, made: Made, writer: Hand) -> None:
    """Keep that a backup went to a device; one that cannot be noted has gone all the same."""
    if not isinstance(made.inside, Inside):
        return
    try:
        keeping.keep_backup(
            shop, made.inside, place=keeping.HANDED, size_bytes=made.size_bytes, **writer
        )
    except Refusal:
        return
