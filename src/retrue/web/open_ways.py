"""Whoever may not open a page is not led there: its links are plain text, its forms left out."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Sequence
from urllib.parse import unquote, urljoin, urlsplit

from starlette.requests import Request
from starlette.routing import BaseRoute

from retrue.web import roles

HOME = "/"  # whoever has a first page of his own is sent there
KEPT = "/kept/"
_FORM = re.compile(r"<form\b([^>]*)>.*?</form>", re.DOTALL)
_LINK = re.compile(r"<a\b([^>]*)>(.*?)</a>", re.DOTALL)
_KEY = re.compile(r"<button\b([^>]*\sformaction=[^>]*)>.*?</button>", re.DOTALL)
_SETS = re.compile(r'([\w-]+)="([^"]*)"')


def only_open(page: str, request: Request) -> str:
    """A page as its reader's role may follow it; the owner's is as it was.

    Parameters
    ----------
    page : str
        As HTML, written by our templates.
    request : Request
        Its ``state`` says whose role it is, and in ``his`` which kept records are his own.

    Returns
    -------
    str
    """
    role = getattr(request.state, "role", "owner")
    if role not in ("helper", "buyer"):
        return page
    his: frozenset[str] = getattr(request.state, "his", frozenset())
    at = request.url.path
    known: dict[tuple[str, str], bool] = {}

    def may(method: str, target: str) -> bool:
        if not target or target.startswith("#"):  # the page itself
            return True
        asked = method, urljoin(at, html.unescape(target))
        if asked not in known:
            known[asked] = leads(request.app.routes, role, *asked, his=his)
        return known[asked]

    return closed(page, may)


def closed(page: str, may: Callable[[str, str], bool]) -> str:
    """A page without what leads where its reader may not go.

    Parameters
    ----------
    page : str
        As HTML.
    may : callable
        Of a method and an address, whether he may.

    Returns
    -------
    str
        A link is its words alone, one that looks like a key is left out, and so is a form.

    Examples
    --------
    >>> closed('<a href="/a">A</a> <a class="u" href="/b">B</a>', lambda _, path: path == "/a")
    '<a href="/a">A</a> <span>B</span>'
    >>> closed('<form method="post" action="/b"><button>B</button></form>', lambda *_: False)
    ''
    """

    def form(found: re.Match[str]) -> str:
        sets = dict(_SETS.findall(found[1]))
        method = sets.get("method", "get").upper()
        return found[0] if may(method, sets.get("action", "")) else ""

    def link(found: re.Match[str]) -> str:
        sets = dict(_SETS.findall(found[1]))
        if "href" not in sets or may("GET", sets["href"]):
            return found[0]
        return "" if "button" in sets.get("class", "").split() else f"<span>{found[2]}</span>"

    def key(found: re.Match[str]) -> str:
        return found[0] if may("GET", dict(_SETS.findall(found[1]))["formaction"]) else ""

    return _KEY.sub(key, _LINK.sub(link, _FORM.sub(form, page)))


def leads(
    routes: Sequence[BaseRoute], role: str, method: str, target: str, *, his: frozenset[str]
) -> bool:
    """Whether an address of ours opens for a role; one of elsewhere is not ours to close.

    Parameters
    ----------
    routes : sequence of BaseRoute
        All there are.
    role, method, target : str
        Who asks, how, and for what.
    his : frozenset of str
        Ids of kept records that are his own.

    Returns
    -------
    bool
    """
    parts = urlsplit(target)
    if parts.scheme or parts.netloc or parts.path == HOME:
        return True
    path = unquote(parts.path)
    name = roles.name_of(routes, {"type": "http", "method": method, "path": path})
    if path.startswith(KEPT) and path.removeprefix(KEPT).partition("/")[0] not in his:
        return role == "owner"
    return roles.may_open(role, name)
