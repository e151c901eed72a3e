"""What a paired device keeps to go on without a connection: the worker, and a last page."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import FileResponse, Response

from retrue.web.pages import STATIC, render


async def give_worker(_: Request) -> Response:
    """The worker, from the root, so that all pages are its own."""
    return FileResponse(STATIC / "worker.js", media_type="text/javascript")


async def show_offline(request: Request) -> Response:
    """What is shown in place of a page that this device has not kept."""
    return render(request, "offline.html")
