"""Thousands of requests that no page of ours would send, to every route, as everybody.

Bad types, sizes, encodings and methods, ids of other things, as the laptop, a phone, a helper, a
buyer, a device turned away and a stranger. Prints how often each status came and what was slowest;
ends with 1 where something broke, or somebody saw what is not his.

Run: ``python bench/strangers.py [--requests 10000] [--seed 9]``
"""

from __future__ import annotations

import argparse
import asyncio
import random
import re
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

from starlette.applications import Starlette
from strange_shop import CANARIES, FOR_THE_OWNER_ALONE, StrangeShop, strange_shop
from strange_values import BODIES, METHODS, NAMES, Body, Field, evil, harmless

from retrue.records.chain import verify_chain
from retrue.web.app import ROUTES
from retrue.web.headers import HEADERS

ROLES = ("laptop", "helper", "owner", "buyer", "laptop", "stranger", "gone")
TRACES = re.compile(r"Traceback \(most recent|File \"[^\"]+\", line \d|site-packages")
DRAWN = re.compile(r"[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}|[0-9a-f]{64}")
"""Ids, and what names a file: of their digits some may look like an amount."""
AWAY = (400, 403, 408, 414, 422, 429, 431)
SECONDS = 10  # that pass between two requests: what is counted is tried elsewhere


@dataclass(slots=True)
class Answer:
    """What came back, and how long it took."""

    status: int = 0
    headers: dict[str, str] = field(default_factory=dict)
    content: bytes = b""
    took_s: float = 0.0

    @property
    def text(self) -> str:
        """What came back, as it is read."""
        return self.content.decode("utf-8", "replace")


@dataclass(frozen=True, slots=True)
class Wrong:
    """Something that must not be: what, and what was sent."""

    what: str
    sent: str


