"""After the sale: what is still owed, promises and questions."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.settle.after import AfterSale
from retrue.phases import settle
from retrue.records.settling import BuyerAsked, Promised
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.prove.where import Place, place_of
from retrue.web.settle.sell import kept_of
from retrue.web.settle.where import machine_money, show, today

SHAPES = {"kept": "good", "answered": "good", "paid": "good", "overdue": "bad", "open": "open"}


async def show_after(request: Request, /, **more: Any) -> Response:
    """What is still owed, promised, asked; what is overdue first."""
    place = await place_of(request)
    made: AfterSale = await deed(
        settle.after_sale, request, place.view.id, place.key, request.app.state.kinds,
        on=today(request),
    )  # fmt: skip
    return show(
        request,
        "after.html",
        place=place,
        made=made,
        here=machine_money(place.view.id, place.key),
        shape=lambda state: SHAPES.get(state, "none"),
        id=fresh(),
        kept=await kept_of(request, place),
        **more,
    )


def _to(place: Place, kept: str) -> Response:
    return to(f"{machine_money(place.view.id, place.key)}/after?kept={kept}")


@again(show_after)
async def post_promise(request: Request) -> Response:
    """Keep what was promised, to whom, until when."""
    form, place = await typed(request), await place_of(request)
    until, on = form.day("until_on"), form.day("promised_on") or today(request).isoformat()
    form.check()
    fact = Promised(lot="", machine="", what=form.text("what"), whom=form.text("whom"),
                    promised_on=on, until_on=until)  # fmt: skip
    made = await deed(settle.promise, request, place.view.id, place.key, request.app.state.kinds,
                      fact, on=today(request), **hand(request, form))  # fmt: skip
    return _to(place, made.id)


@again(show_after)
async def post_kept(request: Request) -> Response:
    """Keep that a promise was kept."""
    form, place = await typed(request), await place_of(request)
    day = form.day("kept_on")
    form.check()
    made = await deed(settle.promise_kept, request, form.text("promise"), on=today(request),
                      kept_on=day or "", at=(place.view.id, place.key),
                      **hand(request, form))  # fmt: skip
    return _to(place, made.id)


@again(show_after)
async def post_asked(request: Request) -> Response:
    """Keep a question, with its answer where there is one."""
    form, place = await typed(request), await place_of(request)
    on = form.day("asked_on") or today(request).isoformat()
    if not form.text("asker"):
        form.problems.append(Problem("asker", say("is empty"), say("Say who asked.")))
    form.check()
    fact = BuyerAsked(lot="", machine="", whom=form.text("asker"), asked_on=on,
                      question=form.text("question"), answer=form.text("answer"))  # fmt: skip
    made = await deed(settle.asked, request, place.view.id, place.key, request.app.state.kinds,
                      fact, on=today(request), **hand(request, form))  # fmt: skip
    return _to(place, made.id)


@again(show_after)
async def post_answered(request: Request) -> Response:
    """Keep what was answered."""
    form, place = await typed(request), await place_of(request)
    made = await deed(settle.answered, request, form.text("question"), form.text("answer"),
                      on=today(request), at=(place.view.id, place.key),
                      kinds=request.app.state.kinds, **hand(request, form))  # fmt: skip
    return _to(place, made.id)


@again(show_after)
async def post_came(request: Request) -> Response:
    """Keep money that came for the sale: a deposit, or the rest."""
    form, place = await typed(request), await place_of(request)
    amount = form.amount("amount")
    if amount is None and not form.problems:
        form.problems.append(Problem("amount", say("is empty"), say("Say how much came.")))
    form.check()
    made = await deed(settle.money_in, request, form.text("sale"), amount or Decimal(0),
                      on=today(request), at=(place.view.id, place.key),
                      **hand(request, form))  # fmt: skip
    return _to(place, made.id)
