"""The price page: the answer, next, what moved it, where the money goes, what is assumed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.sheet import MovedRow, PriceSheet, QuestionRow
from retrue.figures.money import money_picture
from retrue.figures.moves import moves_picture
from retrue.figures.rule import rule as draw_rule
from retrue.phases import worth
from retrue.phases.worth import LotView
from retrue.web.door import deed, sum_of
from retrue.web.pages import render
from retrue.web.worth.fill import where_to_fill


def rules(sheet: PriceSheet) -> tuple[str, str]:
    """The answer on a graduated rule: one drawing for the laptop, one for the phone.

    Where nothing is to be bid it points at no number.
    """
    walk = sheet.walk_away
    return both_ways(draw_rule, walk.spread, walk.amount or None, sheet.currency)


def worth_asking(sheet: PriceSheet) -> list[QuestionRow]:
    """The questions worth more than they cost, best first, each once by its cheapest way."""
    best: dict[tuple[str, str], QuestionRow] = {}
    for row in sorted(sheet.questions, key=lambda row: -row.net):
        if row.net > 0:
            best.setdefault((row.machine, row.check), row)
    return list(best.values())


MOVES = 6  # in the picture; the table below it has them all


def movers(sheet: PriceSheet) -> list[MovedRow]:
    """The findings that moved the price, the farthest first."""
    moved = [row for row in sheet.moved if row.after != row.before]
    return sorted(moved, key=lambda row: -abs(row.after - row.before))


def both_ways(draw: Callable[..., str], *given: Any) -> tuple[str, str]:
    """A drawing for the laptop and one for the phone."""
    return draw(*given), draw(*given, narrow=True)


def picture_of_moves(sheet: PriceSheet) -> tuple[str, str]:
    """What would move the price most; nothing where no price stands."""
    now = sheet.walk_away.amount
    if not sheet.moves or now is None:
        return "", ""
    widest = sorted(sheet.moves, key=lambda move: -abs(move.high - move.low))[:MOVES]
    return both_ways(moves_picture, widest, now, sheet.currency)


def money_pictures(sheet: PriceSheet) -> dict[str, tuple[str, str]]:
    """Where the money goes, machine by machine."""
    return {
        machine.name: both_ways(money_picture, machine.buckets, sheet.currency)
        for machine in sheet.machines
        if machine.buckets
    }


def told(sheet: PriceSheet, view: LotView) -> dict[str, Any]:
    """The sheet with its drawings, its best questions and the places of what it assumed."""
    return {
        "sheet": sheet,
        "rules": rules(sheet),
        "moves": picture_of_moves(sheet),
        "money_goes": money_pictures(sheet),
        "worthy": worth_asking(sheet),
        "movers": movers(sheet),
        "assumed": [(row, where_to_fill(row.field, view)) for row in sheet.assumed],
    }


async def show_price(request: Request, /, **more: Any) -> Response:
    """What to pay for this lot, and why."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    view: LotView = await deed(worth.view_lot, request, lot)
    sheet = await deed(worth.price, request, lot, kinds, **sum_of(request))
    known = {
        "pictures": await deed(worth.pictures, request, lot, kinds),
        "said": await deed(worth.findings, request, lot, kinds),
        "frozen": await deed(worth.frozen, request, lot),
        "came": await deed(worth.came_of, request, lot),
        "needs": await deed(worth.move_needs, request, lot),
    }
    values = told(sheet, view) | known | more
    return render(request, "worth/price.html", view=view, kinds=kinds, **values)
