"""One stage before the machine: what must be closed, the bands, begin, read, sign, call off."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.paper.written import abort_words, expected_words, unit_words
from retrue.phases import wake
from retrue.phases.wake import BandLine, Expected, StageStands
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.prove.where import Place, place_of
from retrue.web.wake.curve import stair
from retrue.web.wake.where import show, stage_of, watches_of


def _at(request: Request, place: Place) -> tuple[str, str, str]:
    return place.view.id, place.key, request.path_params["stage"]


def _here(request: Request, place: Place) -> str:
    return stage_of(place, request.path_params["stage"])


def _band_words(words: Callable[[float | None, float | None, str], str], ends: str,
                line: BandLine) -> str:  # fmt: skip
    low, high = getattr(line, f"{ends}_low"), getattr(line, f"{ends}_high")
    return words(low, high, line.unit)


async def show_stage(request: Request, /, **more: Any) -> Response:
    """One sheet before the machine: what is closed, the cautions, the bands, the signature."""
    place, kinds = await place_of(request), request.app.state.kinds
    asked = request.query_params
    switch = asked.get("at_switch", "").strip()
    at = (*_at(request, place), kinds)
    stands: StageStands = await deed(wake.stage, request, *at, at_switch=switch or None)
    kept = await watches_of(request, place)
    return show(
        request,
        "stage.html",
        place,
        stands=stands,
        this=_here(request, place),
        at_switch=switch,
        band=asked.get("band", ""),
        expected=partial(_band_words, expected_words, "expected"),
        stops=partial(_band_words, abort_words, "abort"),
        unit_words=unit_words,
        going=kept["going"],
        pictures=await deed(stair, request, place.kind, stands),
        watches=[one for one in kept["watches"] if one.fact.stage == stands.stage.id],
        **more,
    )


@again(show_stage)
async def post_begin(request: Request) -> Response:
    """Begin the stage; refused with the list while anything stands open."""
    form, place = await typed(request), await place_of(request)
    named: dict[str, Any] = {
        name: form.text(name) for name in ("by_name", "at_switch", "licence", "choice", "text")
    }
    named |= {
        "expected": _typed_bands(form),
        "pressure_bar": form.real("pressure_bar"),
        "cautions": form.many("cautions"),
        "heard": form.yes_no("heard") is True,
        "laptop": form.yes_no("laptop"),
        "step": form.whole("step"),
    }
    form.check()
    at = (*_at(request, place), request.app.state.kinds)
    await deed(wake.begin, request, *at, **named, **hand(request, form))
    return to(_here(request, place) + "#read")


def _typed_bands(form: Typed) -> tuple[Expected, ...]:
    """Bands that were typed before the start, each with where it is from."""
    typed: list[Expected] = []
    for name in form.many("band"):
        low = form.real(f"{name}-low", signed=True)
        high = form.real(f"{name}-high", signed=True)
        why = form.text(f"{name}-why")
        if low is not None or high is not None or why:
            typed.append(Expected(name=name, low=low, high=high, why=why))
    return tuple(typed)


@again(show_stage)
async def post_reading(request: Request) -> Response:
    """Keep one reading of the stage; past its abort limit the stage is called off."""
    form, place = await typed(request), await place_of(request)
    name, reading = form.text("name"), form.real("reading", signed=True)
    said = {field: form.text(field) for field in ("unit", "point", "instrument", "taken_by")}
    for field, value, what, remedy in (
        ("name", name, say("not chosen"), say("Press what was read.")),
        ("reading", reading, say("not given"), say("Type what the instrument shows.")),
    ):
        if value in ("", None) and field not in {one.where for one in form.problems}:
            form.problems.append(Problem(field, what, remedy))
    until = form.moment("until")
    form.check()
    at = (*_at(request, place), name, reading, request.app.state.kinds)
    writer = hand(request, form)
    if until:
        writer["observed_at"] = datetime.fromisoformat(until)
    writer.setdefault("observed_at", request.app.state.clock())
    await deed(wake.read, request, *at, **said, **writer)
    return to(_here(request, place) + "#read")


@again(show_stage)
async def post_sign(request: Request) -> Response:
    """Stop here and sign; refused while a reading lacks or is past its limit."""
    form, place = await typed(request), await place_of(request)
    named = {"licence": form.text("licence"), "text": form.text("text")}
    at = (*_at(request, place), form.text("name"), request.app.state.kinds)
    await deed(wake.sign, request, *at, **named, **hand(request, form))
    return to(_here(request, place))


@again(show_stage)
async def post_leave(request: Request) -> Response:
    """Leave the stage for another day; nothing of it is signed."""
    form, place = await typed(request), await place_of(request)
    at = (*_at(request, place), form.text("name"), request.app.state.kinds)
    await deed(wake.leave, request, *at, text=form.text("text"), **hand(request, form))
    return to(_here(request, place))


@again(show_stage)
async def post_not_fitted(request: Request) -> Response:
    """Say by name that the machine has nothing that this stage wakes."""
    form, place = await typed(request), await place_of(request)
    at = (*_at(request, place), form.text("name"), request.app.state.kinds)
    await deed(wake.not_fitted, request, *at, text=form.text("text"), **hand(request, form))
    return to(_here(request, place))


@again(show_stage)
async def post_abort(request: Request) -> Response:
    """Call the stage off, and say why."""
    form, place = await typed(request), await place_of(request)
    why = form.text("why") or form.text("because")
    at = (*_at(request, place), form.text("name"), why, request.app.state.kinds)
    await deed(wake.abort, request, *at, **hand(request, form))
    return to(_here(request, place))


@again(show_stage)
async def post_found(request: Request) -> Response:
    """Keep why it was called off, before any second try."""
    form, place = await typed(request), await place_of(request)
    cause = form.text("cause")
    named = {"nose_c": form.real("nose_c", signed=True), "room_c": form.real("room_c", signed=True)}
    if not cause:
        form.problems.append(Problem("cause", say("is empty"), say("Say what it was.")))
    form.check()
    at = (*_at(request, place), form.text("name"), cause, request.app.state.kinds)
    await deed(wake.found, request, *at, **named, **hand(request, form))
    return to(_here(request, place))
