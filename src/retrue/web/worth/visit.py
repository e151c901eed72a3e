"""The visit: the pack on paper, and typing it in afterwards."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import say
from retrue.cases.sheet import PriceSheet
from retrue.paper import visit_pack as paper
from retrue.phases import worth
from retrue.phases.worth import VisitAnswer, VisitPack
from retrue.web.door import again, deed, fresh, hand, sum_of, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import render
from retrue.web.pairing import on_the_network


async def show_visits(request: Request, /, **more: Any) -> Response:
    """A pack to take along, or a code to type."""
    lot = request.path_params["lot"]
    view = await deed(worth.view_lot, request, lot)
    sheet = await deed(worth.price, request, lot, request.app.state.kinds, **sum_of(request))
    return render(request, "worth/visits.html", view=view, sheet=sheet, **more)


@again(show_visits)
async def post_visit(request: Request) -> Response:
    """Choose the looks that decide the price and give the list its code."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    pack = await deed(worth.visit_pack, request, lot, kinds, **hand(request))
    return to(f"/visits/{pack.code}")


async def find_visit(request: Request) -> Response:
    """A typed code leads to its pack."""
    pack = await _pack(request, request.query_params.get("code", ""))
    return to(f"/visits/{pack.code}")


async def _pack(request: Request, code: str) -> VisitPack:
    return await deed(worth.open_visit, request, code, request.app.state.kinds)


async def show_visit(request: Request, /, **more: Any) -> Response:
    """The pack: print it, or type in what was seen. One long form of joined keys."""
    pack = await _pack(request, request.path_params["code"])
    view = await deed(worth.view_lot, request, pack.lot)
    return render(
        request,
        "worth/visit.html",
        view=view,
        pack=pack,
        cautions=said_once(pack),
        id=fresh(),
        **more,
    )


def answers_from(form: Typed, pack: VisitPack) -> list[VisitAnswer]:
    """The boxes that were filled; the others were not looked at."""
    made = []
    for line in pack.lines:
        reading = form.real(f"reading-{line.number}", signed=True)
        answer = form.text(f"answer-{line.number}")
        if reading is None and not answer:
            continue
        made.append(
            VisitAnswer(
                number=line.number,
                answer="" if reading is not None else answer,
                measure=form.text(f"measure-{line.number}") or None,
                reading=reading,
                checked_instrument=form.yes_no("checked_instrument") or False,
            )
        )
    return made


@again(show_visit)
async def post_visit_answers(request: Request) -> Response:
    """Keep everything that was typed in; the price answers once."""
    form = await typed(request)
    pack = await _pack(request, request.path_params["code"])
    answers = answers_from(form, pack)
    form.check()
    kinds = request.app.state.kinds
    named = {**sum_of(request), **hand(request, form)}
    await deed(worth.keep_visit, request, pack.code, answers, kinds, **named)
    return to(f"/lots/{pack.lot}#moved")


async def visit_file(request: Request) -> Response:
    """The pack as a PDF of at most two pages."""
    pack = await _pack(request, request.path_params["code"])
    view = await deed(worth.view_lot, request, pack.lot)
    state = request.app.state
    priced = await deed(worth.price, request, pack.lot, state.kinds, **sum_of(request))
    address = on_the_network(state.settings, f"/visits/{pack.code}")
    sheet = on_paper(pack, view.name, priced, by=state.settings.by, address=address)
    made = await deed(_printed, request, sheet, state.clock())
    name = f'attachment; filename="visit-{pack.code}.pdf"'
    return Response(made, media_type="application/pdf", headers={"content-disposition": name})


def said_once(pack: VisitPack) -> dict[int, list[str]]:
    """The cautions before each box, by its number; each is said before the first that needs it."""
    said: set[str] = set()
    made = {}
    for line in pack.lines:
        made[line.number] = [text for text in line.cautions if text not in said]
        said.update(line.cautions)
    return made


def on_paper(
    pack: VisitPack, lot: str, sheet: PriceSheet, *, by: str, address: str = ""
) -> paper.VisitPack:
    """The pack as the press wants it, for the page and for the command alike."""
    looks = tuple(
        paper.VisitLook(
            check=line.check.id,
            machine=line.machine,
            place=line.place,
            text=line.check.text,
            answers=line.check.answers,
            who=line.check.who,
            hazard=line.check.hazard,
            cautions=line.cautions,
            number=line.number,
            tools=line.check.tools,
            readings=tuple((measure.name, measure.unit) for measure in line.measures),
            worth=float(len(pack.lines) - position),
        )
        for position, line in enumerate(pack.lines)
    )
    caution = say(
        "Estimate for planning. The seller’s machine, the seller’s rules: you do not switch it on, "
        "you do not open a cabinet that is live. Local code and licensed practice."
    )
    return paper.VisitPack(
        set_name=pack.name,
        lot=lot,
        looks=looks,
        caution=caution,
        by=by,
        seed=sheet.seed,
        worlds=sheet.worlds,
        version=sheet.version,
        kind_hash=sheet.kind_hash,
        code=pack.code,
        address=address,
    )


def _printed(_: Any, sheet: paper.VisitPack, at: datetime) -> bytes:
    return paper.visit_pack(sheet, at=at)
