"""A refusal becomes a page, or JSON for programs: the reason, what helps, the fields."""

from __future__ import annotations

import json

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.discretion import discreet
from retrue.base.one_way import one_way
from retrue.base.refusals import (
    NotAllowed,
    NotKept,
    NotYet,
    Overtaken,
    Refusal,
    TooHard,
    TooOften,
    Unknown,
    Unreadable,
    Unusable,
)
from retrue.base.say import say
from retrue.web.headers import HEADERS
from retrue.web.pages import render, wants_json

STATUS: dict[type[Refusal], int] = {
    Unreadable: 422,
    Unusable: 422,
    TooHard: 422,
    Unknown: 404,
    NotYet: 409,
    Overtaken: 409,
    NotAllowed: 403,
    TooOften: 429,
    NotKept: 507,
}


async def refuse(request: Request, refusal: Exception, *, status: int | None = None) -> Response:
    """Show a refusal: its reason, its remedy and every field it names."""
    assert isinstance(refusal, Refusal)
    status = status or STATUS[type(refusal)]
    headers = {"retry-after": str(refusal.wait_s)} if isinstance(refusal, TooOften) else None
    if wants_json(request):
        problems = [
            {"remedy": p.remedy, "what": p.what, "where": p.where} for p in refusal.problems
        ]
        answer = {"problems": problems, "reason": refusal.reason, "remedy": refusal.remedy}
        told = discreet(one_way(json.dumps(answer, ensure_ascii=False)))
        return Response(told, status_code=status, headers=headers, media_type="application/json")
    return render(request, "refused.html", status=status, headers=headers, refusal=refusal)


async def no_form(request: Request, wrong: Exception) -> Response:
    """What came is no form that can be read: cut off, too many fields, one field too long."""
    assert isinstance(wrong, HTTPException)
    refusal = Unreadable(
        say("What was sent is not a form that can be read"),
        remedy=say("Open the page again and send it from there."),
    )
    return await refuse(request, refusal, status=wrong.status_code)


async def broken(request: Request, _: Exception) -> Response:
    """Something of ours broke: say so, with the house's headers; the error goes to the log."""
    return render(request, "broken.html", status=500, headers=HEADERS)


async def unknown_page(request: Request, _: Exception) -> Response:
    """An address that leads nowhere."""
    missing = Unknown(say("There is no such page"), remedy=say("Go on from my lots."))
    return await refuse(request, missing)
