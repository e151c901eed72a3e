"""One photograph at a time: what it shows, then the few things that it can answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.kinds.library import Kind, Shot
from retrue.phases import worth
from retrue.phases.worth import Look, LotView
from retrue.web.door import again, deed, hand, sum_of, to, typed
from retrue.web.pages import render
from retrue.web.worth.lots import keep_pictures


async def show_pictures(request: Request, /, **more: Any) -> Response:
    """All photographs of the lot, and a place to put more."""
    lot, kinds = request.path_params["lot"], request.app.state.kinds
    view = await deed(worth.view_lot, request, lot)
    looks = await deed(worth.pictures, request, lot, kinds)
    return render(request, "worth/pictures.html", view=view, looks=looks, **more)


@again(show_pictures)
async def post_pictures(request: Request) -> Response:
    """Keep more photographs of this lot."""
    lot = request.path_params["lot"]
    form = await typed(request)
    view = await deed(worth.view_lot, request, lot)
    return await keep_pictures(request, view, form.files("pictures"), f"/lots/{lot}/pictures")


async def next_picture(request: Request) -> Response:
    """On to the next photograph that nobody has judged; to the price when there is none."""
    lot = request.path_params["lot"]
    look = await deed(worth.next_picture, request, lot, request.app.state.kinds)
    return to(f"/lots/{lot}/pictures/{look.id}" if look else f"/lots/{lot}")


def machine_before(looks: list[Look], id: str) -> str | None:
    """Photographs come machine by machine: take the one before it until somebody says otherwise."""
    ids = [look.id for look in looks]
    before = looks[: ids.index(id)] if id in ids else []
    return next((look.machine for look in reversed(before) if look.machine), None)


def shots_of(
    look: Look, view: LotView, machine: str | None, kinds: Mapping[str, Kind]
) -> tuple[list[Shot], list[Shot]]:
    """What it may show: general views, then the close-ups one may have asked for."""
    kind = next((m.fact.kind for _, m in view.machines if m.fact.name == machine), None)
    known = [shot for shot in look.views if kind is None or shot.id in kinds[kind].shots]
    return [shot for shot in known if shot.view], [shot for shot in known if not shot.view]


async def show_picture(request: Request, /, **more: Any) -> Response:
    """One photograph, large, with its answers; the price stands above it."""
    lot, id = request.path_params["lot"], request.path_params["picture"]
    kinds = request.app.state.kinds
    view = await deed(worth.view_lot, request, lot)
    look = await deed(worth.picture, request, lot, id, kinds)
    looks = await deed(worth.pictures, request, lot, kinds)
    machine = look.machine or machine_before(looks, id)
    return render(
        request,
        "worth/picture.html",
        view=view,
        look=look,
        machine=machine,
        key=view.machine_id(machine) if machine else "",
        shots=shots_of(look, view, machine, kinds),
        line=await deed(worth.price_line, request, lot, kinds, **sum_of(request)),
        **more,
    )


@again(show_picture)
async def post_sort(request: Request) -> Response:
    """Keep what the photograph shows and of which machine."""
    lot, id = request.path_params["lot"], request.path_params["picture"]
    form = await typed(request)
    await deed(
        worth.sort_picture,
        request,
        lot,
        id,
        request.app.state.kinds,
        shot=form.text("shot") or None,
        machine=form.text("machine") or None,
        **hand(request, form),
    )
    return to(f"/lots/{lot}/pictures/{id}")


@again(show_picture)
async def post_tap(request: Request) -> Response:
    """Keep one tap; "nothing bad" and "can't tell" go on to the next photograph."""
    lot, id = request.path_params["lot"], request.path_params["picture"]
    form = await typed(request)
    answer, kinds = form.text("answer"), request.app.state.kinds
    named = {**sum_of(request), **hand(request, form)}
    await deed(worth.tap, request, lot, id, answer, kinds, **named)
    done = answer in (worth.NOTHING_BAD, worth.CANT_TELL)
    return to(f"/lots/{lot}/pictures/next" if done else f"/lots/{lot}/pictures/{id}")


@again(show_picture)
async def post_untap(request: Request) -> Response:
    """A pressed key pressed again: what it said is taken back."""
    lot, id = request.path_params["lot"], request.path_params["picture"]
    key, kinds = (await typed(request)).text("answer"), request.app.state.kinds
    look = await deed(worth.picture, request, lot, id, kinds)
    said = next((answer.kept for answer in look.answers if answer.key == key), ())
    for finding in said:
        await deed(worth.withdraw, request, finding, kinds, **sum_of(request), **hand(request))
    return to(f"/lots/{lot}/pictures/{id}")
