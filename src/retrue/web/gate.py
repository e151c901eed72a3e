"""The gate before every page: who speaks, whether he may, how often and how much."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from datetime import datetime
from math import ceil

import anyio
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, Headers, MutableHeaders
from starlette.requests import ClientDisconnect, HTTPConnection, Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from retrue.base.discretion import money_hidden
from retrue.base.refusals import NotAllowed, Refusal, TooOften, Unknown, Unreadable, Unusable
from retrue.base.say import say
from retrue.phases import devices
from retrue.records.joining import DeviceJoined
from retrue.web import limits, roles
from retrue.web.headers import HEADERS
from retrue.web.known import Known
from retrue.web.limits import Askers
from retrue.web.refusals import refuse
from retrue.web.security import LAPTOP, SAFE, Settings, device_of, foreign

TOO_SLOW, TOO_LONG, TOO_MANY_HEADERS = 408, 414, 431  # RFC 9110, 15.5; RFC 6585, 5


class _Cut(Exception):
    """The body of a request goes no further: what is to be answered."""

    def __init__(self, refusal: Refusal, status: int | None = None) -> None:
        super().__init__(refusal.reason)
        self.refusal = refusal
        self.status = status


@dataclass(frozen=True, slots=True)
class _Speaker:
    """Who speaks: a device with what is kept of it, this laptop, or nobody known."""

    device: str | None
    role: str
    person: str
    fact: DeviceJoined | None = None


class Gate:
    """Turns away strangers, foreign pages, floods and the curious; heads each answer."""

    def __init__(
        self,
        app: ASGIApp,
        settings: Settings,
        known: Known,
        clock: Callable[[], datetime],
        routes: Sequence[BaseRoute],
    ) -> None:
        self.app = app
        self.settings, self.known, self.clock, self.routes = settings, known, clock, routes
        self.devices, self.strangers = Askers(limits.DEVICE), Askers(limits.STRANGER)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or say why not."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        line = _Line(scope, receive, send)
        request = Request(scope, receive)
        scope.setdefault("state", {}).update(device=None, role="", person="", forms=line.forms)
        try:
            speaker = await self._speaker(request)
            elsewhere = self._admit(request, speaker)
        except _Cut as cut:
            await line.turn_away(await refuse(request, cut.refusal, status=cut.status), request)
            return
        except Refusal as refusal:
            await line.turn_away(await refuse(request, refusal), request)
            return
        if elsewhere is not None:
            await line.answer(elsewhere)
            return
        await self._let_through(line, request, speaker)

    async def _speaker(self, request: Request) -> _Speaker:
        """Who speaks, once what is foreign, too large or too often is out."""
        settings, now = self.settings, self.clock()
        refusal = foreign(settings, request.headers, request.method)
        if refusal is not None:
            raise refusal
        _refuse_odd_head(request)
        device = device_of(settings, request)
        if device == LAPTOP:
            return _Speaker(LAPTOP, "owner", settings.by)
        address = request.client.host if request.client else ""
        asked = (
            self.strangers.wait(limits.asker_of(address), now)
            if device is None
            else self.devices.wait(device, now)
        )
        if asked:
            raise _too_often(asked)
        fact = await run_in_threadpool(self.known.find, device, now) if device else None
        if fact is None:
            return _Speaker(device, "", "")
        return _Speaker(device, fact.role, fact.person, fact)

    def _admit(self, request: Request, speaker: _Speaker) -> Response | None:
        """Refuse what the speaker may not, or say where else he is to go."""
        state = request.scope["state"]
        state.update(device=speaker.device, role=speaker.role, person=speaker.person)
        plain = speaker.role == "owner" and request.method in SAFE  # nothing hangs on its name
        name = state["asked"] = "" if plain else roles.name_of(self.routes, request.scope)
        if name not in roles.FOR_EVERYBODY:
            refusal = self._barred(speaker)
            if refusal is not None:
                state.update(role="", person="")
                raise refusal
            home = self._home(speaker)
            if home and name == "GET /":
                return RedirectResponse(home, status_code=303)
            self._refuse_others_pages(request, speaker, name)
        if request.method not in SAFE:
            _refuse_large_body(request.headers, name)
        return None

    def _barred(self, speaker: _Speaker) -> Refusal | None:
        """Why a device may not speak at all, or None."""
        remedy = say("Scan the code that the laptop shows, within five minutes.")
        if speaker.device is None:
            return NotAllowed(say("This device is not paired with the shop"), remedy=remedy)
        if not speaker.role:
            return NotAllowed(
                say("This device is not paired with the shop any more"),
                remedy=say("Ask at the laptop for a new code and scan it again."),
            )
        fact = speaker.fact
        if fact is not None and devices.is_over(fact, self.clock().date()):
            return NotAllowed(
                say("The day until which this device may read is over"),
                remedy=say("Ask whoever lent you the record for a new code."),
            )
        return None

    def _home(self, speaker: _Speaker) -> str:
        """Where a role begins; empty: where everybody does."""
        if speaker.fact is not None and speaker.role == "buyer":
            return f"/given/{speaker.fact.given}"
        return "/floor" if speaker.role == "helper" else ""

    def _refuse_others_pages(self, request: Request, speaker: _Speaker, name: str) -> None:
        allowed = roles.may_open(speaker.role, name)
        if speaker.role == "buyer":
            route = roles.found(self.routes, request.scope)
            told = route.matches(request.scope)[1].get("path_params", {}) if route else {}
            lent = speaker.fact.given if speaker.fact else None
            if not allowed or told.get("record") != lent:
                raise Unknown(
                    say("There is no such page"),
                    remedy=say("Open the record that was lent to you."),
                )
        elif not allowed:
            raise NotAllowed(
                say("This page is not for a helper, or it does not exist"),
                remedy=say("Ask the owner, or go on from what there is to do."),
            )

    async def _discreet(self, role: str) -> AbstractContextManager[None]:
        """To nobody but the owner an amount is shown."""
        if role == "owner":
            return nullcontext()
        return money_hidden(await run_in_threadpool(self.known.currencies))

    async def _let_through(self, line: _Line, request: Request, speaker: _Speaker) -> None:
        most = most_of(request.scope["state"]["asked"])
        try:
            with await self._discreet(speaker.role):
                await self.app(line.scope, line.counted(most), line.headed)
        except _Cut as cut:
            if not line.begun:
                await line.answer(await refuse(request, cut.refusal, status=cut.status))
        except ClientDisconnect:
            if not line.begun:
                await line.answer(await refuse(request, _cut_off()))
        finally:
            for form in line.forms:
                await form.close()


@dataclass(slots=True)
class _Line:
    """One request on its line: what has come, what has gone."""

    scope: Scope
    receive: Receive
    send: Send
    forms: list[FormData] = field(default_factory=list)
    begun: bool = False

    async def answer(self, answer: Response) -> None:
        """Send an answer of the gate's own."""
        await answer(self.scope, self.receive, self.headed)

    async def turn_away(self, answer: Response, request: Request) -> None:
        """Send a refusal; of a stranger's body only so much is read, then the line is closed."""
        if not request.scope["state"]["role"] and not await self._is_all(limits.STRANGERS_BYTES):
            answer.headers["connection"] = "close"
        await self.answer(answer)

    async def _is_all(self, most: int) -> bool:
        """Whether a body ends within so many bytes, and soon; what is read is thrown away."""
        taken = 0
        with anyio.move_on_after(limits.STRANGERS_S):
            while taken <= most:
                message = await self.receive()
                if not message.get("more_body", False):
                    return True
                taken += len(message.get("body", b""))
        return False

    async def headed(self, message: Message) -> None:
        """Send on, with the house's headers on each answer."""
        if message["type"] == "http.response.start":
            self.begun = True
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", _kept(self.scope, message["status"]))
        await self.send(message)

    def counted(self, most: int) -> Receive:
        """Receive, as long as it is not too much and does not stand still."""
        taken, whole = 0, False

        async def count() -> Message:
            nonlocal taken, whole
            if whole:
                return await self.receive()  # waits for the line to be hung up
            try:
                with anyio.fail_after(limits.STALLED_S):
                    message = await self.receive()
            except TimeoutError:
                raise _Cut(_stalled(), TOO_SLOW) from None
            taken += len(message.get("body", b""))
            if taken > most:  # a sender that named no length
                raise _Cut(flood(most))
            whole = not message.get("more_body", False)
            return message

        return count


