"""In which language a page is: as its reader has chosen here, else as his browser asks."""

from __future__ import annotations

import re

from starlette.requests import HTTPConnection, Request
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import ENGLISH, NAMES, say, speaking
from retrue.web.door import to, typed

COOKIE = "retrue_language"
COOKIE_SECONDS = 400 * 24 * 3600  # browsers keep none longer
_WEIGHT = re.compile(r"0(\.[0-9]{0,3})?|1(\.0{0,3})?")
WIDE = 200  # characters of Accept-Language that are read


def asked(header: str) -> str:
    """The language that a browser asks for first, of those that we have.

    Parameters
    ----------
    header : str
        Accept-Language as it was sent; empty where it was not.

    Returns
    -------
    str
        Two letters; English where it asks for none of ours.

    References
    ----------
    RFC 9110, 12.5.4 (Accept-Language), 12.4.2 (quality values).

    Examples
    --------
    >>> asked("nl-BE,nl;q=0.9,en;q=0.8"), asked("fr,en;q=0.5,nl;q=0.7"), asked("nl;q=0")
    ('nl', 'nl', 'en')
    >>> asked("*"), asked(""), asked("nl;q=high")
    ('en', 'en', 'en')
    """
    wanted: dict[str, float] = {}
    for one in header[:WIDE].split(","):
        name, _, rest = one.strip().partition(";")
        language = name.strip().partition("-")[0].lower()
        if language in NAMES:
            wanted[language] = max(wanted.get(language, 0.0), _weight(rest))
    return max(wanted, key=wanted.__getitem__) if any(wanted.values()) else ENGLISH


def _weight(rest: str) -> float:
    name, _, value = rest.strip().partition("=")
    if not name:
        return 1.0
    value = value.strip()
    return float(value) if name.strip() == "q" and _WEIGHT.fullmatch(value) else 0.0


def language_of(connection: HTTPConnection) -> str:
    """The language of who sent this."""
    chosen = connection.cookies.get(COOKIE, "")
    return chosen if chosen in NAMES else asked(connection.headers.get("accept-language", ""))


class Speaking:
    """Answers each request in the language of who sent it."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Speak it in everything that this request brings about."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        with speaking(language_of(HTTPConnection(scope))):
            await self.app(scope, receive, send)


async def post_language(request: Request) -> Response:
    """Keep on this device the language that was chosen, and go back to the page."""
    form = await typed(request)
    language, back = form.text("language"), form.text("back")
    if language not in NAMES:
        raise Unusable(
            say("There is no such language here"),
            remedy=say("Choose one of: {names}.", names=", ".join(NAMES.values())),
            problems=(
                Problem(
                    "language",
                    say("{language} is not one of them", language=language),
                    say("Choose one of: {names}.", names=", ".join(NAMES.values())),
                ),
            ),
        )
    # a browser reads a backslash as a slash: neither may begin another address
    local = back.startswith("/") and back[1:2] not in ("/", "\\") and back.isprintable()
    answer = to(back if local else "/")
    answer.set_cookie(
        COOKIE,
        language,
        max_age=COOKIE_SECONDS,
        path="/",
        secure=request.url.scheme == "https",
        httponly=True,
        samesite="lax",
    )
    return answer
