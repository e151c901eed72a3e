"""Sheets on paper: a blank one for a pencil, and what was printed, as an answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Unknown
from retrue.cases.prove.deed import Cell, Deed, deeds
from retrue.cases.prove.deed import deed as the_deed
from retrue.paper.blank_sheet import BlankSheet, blank_code, blank_sheet
from retrue.paper.codes import code_of, read_code
from retrue.phases import prove, worth
from retrue.phases.worth import LotView
from retrue.web.door import deed, to
from retrue.web.pairing import on_the_network
from retrue.web.prove.where import Place, place_of, set_of


def given(content: bytes | str, name: str, media_type: str) -> Response:
    """A file to be saved."""
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote(name)}"}
    return Response(content, media_type=media_type, headers=headers)


def pdf(content: bytes, name: str) -> Response:
    """A PDF to be saved."""
    return given(content, name, "application/pdf")


def new_code(id: str) -> str:
    """The code of a set that is about to begin, made of the id its form brought."""
    return code_of("set", id)


def blank_of(request: Request, home: Place, test: Deed, **more: Any) -> BlankSheet:
    """A blank sheet of this machine."""
    settings = request.app.state.settings
    return BlankSheet(
        deed=test,
        lot=home.view.name,
        machine=home.machine.name,
        by=settings.by,
        version=settings.edition,
        **more,
    )


async def blank_file(request: Request) -> Response:
    """The blank sheet of a test as it is by itself; its code leads to this test.

    A test that must be told something first is set up, and prints its sheet from there.
    """
    place = await place_of(request)
    one = the_deed(request.path_params["test"])
    if one not in plain_tests():
        return to(f"{place.bench}/{one.id}/new")
    test, options, cells = await deed(_blank, request, one.id)
    sheet = blank_of(request, place, test, options=options, cells=cells)
    return await _printed(request, sheet)


async def blank_set_file(request: Request) -> Response:
    """The blank sheet of a set that has begun, under the set's own code."""
    view, place = await set_of(request)
    fact = view.record.fact
    sheet = blank_of(
        request,
        place,
        view.deed,
        options=view.options,
        cells=view.cells,
        code=fact.code,
        place=fact.place,
        address=on_the_network(request.app.state.settings, f"/sets/{view.record.id}"),
        instrument=view.instrument.name if view.instrument else "",
    )
    return await _printed(request, sheet)


async def _printed(request: Request, sheet: BlankSheet) -> Response:
    at = request.app.state.clock()
    made = await deed(lambda _: blank_sheet(sheet, at=at), request)
    return pdf(made, f"{sheet.deed.id}-{blank_code(sheet)}.pdf")


def _blank(_: object, test: str) -> tuple[Deed, dict[str, Any], Sequence[Cell]]:
    return prove.blank(test, {})


def plain_tests() -> list[Deed]:
    """The tests whose sheet can be printed without being told anything."""
    return [
        one
        for one in deeds()
        if not any(option.needed and option.default is None for option in one.options)
    ]


async def find_set(request: Request) -> Response:
    """A typed code leads to its set, or to the test whose blank sheet it was printed on."""
    code = read_code(request.query_params.get("code", ""))
    try:
        return to(f"/sets/{await deed(prove.set_by_code, request, code)}/all")
    except Unknown:
        path = await _test_of(request, code)
        if not path:
            raise
        return to(f"{path}/new?code={code}")


async def _test_of(request: Request, code: str) -> str:
    """The address of the test whose plain blank sheet carries this code."""
    for record in await deed(worth.lots, request):
        view: LotView = await deed(worth.view_lot, request, record.id)
        for key, _ in view.machines:
            place = await place_of(request, view.id, key)
            for test in plain_tests():
                made, options, cells = await deed(_blank, request, test.id)
                sheet = blank_of(request, place, made, options=options, cells=cells)
                if read_code(blank_code(sheet)) == code:
                    return f"{place.bench}/{test.id}"
    return ""
