"""What it cost, and what was expected: of one machine, of a whole lot; the same as a table."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import say
from retrue.cases.settle.cost_drawing import cost_bars, curve_drawing
from retrue.cases.settle.cost_json import table_rows
from retrue.cases.settle.cost_lines import CostLineRow, CostView
from retrue.cases.settle.cost_ranges import NOTHING
from retrue.cases.settle.cost_said import end_words
from retrue.cases.settle.cost_words import against_words, state_words
from retrue.phases import settle
from retrue.store.table_out import csv_of, xlsx_of
from retrue.web.door import deed
from retrue.web.fix.drawn import each_drawn
from retrue.web.fix.options import sum_small
from retrue.web.prove.papers import given
from retrue.web.settle.where import lot_money, machine_money, show, today

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FEW = 10  # lines shown before "all of them"


async def view_of(request: Request) -> CostView:
    """What the lot or the machine of the address cost."""
    at = request.path_params
    view: CostView = await deed(
        settle.cost, request, at["lot"], at.get("machine"), request.app.state.kinds,
        on=today(request), **sum_small(request),
    )  # fmt: skip
    return view


async def show_cost(request: Request, /, **more: Any) -> Response:
    """Where it stands and where it ends, against what was expected; by bucket, line and week."""
    view = await view_of(request)
    bars, curve = await each_drawn(
        request, [cost_bars(view) if view.rows else None, curve_drawing(view)]
    )
    first, rest = parted(view)
    return show(
        request,
        "cost.html",
        view=view,
        bars=bars,
        curve=curve,
        end=end_words(view),
        first=first,
        rest=rest,
        act=act_of(view),
        here=machine_money(view.lot, view.machine) if view.machine else lot_money(view.lot),
        stands=state_words,
        against=against_words,
        **more,
    )


def parted(view: CostView) -> tuple[list[CostLineRow], list[CostLineRow]]:
    """Lines with money in the book and the dearest to come; then all the others."""
    spent = [row for row in view.lines if abs(row.spent + row.owed) >= NOTHING]
    rest = [row for row in view.lines if row not in spent]
    dear = sorted(rest, key=lambda row: -row.still)[: max(0, FEW - len(spent))]
    first = [row for row in view.lines if row in spent or row in dear]
    return first, [row for row in view.lines if row not in first]


def act_of(view: CostView) -> tuple[str, str]:
    """Where the one act leads, and the words on its key."""
    about = "for=" + quote(f"{view.lot}|{view.machine}", safe="")
    acts = {
        "stop": ("#stop", say("Go on, or stop")),
        "rates": ("/settle/rates", say("Type the rate")),
        "place": (f"/settle/book?{about}&bucket=none", say("Open the book")),
        "hours": ("/settle/hours", say("Own hours")),
        "lines": ("#lines", say("Line by line")),
        "book": (f"/settle/post?{about}", say("Put it in")),
    }
    return acts[view.next_at]


async def csv_file(request: Request) -> Response:
    """Rows and lines as CSV."""
    view = await view_of(request)
    return given(csv_of(table_rows(view)), "cost.csv", "text/csv; charset=utf-8")


async def xlsx_file(request: Request) -> Response:
    """Rows and lines as a spreadsheet."""
    view = await view_of(request)
    return given(await deed(lambda _: xlsx_of(table_rows(view)), request), "cost.xlsx", XLSX)
