"""Devices that may in: who, as what, since when, last seen; turned away in two taps."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import devices
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.pages import render

DEVICES = "/shop/devices"


async def show_devices(request: Request, /, **more: Any) -> Response:
    """Every device that has joined: those that may in, then those that were turned away."""
    every = await deed(devices.devices, request)
    state = request.app.state
    today = state.clock().date()
    return render(
        request,
        "devices.html",
        here=[one for one in every if one.gone_at is None],
        gone=[one for one in every if one.gone_at is not None],
        seen=state.known.seen,
        over={one.fact.device for one in every if devices.is_over(one.fact, today)},
        mine=request.state.device,
        **more,
    )


@again(show_devices)
async def post_name(request: Request) -> Response:
    """Give a device another name."""
    form = await typed(request)
    device = request.path_params["device"]
    await deed(devices.rename, request, device, form.text("name"), **hand(request, form))
    return to(f"{DEVICES}#{device}")


@again(show_devices)
async def post_revoke(request: Request) -> Response:
    """Turn a device away from its next request on, whatever was said of it meanwhile."""
    form = await typed(request)
    device = request.path_params["device"]
    shop, reason = request.app.state.shop, form.text("reason")
    await run_in_threadpool(devices.revoke, shop, device, reason, **hand(request, form))
    return to(f"{DEVICES}#gone")
