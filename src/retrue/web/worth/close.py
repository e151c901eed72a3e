"""Lines of the sum overtyped, the number frozen before the bidding, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.sheet import MachineRow, PriceSheet
from retrue.kinds.library import Kind, Three
from retrue.phases import worth
from retrue.web.door import again, deed, hand, sum_of, to, typed
from retrue.web.pages import render


@dataclass(frozen=True, slots=True)
class LineChoice:
    """A line of the sum that an owner may know better."""

    line: str
    words: str
    guess: Three


def lines_of(kind: Kind, machine: MachineRow) -> list[LineChoice]:
    """The lines of one machine: what it may need, then base jobs."""
    fixes = [
        LineChoice(
            f"{fix.fault}:{fix.way}",
            f"{suspect.name}: " + say(fix.way.replace("_", " ")),
            fix.money,
        )
        for suspect in machine.suspects
        for fix in kind.fixes.get(suspect.fault, ())
        if fix.way != "live_with"
    ]
    jobs = [LineChoice(job.id, job.name, job.money) for job in kind.jobs.values()]
    return fixes + jobs


def lines_of_lot(kinds: Mapping[str, Kind], sheet: PriceSheet) -> list[LineChoice]:
    """The money that is no repair: purchase, move, place."""
    costs = {id: cost for row in sheet.machines for id, cost in kinds[row.kind].costs.items()}
    return [LineChoice(id, cost.item, cost.amount) for id, cost in sorted(costs.items())]


async def show_costs(request: Request, /, **more: Any) -> Response:
    """Every line of the sum, and room to put your own figure with its reason."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    view = await deed(worth.view_lot, request, lot)
    sheet = await deed(worth.price, request, lot, kinds, **sum_of(request))
    mine = await deed(worth.my_shop, request)
    return render(
        request,
        "worth/costs.html",
        currency=mine.fact.currency if mine else "EUR",  # the tables and own figures are in it
        view=view,
        sheet=sheet,
        machines=[(row, lines_of(kinds[row.kind], row)) for row in sheet.machines],
        whole=lines_of_lot(kinds, sheet),
        own=await deed(worth.cost_lines, request, lot),
        **more,
    )


@again(show_costs)
async def post_cost(request: Request) -> Response:
    """Keep one figure of your own with its reason."""
    form, lot = await typed(request), request.path_params["lot"]
    amount, machine, line = form.amount("amount"), *form.text("line").rpartition("|")[::2]
    if amount is None and not form.problems:
        form.problems.append(Problem("amount", say("no figure"), say("Type your figure.")))
    form.check()
    await deed(
        worth.overtype,
        request,
        lot,
        line,
        amount or Decimal(0),
        form.text("reason"),
        request.app.state.kinds,
        machine=machine or None,
        hours=form.real("hours"),
        days=form.real("days"),
        **hand(request),
    )
    return to(f"/lots/{lot}/costs")


async def show_freeze(request: Request, /, **more: Any) -> Response:
    """Three numbers and three dangers: the page to look at before the bidding."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    return render(
        request,
        "worth/freeze.html",
        view=await deed(worth.view_lot, request, lot),
        sheet=await deed(worth.price, request, lot, kinds, **sum_of(request)),
        frozen=await deed(worth.frozen, request, lot),
        came=await deed(worth.came_of, request, lot),
        **more,
    )


@again(show_freeze)
async def post_freeze(request: Request) -> Response:
    """Fix the number; it rises only with a typed reason."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    reason = (await typed(request)).text("reason")
    named = {"reason": reason, **sum_of(request), **hand(request)}
    await deed(worth.freeze, request, lot, kinds, **named)
    return to(f"/lots/{lot}/freeze")


@again(show_freeze)
async def post_outcome(request: Request) -> Response:
    """Won at, lost at, or walked away."""
    form, lot = await typed(request), request.path_params["lot"]
    amount = form.amount("amount")
    form.check()
    result = cast(Literal["won", "lost", "walked"], form.text("result"))
    named = {"amount": amount, "text": form.text("text"), **hand(request)}
    await deed(worth.outcome, request, lot, result, **named)
    return to(f"/lots/{lot}/freeze")
