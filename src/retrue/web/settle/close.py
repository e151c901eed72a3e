"""A machine closed: what we guessed, what was; closed machines given away and taken in."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.closed_case import ComparedRow
from retrue.cases.settle.closing_drawing import closing_bars
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.settle.sharing import TakenIn
from retrue.phases import settle
from retrue.records.settling import CaseClosed
from retrue.records.shop import Record, RecordShop
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.drawn import each_drawn
from retrue.web.prove.papers import given
from retrue.web.prove.where import place_of
from retrue.web.settle.where import just_kept, machine_money, show, today
from retrue.web.uploads import content

SHARE = "/settle/share"
ENDS = {
    "keeps_working": "it keeps working", "sold": "sold", "parted_out": "parted out",
    "scrapped": "scrapped",
}  # fmt: skip
SHAPES = {"inside": "good", "not_needed": "good", "above": "bad", "not_foreseen": "bad"}


async def show_close(request: Request, /, **more: Any) -> Response:
    """What was guessed and what it was, of one machine, and what is said next time."""
    place = await place_of(request)
    kinds, on = request.app.state.kinds, today(request)
    made: Closing = await deed(settle.closing, request, place.view.id, place.key, kinds, on=on)
    here = machine_money(place.view.id, place.key)
    closed = await deed(settle.closed, request)
    (drawn,) = await each_drawn(request, [closing_bars(made.case, place.machine.name)])
    return show(
        request,
        "close.html",
        drawn=drawn,
        place=place,
        made=made,
        here=here,
        kept=just_kept(request, closed, closed_title),
        parts_of=_parts(made),
        shape=lambda row: SHAPES.get(row.stands, "none"),
        id=fresh(),
        **more,
    )


def closed_title(fact: CaseClosed) -> str:
    """A closing in words."""
    return say("closed on {day}, {end}", day=fact.closed_on, end=say(ENDS[fact.end]))


def _parts(made: Closing) -> list[tuple[str, list[ComparedRow]]]:
    """The table by what its rows are about."""
    rows = made.case.rows
    faults = [row for row in rows if row.sort == "fault"]
    faults.sort(key=lambda row: (row.was is None, -(row.guessed or 0.0), row.line))
    parts = [
        (say("In all"), [row for row in rows if row.sort == "total"]),
        (say("By where the money went"), [row for row in rows if row.sort == "bucket"]),
        (say("Line by line"), [row for row in rows if row.sort in ("money", "hours", "days")]),
        (say("Faults"), faults),
    ]
    return [(title, rows) for title, rows in parts if rows]


@again(show_close)
async def post_close(request: Request) -> Response:
    """Keep the table as it stands."""
    form = await typed(request)
    place = await place_of(request)
    end = form.text("end")
    if end not in ENDS:
        form.problems.append(Problem("end", say("nothing was picked"), say("Say how it ends.")))
    form.check()
    kinds, on = request.app.state.kinds, today(request)
    named = {"on": on, "changes": form.text("changes"), **hand(request, form)}
    record: Record[CaseClosed] = await deed(
        settle.close, request, place.view.id, place.key, end, kinds, **named
    )
    return to(f"{machine_money(place.view.id, place.key)}/close?kept={record.id}")


async def show_share(request: Request, /, **more: Any) -> Response:
    """Exactly what would leave the shop, to be read before it does."""
    text, why = await deed(_text, request)
    count = len(await deed(settle.closed, request))
    return show(
        request, "share.html", text=text, why=why, count=count, id=fresh(),
        kept=request.query_params.get("kept", ""), **({"read": None} | more),
    )  # fmt: skip


def _text(shop: RecordShop) -> tuple[str, NotYet | None]:
    try:
        return settle.share(shop), None
    except NotYet as why:
        return "", why


async def share_file(request: Request) -> Response:
    """The same text as a file."""
    without = tuple(request.query_params.getlist("without"))
    told = await deed(settle.share, request, without=without)
    return given(told.encode(), "closed-machines.json", "application/json")


@again(show_share)
async def post_look(request: Request) -> Response:
    """What a file of others holds; nothing of it is kept yet."""
    form = await typed(request)
    sent = form.files("file")
    if not sent:
        what, remedy = say("no file was sent"), say("Pick the file that somebody gave you.")
        raise Unusable(what, remedy=remedy, problems=(Problem("file", what, remedy),))
    name, kinds = sent[0].filename or "file", request.app.state.kinds
    told = content(sent[0])
    read: TakenIn = await deed(settle.look_in, request, told, name, kinds)
    kept = await deed(_keep, request, told)
    return await show_share(request, read=read, name=name, held=kept)


def _keep(shop: RecordShop, told: bytes) -> str:
    return shop.keep_file(told)


@again(show_share)
async def post_take(request: Request) -> Response:
    """Keep the machines of others that are new here."""
    form = await typed(request)
    told = await deed(lambda shop: shop.file(form.text("held")), request)
    kinds, on = request.app.state.kinds, today(request)
    written = {key: value for key, value in hand(request, form).items() if key != "id"}
    record = await deed(
        settle.take_in, request, told, form.text("name") or "file", kinds,
        on=on, text=form.text("text"), **written,
    )  # fmt: skip
    return to(f"{SHARE}?kept={record.fact.cases if record is not None else 0}")
