"""One lot of a catalogue: its row in full, what to ask, who bids on it, into my lots."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.diary_pages import in_path
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.of_all import starts_above
from retrue.cases.screen.screened import ScreenedLot
from retrue.phases import worth
from retrue.records.screening import Bidder
from retrue.records.shop import Record
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.worth.screen import board_or_columns
from retrue.web.worth.screen_board import (
    SCREEN,
    Board,
    address_of,
    board_of,
    lot_of,
    screener_of,
    show,
)
from retrue.web.worth.screen_work import Screener

ENDS = ("won", "lost")


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPage:
    """One lot as its page shows it."""

    listed: ListedLot
    row: ScreenedLot | None
    place: int
    bidder: Record[Bidder] | None
    mine: bool
    taken: str | None

    @property
    def starts(self) -> float | None:
        """What it costs at least, where that is above the price not to go above."""
        return starts_above(self.listed, None if self.row is None else self.row.walk_away)


async def show_lot(request: Request, /, **more: Any) -> Response:
    """What it is worth, what to ask first, what was read of it, who bids."""
    board = await board_or_columns(request)
    if isinstance(board, Response):
        return board
    named = request.path_params.get("number") or str(more.get("typed", {}).get("number", ""))
    listed = lot_of(board.listing, named)
    row = next((one for one in board.state.rows if one.number == listed.number), None)
    if row is not None and row.walk_away is not None and board.state.begun is not None:
        key = board.state.begun.fact.key
        row = await deed(_with_asked, request, screener_of(request), row, listed, key)
    bidder = board.bidders.get(listed.number)
    one = LotPage(
        listed=listed,
        row=row,
        place=place_of(board, listed.number),
        bidder=bidder,
        mine=bidder is None or bidder.fact.who == request.state.person,
        taken=board.taken.get(listed.number),
    )
    kinds = request.app.state.kinds
    return show(
        request, "screen_lot.html", view=board, one=one,
        types=[kinds[id].name for id in listed.kinds if id in kinds], **more,
    )  # fmt: skip


def _with_asked(
    _: object, screener: Screener, row: ScreenedLot, listed: ListedLot, key: str
) -> ScreenedLot:
    """The row with what to ask first."""
    return replace(row, ask=screener.asked_of(row, listed, key))


def place_of(board: Board, number: str) -> int:
    """Its place among those with a price; 0 where it has none."""
    return next((at for at, row in enumerate(board.ranked, 1) if row.number == number), 0)


async def _listed(request: Request, form: Typed) -> ListedLot:
    """The lot that a form names."""
    board = await board_of(request)
    return lot_of(board.listing, form.text("number"))


def lot_path(request: Request, listed: ListedLot) -> str:
    """Where the page of a lot is."""
    return f"{SCREEN}/{request.path_params['catalogue']}/lot/{in_path(address_of(listed))}"


@again(show_lot)
async def post_take(request: Request) -> Response:
    """Take the lot into my lots, once; the second time leads to the first."""
    form = await typed(request)
    listed = await _listed(request, form)
    lot = await deed(
        worth.take_lot, request, request.path_params["catalogue"], listed.number,
        request.app.state.kinds, **hand(request, form),
    )  # fmt: skip
    return to(f"/lots/{lot}")


@again(show_lot)
async def post_bidder(request: Request) -> Response:
    """I bid on it, up to what; nobody else of us does then."""
    form = await typed(request)
    listed = await _listed(request, form)
    limit = form.amount("limit")
    form.check()
    await deed(
        worth.who_bids, request, request.path_params["catalogue"], listed.number, limit,
        request.app.state.kinds, text=form.text("text"), **hand(request, form),
    )  # fmt: skip
    return to(lot_path(request, listed) + "#bid")


@again(show_lot)
async def post_give_up(request: Request) -> Response:
    """I do not bid on it any more; somebody else may."""
    form = await typed(request)
    listed = await _listed(request, form)
    await deed(
        worth.give_up_bid, request, request.path_params["catalogue"], listed.number,
        **hand(request, form),
    )  # fmt: skip
    return to(lot_path(request, listed) + "#bid")


@again(show_lot)
async def post_outcome(request: Request) -> Response:
    """It was won or lost; the other bids are chosen by what is left."""
    form = await typed(request)
    listed = await _listed(request, form)
    result, amount = form.text("result"), form.amount("amount")
    if result not in ENDS:
        form.problems.append(
            Problem("result", say("nobody said how it ended"), say("Press won or lost."))
        )
    form.check()
    await deed(
        worth.bid_ended, request, request.path_params["catalogue"], listed.number, result,
        amount if amount is None else Decimal(amount), **hand(request, form),
    )  # fmt: skip
    return to(lot_path(request, listed) + "#bid")
