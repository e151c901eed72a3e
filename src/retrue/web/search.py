"""Search: one field for everything; a code on paper leads straight to what it stands for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.diary_record import About
from retrue.kinds.library import Kind
from retrue.phases import diary, fix, prove, search, strip, worth
from retrue.records.searching import asked_for
from retrue.records.shop import RecordShop
from retrue.web.diary import hidden_from
from retrue.web.door import deed, to
from retrue.web.manual_index import manual_hits
from retrue.web.pages import render
from retrue.web.roles import may_open

MOST_HEADINGS = 8
OWNERS = ("visit",)  # finders whose pages are the owner's alone


def finders(shop: RecordShop, kinds: Mapping[str, Kind]) -> dict[str, search.Finder]:
    """Where the code of a label, a visit, a sheet of readings or a job card leads.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    """

    def label(code: str) -> str:
        lot, machine, _ = strip.label_by_code(shop, code)
        return f"/lots/{lot}/machines/{machine}/strip/apart/{code}"

    def card(code: str) -> str:
        lot, machine, key = fix.card_by_code(shop, code, kinds)
        return f"/lots/{lot}/machines/{machine}/fix/cards/{quote(key, safe=':')}"

    return {
        "label": label,
        "visit": lambda code: f"/visits/{worth.open_visit(shop, code, kinds).code}",
        "set": lambda code: f"/sets/{prove.set_by_code(shop, code)}/all",
        "card": card,
    }


async def show_search(request: Request) -> Response:
    """Everything that holds these words; a code on paper leads straight to its page."""
    words = request.query_params.get("words", "")
    helper = bool(hidden_from(request))
    made, about, address = await deed(_found, request, request, words, helper)
    if address:
        return to(address)
    return render(
        request,
        "search.html",
        phase=-1,
        found=made,
        most_read=search.MOST_READ,
        places=await deed(_kept, request, made.places, about),
        kept=await deed(_kept, request, made.kept, about),
        manual=manual_hits(asked_for(words), most=MOST_HEADINGS) if words else [],
    )


def _found(
    shop: RecordShop, request: Request, words: str, helper: bool
) -> tuple[search.Found, About, str]:
    kinds = request.app.state.kinds
    ways = finders(shop, kinds)
    for name in OWNERS if helper else ():
        ways.pop(name)
    about = diary.about_of(shop, kinds)
    address = search.straight(words, ways)
    if address:
        return search.Found(words=words), about, address
    may = _may(request)
    hidden = hidden_from(request)
    return search.search(shop, words, about, hidden=hidden, may=may), about, ""


def _may(request: Request) -> Callable[[str], bool]:
    """Whether there is such a page, and it is for who asks."""
    routes = [one for post in request.app.routes for one in getattr(post, "routes", (post,))]
    there = {getattr(route, "path", "") for route in routes}
    return lambda path: path in there and may_open(request.state.role, f"GET {path}")


def _kept(shop: RecordShop, records: Any, about: About) -> list[diary.Kept]:
    return [diary.kept_of(shop, one, about) for one in records]
