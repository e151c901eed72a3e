"""The move of one machine: the answer, the next act, the calculators, data, steps."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.move.steps import LIFTED, SIDES
from retrue.cases.reckon.reckoning import ANSWERS
from retrue.phases import move, reckon
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.move.papers import layout_pdf, method_pdf
from retrue.web.pages import render
from retrue.web.prove.papers import pdf
from retrue.web.prove.where import Place, place_of

MOVE = 1  # its place on the path
FEEDING = ("supply", "conductor", "air", "layup")
SHAPES = {"go": "good", "get_first": "open", "no_go": "bad"}


def show(request: Request, template: str, place: Place, /, **values: Any) -> Response:
    """A page of moving."""
    given: dict[str, Any] = {
        "phase": MOVE, "place": place, "path": f"{place.path}/move", "shapes": SHAPES,
        "answers": ANSWERS, "id": fresh(),
    }  # fmt: skip
    return render(request, f"move/{template}", **given | values)


async def show_plan(request: Request, /, **more: Any) -> Response:
    """Go, no-go, or which number to get first; below it everything it hangs on."""
    place = await place_of(request)
    kinds = request.app.state.kinds
    plan = await deed(move.plan, request, place.view.id, place.key, kinds)
    today = request.app.state.clock().date()
    rest = await deed(move.rest, request, place.view.id, place.key, kinds, today)
    return show(request, "plan.html", place, plan=plan, rest=rest, sides=SIDES,
                lifted=LIFTED, feeding=FEEDING, cautions=place.kind.cautions, **more)  # fmt: skip


@again(show_plan)
async def post_step(request: Request) -> Response:
    """Tick a step; one that waits for another is refused with the list."""
    form, place = await typed(request), await place_of(request)
    said = {field: form.text(field) for field in ("name", "rigger", "text")}
    named = {**said, **hand(request, form)}
    kinds = request.app.state.kinds
    step = form.text("step")
    await deed(move.do_step, request, place.view.id, place.key, step, kinds, **named)
    return to(f"{place.path}/move#steps")


@again(show_plan)
async def post_back(request: Request) -> Response:
    """Take something of the move back; it stays readable and counts no more."""
    form, place = await typed(request), await place_of(request)
    await deed(move.withdraw, request, form.text("record"), **hand(request, form))
    pages = {"arrival": "/arrival", "rest": "/rest", "data": "/move/data"}
    return to(place.path + pages.get(form.text("page"), "/move"))


async def sheet_file(request: Request) -> Response:
    """The method sheet."""
    place, state = await place_of(request), request.app.state
    plan = await deed(move.plan, request, place.view.id, place.key, state.kinds)

    def printed(_: object) -> bytes:
        words, settings = place.kind.cautions, state.settings
        edition = settings.edition.removeprefix("retrue ")
        return method_pdf(plan, words, by=settings.by, version=edition, at=state.clock())

    return pdf(await deed(printed, request), f"{place.machine.name}-move.pdf")


async def layout_file(request: Request) -> Response:
    """The floor plan to scale."""
    place, state = await place_of(request), request.app.state
    where = (place.view.id, place.key, "floor", state.kinds)
    made = await deed(reckon.stands, request, *where)
    if made.reckoning.drawing is None:
        raise NotYet(
            say("the floor plan is not filled in"),
            remedy=say("Say how large the hall and the machine are, then print it."),
        )

    def printed(_: object) -> bytes:
        edition = state.settings.edition.removeprefix("retrue ")
        named = {"by": state.settings.by, "version": edition, "at": state.clock()}
        return layout_pdf(made.reckoning, place.machine.name, place.view.name, **named)

    return pdf(await deed(printed, request), f"{place.machine.name}-layout.pdf")
