"""The surplus one: ask, take, let go; what each repair adds; offers and what to answer."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from typing import Any, cast, get_args

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from retrue.base.refusals import Problem
from retrue.base.say import later, reader, say
from retrue.cases.fix.amounts import rounded
from retrue.cases.settle.sale_drawing import offers_drawing, spread_of
from retrue.cases.settle.sale_figures import figure_words
from retrue.cases.settle.sale_lines import Sale
from retrue.cases.settle.sale_text import LANGUAGES
from retrue.cases.settle.sale_words import brings_words, sold_as_words, state_words, verdict
from retrue.cases.sheet import Spread
from retrue.figures.drawing import rows
from retrue.figures.rule import RuleWords, rule
from retrue.phases import settle
from retrue.phases.settle.offering import Answer, Terms
from retrue.records.settling import SALE_ITEMS, ForSale, Offered, RunFigure, SoldAs
from retrue.web.door import again, deed, fresh, hand, sum_of, to, typed
from retrue.web.fix.drawn import each_drawn
from retrue.web.forms import Typed
from retrue.web.prove.where import Place, place_of
from retrue.web.settle.where import back_of, machine_money, show, today

WORLDS = 2000  # of a page that somebody waits for
FEW = 3  # deeds shown before "all of them"
RULE = RuleWords(
    act_on=later("take now"),
    even=later("even chance"),
    low=later("1 in 10 below"),
    high=later("1 in 10 above"),
    of_what=later("what it brings"),
)


@lru_cache(maxsize=256)  # of a plain value: drawn once in each language
def _rule(what: Spread, take: float, currency: str, _language: str) -> str:
    return rule(what, take, currency, RULE, narrow=True)


async def sale_of(request: Request, place: Place) -> Sale:
    """The sale of a machine today."""
    told = sum_of(request)
    made: Sale = await deed(
        settle.sale, request, place.view.id, place.key, request.app.state.kinds,
        on=today(request), seed=told["seed"], worlds=min(told["worlds"], WORLDS),
    )  # fmt: skip
    return made


async def show_sell(request: Request, /, **more: Any) -> Response:
    """What to ask, what to take now, when to let it go; what each repair adds; offers."""
    place = await place_of(request)
    made = await sale_of(request, place)
    drawing = offers_drawing(made)
    (drawn,) = await each_drawn(request, [drawing])
    rules = await deed(lambda _: _rules(made), request)
    return show(
        request,
        "sell.html",
        place=place,
        made=made,
        here=machine_money(place.view.id, place.key),
        drawn=drawn,
        told=rows(drawing) if drawing is not None else (),
        rules=rules,
        few=FEW,
        state_words=state_words,
        sold_as_words=sold_as_words,
        verdict=verdict,
        brings_words=brings_words,
        kept=await kept_of(request, place),
        rounded=rounded,
        sold_as=get_args(SoldAs),
        items=[(item, figure_words(item)) for item in SALE_ITEMS],
        languages=LANGUAGES,
        id=fresh(),
        **more,
    )


async def kept_of(request: Request, place: Place) -> dict[str, str] | None:
    """What was just said, where the address says so, and whether it is still of this machine."""
    id = request.query_params.get("kept", "")
    at = (place.view.id, place.key)
    words: str = await deed(settle.said_of_sale, request, id, at=at) if id else ""
    return {"id": id, "title": words} if words else None


def _rules(made: Sale) -> dict[str, str]:
    """Each state's price on a rule: the same on phone and laptop, where they stand side by side."""
    return {one.id: _rule(spread_of(one), one.take, made.currency, reader()) for one in made.states}


@again(show_sell)
async def post_listing(request: Request) -> Response:
    """List it: as what, what is asked, taken, let go for."""
    form, place = await typed(request), await place_of(request)
    sold_as, ask = form.text("sold_as"), form.amount("ask")
    if sold_as not in get_args(SoldAs):
        form.problems.append(Problem("sold_as", say("not chosen"), say("Press one of the keys.")))
    _needed(form, "ask", ask, say("Say what is asked."))
    listing = ForSale(
        lot=place.view.id, machine=place.key, sold_as=cast(SoldAs, sold_as), ask=ask or Decimal(0),
        take=form.amount("take"), dump=form.amount("dump"), dump_on=form.day("dump_on"),
        listed_on=form.day("listed_on") or "", text=form.text("text"),
    )  # fmt: skip
    form.check()
    made = await deed(settle.put_up, request, place.view.id, place.key, request.app.state.kinds,
                      listing, on=today(request), **hand(request, form))  # fmt: skip
    return _back(place, made.id)