def ask(
    loop: asyncio.AbstractEventLoop, app: Starlette, method: str, target: str,
    headers: Sequence[tuple[bytes, bytes]], body: bytes, address: str,
) -> Answer:  # fmt: skip
    """One request as a server would hand it on, and its answer."""
    from urllib.parse import unquote

    path, _, query = target.partition("?")
    scope: dict[str, Any] = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method,
        "scheme": "http", "path": unquote(path), "raw_path": path.encode("latin-1", "replace"),
        "query_string": query.encode("latin-1", "replace"), "root_path": "", "headers": headers,
        "client": (address, 50_000), "server": ("127.0.0.1", 8314),
    }  # fmt: skip
    pieces = [body[at : at + 65_536] for at in range(0, len(body), 65_536)] or [b""]
    answer, at = Answer(), 0

    async def receive() -> dict[str, Any]:
        nonlocal at
        at += 1
        if at > len(pieces):
            return {"type": "http.disconnect"}
        return {"type": "http.request", "body": pieces[at - 1], "more_body": at < len(pieces)}

    async def send(message: Mapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            answer.status = message["status"]
            answer.headers = {
                name.decode("latin-1").lower(): value.decode("latin-1")
                for name, value in message["headers"]
            }
        else:
            answer.content += message.get("body", b"")

    begun = time.perf_counter()
    task = loop.create_task(app(scope, receive, send))
    loop.run_until_complete(asyncio.wait([task]))
    if error := task.exception():  # what a server writes into its log, with a status of 500
        answer.status = answer.status or 500
        answer.content += f"\n{type(error).__name__}: {error}".encode()
    answer.took_s = time.perf_counter() - begun
    return answer


class Strangers:
    """Makes requests by the dozen and looks at what comes back."""

    def __init__(self, shop: StrangeShop, seed: int) -> None:
        self.shop = shop
        self.loop = asyncio.new_event_loop()
        self.rng = random.Random(seed)
        self.statuses: Counter[int] = Counter()
        self.slow: list[tuple[float, str]] = []
        self.wrong: list[Wrong] = []
        self.forms = self._forms()
        self.routes = [
            (method, str(getattr(route, "path", "")))
            for route in ROUTES
            for method in sorted(getattr(route, "methods", None) or {"GET"})
            if method != "HEAD"
        ]

    def close(self) -> None:
        """Nobody asks any more."""
        self.loop.close()
        self.shop.kept.close()

    def _forms(self) -> dict[str, list[Field]]:
        """The fields that the pages themselves would send, by the address they are sent to."""
        found: dict[str, list[Field]] = {}
        for path in self.shop.pages:
            page = self._send("laptop", "GET", path, [], b"").text
            for form in re.findall(r"<form\b.*?</form>", page, re.S):
                action = re.search(r'action="([^"?#]*)', form)
                key = self._shape(action[1] if action else path)
                names = re.findall(r'<(?:input|select|textarea|button)\b[^>]*?name="([^"]*)"', form)
                values = dict(re.findall(r'name="([^"]*)"[^>]*?value="([^"]*)"', form))
                fields = [Field(name, values.get(name, "")) for name in dict.fromkeys(names)]
                found.setdefault(key, []).extend(one for one in fields)
        return found

    def _shape(self, path: str) -> str:
        """An address as its route writes it."""
        for route in ROUTES:
            regex: re.Pattern[str] | None = getattr(route, "path_regex", None)
            if regex is not None and regex.match(path):
                return str(getattr(route, "path", ""))
        return path

    def one(self, number: int) -> None:
        """One request: a route, a role, a way of being wrong, each in turn."""
        method, path = self.routes[number % len(self.routes)]
        turn = number // len(self.routes) + number
        role = ROLES[turn % len(ROLES)]
        address = self._address(path, foreign=turn % 4 == 0)
        if turn % 13 == 0:
            method = self.rng.choice(METHODS)
        if turn % 5 == 0 or method == "GET":
            names = self.rng.sample(NAMES, 3)
            pairs = [(name, evil(self.rng, self.shop.ids)) for name in names]
            if turn % 11 != 0:
                address += "?" + urlencode(pairs, errors="surrogatepass")
            else:
                address += "?" + "&".join(f"{name}=%FF%00%ED%A0%80" for name in names)
        kind: Body = BODIES[turn % len(BODIES)] if method != "GET" else BODIES[0]
        headers, body = kind(self.rng, self._fields(path, turn))
        if method == "GET":
            headers, body = [], b""
        self._look(role, method, address, self._send(role, method, address, headers, body))

    def _address(self, path: str, *, foreign: bool) -> str:
        """The route with something in each place: mostly what fits, at times what does not."""

        def put(found: re.Match[str]) -> str:
            fits = self.shop.fitting.get(found[1], [])
            if not foreign and found[1] in ("lot", "machine"):
                return str(fits[0])
            if not fits or (foreign and self.rng.random() < 0.4):
                value = evil(self.rng, self.shop.ids)
                return quote(value[:1500], safe="", errors="surrogatepass") or "x"
            return quote(self.rng.choice(fits), safe=":")

        return re.sub(r"{(\w+)}", put, path)

    def _fields(self, path: str, turn: int) -> list[Field]:
        """What a form of that page would send, with one to three of its fields spoiled."""
        known = self.forms.get(path) or [Field(name, "") for name in self.rng.sample(NAMES, 6)]
        made = [one if one.value else harmless(self.rng, one, self.shop.ids) for one in known]
        for _ in range(1 + turn % 2):
            at = self.rng.randrange(len(made))
            made[at] = Field(made[at].name, evil(self.rng, self.shop.ids))
        return made

    def _send(
        self, role: str, method: str, address: str, headers: list[tuple[bytes, bytes]], body: bytes
    ) -> Answer:
        self.shop.clock.passes(SECONDS)
        device = self.shop.devices[role]
        base = device.host.encode()
        sent = [
            (b"host", base), (b"origin", b"http://" + base), (b"accept", b"text/html"),
            (b"content-length", str(len(body)).encode()), *headers,
        ]  # fmt: skip
        if device.cookie:
            sent.append((b"cookie", device.cookie.encode()))
        return ask(self.loop, self.shop.app, method, address, sent, body, device.address)

    def _look(self, role: str, method: str, address: str, answer: Answer) -> None:
        sent = f"{role} {method} {address[:300]}"
        self.statuses[answer.status] += 1
        self.slow.append((answer.took_s, sent))
        for what in faults(role, answer):
            self.wrong.append(Wrong(f"{what} ({answer.status}): {answer.text[-300:]}", sent))


def faults(role: str, answer: Answer) -> Iterator[str]:
    """What must not be in any answer, and what must not be in this role's."""
    if answer.status >= 500 or answer.status < 200:
        yield "broke"
    if TRACES.search(answer.text):
        yield "tells how the program is made"
    for name, value in HEADERS.items():
        told = answer.headers.get(name)
        if told != value and not (name == "content-security-policy" and told):
            yield f"lacks {name}"
    if role in ("stranger", "gone") and answer.status not in AWAY and not for_everybody(answer):
        yield "answers a device that is not paired"
    hidden = {
        "stranger": CANARIES, "gone": CANARIES, "buyer": CANARIES, "helper": FOR_THE_OWNER_ALONE,
    }.get(role, ())  # fmt: skip
    is_paper = answer.content.startswith(b"%PDF")  # its numbers are offsets
    read = "" if is_paper else DRAWN.sub("", answer.text)
    for secret in hidden:
        if secret in read:
            at = read.index(secret)
            yield f"shows {secret}: {read[max(0, at - 80) : at + 40]}"


def for_everybody(answer: Answer) -> bool:
    """Whether it is what anybody may have: how to join, how a page looks, its language."""
    return (
        "/pair/" in answer.text
        or answer.headers.get("cache-control", "").startswith("private")
        or "retrue_language" in answer.headers.get("set-cookie", "")
    )


def run(
    folder: Path, requests: int, seed: int, told: Callable[[int], None] = lambda _: None
) -> Strangers:
    """That many requests at a new shop; whether the chain is whole is asked at the end."""
    shop = strange_shop(folder)
    asked = Strangers(shop, seed)
    for number in range(requests):
        asked.one(number)
        told(number)
    for problem in verify_chain(shop.kept):
        asked.wrong.append(Wrong(f"the chain is broken: {problem}", "afterwards"))
    asked.close()
    return asked


def main() -> int:
    """Run it and print what came."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--requests", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=9)
    wanted = parser.parse_args()

    def told(number: int) -> None:
        if number % 500 == 499:
            print(f"{number + 1} requests", file=sys.stderr)

    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        asked = run(Path(folder), wanted.requests, wanted.seed, told)
    took = time.perf_counter() - begun
    print(f"{wanted.requests} requests to {len(asked.routes)} routes in {took:.0f} s")
    for status, count in sorted(asked.statuses.items()):
        print(f"{status} {count:6d}")
    for seconds, sent in sorted(asked.slow, reverse=True)[:8]:
        print(f"{seconds:6.2f} s  {sent[:100]}")
    for one in asked.wrong[:40]:
        print(f"WRONG {one.sent}\n      {one.what}")
    print(f"wrong: {len(asked.wrong)}")
    return 1 if asked.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
