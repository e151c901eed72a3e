"""Labels and bag tags on paper."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from retrue.paper.label_sheet import LabelRow, LabelSheet, label_sheet
from retrue.paper.press import Paper
from retrue.phases import strip
from retrue.phases.strip import TakenLine
from retrue.web.door import deed
from retrue.web.pairing import on_the_network
from retrue.web.prove.papers import pdf
from retrue.web.prove.where import place_of

LABELS = ("wire", "hose", "connector", "part")
BAGS = ("bag",)


async def labels_file(request: Request) -> Response:
    """The labels of wires, hoses, connectors and parts that are off, as a PDF."""
    return await _printed(request, LABELS, "labels")


async def bags_file(request: Request) -> Response:
    """The tags of bags that are off, as a PDF."""
    return await _printed(request, BAGS, "bags")


async def _printed(request: Request, sorts: tuple[str, ...], name: str) -> Response:
    place, state = await place_of(request), request.app.state
    lines = await deed(strip.taken, request, place.view.id, place.key, state.kinds, sorts)
    sheet = LabelSheet(
        machine=place.machine.name,
        lot=place.view.name,
        rows=tuple(_row(line) for line in lines if not line.back),
        by=state.settings.by,
        version=state.settings.edition,
        address=on_the_network(state.settings, "/labels?code="),
    )
    paper: Paper = "us-letter" if request.query_params.get("paper") == "letter" else "a4"
    made = await deed(lambda _: label_sheet(sheet, at=state.clock(), paper=paper), request)
    return pdf(made, f"{place.machine.name}-{name}.pdf")


def _row(line: TakenLine) -> LabelRow:
    return LabelRow(
        code=line.code,
        sort=line.sort,
        what=_what(line),
        from_end=line.from_end,
        to_end=line.to_end,
        place=line.place_name,
        step=str(line.step),
    )


def _what(line: TakenLine) -> str:
    """Its words, and what a hand needs beside the bag: how many, how tight, how thick."""
    told = [line.what]
    if line.count is not None:
        told.append(f"{line.count} ×")
    if line.torque_nm is not None:
        told.append(f"{line.torque_nm:g} Nm")
    if line.shim_mm is not None:
        told.append(f"{line.shim_mm:g} mm")
    return ", ".join(word for word in told if word)
