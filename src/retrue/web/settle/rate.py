"""What an hour of the machine costs; figures of one's own in place of what is assumed."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.settle.hour_rate_figures import UNITS, item_words
from retrue.cases.settle.rate_lines import HourRateView, rate_drawing
from retrue.phases import settle
from retrue.records.settling import RUN_ITEMS, RunFigure
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.fix.drawn import each_drawn
from retrue.web.fix.options import sum_small
from retrue.web.fix.where import asked
from retrue.web.prove.where import place_of
from retrue.web.settle.where import machine_money, show, today

MOVES = 6  # shown at once
MARKS = {"own": "your own", "assumed": "assumed", "reckoned": "reckoned", "file": "as given"}


async def show_rate(request: Request, /, **more: Any) -> Response:
    """What an hour costs, what it is made of, what moves it most, and the figure to give next."""
    place, kinds = await place_of(request), request.app.state.kinds
    wanted = asked(request)
    margin = wanted.share("margin")
    margin = margin if margin is not None and margin < 1.0 else None
    made: HourRateView = await deed(
        settle.rate, request, place.view.id, place.key, kinds, on=today(request), margin=margin,
        **sum_small(request),
    )  # fmt: skip
    (drawn,) = await each_drawn(request, [rate_drawing(made)])
    given = {"wrong": {one.where: one for one in wanted.problems}}
    return show(
        request, "rate.html", place=place, made=made, here=machine_money(place.view.id, place.key),
        drawn=drawn, next=next_figure(made), most=MOVES, marks=MARKS,
        items=[(item, item_words(item), UNITS.get(item, "")) for item in RUN_ITEMS],
        typed_margin=request.query_params.get("margin", ""), kept=kept_figure(request, made),
        **(given | more),
    )  # fmt: skip


def kept_figure(request: Request, made: HourRateView) -> dict[str, str] | None:
    """The figure that was just kept, for the line with its way back."""
    item = request.query_params.get("kept", "")
    for row in made.figures:
        if row.item == item and row.record:
            return {"id": row.record, "title": row.words}
    return None


def next_figure(made: HourRateView) -> tuple[str, str, float] | None:
    """The figure nobody gave that moves the rate most: its item, its words, by how much."""
    guessed = {one.item for one in made.figures if one.mark != "own"}
    for one in made.moves:
        if one.what in guessed:
            return one.what, one.words, abs(one.high - one.low)
    return None


@again(show_rate)
async def post_figure(request: Request) -> Response:
    """Keep a figure, one number alone as low, likely and high at once; or take one back."""
    form, place = await typed(request), await place_of(request)
    here = f"{machine_money(place.view.id, place.key)}/rate"
    if back := form.text("back"):
        await deed(settle.take_back, request, back, **hand(request, form))
        return to(f"{here}#figures")
    likely = form.amount("likely")
    low, high = form.amount("low"), form.amount("high")
    item = form.text("item")
    if likely is None and not any(one.where == "likely" for one in form.problems):
        form.problems.append(
            Problem("likely", say("is missing"), say("Type at least the likely figure."))
        )
    if item not in RUN_ITEMS:
        form.problems.append(Problem("item", say("nothing was picked"), say("Pick a figure.")))
    form.check()
    sure = likely if likely is not None else Decimal(0)
    figure = RunFigure(
        lot=place.view.id, machine=place.key, item=item, low=sure if low is None else low,
        likely=sure, high=sure if high is None else high, reason=form.text("reason"),
    )  # fmt: skip
    kinds = request.app.state.kinds
    await deed(settle.set_figure, request, place.view.id, place.key, kinds, figure,
               **hand(request, form))  # fmt: skip
    return to(f"{here}?kept={item}#figures")
