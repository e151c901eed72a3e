"""Pages: templates, the words and numbers they may use, and one way to render."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from retrue.base import formatter
from retrue.base.discretion import discreet
from retrue.base.one_way import one_way
from retrue.base.say import NAMES, english, later, reader, say
from retrue.web.kept_now import kept_now, said_once
from retrue.web.manual_table import section_of
from retrue.web.marking import marked
from retrue.web.open_ways import only_open
from retrue.web.roles import may_open
from retrue.web.words import TABLES

STATIC = Path(__file__).parent / "static"
PHASES = (
    later("what to pay"),
    later("move and place"),
    later("as found and apart"),
    later("fault-finding"),
    later("what to do"),
    later("first power"),
    "measure",
    later("money and sale"),
)


@cache
def templates() -> Environment:
    """The one template environment: escaped, and strict about names."""
    made = Environment(
        loader=PackageLoader("retrue.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(
        say=say, money=money, number=num, odds=chance, span=formatter.span, asset=asset
    )
    made.filters.update(
        sentence=sentence, day=formatter.day, minute=formatter.minute, here=here, plain=plain
    )
    made.filters.update(english=english, said=say)
    made.globals.update(word=word, decimals=formatter.decimals, finer=finer)
    return made


def word(code: str, table: str) -> str:
    """The page's word for a code word; what has none is shown as it is."""
    return say(TABLES[table].get(code, code.replace("_", " ")))


def sentence(text: str) -> str:
    """A few words as a heading or a sentence begins: with a capital, the rest as it is."""
    text = say(text)
    return text[:1].upper() + text[1:]


def here(moment: str | None) -> str:
    """A kept moment by this computer's own clock, as a picker wants it: 2026-11-25T20:00."""
    if not moment:
        return ""
    return f"{datetime.fromisoformat(moment).astimezone():%Y-%m-%dT%H:%M}"


def plain(value: Any) -> str:
    """A value as it stands in a field: 42 rather than 42.0, nothing for None."""
    if value is None:
        return ""
    if isinstance(value, float | Decimal):
        return f"{Decimal(str(value)).normalize():f}"
    return str(value)


def num(value: Any, digits: int = 0, *, signed: bool = False, unit: str = "") -> Markup:
    """A number in the figures' own letter, with its unit, never broken over a line."""
    text = formatter.number(value, digits, signed=signed) + (f"\u202f{unit}" if unit else "")
    return Markup('<span class="num">{}</span>').format(text)


def finer(value: float, digits: int) -> int:
    """The decimals of the number beside it, more only where it would read as nothing."""
    while digits < 6 and value and round(value, digits) == 0:
        digits += 1
    return digits


def money(value: Any, currency: str, digits: int = 0, *, signed: bool = False) -> Markup:
    """Money in the figures' own letter, never broken over a line."""
    text = formatter.money(value, currency, digits, signed=signed)
    return Markup('<span class="num">{}</span>').format(text)


def chance(share: float) -> Markup:
    """A chance in plain odds, never broken over a line."""
    return Markup('<span class="whole">{}</span>').format(formatter.odds(share))


@cache
def asset(name: str) -> str:
    """The address of a static file, changed when its content changes."""
    mark = hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]
    return f"/static/{name}?{mark}"


def wants_json(request: Request) -> bool:
    """Whether a program asks rather than a person."""
    accept = request.headers.get("accept", "")
    return "application/json" in accept and "text/html" not in accept


def render(
    request: Request,
    template: str,
    *,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    **values: Any,
) -> Response:
    """One template as an answer; phase, role and edition are known on every page."""
    role = getattr(request.state, "role", "")
    known: dict[str, Any] = {
        "role": role,
        "by": getattr(request.state, "person", ""),
        "may": lambda path: may_open(role, f"GET {path}"),
        "reader_language": reader(),
        "languages_here": NAMES,
        "address": request.url.path + (f"?{request.url.query}" if request.url.query else ""),
        "phases": PHASES,
        "phase": 0,
        "settings": request.app.state.settings,
        "now": request.app.state.clock(),
        "typed": {},
        "wrong": {},
        "refusal": None,
        "kept_now": kept_now(request),
        "manual_at": section_of(request.url.path),
    }
    page = templates().get_template(template).render(known | values)
    page = said_once(page) if known["kept_now"] else page
    if hasattr(request.state, "knows"):
        owner = getattr(request.state, "role", "owner") == "owner"  # he says which of two counts
        page = marked(page, request.state.knows, request.state.undecided if owner else 0)
    page = one_way(only_open(page, request))
    return HTMLResponse(discreet(page), status_code=status, headers=headers)
