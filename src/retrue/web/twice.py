"""Two at once: what the other wrote beside what I typed, and two keys: mine, or what stands."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from retrue.base.refusals import NotAllowed, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.diary_fields import field_word, is_shown, unit_of
from retrue.cases.diary_values import value_words
from retrue.cases.diary_words import kind_word
from retrue.kinds.library import Kind
from retrue.phases import diary, twice, worth
from retrue.phases.twice import AsideView, Side
from retrue.records.facts import Fact, Shop, Withdrawn
from retrue.records.knowing import Meanwhile
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.records.meeting import SetAside
from retrue.records.shop import Record, RecordShop
from retrue.web.door import HELD, SETTLES, deed, fresh, hand, to, typed
from retrue.web.pages import render, wants_json

OURS = frozenset({"knows", SETTLES})
LIST = "/twice"
_PATH = re.compile(r"/(?!/)[\w\-./?=&%:+~]*")


async def ask(request: Request, meanwhile: Exception) -> Response:
    """Somebody else wrote meanwhile: keep what was typed aside, and ask which counts."""
    assert isinstance(meanwhile, Meanwhile)
    form = await typed(request)
    late = bool(form.text("observed_at"))
    record: Record[SetAside] = await run_in_threadpool(
        twice.set_aside,
        request.app.state.shop,
        meanwhile.met,
        path=_path(request),
        form=await run_in_threadpool(_as_typed, request.app.state.shop, form.form),
        late=late,
        **hand(request, form),
    )
    if wants_json(request):
        return _told(request, record, late=late)
    return await _show(request, record.id, status=409)


async def agree(request: Request, _: Exception) -> Response:
    """Two take back the same: once is enough, and the page shows it."""
    return JSONResponse({"aside": 0}) if wants_json(request) else to(_before(request))


def _path(request: Request) -> str:
    query = request.url.query
    return f"{request.url.path}?{query}" if query else request.url.path


def _as_typed(shop: RecordShop, form: FormData) -> list[tuple[str, str]]:
    """The form as text; its files are kept and named by their hash."""
    rows: list[tuple[str, str]] = []
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            if value.filename:
                value.file.seek(0)
                kept = shop.keep_file(value.file.read())
                rows.append((f"{HELD}{name}", f"{kept}|{value.filename}"))
        elif name not in OURS and value:
            rows.append((name, value))
    return rows


def owns(request: Request) -> bool:
    """Whether this is the owner, who says which counts of all; a helper of his own."""
    return getattr(request.state, "role", "owner") == "owner"


def may_say(request: Request, record: Record[SetAside]) -> bool:
    """Whether he says which counts: of what his own device had typed, or as the owner."""
    return owns(request) or _written_on(request, record) == request.state.device


def _written_on(request: Request, record: Record[SetAside]) -> str | None:
    shop: RecordShop = request.app.state.shop
    return shop.history(record.id)[0].device  # who settled it wrote the last of them


def _refuse_others(request: Request) -> None:
    """What another device had typed is not opened by a helper."""
    aside = twice.view_aside(request.app.state.shop, request.path_params["aside"]).record
    if not may_say(request, aside):
        raise NotAllowed(
            say("This is the owner’s alone"), remedy=say("Ask the owner to look it up.")
        )


def _told(request: Request, record: Record[SetAside], *, late: bool) -> Response:
    """For the program of a page: kept aside where it had waited, else refused for now."""
    says = say("{count} came late; {aside} speak of what was changed since: see")
    if not owns(request):
        says = say("{count} came late; {aside} speak of what was changed since: the owner is asked")
    if record.fact.decided:  # sent once more after somebody said which counts
        return JSONResponse({"aside": 0})
    if late:
        return JSONResponse({"aside": 1, "says": says, "see": LIST})
    reason = say("Somebody else changed this meanwhile")
    remedy = say("Open {page} and say which counts.", page=f"{LIST}/{record.id}")
    answer: dict[str, Any] = {"problems": [], "reason": reason, "remedy": remedy}
    return JSONResponse(answer | {"see": f"{LIST}/{record.id}"}, status_code=409)


async def _show(request: Request, id: str, *, status: int = 200, **more: Any) -> Response:
    request.state.knows = await run_in_threadpool(request.app.state.shop.newest)
    view: AsideView = await run_in_threadpool(twice.view_aside, request.app.state.shop, id)
    mine = await run_in_threadpool(worth.my_shop, request.app.state.shop)
    currency = mine.fact.currency if mine else Shop().currency
    return render(
        request, "twice.html", phase=-1, status=status, view=view, back=_before(request),
        devices=await deed(diary.device_names, request),
        owns=owns(request), may_say=await run_in_threadpool(may_say, request, view.record),
        settles=SETTLES, id=fresh(), list=LIST, kind_word=kind_word,
        sides=[(side, rows_of(request, side, currency)) for side in view.sides], **more,
    )  # fmt: skip


def _before(request: Request) -> str:
    """The page of ours that the form was sent from."""
    came = urlsplit(request.headers.get("referer", ""))
    here = came.netloc == request.headers.get("host", "") and came.path.startswith("/")
    return _ours(f"{came.path}?{came.query}" if came.query else came.path) if here else LIST


def _ours(path: str) -> str:
    return path if _PATH.fullmatch(path) else LIST


@dataclass(frozen=True, slots=True)
class Row:
    """One field of both, in words."""

    field: str
    mine: str
    theirs: str


def rows_of(request: Request, side: Side, currency: str) -> list[Row]:
    """The fields in which two differ, as their reader says them."""
    machine = getattr(side.wanted, "machine", None) or getattr(side.stands.fact, "machine", None)
    kind = _kind(request, machine)
    gone = [
        Row(kind_word(Withdrawn.KIND), spoken_gone(one.mine), spoken_gone(one.theirs))
        for one in side.differences
        if not one.field
    ]
    named = [one.field for one in side.differences if one.field]
    shown = [name for name in named if is_shown(side.stands.kind, name)] or named
    return gone + [
        Row(
            _label(name),
            _words(side.wanted, name, currency, kind),
            _words(side.stands.fact, name, currency, kind),
        )
        for name in shown
    ]


def spoken_gone(gone: bool) -> str:
    """Whether something was taken back, in a word."""
    return say("yes") if gone else say("no")


def _label(name: str) -> str:
    unit = unit_of(name)
    return f"{field_word(name)}, {unit}" if unit else field_word(name)


def _words(fact: Fact, name: str, currency: str, kind: Kind | None) -> str:
    if getattr(fact, name, None) in (None, "", ()):
        return say("nothing")
    money = getattr(fact, "currency", "") or currency
    told = value_words(fact, name, currency=money, kind=kind)
    return say("a file") if HASH_IN_HEX.fullmatch(told) else told


def _kind(request: Request, machine: str | None) -> Kind | None:
    """The type of a machine, by its id; None where there is none of the name."""
    try:
        line = request.app.state.shop.history(machine) if machine else []
    except Unknown:
        return None
    kinds: Mapping[str, Kind] = request.app.state.kinds
    return kinds.get(getattr(line[-1].fact, "kind", "")) if line else None


async def show_list(request: Request, /, **more: Any) -> Response:
    """All that waits for a word, the oldest first."""
    waiting: list[Record[SetAside]] = await deed(twice.undecided, request)
    if not owns(request):
        waiting = [one for one in waiting if one.device == request.state.device]
    views = [await deed(twice.view_aside, request, record.id) for record in waiting]
    named = await deed(diary.device_names, request)
    return render(request, "twices.html", phase=-1, views=views, devices=named, list=LIST,
                  kind_word=kind_word, **more)  # fmt: skip


async def show_one(request: Request, /, **more: Any) -> Response:
    """One of them."""
    await deed(twice.view_aside, request, request.path_params["aside"])
    await run_in_threadpool(_refuse_others, request)
    return await _show(request, request.path_params["aside"], **more)


async def post_one(request: Request) -> Response:
    """Leave what stands; what was set aside stays readable."""
    form = await typed(request)
    await run_in_threadpool(_refuse_others, request)
    if form.text("how") != "theirs":
        what = say("neither is pressed")
        remedy = say("Press one of the two keys.")
        raise Unusable(what, remedy=remedy, problems=(Problem("how", what, remedy),))
    await run_in_threadpool(
        twice.decide, request.app.state.shop, request.path_params["aside"], "theirs",
        **hand(request),
    )  # fmt: skip
    return to(_ours(form.text("back")))