@again(show_sell)
async def post_offer(request: Request) -> Response:
    """Keep an offer: who, how much, which day."""
    form, place = await typed(request), await place_of(request)
    amount = form.amount("amount")
    _needed(form, "amount", amount, say("Say how much is offered."))
    whom = form.text("whom")
    _needed(form, "whom", whom or None, say("Say who offers it."))
    offered_on, held = form.day("offered_on") or today(request).isoformat(), form.amount("tax_held")
    form.check()
    made = Offered(lot="", machine="", whom=whom, offered_on=offered_on, amount=amount or Decimal(),
                   currency=form.text("currency") or "EUR", text=form.text("text"),
                   tax_held=None if held is None else held / 100)  # fmt: skip
    kept = await deed(settle.offer, request, place.view.id, place.key, request.app.state.kinds,
                      made, on=today(request), **hand(request, form))  # fmt: skip
    return _back(place, kept.id)


@again(show_sell)
async def post_answer(request: Request) -> Response:
    """Keep what was answered; one that is taken is sold in the book."""
    form, place = await typed(request), await place_of(request)
    answer = form.text("answer")
    if answer not in get_args(Answer):
        form.problems.append(Problem("answer", say("not chosen"), say("Press one of the keys.")))
    paid, load_by = form.amount("paid"), form.day("load_by")
    form.check()
    made = await deed(settle.answer_offer, request, form.text("offer"), cast(Answer, answer),
                      request.app.state.kinds, on=today(request), text=form.text("text"),
                      terms=Terms(paid=paid, load_by=load_by), at=(place.view.id, place.key),
                      **hand(request, form))  # fmt: skip
    return _back(place, made.id, "after" if answer == "taken" else "sell")


@again(show_sell)
async def post_figure(request: Request) -> Response:
    """Put a figure of one's own in place of one from memory."""
    form, place = await typed(request), await place_of(request)
    item = form.text("item")
    if item not in SALE_ITEMS:
        form.problems.append(Problem("item", say("not chosen"), say("Pick one.")))
    per_cent = Decimal(1) if item == "sell_days" else Decimal(100)
    three = {}
    for name in ("low", "likely", "high"):
        value = form.amount(name)
        _needed(form, name, value, say("Give the low, the likely, then the high figure."))
        three[name] = (value or Decimal(0)) / per_cent
    form.check()
    figure = RunFigure(lot="", machine="", item=item, reason=form.text("reason"), **three)
    made = await deed(settle.set_sale_figure, request, place.view.id, place.key,
                      request.app.state.kinds, figure, **hand(request, form))  # fmt: skip
    return _back(place, made.id)


async def post_as_before(request: Request) -> Response:
    """Take back what was just said of the sale: what stood before counts again."""
    form, place = await typed(request), await place_of(request)
    await deed(settle.as_before, request, form.text("record"), at=(place.view.id, place.key),
               **hand(request, form))  # fmt: skip
    here = machine_money(place.view.id, place.key)
    return to(back_of(form.text("back"), f"{here}/sell"))


def _back(place: Place, kept: str, page: str = "sell") -> Response:
    return to(f"{machine_money(place.view.id, place.key)}/{page}?kept={kept}")


async def sale_text(request: Request) -> Response:
    """The listing in plain words, to copy."""
    place, language = await place_of(request), request.query_params.get("language", reader())
    text = await deed(
        settle.sale_text, request, place.view.id, place.key, request.app.state.kinds,
        on=today(request), language=language, by=request.app.state.settings.by,
    )  # fmt: skip
    return PlainTextResponse(text)


def _needed(form: Typed, field: str, value: Any, remedy: str) -> None:
    if value is None and field not in {one.where for one in form.problems}:
        form.problems.append(Problem(field, say("is empty"), remedy))
