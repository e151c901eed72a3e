"""A tap on the wrong key is taken back: what was kept stays readable and counts no more."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.phases import strip
from retrue.phases.strip import TakenLine
from retrue.records.hand import Hand, numbered
from retrue.records.shop import RecordShop
from retrue.records.stripping import Cleaned, PutBack
from retrue.web.door import deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.prove.where import Place, place_of
from retrue.web.strip.where import back_of


async def post_back(request: Request) -> Response:
    """Take something of taking apart back; it stays readable and counts no more."""
    form, place = await typed(request), await place_of(request)
    records = await _records(request, place, form)
    await deed(_withdraw, request, records, hand(request, form))
    back, code = back_of(place, form), form.text("code")
    return to(f"{back}#{code}" if code and not back.endswith(code) else back)


async def _records(request: Request, place: Place, form: Typed) -> tuple[str, ...]:
    """What a form names: a record, a label that is not back after all, a place not cleaned."""
    at = (place.view.id, place.key)
    if code := form.text("code"):
        line: TakenLine = await deed(strip.taken_line, request, *at, code, request.app.state.kinds)
        return await deed(_newest, request, PutBack, taken=line.id)
    if muck := form.text("muck"):
        where = {"lot": place.view.id, "machine": place.key}
        return await deed(_newest, request, Cleaned, place=form.text("place"), muck=muck, **where)
    return (form.text("record"),)


def _newest(shop: RecordShop, kind: type[PutBack] | type[Cleaned], **where: str) -> tuple[str, ...]:
    return tuple(record.id for record in shop.current(kind, **where))


def _withdraw(shop: RecordShop, records: tuple[str, ...], writer: Hand) -> None:
    if not records:
        raise Unknown(
            say("this was taken back already"), remedy=say("Open the page again to see it.")
        )
    for place, record in enumerate(records):
        strip.withdraw(shop, record, **numbered(writer, place))
