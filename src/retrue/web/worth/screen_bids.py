"""Several bids of one sale together: what may be spent, which bids, what is left if all are won."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.formatter import odds
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.phases import worth
from retrue.records.screening import Budget
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.worth.screen import board_or_columns
from retrue.web.worth.screen_board import SCREEN, board_of, lot_of, show

ODDS = ("0.8", "0.9", "0.95", "0.99")
DEFAULT_ODDS = "0.9"
MOST_SHORT = 60  # lots that are looked at together


async def show_bids(request: Request, /, **more: Any) -> Response:
    """The limits, the bids that bring most within them, what is left if all of them win."""
    board = await board_or_columns(request)
    if isinstance(board, Response):
        return board
    catalogue, kinds = request.path_params["catalogue"], request.app.state.kinds
    budget = await deed(worth.budget_of, request, catalogue)
    plan = None
    if budget is not None and board.done and "typed" not in more:
        plan = await deed(worth.plan_of, request, catalogue, kinds)
    return show(
        request, "screen_bids.html", view=board, budget=budget.fact if budget else None,
        plan=plan, odds_choices=[(one, odds(float(one))) for one in ODDS],
        odds_now=odds_now(budget.fact if budget else None), **more,
    )  # fmt: skip


def odds_now(budget: Budget | None) -> str:
    """The key that is pressed: the odds that were said."""
    said = budget.odds if budget is not None and budget.odds is not None else float(DEFAULT_ODDS)
    return next((one for one in ODDS if float(one) == said), DEFAULT_ODDS)


@again(show_bids)
async def post_budget(request: Request) -> Response:
    """Keep what the bids of this sale may take together; the newest counts."""
    form = await typed(request)
    catalogue = request.path_params["catalogue"]
    board = await board_of(request)
    fact = budget_from(form, catalogue)
    for number in fact.only:
        lot_of(board.listing, number)
    form.check()
    await deed(worth.set_budget, request, catalogue, fact, **hand(request, form))
    return to(f"{SCREEN}/{catalogue}/bids")


def budget_from(form: Typed, catalogue: str) -> Budget:
    """The limits, as far as they were typed."""
    said = form.text("odds") or DEFAULT_ODDS
    if said not in ODDS:
        form.problems.append(
            Problem("odds", say("is none of the odds"), say("Press one of the keys."))
        )
    count = form.whole("short_list")
    if count is not None and not 1 <= count <= MOST_SHORT:
        form.problems.append(
            Problem("short_list", say("is not from 1 to {most}", most=MOST_SHORT),
                    say("Some twenty lots are usual."))
        )  # fmt: skip
    return Budget(
        catalogue=catalogue,
        money=form.amount("money"),
        floor_m2=form.real("floor_m2"),
        hours=form.real("hours"),
        odds=float(said) if said in ODDS else None,
        short_list=count,
        only=tuple(one.strip() for one in form.text("only").split(",") if one.strip()),
    )
