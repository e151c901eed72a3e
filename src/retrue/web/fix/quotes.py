"""A quote by telephone: one line is read back, corrected where it must be, kept, and taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.fix.buying_lines import Buying, BuyRow
from retrue.cases.fix.spoken import Spoken, quote_line
from retrue.phases import fix
from retrue.records.fixing import Quoted
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.waiting import WAITING, every_machine
from retrue.web.fix.where import show, today
from retrue.web.forms import Typed
from retrue.web.pages import plain

TO_BE_PICKED = "something"  # stands where a line would, and is picked from a list
TAXES = ("incl", "excl", "")


@dataclass(frozen=True, slots=True)
class WhatFor:
    """What a quote may be for: lot, machine and line as one value of a field."""

    lot: str
    machine: str
    line: str
    words: str

    @property
    def value(self) -> str:
        """As the field sends it."""
        return "|".join((self.lot, self.machine, self.line))


async def _known(request: Request) -> tuple[list[WhatFor], list[BuyRow]]:
    """Every line of the purchase lists, then every machine and lot for words of one's own."""
    view: Buying = await deed(fix.buying, request, request.app.state.kinds, on=today(request))
    rows = [
        WhatFor(row.lot, row.machine, row.part.line, f"{row.machine_name}: {row.part.what}")
        for row in view.rows
    ]
    for value, name in await deed(every_machine, request):
        lot, _, machine = value.partition("|")
        rows.append(WhatFor(lot, machine, "", say("{name}: something else", name=name)))
    return rows, list(view.rows)


def _asked(request: Request, rows: list[WhatFor], chosen: str) -> WhatFor | None:
    """What the page is about: as a form or an address says."""
    asked = request.query_params
    if chosen:
        return next((one for one in rows if one.value == chosen), None)
    wanted = (asked.get("lot", ""), asked.get("machine", ""), asked.get("line", ""))
    return next((one for one in rows if (one.lot, one.machine, one.line) == wanted), None)


async def show_quote(request: Request, /, **more: Any) -> Response:
    """One line as it was spoken; read back field by field before it is kept; offers so far."""
    rows, buy = await _known(request)
    asked = request.query_params
    typed_before = more.get("typed", {})
    chosen = _asked(request, rows, str(typed_before.get("for") or asked.get("for", "")))
    said, spoken = asked.get("said", "").strip(), None
    if said and not typed_before:
        spoken = await _heard(request, said, chosen, rows)
        if chosen is None:
            chosen = next((one for one in rows if one.line and one.line == spoken.line), None)
    about = [one for one in buy if chosen and one.part.line == chosen.line
             and one.machine == chosen.machine]  # fmt: skip
    given = {"typed": _read_back(spoken)} if spoken else {}
    return show(request, "quote.html", rows=rows, chosen=chosen, said=said, spoken=spoken,
                about=about, id=fresh(), **given | more)  # fmt: skip


async def _heard(
    request: Request, said: str, chosen: WhatFor | None, rows: list[WhatFor]
) -> Spoken:
    """A line as it was said; what it is for is picked, named at its front, or picked later."""
    known = {one.line for one in rows if one.line}
    lots = {chosen.lot} if chosen is not None else {one.lot for one in rows}
    rate = await deed(fix.tax_rate, request, lots.pop()) if len(lots) == 1 else None
    if chosen is None and any(said.startswith(line) for line in known):
        return quote_line(said, on=today(request), lines=known, tax_rate=rate)
    line = chosen.line if chosen is not None and chosen.line else TO_BE_PICKED
    return quote_line(f"{line} {said}", on=today(request), lines={line}, tax_rate=rate)


def _read_back(spoken: Spoken) -> dict[str, str]:
    """What was understood, as the fields of the form."""
    names = ("vendor", "quoted_on", "amount", "currency", "days", "valid_until_on", "rate",
             "rate_on", "units", "tax")  # fmt: skip
    told = {name: plain(getattr(spoken, name)) for name in names}
    told["text"] = "; ".join(map(str, spoken.not_understood))
    return told


@again(show_quote)
async def post_quote(request: Request) -> Response:
    """Keep a quote: who, when, how much, how long."""
    form = await typed(request)
    quoted = _quoted(form, today(request).isoformat())
    await deed(fix.quote, request, quoted, request.app.state.kinds, today=today(request),
               **hand(request, form))  # fmt: skip
    where = f"lot={quoted.lot}&machine={quoted.machine or ''}&line={quoted.line}"
    return to(f"/fix/quote?{where}#offers")


def _quoted(form: Typed, today: str) -> Quoted:
    lot, _, rest = form.text("for").partition("|")
    machine, _, line = rest.partition("|")
    line = line or form.text("what")
    amount, units, tax = form.amount("amount"), form.whole("units"), form.text("tax")
    named: dict[str, Any] = {
        "days": form.real("days"),
        "rate": form.amount("rate"),
        "rate_on": form.day("rate_on"),
        "valid_until_on": form.day("valid_until_on"),
        "quoted_on": form.day("quoted_on") or today,
    }
    for name, value, what, remedy in (
        ("for", lot, say("is not picked"), say("Pick what it is for.")),
        ("what", line, say("is empty"), say("Say what it is for, in words.")),
        ("vendor", form.text("vendor"), say("is empty"), say("Say who asks for it.")),
        ("amount", amount, say("is empty"), say("Say how much.")),
    ):
        if value in ("", None) and name not in {one.where for one in form.problems}:
            form.problems.append(Problem(name, what, remedy))
    form.check()
    assert amount is not None
    return Quoted(
        lot=lot, machine=machine or None, line=line, vendor=form.text("vendor"), amount=amount,
        currency=form.text("currency").upper() or "EUR", units=units or 1,
        tax=cast(Any, tax if tax in TAXES else ""), by_telephone=True, text=form.text("text"),
        **named,
    )  # fmt: skip


async def post_take(request: Request) -> Response:
    """Take a quote: it is ordered, and the price of its line is the quoted one."""
    form = await typed(request)
    given = {"on": today(request), "kinds": request.app.state.kinds}
    given |= {"machine": form.text("machine") or None, "today": today(request)}
    record = await deed(fix.take, request, form.text("quote"), **given, **hand(request, form))
    return to(f"{WAITING}#out-{record.id}")
