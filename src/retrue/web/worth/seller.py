"""Asking the seller: a text in his language, and the telephone call."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import ENGLISH, reader, say
from retrue.cases.sheet import PriceSheet, QuestionRow
from retrue.phases import worth
from retrue.web.door import again, deed, hand, sum_of, to, typed
from retrue.web.pages import render

LANGUAGES = (("en", "English"), ("nl", "Nederlands"), ("fr", "français"), ("de", "Deutsch"))


def _language(request: Request) -> str:
    """The language a seller is asked in: as chosen, else the reader's own."""
    usual = reader() if reader() in dict(LANGUAGES) else ENGLISH
    return request.query_params.get("language", usual)


async def show_message(request: Request, /, **more: Any) -> Response:
    """Five best questions as a text for the seller."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    language = _language(request)
    view = await deed(worth.view_lot, request, lot)
    sheet = await deed(worth.price, request, lot, kinds, **sum_of(request))
    case = await deed(worth.case_of, request, lot)
    text = worth.questions_for_seller(sheet, case, kinds, language=language)
    return render(
        request,
        "worth/message.html",
        view=view,
        text=text,
        sms="sms:?body=" + quote(text),
        mail=f"mailto:?subject={quote(view.name)}&body={quote(text)}",
        language=language,
        languages=LANGUAGES,
        whats=[(row.machine, row.check) for row in asked_for(sheet)],
        names={row.check: row.text for row in sheet.questions},
        open=await deed(worth.open_questions, request, lot),
        **more,
    )


def asked_for(sheet: PriceSheet, count: int = 5) -> list[QuestionRow]:
    """The questions that a seller can answer from afar, best first."""
    return [row for row in sheet.questions if row.channel in ("photo", "call")][:count]


async def show_call(request: Request, /, **more: Any) -> Response:
    """The phone call as a sheet: questions with ready answers."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    language = _language(request)
    view = await deed(worth.view_lot, request, lot)
    lines = await deed(worth.call_sheet, request, lot, kinds)
    wanted = request.query_params.get("machine", "")
    return render(
        request,
        "worth/call.html",
        view=view,
        lines=[line for line in lines if line.machine == wanted or not wanted],
        machines=list(dict.fromkeys(line.machine for line in lines)),
        wanted=wanted,
        language=language,
        languages=LANGUAGES,
        line=await deed(worth.price_line, request, lot, kinds, **sum_of(request)),
        **more,
    )


@again(show_call)
async def post_call(request: Request) -> Response:
    """Keep one ready answer."""
    lot, form = request.path_params["lot"], await typed(request)
    option = form.whole("option")
    form.check()
    await deed(
        worth.answer_call,
        request,
        lot,
        form.text("machine"),
        form.text("question"),
        -1 if option is None else option,
        request.app.state.kinds,
        informant=form.text("informant") or say("seller"),
        **sum_of(request),
        **hand(request, form),
    )
    query = f"language={quote(form.text('language'))}&machine={quote(form.text('wanted'))}"
    return to(f"/lots/{lot}/call?{query}#{quote(form.text('here'))}")


@again(show_message)
async def post_sent(request: Request) -> Response:
    """The text went out: what was asked for and does not come is remembered."""
    lot, form = request.path_params["lot"], await typed(request)
    whats = [tuple(what.split("|", 1)) for what in form.many("what") if "|" in what]
    if len(whats) < len(form.many("what")):
        form.problems.append(Problem("what", say("is nothing that can be asked"), say("Tick it.")))
    form.check()
    named = {"came": form.yes_no("came"), **hand(request)}
    await deed(worth.asked_of_seller, request, lot, whats, **named)
    return to(f"/lots/{lot}/message")