def most_of(name: str) -> int:
    """The bytes that a route takes."""
    return limits.BODIES.get(name.removeprefix("POST "), limits.FORM_BYTES)


def _refuse_odd_head(request: HTTPConnection) -> None:
    scope = request.scope
    if "\x00" in scope["path"] or b"%00" in scope["query_string"]:
        raise Unusable(
            say("This address holds a character that is not text"),
            remedy=say("Open the page from the one before."),
        )
    if len(request.url.path) + len(scope.get("query_string", b"")) > limits.ADDRESS_BYTES:
        raise _Cut(
            Unusable(
                say("This address is too long"), remedy=say("Open the page from the one before.")
            ),
            TOO_LONG,
        )
    if sum(len(name) + len(value) for name, value in scope["headers"]) > limits.HEADER_BYTES:
        raise _Cut(
            Unusable(
                say("This browser sends too much with each request"),
                remedy=say("Clear the cookies of this address and scan a new code."),
            ),
            TOO_MANY_HEADERS,
        )


def _refuse_large_body(headers: Headers, name: str) -> None:
    said = headers.get("content-length", "0")
    if not (said.isascii() and said.isdigit() and len(said) < 20):
        raise Unusable(
            say("What was sent does not say how long it is"),
            remedy=say("Open the page again and send it from there."),
        )
    if int(said) > most_of(name):
        raise flood(most_of(name))


def flood(most: int) -> Refusal:
    """More was sent than a page takes."""
    return Unusable(
        say("More than {megabytes} MB was sent at once", megabytes=most // 1_000_000),
        remedy=say("Send photographs in two goes, a text in parts; nothing else is lost."),
    )


def _too_often(wait_s: float) -> Refusal:
    refusal = TooOften(
        say("This device asks more often than the shop answers"),
        remedy=say("Wait {seconds} seconds; what waits on this device is sent then.",
                   seconds=ceil(wait_s)),
    )  # fmt: skip
    refusal.wait_s = ceil(wait_s)
    return refusal


def _stalled() -> Refusal:
    return Unreadable(
        say("Nothing came for a minute, and the line was given up"),
        remedy=say("Send it again nearer to the shop’s network."),
    )


def _cut_off() -> Refusal:
    return Unreadable(
        say("The line was cut before everything had come"), remedy=say("Send it again.")
    )


def _kept(scope: Scope, status: int) -> str:
    """How long a browser may keep an answer: static files, whose address is marked by content."""
    if not scope["path"].startswith("/static/") or status not in (200, 304):
        return "no-store"
    marked = bool(scope["query_string"])
    return "private, max-age=31536000, immutable" if marked else "private, max-age=86400"
