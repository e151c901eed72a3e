"""A screened catalogue as files: on paper, as a spreadsheet, as a table."""

from __future__ import annotations

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from retrue.cases.screen.drawing import screen_drawing
from retrue.cases.screen.table import screen_table
from retrue.figures.drawing import picture
from retrue.figures.ink import PAPER
from retrue.paper.screen_sheet import screen_sheet, sheet_of
from retrue.store.table_out import csv_of, xlsx_of
from retrue.web.door import deed
from retrue.web.pairing import on_the_network
from retrue.web.prove.papers import given, pdf
from retrue.web.worth.screen import ONE
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
    return screen_table((*ranked, *rest), board.currency)


async def csv_file(request: Request) -> Response:
    """Every lot as CSV."""
    board = await board_of(request)
    return given(csv_of(_rows(board)), f"{board.name}.csv", "text/csv; charset=utf-8")


async def xlsx_file(request: Request) -> Response:
    """Every lot as a spreadsheet."""
    board = await board_of(request)
    made = await deed(lambda _: xlsx_of(_rows(board)), request)
    return given(made, f"{board.name}.xlsx", XLSX)


ROUTES: list[Route] = [
    Route(ONE + "/sheet.pdf", sheet_file, methods=["GET"]),
    Route(ONE + "/sheet.xlsx", xlsx_file, methods=["GET"]),
    Route(ONE + "/sheet.csv", csv_file, methods=["GET"]),
]
