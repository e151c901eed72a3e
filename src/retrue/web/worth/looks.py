"""Looks, tests and readings of one machine, its name plate, and what was found so far."""

from __future__ import annotations

from typing import Any, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.kinds.library import Check, Kind
from retrue.phases import diary, worth
from retrue.phases.worth import LotView
from retrue.records.facts import Channel, Finding, Grade
from retrue.web.door import again, deed, gathering, hand, sum_of, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import render, word
from retrue.web.worth.cautions import cautions_before

GRADES: dict[str, Grade] = {
    "call": 0,
    "photo": 1,
    "visit_dead": 3,
    "visit_live": 3,
    "apart": 3,
    "power_up": 3,
    "running": 3,
}
MEASURED: Grade = 4


async def _machine(request: Request) -> tuple[Any, str, Any, Kind]:
    lot, name = request.path_params["lot"], request.path_params["machine"]
    view = await deed(worth.view_lot, request, lot)
    record = await deed(worth.machine_of, request, lot, name)
    return view, view.machine_id(name), record.fact, request.app.state.kinds[record.fact.kind]


def the_check(kind: Kind, id: str) -> Check:
    """A check of this type of machine."""
    try:
        return kind.checks[id]
    except KeyError:
        raise Unknown(
            say("{kind} has no look {id}", kind=kind.name, id=id),
            remedy=say("Choose one from the list of looks."),
        ) from None


async def show_looks(request: Request, /, **more: Any) -> Response:
    """All looks at one machine that can be made before paying, by where one stands."""
    view, key, machine, kind = await _machine(request)
    said = await deed(worth.findings, request, view.id, request.app.state.kinds)
    return render(
        request,
        "worth/looks.html",
        view=view,
        key=key,
        machine=machine,
        kind=kind,
        said={row.record.fact.check: row for row in said if row.machine == machine.name},
        **more,
    )


async def show_look(request: Request, /, **more: Any) -> Response:
    """One look: three joined keys, a degree where it has one, a reading where it is measured."""
    view, key, machine, kind = await _machine(request)
    check = the_check(kind, request.path_params["check"])
    return render(
        request,
        "worth/look.html",
        view=view,
        key=key,
        machine=machine,
        kind=kind,
        check=check,
        cautions=cautions_before(kind, check),
        channels=check.stages,
        channels_words=[(stage, word(stage, "stage")) for stage in check.stages],
        measures=[(id, kind.measures[id].name) for id in check.measures],
        unit=kind.measures[check.measures[0]].unit if check.measures else "",
        **more,
    )


def finding_from(form: Typed, view: LotView, machine: str, check: str) -> Finding:
    """One answer to one look; a reading takes the place of the keys."""
    reading, uncertainty = form.real("reading", signed=True), form.real("uncertainty")
    channel = cast(Channel, form.text("channel") or "photo")
    form.check()
    read = reading is not None
    return Finding(
        lot=view.id,
        machine=machine,
        check=check,
        answer="" if read else form.text("answer"),
        measure=(form.text("measure") or None) if read else None,
        reading=reading,
        uncertainty=uncertainty if read else None,
        grade=MEASURED if read else GRADES.get(channel, 1),
        channel=channel,
        informant="seller" if channel == "call" else None,
        text=form.text("text"),
    )


@again(show_look)
async def post_look(request: Request) -> Response:
    """Keep what was seen or read; the price answers on the lot's page."""
    form = await typed(request)
    view, key, _, _ = await _machine(request)
    finding = finding_from(form, view, key, request.path_params["check"])
    named = {**sum_of(request), **hand(request, form)}
    await deed(worth.keep_finding, request, finding, request.app.state.kinds, **named)
    return to(f"/lots/{view.id}#moved")


async def show_plate(request: Request, /, **more: Any) -> Response:
    """What is stamped on it: the photograph beside a form with a number pad."""
    view, key, machine, _ = await _machine(request)
    kinds = request.app.state.kinds
    looks = await deed(worth.pictures, request, view.id, kinds)
    return render(
        request,
        "worth/plate.html",
        view=view,
        key=key,
        machine=machine,
        lines=await deed(worth.plate_sheet, request, view.id, key, kinds),
        looks=[look for look in looks if look.machine in (None, machine.name)],
        picture=request.query_params.get("picture", ""),
        **more,
    )


@again(show_plate)
async def post_plate(request: Request) -> Response:
    """Keep the stamped values that were typed."""
    form = await typed(request)
    view, key, _, kind = await _machine(request)
    kinds, picture = request.app.state.kinds, form.text("picture") or None
    with gathering(request):
        for entry in kind.plate:
            if value := form.text(entry):
                named = {"picture": picture, **hand(request)}
                await deed(worth.keep_plate, request, view.id, key, entry, value, kinds, **named)
    return to(f"/lots/{view.id}/machines/{key}/plate")


async def show_findings(request: Request, /, **more: Any) -> Response:
    """Everything that was found, what each did to the price, and the way to take it back."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    view = await deed(worth.view_lot, request, lot)
    said = await deed(worth.findings, request, lot, kinds)
    return render(request, "worth/findings.html", view=view, said=list(reversed(said)), **more)


async def show_history(request: Request, /, **more: Any) -> Response:
    """One finding with all it replaced and all that replaced it."""
    view = await deed(worth.view_lot, request, request.path_params["lot"])
    rows = await deed(worth.history_of, request, request.path_params["finding"])
    named = await deed(diary.device_names, request)
    return render(request, "worth/history.html", view=view, rows=rows, devices=named, **more)


@again(show_findings)
async def post_withdraw(request: Request) -> Response:
    """Take a finding back; the price answers."""
    lot, id = request.path_params["lot"], request.path_params["finding"]
    reason = (await typed(request)).text("reason")
    named = {"reason": reason, **sum_of(request), **hand(request)}
    await deed(worth.withdraw, request, id, request.app.state.kinds, **named)
    return to(f"/lots/{lot}/findings")
