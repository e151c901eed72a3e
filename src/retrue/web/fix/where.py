"""Where a page of what to do stands, by which shape a state is told, how somebody is reached."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache, partial
from typing import Any
from urllib.parse import quote

from markupsafe import Markup, escape
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import say
from retrue.cases.fix.lines import Card, Tonight
from retrue.kinds.library import Kind
from retrue.web.door import fresh
from retrue.web.forms import Typed
from retrue.web.pages import render
from retrue.web.prove.where import Place

FIX = 4  # its place on the path
CARD_SHAPES = {"done": "good", "begun": "open", "stuck": "bad"}
OUT_SHAPES = {"ended": "good", "back_not_judged": "open", "late": "bad", "ring": "open"}
PART_SHAPES = {"here": "good", "ordered": "open", "sent_out": "open", "no_vendor": "bad"}
SHAPES = {"card": CARD_SHAPES, "out": OUT_SHAPES, "part": PART_SHAPES}
SAYS_ENOUGH = 30  # letters of a caution's opening words
DIGITS = 6  # a telephone number has at least so many
DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
PAGES = r"fix(/[\w./:%-]*)?"  # below the house or below a machine
BACK = re.compile(rf"/({PAGES}|lots/[\w-]+/machines/[\w-]+/{PAGES})?(\?[\w=&.-]*)?")


def home_of(place: Place) -> str:
    """Where the pages of what to do at this machine begin."""
    return f"{place.path}/fix"


def machine_path(card: Card) -> str:
    """Where the pages of what to do at a card's machine begin."""
    return f"/lots/{card.lot}/machines/{card.machine}/fix"


def card_path(card: Card) -> str:
    """The page of one card."""
    return f"{machine_path(card)}/cards/{quote(card.key, safe=':')}"


def shape_of(state: str, table: str) -> str:
    """The shape that a state is told by beside its word."""
    return SHAPES[table].get(state, "none")


def ring_at(reach: str) -> str:
    """The address that a tap on somebody's reach opens: a call, a letter, or nothing.

    Examples
    --------
    >>> ring_at("09 123 45 67"), ring_at("winder@example.com"), ring_at("at the market")
    ('tel:091234567', 'mailto:winder@example.com', '')
    """
    digits = re.sub(r"[^\d+]", "", reach)
    if "@" in reach:
        return f"mailto:{quote(reach.strip(), safe='@')}"
    written = re.fullmatch(r"[\d\s+()/.-]+", reach.strip())
    return f"tel:{digits}" if written and len(digits) >= DIGITS else ""


def back_of(path: str, otherwise: str) -> str:
    """The page that a form says it came from, where it is one of ours."""
    return path if path and BACK.fullmatch(path) else otherwise


def asked(request: Request) -> Typed:
    """What the address asks for, read as a form is."""
    pairs: list[tuple[str, str | UploadFile]] = [*request.query_params.multi_items()]
    return Typed(FormData(pairs))


def today(request: Request) -> date:
    """The day it is, by the shop's own clock."""
    now: date = request.app.state.clock().astimezone().date()
    return now


def sentence(text: str) -> str:
    """Words as a sentence of their own.

    Examples
    --------
    >>> sentence("needs the hoist"), sentence("Done."), sentence("")
    ('Needs the hoist.', 'Done.', '')
    """
    text = say(text)
    return text[:1].upper() + text[1:] + ("." if text and text[-1] not in ".?!:" else "")


def dated(text: str) -> Markup:
    """A sentence whose days are never broken over a line.

    Examples
    --------
    >>> str(dated("by 2026-12-04 & no later"))
    'by <span class="whole">2026-12-04</span> &amp; no later'
    """
    return Markup(DAY.sub(r'<span class="whole">\g<0></span>', str(escape(text))))


def opening_words(text: str) -> str:
    """The first sentence of a caution; one more where that says little by itself.

    Examples
    --------
    >>> opening_words("A phone may sleep. The alarm sounds from the laptop beside you. Look.")
    'A phone may sleep. The alarm sounds from the laptop beside you.'
    """
    told = ""
    for part in re.split(r"(?<=[.!?]) ", text):
        told = f"{told} {part}".strip()
        if len(told) >= SAYS_ENOUGH:
            break
    return told


def told_apart(text: str) -> tuple[str, str]:
    """A caution that came as words: what it says, and in brackets behind it what it defers to.

    Examples
    --------
    >>> told_apart("Lock it. (lockout rules (EN ISO 14118); local code)")
    ('Lock it.', 'lockout rules (EN ISO 14118); local code')
    >>> told_apart("Lock it.")
    ('Lock it.', '')
    """
    depth = 0
    for at in range(len(text) - 1, 0, -1) if text.endswith(")") else ():
        depth += (text[at] == ")") - (text[at] == "(")
        if depth == 0:
            return text[:at].rstrip(), text[at + 1 : -1]
    return text, ""


@cache
def _cautions(texts: tuple[tuple[str, str, str], ...]) -> dict[str, tuple[str, str]]:
    return {id: (text, defers_to) for id, text, defers_to in texts}


def cautions_of(kinds: Mapping[str, Kind]) -> dict[str, tuple[str, str]]:
    """Every caution of every type of machine: its words, and what they defer to."""
    every = (one for kind in kinds.values() for one in kind.cautions.values())
    return _cautions(tuple((one.id, one.text, one.defers_to) for one in every))


def _told(known: Mapping[str, tuple[str, str]], cautions: Iterable[str]) -> list[tuple[str, str]]:
    """Cautions by their ids, or as words, each once: what they say, and what they defer to."""
    return [known.get(one) or told_apart(one) for one in dict.fromkeys(cautions)]


def common_cautions(view: Tonight) -> list[str]:
    """What stands once above all cards of an evening: cautions of every one of them, or of none.

    Examples
    --------
    >>> common_cautions(Tonight(hours=2.0, alone=True, hoist=False, picks=(), not_tonight=(),
    ...     cautions=("X01",), planned=False))
    ['X01']
    """
    cards = [set(pick.card.cautions) for pick in view.picks]
    every = set.intersection(*cards) if len(cards) > 1 else set()
    some = set().union(*cards)
    return [one for one in view.cautions if one in every or one not in some]


def words(request: Request) -> dict[str, Any]:
    """What every piece of these pages needs."""
    return {
        "fresh": fresh,
        "today": today(request).isoformat(),
        "caution_words": partial(_told, cautions_of(request.app.state.kinds)),
        "common_cautions": common_cautions,
        "machine_path": machine_path,
        "card_path": card_path,
        "shape_of": shape_of,
        "ring_at": ring_at,
        "sentence": lambda text: dated(sentence(text)),
        "dated": dated,
        "opening_words": opening_words,
    }


def show(request: Request, template: str, /, **values: Any) -> Response:
    """A page of what to do."""
    return render(request, f"fix/{template}", **{"phase": FIX} | words(request) | values)
