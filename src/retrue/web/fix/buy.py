"""What to buy: the list, by when, offers, money by week, the shelf; as a table out and in."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.fix.buying_lines import Buying
from retrue.cases.fix.cash_drawing import cash_drawing
from retrue.phases import fix
from retrue.records.fixing import Stock
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.drawn import each_drawn
from retrue.web.fix.where import show, today

BUY = "/fix/buy"


async def buying_of(request: Request) -> Buying:
    """The purchase list of every lot."""
    kinds, on = request.app.state.kinds, today(request)
    view: Buying = await deed(fix.buying, request, kinds, on=on)
    return view


async def show_buy(request: Request, /, **more: Any) -> Response:
    """What to buy, by when, at whom; money by week; what runs out on the shelf."""
    view = await buying_of(request)
    (drawn,) = await each_drawn(request, [cash_drawing(view)])
    return show(
        request,
        "buy.html",
        view=view,
        drawn=drawn,
        kept=request.query_params.get("kept", ""),
        id=fresh(),
        **more,
    )


@again(show_buy)
async def post_stock(request: Request) -> Response:
    """Keep what is on the shelf; the newest of a name counts."""
    form = await typed(request)
    name, amount, least = form.text("name"), form.real("amount"), form.real("least")
    for field, value, what in (
        ("name", name, say("Say what it is.")),
        ("amount", amount, say("Say how much is there.")),
    ):
        if value in ("", None) and field not in {one.where for one in form.problems}:
            form.problems.append(Problem(field, say("is empty"), what))
    form.check()
    stock = Stock(name=name, amount=amount or 0.0, unit=form.text("unit"), least=least)
    await deed(fix.set_stock, request, stock, **hand(request, form))
    return to(f"{BUY}#stock")
