"""After a form: one line on the next page that says what was kept, with the way to take it back.

Whatever a form keeps, by whichever deed, is noted while the form is answered; no page has to think
of it. The line stands on the page that answers, or on the one that the browser is sent to.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import quote, unquote

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from retrue.cases.diary_rules import MONEY, RULES
from retrue.cases.diary_words import kind_word
from retrue.records.facts import Withdrawn
from retrue.records.noting import noting
from retrue.records.packing import KINDS
from retrue.records.shop import Record

COOKIE = "retrue_kept"
COOKIE_SECONDS = 120
GONE = "gone"  # a withdrawal of what is not brought back as it was
MOST = 3  # records that the line names
QUIET = frozenset({"moved", "result", "sensed_result", "guess", "set_aside"})
"""What follows from what a person said: the line names that; or what has a page that asks."""
OWN_LINES = ('class="keptbar"', 'id="untap"')  # a way back of its own, at once
_LINE = re.compile(r'<p [^>]*id="kept-now".*?</p>\n', re.DOTALL)
_ONE = re.compile(r"([a-z_]+):([A-Za-z0-9][A-Za-z0-9._:-]{0,63})")


def spoken_of(records: Sequence[Record[Any]]) -> str:
    """What was kept, short enough for a cookie: kinds and ids, and how many more there are.

    Parameters
    ----------
    records : sequence of Record
        In the order in which they were kept.

    Returns
    -------
    str
        Empty where nothing was.
    """
    ids = dict.fromkeys(one.id for one in records if one.kind not in QUIET)
    by_id = {one.id: one for one in records}
    newest = [by_id[id] for id in ids]
    said = [one for one in newest if not isinstance(one.fact, Withdrawn)] or newest
    named = ",".join(f"{_spoken(one)}:{one.id}" for one in said[:MOST])
    more = len(said) - MOST
    return f"{named},+{more}" if more > 0 else named


def _spoken(one: Record[Any]) -> str:
    """Its kind; of what is not brought back as it was that it is gone for good."""
    if isinstance(one.fact, Withdrawn) and not _comes_back(one.fact.of_kind):
        return GONE
    return one.kind


def _comes_back(kind: str) -> bool:
    rule = RULES[kind]
    return rule.again and rule.way in ("here", "room")


def lines_of(spoken: str, hidden: frozenset[str] = frozenset()) -> list[dict[str, str]]:
    """The same, in words: what it is, where its page stands, whether it says "taken back".

    Parameters
    ----------
    spoken : str
        As `spoken_of` has it; what a browser made of it is believed only as far as it reads.
    hidden : frozenset of str
        Kinds that are not named to who asks.

    Returns
    -------
    list of dict
        ``what``, ``href``, ``back`` (``stays`` where it is not brought back as it was); of those
        not named one with ``more``.

    Examples
    --------
    >>> lines_of("note:n1")
    [{'what': 'a note', 'href': '/kept/n1', 'back': ''}]
    >>> lines_of("gone:d1")[0]["back"]
    'stays'
    >>> lines_of("<script>")
    []
    """
    told = []
    for part in spoken.split(",")[: MOST + 1]:
        found = _ONE.fullmatch(part)
        kind = Withdrawn.KIND if found and found[1] == GONE else found[1] if found else ""
        if found is not None and kind in KINDS and kind not in hidden:
            back = "stays" if found[1] == GONE else "yes" if kind == Withdrawn.KIND else ""
            href = f"/kept/{quote(found[2], safe='')}"
            told.append({"what": kind_word(kind), "href": href, "back": back})
        elif told and re.fullmatch(r"\+\d{1,6}", part):
            told.append({"more": part[1:], "href": "/kept"})
    return told


def said_once(page: str) -> str:
    """A page that says itself what it kept, with its way back, says it once.

    Parameters
    ----------
    page : str
        As HTML.

    Returns
    -------
    str
        Without our line, where the page has one of its own.
    """
    return _LINE.sub("", page) if any(one in page for one in OWN_LINES) else page


def kept_now(request: Request) -> list[dict[str, str]]:
    """What the form before this page kept; told once.

    Parameters
    ----------
    request : Request
        Of the page.

    Returns
    -------
    list of dict
        As `lines_of` has it; on a page of the diary itself none.
    """
    if request.url.path.startswith("/kept"):
        return []
    noted: list[Record[Any]] = getattr(request.state, "noted", [])
    hidden = MONEY if getattr(request.state, "role", "") == "helper" else frozenset()
    if noted:
        return _his(request, lines_of(spoken_of(noted), hidden))
    if getattr(request.state, "role", "") not in ("owner", "helper"):
        return []
    told = lines_of(unquote(request.cookies.get(COOKIE, "")), hidden)
    if told:
        request.state.kept_told = True
    return _his(request, told)


def _his(request: Request, told: list[dict[str, str]]) -> list[dict[str, str]]:
    """What the line names was written by whoever reads it: its ways stay open to him."""
    own = {unquote(one["href"].rpartition("/")[2]) for one in told}
    request.state.his = getattr(request.state, "his", frozenset()) | own
    return told


class Noting:
    """Notes what a form keeps, and hands it to the page that comes next."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through; a form's answer carries what it kept."""
        if scope["type"] != "http" or scope["method"] != "POST":
            await self._told_once(scope, receive, send)
            return
        with noting() as noted:
            scope.setdefault("state", {})["noted"] = noted

            async def send_noted(message: Message) -> None:
                if message["type"] == "http.response.start" and _says_nothing(message):
                    _set(message, spoken_of(noted), COOKIE_SECONDS, scope)
                await send(message)

            await self.app(scope, receive, send_noted)

    async def _told_once(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def send_told(message: Message) -> None:
            told = scope.get("state", {}).get("kept_told", False)
            if message["type"] == "http.response.start" and told:
                _set(message, "", 0, scope)
            await send(message)

        await self.app(scope, receive, send_told)


def _says_nothing(message: Message) -> bool:
    """Whether an answer shows no page: the browser is sent to one, or its program asked."""
    if 300 <= message["status"] < 400:
        return True
    kind = MutableHeaders(scope=message).get("content-type", "")
    return bool(message["status"] < 300 and kind.startswith("application/json"))


def _set(message: Message, spoken: str, seconds: int, scope: Scope) -> None:
    if not spoken and seconds:
        return
    cookie: SimpleCookie = SimpleCookie({COOKIE: quote(spoken, safe="")})
    morsel = cookie[COOKIE]
    morsel["max-age"], morsel["path"] = str(seconds), "/"
    morsel["httponly"], morsel["samesite"] = True, "Strict"
    morsel["secure"] = scope.get("scheme") == "https"
    MutableHeaders(scope=message).append("set-cookie", morsel.OutputString())
