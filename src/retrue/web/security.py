"""Who may speak to us: this laptop, paired phones, and pages of our own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from itsdangerous import BadData, URLSafeTimedSerializer
from starlette.datastructures import FormData, Headers, MutableHeaders
from starlette.requests import HTTPConnection, Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from retrue.base.refusals import NotAllowed, Refusal, Unusable
from retrue.base.say import say
from retrue.web.headers import HEADERS
from retrue.web.refusals import refuse

COOKIE = "retrue_device"
LAPTOP = "laptop"  # this machine itself; it needs no pairing
COOKIE_SECONDS = 180 * 24 * 3600
REQUEST_BYTES = 1_000_000_000  # a hundred whole photographs in one go
SAFE = {"GET", "HEAD", "OPTIONS"}
OPEN_PATHS = ("/pair/", "/static/")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What wiring tells the door.

    Parameters
    ----------
    secret : str
        Signs the device cookie; kept by the shop, never shown.
    port : int
        Where the server listens.
    lan : str or None
        Our own address on the shop's network when it is open to phones, else None.
    by : str
        Whose name stands on what this laptop notes.
    edition : str
        Name and version for the title block.
    seed, worlds : int
        Of every price this server tells.
    loggers : mapping of str to Path
        Files and folders of loggers that a watch may follow, by the name a page knows them by.
    """

    secret: str
    port: int = 8314
    lan: str | None = None
    by: str = "owner"
    edition: str = "retrue"
    seed: int = 7
    worlds: int = 20_000
    loggers: Mapping[str, Path] = field(default_factory=dict)

    @property
    def hosts(self) -> frozenset[str]:
        """The names this server answers to."""
        return frozenset({"127.0.0.1", "localhost", "[::1]"} | ({self.lan} if self.lan else set()))


def sign_device(settings: Settings, device: str) -> str:
    """A device's name, signed, as its cookie carries it."""
    return URLSafeTimedSerializer(settings.secret, salt="device").dumps(device)


def device_of(settings: Settings, connection: HTTPConnection) -> str | None:
    """The paired device that speaks, "laptop" for this machine itself, else None."""
    if connection.client is not None and connection.client.host in {"127.0.0.1", "::1"}:
        return LAPTOP
    kept = connection.cookies.get(COOKIE, "")
    try:
        reader = URLSafeTimedSerializer(settings.secret, salt="device")
        return str(reader.loads(kept, max_age=COOKIE_SECONDS))
    except BadData:
        return None


def _bare_host(headers: Headers) -> str:
    host = headers.get("host", "")
    return host.rsplit(":", 1)[0] if not host.endswith("]") else host


def _same_origin(headers: Headers) -> bool:
    site = headers.get("sec-fetch-site")
    origin = headers.get("origin")
    if origin is not None:
        return urlsplit(origin).netloc == headers.get("host", "") and origin != "null"
    return site in {"same-origin", "none"}


def turned_away(settings: Settings, connection: HTTPConnection) -> Refusal | None:
    """Why this request may not pass, or None."""
    headers = connection.headers
    if _bare_host(headers) not in settings.hosts:
        return NotAllowed(
            say("This server does not answer to that name"),
            remedy=say("Open the address that the laptop shows."),
        )
    path = connection.url.path
    if device_of(settings, connection) is None and not path.startswith(OPEN_PATHS):
        return NotAllowed(
            say("This device is not paired with the shop"),
            remedy=say("Scan the code that the laptop shows, within five minutes."),
        )
    if connection.scope["method"] in SAFE:
        return None
    if not _same_origin(headers):
        return NotAllowed(
            say("This was sent from another page than ours"),
            remedy=say("Open the page here and send it again."),
        )
    if int(headers.get("content-length", "0") or 0) > REQUEST_BYTES:
        return _flood()
    return None


def _flood() -> Refusal:
    return Unusable(
        say("More than one gigabyte was sent at once"),
        remedy=say("Send the photographs in two goes; nothing else is lost."),
    )


def _kept(scope: Scope, status: int) -> str:
    """How long a browser may keep an answer: static files, whose address is marked by content."""
    if not scope["path"].startswith("/static/") or status not in (200, 304):
        return "no-store"
    marked = bool(scope["query_string"])
    return "private, max-age=31536000, immutable" if marked else "private, max-age=86400"


class Gate:
    """Turns away strangers, foreign pages and floods; puts the house's headers on each answer."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.settings = settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or say why not."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", _kept(scope, message["status"]))
            await send(message)

        refusal = turned_away(self.settings, HTTPConnection(scope))
        if refusal is not None:
            answer = await refuse(Request(scope, receive), refusal)
            await answer(scope, receive, send_headed)
            return
        scope.setdefault("state", {})
        scope["state"]["device"] = device_of(self.settings, HTTPConnection(scope))
        forms: list[FormData] = []
        scope["state"]["forms"] = forms
        try:
            await self.app(scope, self._counted(receive), send_headed)
        finally:
            for form in forms:
                await form.close()

    def _counted(self, receive: Receive) -> Receive:
        taken = 0

        async def count() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > REQUEST_BYTES:  # a sender that named no length
                raise _flood()
            return message

        return count
