"""A helper's first page: the machines that are worked on, and where each thing is noted."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from retrue.phases import devices, fix
from retrue.web.door import deed
from retrue.web.pages import render


async def show_floor(request: Request) -> Response:
    """What there is to do, machine by machine; a code from a sheet, a label or a job card."""
    ours = await deed(fix.in_hand, request)
    machines = await deed(devices.on_the_floor, request, ours)
    return render(request, "floor.html", machines=machines)
