"""My shop, what the machine must do, and what else would do."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Literal, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import later, say
from retrue.cases.known import kind_doubt
from retrue.phases import worth
from retrue.records.facts import Alternative, Need, Shop
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import render

SUPPLY_LIVES = (("PQ", later("soft or noisy mains")),)  # past lives that the shop itself answers


def shop_from(form: Typed, before: Shop) -> dict[str, Any]:
    """The fields of my shop, as far as they were typed."""
    return {
        "name": form.text("name") or before.name,
        "currency": form.text("currency") or before.currency,
        "hour_alternative": form.amount("hour_alternative"),
        "hour_full": form.amount("hour_full"),
        "hours_a_week": form.real("hours_a_week"),
        "horizon_years": form.real("horizon_years"),
        "interest": form.share("interest"),
        "odds": form.share("odds"),
        "supply_volts": form.real("supply_volts"),
        "supply_phases": form.whole("supply_phases"),
        "supply_kva": form.real("supply_kva"),
        "supply_outlet": form.yes_no("supply_outlet"),
        "door_width_mm": form.real("door_width_mm"),
        "door_height_mm": form.real("door_height_mm"),
        "floor_kg_m2": form.real("floor_kg_m2"),
        "lift_kg": form.real("lift_kg"),
        "uses_rigger": form.yes_no("uses_rigger"),
        "floor_rented": form.yes_no("floor_rented"),
        "storage_eur_m2_month": form.amount("storage_eur_m2_month"),
        "instruments": form.many("instruments"),
        "kilometre_cost": form.amount("kilometre_cost"),
        "histories": tuple(
            (id, form.text(f"history-{id}")) for id, _ in SUPPLY_LIVES if form.text(f"history-{id}")
        ),
    }


def instruments_of(request: Request) -> list[str]:
    """The tools that any look asks for, by their own words."""
    kinds = request.app.state.kinds.values()
    tools = {tool for kind in kinds for check in kind.checks.values() for tool in check.tools}
    return sorted(tools)


async def show_shop(request: Request, /, **more: Any) -> Response:
    """My shop as it is kept."""
    record = await deed(worth.my_shop, request)
    return render(
        request,
        "shop.html",
        mine=record.fact if record else Shop(),
        instruments=instruments_of(request),
        lives=SUPPLY_LIVES,
        needs=await deed(worth.needs, request),
        alternatives=await deed(worth.alternatives, request),
        kinds=request.app.state.kinds,
        **more,
    )


@again(show_shop)
async def post_shop(request: Request) -> Response:
    """Keep what my shop is."""
    form = await typed(request)
    record = await deed(worth.my_shop, request)
    fields = shop_from(form, record.fact if record else Shop())
    form.check()
    await deed(worth.keep_shop, request, Shop(**fields), **hand(request))
    return to("/shop")


def need_from(form: Typed) -> Need:
    """One job as it was typed."""
    travel = [form.real(f"travel_{axis}") for axis in "123"]
    return Need(
        name=form.text("need_name"),
        kind=form.text("kind"),
        hours_a_year=form.real("hours_a_year"),
        cost_now_per_hour=form.amount("cost_now_per_hour"),
        travel_mm=tuple(value for value in travel if value is not None),
        load_kg=form.real("load_kg"),
        taper=form.text("taper") or None,
        bar_mm=form.real("bar_mm"),
        speed_rpm=form.real("speed_rpm"),
        tolerance_mm=form.real("tolerance_mm"),
    )


@again(show_shop)
async def post_need(request: Request) -> Response:
    """Keep one job that the machine must do."""
    form = await typed(request)
    need = need_from(form)
    named(form, "need_name")
    _known_kind(form, need.kind, request)
    form.check()
    await deed(worth.keep_need, request, need, **hand(request))
    return to("/shop#needs")


def named(form: Typed, field: str) -> None:
    """A thing without a name cannot be found again."""
    if not form.text(field):
        form.problems.append(Problem(field, say("it has no name"), say("Give it a name.")))


def _known_kind(form: Typed, kind: str, request: Request) -> None:
    """What no library knows cannot be reckoned with."""
    if kind not in request.app.state.kinds:
        doubt = kind_doubt("kind", kind, request.app.state.kinds)
        form.problems.append(Problem("kind", doubt.what, doubt.remedy))


def price_band(form: Typed) -> tuple[Decimal, Decimal, Decimal] | None:
    """Low, likely, high; one figure alone is written as a narrow band around it."""
    low, likely, high = (form.amount(f"price_{end}") for end in ("low", "likely", "high"))
    if likely is None:
        return None
    return (low if low is not None else likely, likely, high if high is not None else likely)


@again(show_shop)
async def post_alternative(request: Request) -> Response:
    """Keep one other way to get the same work done."""
    form = await typed(request)
    alternative = Alternative(
        name=form.text("alternative_name"),
        kind=form.text("kind"),
        way=cast(Literal["new", "used", "buy_in", "lease"], form.text("way") or "used"),
        price=price_band(form),
        own_hours=form.real("own_hours"),
        days=form.real("days"),
        resale_share=form.share("resale_share"),
        cost_per_hour=form.amount("cost_per_hour"),
    )
    named(form, "alternative_name")
    _known_kind(form, alternative.kind, request)
    form.check()
    await deed(worth.keep_alternative, request, alternative, **hand(request))
    return to("/shop#alternatives")
