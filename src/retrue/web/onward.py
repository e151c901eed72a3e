"""Where a page's own program goes after a form: the whole address, without fetching it first."""

from __future__ import annotations

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

ASKS = "retrue-onward"  # a request says that it is a program's
TELLS = "retrue-to"  # the answer says where the page goes, with its place on it
SEE_OTHER = 303


class Onward:
    """A program is told where to go; a browser is sent there.

    A program that followed the way itself would fetch a page it does not show, and lose the place
    on it: what stands behind the # is not told to it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer 200 with the address in place of 303, where a program asks."""
        if scope["type"] != "http" or ASKS not in Headers(scope=scope):
            await self.app(scope, receive, send)
            return

        async def tell(message: Message) -> None:
            if message["type"] == "http.response.start" and message["status"] == SEE_OTHER:
                message["status"] = 200
                headers = MutableHeaders(scope=message)
                headers[TELLS] = headers["location"]
                del headers["location"]
            await send(message)

        await self.app(scope, receive, tell)
