"""A screened catalogue as files: on paper, as a spreadsheet, as a table."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.formatter import minute
from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.screen.bid_plan import BidPlan
from retrue.cases.screen.bid_table import bid_table
from retrue.cases.screen.drawing import screen_drawing
from retrue.cases.screen.table import screen_table
from retrue.figures.drawing import picture
from retrue.figures.ink import PAPER
from retrue.paper.bid_sheet import BidSheet, bid_sheet
from retrue.paper.screen_sheet import screen_sheet, sheet_of
from retrue.phases import worth
from retrue.store.table_out import csv_of, xlsx_of
from retrue.web.door import deed
from retrue.web.pairing import on_the_network
from retrue.web.prove.papers import given, pdf
from retrue.web.worth.screen_board import Board, board_of, screener_of

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


async def sheet_file(request: Request) -> Response:
    """The lots that are worth a call on paper, with boxes for what is said on the phone."""
    board = await board_of(request)
    settings, screener = request.app.state.settings, screener_of(request)
    at, by = request.app.state.clock(), request.state.person
    edition = settings.edition.removeprefix("retrue ")
    sheet = replace(
        sheet_of(board.listing, (*board.ranked, *board.poor), by=by, version=edition),
        name=board.name, by_hour=board.by == "hour",
        bidders={number: one.fact.who for number, one in board.bidders.items()},
        address=on_the_network(settings, board.here), seed=screener.seed,
        worlds=screener.worlds,
    )  # fmt: skip

    def printed(_: object) -> bytes:
        drawing = screen_drawing(sheet.rows, sheet.currency)
        drawn = picture(drawing, theme=PAPER, room="paper")
        return screen_sheet(sheet, picture=drawn or None, at=at)

    return pdf(await deed(printed, request), f"{board.name}.pdf")


def _rows(board: Board) -> list[list[object]]:
    """Every lot that is worked out, best first; those without a price last."""
    ranked = (*board.ranked, *board.poor)
    priced = {row.number for row in ranked}
    rest = [row for row in board.state.rows if row.number not in priced]
    return screen_table((*ranked, *rest), board.currency, by=board.by)


async def csv_file(request: Request) -> Response:
    """Every lot as CSV."""
    board = await board_of(request)
    return given(csv_of(_rows(board)), f"{board.name}.csv", "text/csv; charset=utf-8")


async def xlsx_file(request: Request) -> Response:
    """Every lot as a spreadsheet."""
    board = await board_of(request)
    made = await deed(lambda _: xlsx_of(_rows(board)), request)
    return given(made, f"{board.name}.xlsx", XLSX)


async def _plan(request: Request) -> BidPlan:
    """The bids that were chosen.

    Raises
    ------
    NotYet
        Nobody has said what they may take together.
    """
    catalogue, kinds = request.path_params["catalogue"], request.app.state.kinds
    plan: BidPlan | None = await deed(worth.plan_of, request, catalogue, kinds)
    if plan is None:
        raise NotYet(
            say("no bids are chosen yet"),
            remedy=say("Say first what they may take together."),
        )
    return plan


async def bids_file(request: Request) -> Response:
    """The bids on paper, with boxes for what each lot went for."""
    plan, board = await _plan(request), await board_of(request)
    settings, at = request.app.state.settings, request.app.state.clock()
    closes = board.fact.closes_at
    sheet = BidSheet(
        plan=plan,
        name=board.name,
        closes=minute(datetime.fromisoformat(closes)) if closes else "",
        address=on_the_network(settings, f"{board.here}/bids"),
        by=request.state.person,
        version=settings.edition.removeprefix("retrue "),
    )
    printed = await deed(lambda _: bid_sheet(sheet, at=at), request)
    return pdf(printed, f"{board.name}-bids.pdf")


async def bids_table(request: Request) -> Response:
    """The bids as a spreadsheet."""
    plan, board = await _plan(request), await board_of(request)
    made = await deed(lambda _: xlsx_of(bid_table(plan)), request)
    return given(made, f"{board.name}-bids.xlsx", XLSX)
