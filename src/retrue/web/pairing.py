"""A phone joins the shop: a code of one use, five minutes long, shown as a QR."""

from __future__ import annotations

import hmac
import io
import secrets
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from retrue.base.refusals import NotAllowed, NotYet
from retrue.base.say import say
from retrue.phases import devices
from retrue.phases.devices import Invited
from retrue.records.hand import Hand
from retrue.records.joining_rules import LONGEST_NAME
from retrue.web.door import again, deed, typed
from retrue.web.pages import render
from retrue.web.security import COOKIE, COOKIE_SECONDS, LAPTOP, Settings, sign_device

LIFE = timedelta(minutes=5)
TRIES = 20  # wrong codes from one address before it is heard no more
MOST_ADDRESSES = 500  # that are remembered for it; a code cannot be guessed in five minutes
LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"  # none that look alike


@dataclass(slots=True)
class Pairing:
    """The one code on offer; redeemed once, or gone after five minutes."""

    code: str = ""
    until: datetime | None = None
    tries: Counter[str] = field(default_factory=Counter)
    invited: Invited = field(default_factory=Invited)

    def offer(self, now: datetime, invited: Invited | None = None) -> str:
        """Make a new code, for the owner's own phone unless told; the one before is void."""
        self.code = "".join(secrets.choice(LETTERS) for _ in range(12))
        self.until, self.tries = now + LIFE, Counter()
        self.invited = invited or Invited()
        return self.code

    def live(self, now: datetime) -> str:
        """The code on offer, or nothing."""
        return self.code if self.until is not None and now < self.until else ""

    def redeem(self, code: str, now: datetime, who: str = "") -> Invited:
        """Spend the code, and say for whom it was; wrong tries count against their sender alone.

        Raises
        ------
        NotAllowed
            It is not the code on offer, it was spent, or its five minutes are over.
        """
        if len(self.tries) >= MOST_ADDRESSES:
            self.tries.clear()
        self.tries[who] += 1
        live = self.live(now) if self.tries[who] <= TRIES else ""
        if not live or not hmac.compare_digest(code.encode(), live.encode()):
            raise NotAllowed(
                say("This code is spent or too old"),
                remedy=say("Ask the laptop for a new code; each works once, for five minutes."),
            )
        self.code, self.until = "", None
        return self.invited


def address(settings: Settings, code: str) -> str:
    """What the QR says."""
    return on_the_network(settings, f"/pair/{code}")


def on_the_network(settings: Settings, path: str) -> str:
    """A page's address as a phone reaches it; nothing where the shop is not open to phones."""
    return settings.at_the_phone(path)


def terminal_qr(text: str) -> str:
    """A QR of half-height blocks for a terminal."""
    import segno

    out = io.StringIO()
    segno.make(text, error="m").terminal(out, compact=True)
    return out.getvalue()


def _at_the_laptop(request: Request) -> Settings:
    settings: Settings = request.app.state.settings
    if request.state.device != LAPTOP:
        raise NotAllowed(
            say("Only the laptop itself can invite a phone"),
            remedy=say("Open this page at the laptop."),
        )
    if settings.lan is None:
        raise NotYet(
            say("This shop is not open to phones"),
            remedy=say("Stop it and start it with: retrue open --lan"),
        )
    return settings


async def show_offer(request: Request, /, **more: Any) -> Response:
    """The page at the laptop: for whom a code is to be, and the QR of the code on offer."""
    import segno

    settings = _at_the_laptop(request)
    state = request.app.state
    code = state.pairing.live(state.clock())
    url = address(settings, code) if code else ""
    picture = segno.make(url, error="m").svg_inline(border=4, omitsize=True) if url else ""
    return render(
        request,
        "pair_offer.html",
        url=url,
        picture=picture,
        invited=state.pairing.invited,
        lent=await deed(devices.to_lend, request),
        **more,
    )


@again(show_offer)
async def offer(request: Request) -> Response:
    """Make a new code and show it: for my own phone, for a helper, for a buyer of one record."""
    _at_the_laptop(request)
    form, state = await typed(request), request.app.state
    until_on = form.day("until_on")
    form.check()
    now = state.clock()
    invited: Invited = await deed(
        devices.invite, request, role=form.text("role") or "owner", person=form.text("person"),
        given=form.text("given"), until_on=until_on, on=now.date(),
    )  # fmt: skip
    state.pairing.offer(now, invited)
    return RedirectResponse("/pair", status_code=303)


async def show_button(request: Request, /, **more: Any) -> Response:
    """What the phone sees first: a button. Looking alone spends nothing."""
    return render(request, "pair.html", code=request.path_params["code"], **more)


async def redeem(request: Request) -> Response:
    """The phone pressed the button: spend the code, keep the device, give it its cookie."""
    state = request.app.state
    name = (await typed(request)).text("name")
    who = request.client.host if request.client else ""
    invited = state.pairing.redeem(request.path_params["code"], state.clock(), who)
    device = f"phone-{uuid4().hex[:12]}"
    writer: Hand = {"by": state.settings.by, "device": device}
    await deed(devices.join, request, invited, name=printable(name), **writer)
    answer = RedirectResponse("/", status_code=303)
    answer.set_cookie(
        COOKIE,
        sign_device(state.settings, device),
        max_age=COOKIE_SECONDS,
        httponly=True,
        secure=request.url.scheme == "https",
        samesite="strict",
        path="/",
    )
    return answer


def printable(name: str) -> str:
    """A name as a list can show it: the code is spent by then, so nothing is refused for it.

    Examples
    --------
    >>> printable("An\\x00n’s phone")
    'Ann’s phone'
    """
    return "".join(one for one in name if one.isprintable())[:LONGEST_NAME]
