"""Labels and bag tags on paper."""

from __future__ import annotations

from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.formatter import short
from retrue.paper.label_sheet import LabelRow, LabelSheet, label_sheet
from retrue.paper.press import Paper
from retrue.paper.strip_sheet import EveningRow, StripSheet, first_night_sheet, strip_sheet
from retrue.phases import strip
from retrue.phases.strip import StripLog, TakenLine
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


def log_sheet(log: StripLog, *, by: str, version: str) -> StripSheet:
    """A log of taking apart, as its sheet takes it."""
    return StripSheet(
        machine=log.machine,
        lot=log.lot,
        night=log.night,
        taken=log.taken,
        cleaning=log.cleaning,
        evenings=tuple(EveningRow(day, ticks) for day, ticks in log.evenings),
        by=by,
        version=version,
    )


async def log_file(request: Request) -> Response:
    """The log of taking apart: as found, what is off, what is proved clean, every evening."""
    return await _sheet(request, strip_sheet, "apart")


async def night_file(request: Request) -> Response:
    """The first night on paper, a box for each line."""
    return await _sheet(request, first_night_sheet, "first-night")


async def _sheet(request: Request, printing: Callable[..., bytes], name: str) -> Response:
    place, state = await place_of(request), request.app.state
    log = await deed(strip.strip_log, request, place.view.id, place.key, state.kinds)
    edition = state.settings.edition.removeprefix("retrue ")
    sheet = log_sheet(log, by=state.settings.by, version=edition)
    made = await deed(lambda _: printing(sheet, at=state.clock()), request)
    return pdf(made, f"{place.machine.name}-{name}.pdf")


async def _printed(request: Request, sorts: tuple[str, ...], name: str) -> Response:
    place, state = await place_of(request), request.app.state
    lines = await deed(strip.taken, request, place.view.id, place.key, state.kinds, sorts)
    sheet = LabelSheet(
        machine=place.machine.name,
        lot=place.view.name,
        rows=tuple(_row(line) for line in lines if not line.back),
        by=state.settings.by,
        version=state.settings.edition.removeprefix("retrue "),
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
        told.append(f"{short(line.torque_nm)} Nm")
    if line.shim_mm is not None:
        told.append(f"{short(line.shim_mm)} mm")
    return ", ".join(str(word) for word in told if word)
