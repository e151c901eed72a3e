"""The plain door before the locked one: it gives away the shop's certificate, nothing else."""

from __future__ import annotations

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from retrue.base.say import speaking
from retrue.web.headers import HEADERS
from retrue.web.language import language_of
from retrue.web.pages import STATIC, templates
from retrue.web.security import Settings, foreign

NAME = "retrue-authority.crt"


class Headed:
    """Answers to our own names alone, as the main door does; the house's headers on each answer."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.settings = settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let everything through, with the headers."""
        more = [(name.encode(), value.encode()) for name, value in HEADERS.items()]

        async def send_headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message["headers"], *more, (b"cache-control", b"no-store")]
            await send(message)

        if scope["type"] == "http":
            request = Request(scope)
            refusal = foreign(self.settings, request.headers, request.method)
            if refusal is not None:
                with speaking(language_of(request)):
                    told = f"{refusal.reason}. {refusal.remedy}"
                answer = Response(told, status_code=403, media_type="text/plain")
                await answer(scope, receive, send_headed)
                return
        await self.app(scope, receive, send_headed)


def trust_app(settings: Settings, certificate: bytes, fingerprint: str) -> Starlette:
    """A small application that shows how a phone comes to trust the shop's certificate.

    Parameters
    ----------
    settings : Settings
        Where the locked door is.
    certificate : bytes
        The authority's, as a telephone takes it (DER).
    fingerprint : str
        Its SHA-256 in pairs, to be compared with the laptop's screen.

    Returns
    -------
    Starlette
        One page, one file, and the style they need.
    """

    async def show(request: Request) -> Response:
        page = templates().get_template("trust.html")
        with speaking(language := language_of(request)):
            told = page.render(
                fingerprint=fingerprint,
                language=language,
                name=NAME,
                to=settings.at_the_phone("/"),
            )
        return Response(told, media_type="text/html")

    async def give(_: Request) -> Response:
        kept = {"content-disposition": f'attachment; filename="{NAME}"'}
        return Response(certificate, media_type="application/x-x509-ca-cert", headers=kept)

    return Starlette(
        routes=[
            Route("/", show),
            Route(f"/{NAME}", give),
            Mount("/static", StaticFiles(directory=STATIC)),
        ],
        middleware=[Middleware(Headed, settings=settings)],
    )
