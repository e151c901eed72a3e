"""The job cards of one machine, and one card: cautions, steps, hours, done or stuck or found."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Refusal, Unknown
from retrue.base.say import say
from retrue.cases.fix.licensed import licensed_words
from retrue.cases.fix.lines import Card, Cards
from retrue.phases import fix
from retrue.records.fixing import CardMarked
from retrue.records.shop import Record, RecordShop
from retrue.web.door import deed
from retrue.web.fix.where import card_path, home_of, show, today
from retrue.web.prove.where import Place, place_of


@dataclass(frozen=True, slots=True)
class KeptMark:
    """What a tap kept, as the page says it back."""

    id: str
    how: str
    title: str
    says: tuple[str, ...]


async def kept_mark(request: Request) -> KeptMark | None:
    """What the tap before this page kept, and what comes next; no such mark says nothing."""
    id = request.query_params.get("kept", "")
    with contextlib.suppress(Refusal):
        record = await deed(_mark_of, request, id) if id else None
        if record is not None:
            fact, kinds, on = record.fact, request.app.state.kinds, today(request)
            card = _by_key(await cards_of(request, fact.lot, fact.machine), fact.card)
            says = await deed(fix.what_next, request, record, kinds, on=on)
            return KeptMark(record.id, fact.how, card.title, says)
    return None


def _mark_of(shop: RecordShop, id: str) -> Record[CardMarked] | None:
    """A mark that counts still."""
    record = shop.get(CardMarked, id)
    return record if isinstance(shop.history(id)[-1].fact, CardMarked) else None


async def cards_of(request: Request, lot: str, machine: str) -> Cards:
    """All cards of a machine."""
    kinds = request.app.state.kinds
    made: Cards = await deed(fix.cards, request, lot, machine, kinds, on=today(request))
    return made


def _by_key(made: Cards, key: str) -> Card:
    for card in made.cards:
        if card.key == key:
            return card
    raise Unknown(
        say("there is no card {key} at this machine now", key=repr(key)),
        remedy=say("Look at its cards again: what is chosen or found changes them."),
    )


async def show_cards(request: Request, /, **more: Any) -> Response:
    """All job cards of a machine, place by place, each place opened once and closed once."""
    place = await place_of(request)
    made = await cards_of(request, place.view.id, place.key)
    placed = {card.key for visit in made.visits for card in visit.cards}
    return show(
        request,
        "cards.html",
        place=place,
        here=home_of(place),
        made=made,
        loose=[card for card in made.cards if card.key not in placed],
        still=[card for card in made.cards if card.state != "done"],
        **more,
    )


async def show_card(request: Request, /, **more: Any) -> Response:
    """One job card: cautions first, then the steps in order, and what became of it."""
    place, key = await _card_asked(request, more.get("typed", {}))
    made = await cards_of(request, place.view.id, place.key)
    card = _by_key(made, key)
    titles = {one.key: one for one in made.cards}
    return show(
        request,
        "card.html",
        place=place,
        here=home_of(place),
        made=made,
        card=card,
        licensed=licensed_words(card),
        this=card_path(card),
        waits=[(titles[one.card], one) for one in card.waits if one.card in titles],
        after=[one for one in made.cards if any(w.card == key for w in one.waits)],
        kept=await kept_mark(request),
        **more,
    )


async def _card_asked(request: Request, typed: Any) -> tuple[Place, str]:
    """The card that the address names, or the form that was refused."""
    asked = request.path_params
    if "card" in asked:
        return await place_of(request), asked["card"]
    lot, machine, card = (str(typed.get(name, "")) for name in ("lot", "machine", "card"))
    if not (lot and machine):
        raise Unknown(
            say("no card of any machine is named"), remedy=say("Open the page again and tap there.")
        )
    return await place_of(request, lot, machine), card
