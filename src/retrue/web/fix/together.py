"""While you're in there: what to renew as well; and extras, chosen and not slipped in."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.fix.choice_lines import Together, Upgrades
from retrue.phases import fix
from retrue.web.door import again, deed, to, typed
from retrue.web.fix.options import chosen_from, keep_chosen, sum_small
from retrue.web.fix.where import asked, back_of, home_of, show
from retrue.web.pages import plain
from retrue.web.prove.where import place_of

YEARS = 5.0


async def show_together(request: Request, /, **more: Any) -> Response:
    """What to renew now that a place is open, what it saves, and what renewing all costs more."""
    place, state = await place_of(request), request.app.state
    form = asked(request)
    years = form.real("years")
    given = {"wrong": {one.where: one for one in form.problems}}
    where = request.path_params["place"]
    made: Together = await deed(
        fix.together, request, place.view.id, place.key, state.kinds, place=where,
        years=years or YEARS, now=state.clock(), **sum_small(request),
    )  # fmt: skip
    return show(request, "together.html", place=place, here=home_of(place), made=made,
                typed_years=form.text("years") or plain(made.years),
                this=f"{home_of(place)}/together/{where}", **given | more)  # fmt: skip


@again(show_together)
async def post_renew(request: Request) -> Response:
    """Renew a part while its place is open, or leave it."""
    form, place = await typed(request), await place_of(request)
    await keep_chosen(request, place, chosen_from(form, place), form)
    where = f"{home_of(place)}/together/{request.path_params['place']}"
    return to(back_of(form.text("back"), where))


async def show_extras(request: Request, /, **more: Any) -> Response:
    """Upgrades and finish: money and hours against what each adds."""
    place, kinds = await place_of(request), request.app.state.kinds
    made: Upgrades = await deed(fix.upgrades, request, place.view.id, place.key, kinds)
    return show(request, "extras.html", place=place, here=home_of(place), made=made, **more)


@again(show_extras)
async def post_extra(request: Request) -> Response:
    """Choose an extra, or leave it out."""
    form, place = await typed(request), await place_of(request)
    await keep_chosen(request, place, chosen_from(form, place), form)
    return to(f"{home_of(place)}/extras#{form.text('what')}")
