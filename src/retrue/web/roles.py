"""Which pages a role may open, route by route; what is not listed is the owner's alone.

Three roles. The owner opens everything. A helper notes, photographs, ticks, reads job cards and
gives readings: he sees no money, and nothing that decides about it. A buyer reads the one condition
record that was given to him and sends nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from starlette.routing import BaseRoute, Match
from starlette.types import Scope

_MACHINE = "/lots/{lot}/machines/{machine}"
_STRIP = _MACHINE + "/strip"
_FIND = _MACHINE + "/find"
_WAKE = _MACHINE + "/wake"
_WATCH = _WAKE + "/watch/{watch}"
_STAGE = _WAKE + "/stages/{stage}"
_MOVE = _MACHINE + "/move"
_PROVE = _MACHINE + "/prove"
_MEASURE = _MACHINE + "/measure"
_CARDS = _MACHINE + "/fix/cards"
_SET = "/sets/{set}"
_SCREEN = "/screen/{catalogue}"

GIVEN = "/given/{record}"

FOR_EVERYBODY = frozenset(
    {
        "GET /pair/{code}",
        "POST /pair/{code}",
        "POST /language",
        "GET /static",
    }
)
"""What a device that is not paired opens as well: how it joins, and how a page looks."""

_LOOKS = (
    "/floor", "/offline", "/worker.js", "/note", "/files/{file}/shown/{size}", "/labels",
    "/measure", "/instruments",
    "/help", "/help/{page}", "/help/pictures/{name}", "/kept/{id}", "/twice", "/twice/{aside}",
    "/fix", "/fix/cards", "/fix/week.pdf",
    "/screen", _SCREEN, _SCREEN + "/progress",
    _CARDS, _CARDS + ".pdf", _CARDS + "/{card}", _CARDS + "/{card}.pdf",
    _MACHINE + "/fix/match/{method}",
    _FIND, _FIND + "/learned", _FIND + "/{aim}", _FIND + "/{aim}/sheet.pdf",
    _FIND + "/{aim}/answers/{record}",
    _MOVE, _MOVE + "/data", _MOVE + "/sheet.pdf", _MOVE + "/layout.pdf", _MOVE + "/{method}",
    _PROVE, _PROVE + "/quiet", _PROVE + "/quiet.pdf", _PROVE + "/quiet/readings/{record}",
    _PROVE + "/reckon/{method}",
    _MACHINE + "/arrival", _MACHINE + "/rest",
    _STRIP, _STRIP + "/night", _STRIP + "/evening", _STRIP + "/places/{place}",
    _STRIP + "/apart", _STRIP + "/apart/{code}", _STRIP + "/remaining", _STRIP + "/labels.pdf",
    _STRIP + "/bags.pdf", _STRIP + "/log.pdf", _STRIP + "/night.pdf", _STRIP + "/cleaning",
    _STRIP + "/files",
    _WAKE, _STAGE, _STAGE + "/sheet.pdf", _WAKE + "/reckon/{method}",
    _WAKE + "/watch", _WAKE + "/watch/sheet.pdf", _WATCH, _WATCH + "/state", _WATCH + "/readings",
    _MEASURE, _MEASURE + "/limits", _MEASURE + "/acceptance.pdf", _MEASURE + "/sheets/{test}.pdf",
    _MEASURE + "/{test}/new",
    _SET, _SET + "/all", _SET + "/readings.csv", _SET + "/blank.pdf", _SET + "/result",
    _SET + "/sheet.pdf", _SET + "/files/{name}",
)  # fmt: skip

_ACTS = (
    "/note", "/note/alarm", "/note/setting", "/fix/mark", "/fix/mark/back",
    "/kept/{id}/back", "/twice/{aside}", _SCREEN + "/work",
    _MACHINE + "/fix/match/{method}",
    _FIND, _FIND + "/{aim}/look", _FIND + "/{aim}/did", _FIND + "/{aim}/again",
    _FIND + "/{aim}/guess", _FIND + "/{aim}/opened",
    _FIND + "/{aim}/answers/{record}", _FIND + "/{aim}/answers/{record}/back",
    _MOVE + "/steps", _MOVE + "/back", _MOVE + "/data", _MOVE + "/data/again", _MOVE + "/{method}",
    _PROVE + "/quiet", _PROVE + "/quiet/back", _PROVE + "/reckon/{method}",
    _MACHINE + "/arrival/sides", _MACHINE + "/rest/rounds",
    _STRIP + "/ticks", _STRIP + "/back", _STRIP + "/shots", _STRIP + "/places/{place}",
    _STRIP + "/places/{place}/cleaned", _STRIP + "/apart", _STRIP + "/apart/{code}",
    _STRIP + "/cleaning", _STRIP + "/files", _STRIP + "/files/{file}",
    _STAGE + "/readings", _STAGE + "/abort", _STAGE + "/found", _WAKE + "/reckon/{method}",
    _WATCH + "/readings", _WATCH + "/back", _WATCH + "/sound", _WATCH + "/end",
    _MEASURE + "/{test}/new", _SET, _SET + "/all",
)  # fmt: skip

FOR_A_HELPER = frozenset({f"GET {path}" for path in _LOOKS} | {f"POST {path}" for path in _ACTS})
"""A helper's pages. Not his: prices, bids, options and costs, the plan and what to buy, money and
sale, devices, keeping, search, my shop, signing a stage, judging a result, giving a record away. Of
what was kept, and of what two said, he opens what his own device wrote: those pages see to it."""

FOR_A_BUYER = frozenset(
    f"GET {GIVEN}{end}" for end in ("", ".pdf", ".json", "/check", "/pictures/{picture}")
)
"""A buyer's pages: his record, on paper, as a file, its photographs, and whether it still is as it
was given. Which record, the gate looks at."""

_LOT = "/lots/{lot}"
AREAS = (
    "/lots/new", "/screen", "/settle", "/shop", "/visits", "/practice", "/search", "/kept",
    "/twice",
    "/fix/waiting", "/fix/send", "/fix/quote", "/fix/take", "/fix/plan", "/fix/buy", "/fix/stock",
    "/fix/hands", "/fix/gear",
    *(_LOT + one for one in (
        "/settle", "/terms", "/pictures", "/findings", "/message", "/call", "/visit", "/costs",
        "/freeze", "/outcome",
    )),
    *(_MACHINE + one for one in ("/settle", "/plate", "/looks", "/fix")),
)  # fmt: skip
"""The owner's alone with all below them, where no table above lists a page of them."""

