"""Somebody with a browser, without one: sends forms to the application and reads pages."""

from __future__ import annotations

import html
import re
from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from contextvars import Context
from dataclasses import dataclass, field
from functools import cache, partial
from threading import Thread, main_thread
from typing import Any

import httpx
from anyio.from_thread import BlockingPortal, start_blocking_portal
from starlette.applications import Starlette

HERE = "http://127.0.0.1:8314"
File = tuple[str, tuple[str, bytes, str]]


@cache
def _beside() -> BlockingPortal:
    """One loop for all visitors, in a thread beside: a browser test may have left its own here."""
    opened: Future[BlockingPortal] = Future()

    def keep_open() -> None:
        with start_blocking_portal() as portal:
            opened.set_result(portal)
            main_thread().join()

    Thread(target=keep_open).start()
    return opened.result()


@dataclass
class Visitor:
    """One device: its address, its cookies, its headers."""

    app: Starlette
    address: str = "127.0.0.1"
    base: str = HERE
    headers: dict[str, str] = field(default_factory=lambda: {"origin": HERE})
    cookies: httpx.Cookies = field(default_factory=httpx.Cookies)
    lenient: bool = False  # shows the page of an error of ours in place of raising it

    def send(self, method: str, path: str, *, follow: bool = True, **named: Any) -> httpx.Response:
        act = partial(self._send, method, path, follow, named)
        return Context().run(_beside().call, act)  # a server knows nothing of who asks

    async def _send(
        self, method: str, path: str, follow: bool, named: dict[str, Any]
    ) -> httpx.Response:
        way = httpx.ASGITransport(
            app=self.app, client=(self.address, 50_000), raise_app_exceptions=not self.lenient
        )
        headers = self.headers | named.pop("headers", {})
        async with httpx.AsyncClient(
            transport=way, base_url=self.base, cookies=self.cookies, follow_redirects=follow
        ) as client:
            answer = await client.request(method, path, headers=headers, **named)
            self.cookies = client.cookies
            return answer

    def get(self, path: str, **named: Any) -> httpx.Response:
        return self.send("GET", path, **named)

    def post(
        self,
        path: str,
        form: Mapping[str, str | Sequence[str]] | None = None,
        files: Sequence[File] = (),
        **named: Any,
    ) -> httpx.Response:
        return self.send("POST", path, data=form or {}, files=list(files) or None, **named)


def text_of(answer: httpx.Response) -> str:
    """What a reader sees: no tags, entities read, blanks joined."""
    bare = re.sub(r"<(script|style)\b.*?</\1>|<[^>]+>", " ", answer.text, flags=re.S)
    return " ".join(html.unescape(bare).split())


def values(answer: httpx.Response, name: str) -> list[str]:
    """The values of every field or key of one name."""
    tags = re.findall(r"<(?:input|button|option)\b[^>]*>", answer.text)
    mine = [tag for tag in tags if f'name="{name}"' in tag]
    return [
        html.unescape(found[1]) for tag in mine if (found := re.search(r'value="([^"]*)"', tag))
    ]
