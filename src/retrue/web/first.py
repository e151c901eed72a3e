"""The first run: one form from nothing to a first number; all that is left empty is assumed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.phases import worth
from retrue.records.facts import Lot, Shop, Terms
from retrue.web.door import again, deed, fresh, hand, typed
from retrue.web.forms import Typed
from retrue.web.pages import render
from retrue.web.worth.lots import AGES, COUNTS, keep_pictures, kind_slots, machines_from

CURRENCIES = ("EUR", "GBP", "CHF", "USD")  # the others are typed


async def show_first(request: Request, /, **more: Any) -> Response:
    """The one form of an empty shop."""
    mine = await deed(worth.my_shop, request)
    return render(
        request,
        "first.html",
        shop=mine.fact if mine else Shop(),
        kinds=kind_slots(request),
        ages=AGES,
        counts=COUNTS,
        currencies=[(one, one) for one in CURRENCIES],
        suggested=say("Lot {number}", number=1),
        id=fresh(),
        phase=-1,
        **more,
    )


@again(show_first)
async def post_first(request: Request) -> Response:
    """Keep the shop, the lot, its machines and photographs; the price follows at once."""
    form = await typed(request)
    machines = machines_from(form, kind_slots(request))
    if not machines:
        form.problems.append(
            Problem("machines", say("no machine was counted"), say("Say what is looked at."))
        )
    mine = await deed(worth.my_shop, request)
    shop = shop_from(form, mine.fact if mine else Shop())
    bid = form.amount("bid_now")
    form.check()
    lot = Lot(name=form.text("name"), currency=shop.currency)
    if mine is None or mine.fact != shop:
        await deed(worth.keep_shop, request, shop, **hand(request))
    view = await deed(worth.new_lot, request, lot, Terms(lot="", bid_now=bid), machines,
                      **hand(request, form))  # fmt: skip
    return await keep_pictures(request, view, form.files("pictures"), f"/lots/{view.id}")


def shop_from(form: Typed, shop: Shop) -> Shop:
    """My shop, as far as the first form asks for it.

    Parameters
    ----------
    form : Typed
    shop : Shop
        As it stands.

    Returns
    -------
    Shop
        What an own hour is worth is left as it was where nobody knows.
    """
    hour = form.amount("hour_alternative")
    currency = form.text("currency_other") or form.text("currency") or shop.currency
    return replace(
        shop,
        name=form.text("shop_name") or shop.name,
        currency=currency.upper(),
        hour_alternative=hour if hour is not None else shop.hour_alternative,
    )
