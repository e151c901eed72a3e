"""The door for browsers: the application around every route."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware

from retrue.base.refusals import Refusal
from retrue.kinds.library import Kind
from retrue.kinds.spoken import spoken
from retrue.records.knowing import Meanwhile
from retrue.records.shop import RecordShop
from retrue.web.behind import Behind
from retrue.web.called import page
from retrue.web.door import TakenBack
from retrue.web.fix.planner import Planner
from retrue.web.gate import Gate
from retrue.web.keeper import Keeper
from retrue.web.kept_now import Noting
from retrue.web.known import Known
from retrue.web.language import Speaking
from retrue.web.onward import Onward
from retrue.web.pairing import Pairing
from retrue.web.refusals import broken, no_form, refuse, unknown_page
from retrue.web.routes import ROUTES
from retrue.web.security import Settings
from retrue.web.signpost import Signpost
from retrue.web.wake.follower import Follower
from retrue.web.worth.screen_work import Screener

__all__ = ["ROUTES", "Settings", "app"]

SIGNPOST = Signpost(ROUTES)


def app(
    *,
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    clock: Callable[[], datetime],
    settings: Settings,
    ring: Callable[[], None] = lambda: None,
) -> Starlette:
    """The application that a server runs.

    Parameters
    ----------
    shop : RecordShop
        Where everything is kept.
    kinds : mapping of str to Kind
        The types of machine it knows.
    clock : callable
        The moment it is, with its offset; for title blocks and for codes that end.
    settings : Settings
        Names, port, secret, seed, loggers.
    ring : callable
        Rings the bell of the server's terminal once: a watch has called stop.

    Returns
    -------
    Starlette
        ``state.pairing`` holds the code on offer to a phone; ``state.follower`` follows running
        watches, in a thread of its own inside ``with made.state.follower.following():``;
        ``state.planner`` plans, in a thread of its own, when a page asks for it, and
        ``state.screener`` prices catalogues inside ``with made.state.screener.working():``;
        ``state.behind`` works ahead inside ``with made.state.behind.working():``.
    """
    known, routes = Known(shop), [SIGNPOST]
    made = Starlette(
        routes=routes,
        middleware=[
            Middleware(Speaking),
            Middleware(Gate, settings=settings, known=known, clock=clock, routes=routes),
            Middleware(Onward),
            Middleware(Noting),
        ],
        exception_handlers={
            Refusal: refuse,
            Meanwhile: page("twice:ask"),
            TakenBack: page("twice:agree"),
            404: unknown_page,
            405: unknown_page,
            HTTPException: no_form,
            Exception: broken,
        },
    )
    english, kinds = kinds, spoken(kinds)
    made.state.shop, made.state.kinds = shop, kinds
    made.state.clock, made.state.settings = clock, settings
    made.state.known, made.state.pairing = known, Pairing()
    made.state.planner = Planner(shop, kinds, clock)
    made.state.behind = Behind(shop, kinds, clock, settings)
    made.state.keeper = Keeper(shop, clock)
    made.state.screener = Screener(shop, english, kinds, settings, clock)
    made.state.follower = Follower(shop, kinds, clock, settings.loggers, settings.by, ring)
    return made
