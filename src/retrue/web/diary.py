"""The diary: what was kept, newest first; one record in plain words; take back, bring back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import NotAllowed, NotYet
from retrue.base.say import say
from retrue.cases.diary_fields import field_word
from retrue.cases.diary_rules import MONEY, RULES
from retrue.cases.diary_words import SORTS
from retrue.phases import diary
from retrue.phases.diary import KeptOne
from retrue.phases.diary.taking import WORDS
from retrue.records.facts import Withdrawn
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.pages import render
from retrue.web.taking import ROOMS

KEPT = "/kept"
ASKED = ("sort", "machine", "device", "by")
HELPER = "helper"


def hidden_from(request: Request) -> frozenset[str]:
    """Kinds of records that whoever asks is not shown."""
    return MONEY if request.state.role == HELPER else frozenset()


async def show_kept(request: Request) -> Response:
    """What was kept, the newest first, by day; of one machine, device, person, sort of thing."""
    asked, state = request.query_params, request.app.state
    page = int(asked.get("page", "1")) if asked.get("page", "1").isdecimal() else 1
    said = {name: asked.get(name, "") for name in ASKED}
    made = await deed(
        diary.kept, request, state.kinds, page=min(page, 10**6), hidden=hidden_from(request), **said
    )
    about = await deed(diary.about_of, request, state.kinds)
    days: dict[Any, list[Any]] = {}
    for row in made.rows:
        days.setdefault(row.when.astimezone().date(), []).append(row)
    return render(
        request,
        "diary.html",
        phase=-1,
        days=days,
        made=made,
        said=said,
        devices=_devices(about.devices, said["device"]),
        machines=sorted(about.machines.items(), key=lambda pair: pair[1]),
        sorts=[(key, say(words)) for key, (words, kinds) in SORTS.items() if _may(request, kinds)],
        newer=_query(asked, page - 1) if page > 1 else None,
        older=_query(asked, page + 1) if made.more else None,
    )


def _devices(named: Mapping[str, str], asked: str) -> list[tuple[str, str]]:
    """Devices to choose from by name; one that is asked for and never joined as well."""
    return [*named.items(), *([(asked, asked)] if asked and asked not in named else [])]


def _may(request: Request, kinds: tuple[str, ...]) -> bool:
    return bool(set(kinds) - hidden_from(request))


def _query(asked: QueryParams, page: int) -> str:
    rest = [(name, asked[name]) for name in ASKED if asked.get(name)]
    return urlencode([*rest, ("page", str(page))])


async def show_one(request: Request, /, **more: Any) -> Response:
    """One record: all it says, its history, its photograph, and what may be done with it."""
    made = await _one(request)
    newest = made.newest
    fact = diary.said_by(request.app.state.shop, newest) if made.was_taken_back else newest.fact
    return render(
        request,
        "kept_one.html",
        phase=-1,
        made=made,
        id=fresh(),
        words=[(name, field_word(name), getattr(fact, name)) for name in _words(made)],
        rule=RULES[fact.KIND],
        **more,
    )


def _words(made: KeptOne) -> tuple[str, ...]:
    """The fields that are corrected here, of those that say something."""
    if made.was_taken_back:
        return ()
    fact = made.newest.fact
    names = WORDS.get(made.newest.kind, ())
    said = tuple(name for name in names if getattr(fact, name))
    return said or names[:1]


async def _one(request: Request) -> KeptOne:
    made: KeptOne = await deed(
        diary.one, request, request.path_params["id"], request.app.state.kinds
    )
    return made if request.state.role != HELPER else _his_own(request, made)


def _his_own(request: Request, made: KeptOne) -> KeptOne:
    """A record that a helper's own device wrote, and nobody else since; no word of others."""
    device = request.state.device
    line = [row.record for row in made.line]
    kinds = {one.kind for one in line} - {Withdrawn.KIND}
    if kinds & hidden_from(request) or any(one.device != device for one in line):
        raise NotAllowed(
            say("This is the owner’s alone"), remedy=say("Ask the owner to look it up.")
        )
    mine = [row for row in made.falls if row.record.device == device]
    refused = made.refused
    if len(mine) < len(made.falls):
        refused = NotYet(say("others wrote what stands on it"), remedy=say("Ask the owner."))
        mine = []
    first = made.first if made.first and made.first.record.device == device else None
    shown = (*line, *(row.record for row in mine), *([first.record] if first else []))
    request.state.his = frozenset(one.id for one in shown)
    return replace(made, falls=tuple(mine), refused=refused, given=(), first=first)


@again(show_one)
async def post_back(request: Request) -> Response:
    """Take it back: it stays readable and counts no more, nor what hangs on it."""
    form, made = await typed(request), await _one(request)
    if request.state.role == HELPER and made.refused:
        raise made.refused
    said = {"reason": form.text("reason"), "rooms": ROOMS, **hand(request, form)}
    gone = await deed(diary.take_back, request, request.path_params["id"], **said)
    return to(f"{KEPT}/{gone.id}")


@again(show_one)
async def post_again(request: Request) -> Response:
    """Let it count again as it was, with what was taken back with it."""
    form = await typed(request)
    await _one(request)
    back = await deed(diary.bring_back, request, request.path_params["id"], **hand(request, form))
    return to(f"{KEPT}/{back.id}")


@again(show_one)
async def post_words(request: Request) -> Response:
    """Correct the words of a note, or the line below a photograph."""
    form, made = await typed(request), await _one(request)
    words = {name: form.text(name) for name in _words(made) if name in form.form}
    kept = await deed(
        diary.say_anew, request, request.path_params["id"], words, **hand(request, form)
    )
    return to(f"{KEPT}/{kept.id}")