FOR_THE_OWNER = frozenset(
    {
        "GET /", "POST /lots", f"GET {_LOT}", f"GET {_LOT}/freeze.pdf",
        f"GET {_LOT}/machines", f"POST {_LOT}/machines", f"GET {_MACHINE}", f"POST {_MACHINE}",
        f"GET {_MACHINE}/facts", "POST /first",
        "GET /pair", "POST /pair", "GET /files/{file}", "POST /instruments",
        "GET /fix/buy.csv", "GET /fix/buy.xlsx", "GET /fix/plan.ics",
        f"POST {_FIND}/{{aim}}/sign", f"POST {_FIND}/{{aim}}/swap",
        f"POST {_MACHINE}/arrival", f"GET {_MACHINE}/arrival/damage.pdf", f"POST {_MACHINE}/rest",
        f"POST {_WAKE}/back", f"POST {_STAGE}/begin", f"POST {_STAGE}/sign",
        f"POST {_STAGE}/leave", f"POST {_STAGE}/not_fitted",
        f"POST {_WAKE}/watch", f"POST {_WATCH}/logger", f"POST {_MEASURE}/limits",
        f"POST {_SET}/judge", f"POST {_SET}/entered",
    }
)  # fmt: skip
"""What else is the owner's alone, one by one: a page that nobody has decided about is not here."""


def names_of(route: BaseRoute) -> tuple[str, ...]:
    """A route as the tables above name it, once for each way it is asked: looks count as GET."""
    path: str = getattr(route, "path", "")
    methods = getattr(route, "methods", None) or {"GET"}
    asked = {"GET" if one == "HEAD" else one for one in methods}
    return tuple(f"{one} {path}" for one in sorted(asked))


def found(routes: Sequence[BaseRoute], scope: Scope) -> BaseRoute | None:
    """The route that will answer: the first that fits address and method, as the router goes."""
    for route in routes:
        match, told = route.matches(scope)
        if match is Match.FULL:
            leads: BaseRoute = told.get("route", route)  # a signpost is no route itself
            return leads
    return None


def name_of(routes: Sequence[BaseRoute], scope: Scope) -> str:
    """How the tables above name what is asked for; empty where nothing answers."""
    route = found(routes, scope)
    if route is None:
        return ""
    method = scope["method"]
    path: str = getattr(route, "path", "")
    return f"{'GET' if method == 'HEAD' else method} {path}"


def may_open(role: str, name: str) -> bool:
    """Whether a role may open a route; of what no table lists, only the owner.

    Examples
    --------
    >>> may_open("helper", "GET /note"), may_open("helper", "GET /settle"), may_open("", "GET /")
    (True, False, False)
    """
    if role == "owner" or name in FOR_EVERYBODY:
        return True
    allowed = {"helper": FOR_A_HELPER, "buyer": FOR_A_BUYER}
    return name in allowed.get(role, frozenset())


def undecided(routes: Iterable[BaseRoute]) -> list[str]:
    """Routes of which nobody has said whose they are; only the owner opens them."""
    known = FOR_EVERYBODY | FOR_A_HELPER | FOR_A_BUYER | FOR_THE_OWNER
    return [
        name
        for route in routes
        for name in names_of(route)
        if name not in known and not _in_an_area(name.partition(" ")[2])
    ]


def _in_an_area(path: str) -> bool:
    return any(path == area or path.startswith(area + "/") for area in AREAS)
