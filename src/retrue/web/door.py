"""What every route does: who writes, one deed in a thread, and the page again when refused."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import datetime
from functools import wraps
from typing import Any, Protocol, TypeVar
from uuid import uuid4

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from retrue.base.refusals import Refusal
from retrue.records.hand import Hand
from retrue.web.forms import Typed
from retrue.web.pages import wants_json
from retrue.web.refusals import STATUS

T = TypeVar("T")
Route = Callable[[Request], Awaitable[Response]]
FORM_FILES = 400
FIELD_BYTES = 1_000_000


class Page(Protocol):
    """A page that can be shown again with what was typed and what was wrong with it."""

    async def __call__(self, request: Request, /, **again: Any) -> Response:
        """Show it."""


def hand(request: Request, form: Typed | None = None) -> Hand:
    """Whose hand writes: the shop's name and the device; a form may bring its id and its moment."""
    made: Hand = {"by": request.app.state.settings.by, "device": request.state.device}
    if form is not None and form.text("id"):
        made["id"] = form.text("id")
    if form is not None and (moment := form.moment("observed_at")):
        made["observed_at"] = datetime.fromisoformat(moment)
    return made


def fresh() -> str:
    """An id for a form, so that sending it twice keeps it once."""
    return str(uuid4())


async def typed(request: Request) -> Typed:
    """The form as it was sent."""
    form = await request.form(
        max_files=FORM_FILES, max_fields=FORM_FILES * 10, max_part_size=FIELD_BYTES
    )
    request.state.forms.append(form)  # the gate closes its files when the answer is out
    return Typed(form)


async def deed(act: Callable[..., T], request: Request, /, *args: Any, **named: Any) -> T:
    """One deed on the shop, in a thread of its own so that others are not kept waiting."""
    return await run_in_threadpool(act, request.app.state.shop, *args, **named)


def sum_of(request: Request) -> dict[str, int]:
    """Seed and number of worlds of every price this server tells."""
    settings = request.app.state.settings
    return {"seed": settings.seed, "worlds": settings.worlds}


def to(path: str) -> RedirectResponse:
    """After a form: look at the page, so that a reload sends nothing again."""
    return RedirectResponse(path, status_code=303)


def again(page: Page) -> Callable[[Route], Route]:
    """On a refusal, show this page again with every field as it was typed."""

    def around(route: Route) -> Route:
        @wraps(route)
        async def answer(request: Request) -> Response:
            try:
                return await route(request)
            except Refusal as refusal:
                if wants_json(request):
                    raise
                return await page(
                    request,
                    status=STATUS[type(refusal)],
                    refusal=refusal,
                    typed=(await typed(request)).form,
                    wrong={problem.where: problem for problem in refusal.problems},
                )

        return answer

    return around
