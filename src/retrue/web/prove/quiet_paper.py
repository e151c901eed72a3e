"""Before and after on paper, with the pictures in its colours."""

from __future__ import annotations

from datetime import datetime

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import say
from retrue.cases.prove.quiet import Quiet
from retrue.cases.prove.sense_drawing import BandsDrawing
from retrue.figures.drawing import picture
from retrue.figures.ink import PAPER
from retrue.figures.prove.bands import table
from retrue.paper.before_after_sheet import SensedPicture
from retrue.paper.quiet_sheet import quiet_sheet
from retrue.phases import prove
from retrue.web.door import deed
from retrue.web.prove.papers import pdf
from retrue.web.prove.result import ONE_AT_A_TIME
from retrue.web.prove.where import place_of


def quiet_pdf(view: Quiet, *, by: str, version: str, at: datetime) -> bytes:
    """Every place that was read twice, as one PDF."""
    pictures = {
        pair.after.id: in_bands(pair.bands) for pair in view.pairs if pair.bands is not None
    }
    return quiet_sheet(view, at=at, by=by, version=version, pictures=pictures)


def in_bands(drawing: BandsDrawing) -> SensedPicture:
    """Bands before and after in the colours of paper, with their numbers."""
    columns, rows = table(drawing)
    return SensedPicture(
        svg=picture(drawing, theme=PAPER, room="paper"),
        says=say("Bands before and after, as heard, not weighted."),
        columns=columns,
        rows=rows,
    )


async def sheet_file(request: Request) -> Response:
    """Sound, vibration and light before and after, as PDF."""
    place, state = await place_of(request), request.app.state
    view = await deed(prove.quiet, request, place.view.id, place.key, state.kinds)

    edition = state.settings.edition.removeprefix("retrue ")

    def printed(_: object) -> bytes:
        with ONE_AT_A_TIME:
            return quiet_pdf(view, by=state.settings.by, version=edition, at=state.clock())

    return pdf(await deed(printed, request), f"{place.machine.name}-before-after.pdf")
