"""What to buy: the list, by when, offers, money by week, the shelf; as a table out and in."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.fix.buying_lines import Buying, WeekCash
from retrue.phases import fix
from retrue.records.fixing import Stock
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.where import show, today

BUY = "/fix/buy"


async def buying_of(request: Request) -> Buying:
    """The purchase list of every lot."""
    kinds, on = request.app.state.kinds, today(request)
    view: Buying = await deed(fix.buying, request, kinds, on=on)
    return view


def every_week(weeks: tuple[WeekCash, ...]) -> list[WeekCash]:
    """The weeks in a row, those in which nothing is paid between them as well.

    Examples
    --------
    >>> rows = every_week((WeekCash(week_on="2026-11-30", amount=5.0),
    ...                    WeekCash(week_on="2026-12-14", amount=7.0)))
    >>> [(one.week_on, one.amount) for one in rows]
    [('2026-11-30', 5.0), ('2026-12-07', 0.0), ('2026-12-14', 7.0)]
    """
    if not weeks:
        return []
    by_day = {one.week_on: one for one in weeks}
    day, last = date.fromisoformat(min(by_day)), date.fromisoformat(max(by_day))
    found = []
    while day <= last:
        text = day.isoformat()
        found.append(by_day.get(text, WeekCash(week_on=text, amount=0.0)))
        day += timedelta(days=7)
    return found


async def show_buy(request: Request, /, **more: Any) -> Response:
    """What to buy, by when, at whom; money by week; what runs out on the shelf."""
    view = await buying_of(request)
    weeks = every_week(view.weeks)
    return show(
        request,
        "buy.html",
        view=view,
        weeks=weeks,
        kept=request.query_params.get("kept", ""),
        most=max((one.amount for one in weeks), default=0.0),
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
