"""What is out: whom to ring, what came back and whether it is good, what goes out, quotes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast, get_args

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.fix.known_lines import line_words
from retrue.cases.fix.lines import Owed, Waiting
from retrue.cases.spot import first_id
from retrue.phases import fix, worth
from retrue.records.facts import Machine
from retrue.records.fixing import Out, OutEnded, OutSort, Rung
from retrue.records.shop import Record, RecordShop
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.where import back_of, show, today
from retrue.web.forms import Typed
from retrue.web.strip.where import kept as answer_kept

SORTS: tuple[str, ...] = get_args(OutSort)
ENDS = ("back", "wrong", "called_off")
WAITING = "/fix/waiting"


async def show_waiting(request: Request, /, **more: Any) -> Response:
    """Everything that is out, the most pressing first, with a key to ring and one to keep it."""
    kinds = request.app.state.kinds
    view: Waiting = await deed(fix.waiting, request, on=today(request), kinds=kinds)
    return show(request, "waiting.html", view=view, **more)


async def show_out(request: Request, /, **more: Any) -> Response:
    """One thing that is out: ring, back, judged; what was paid, how it went, what was said."""
    id, kinds = request.path_params["out"], request.app.state.kinds
    owed: Owed = await deed(fix.one_out, request, id, on=today(request), kinds=kinds)
    return show(request, "out.html", owed=owed, **more)


def _here(request: Request, form: Typed) -> str:
    return back_of(form.text("back"), f"{WAITING}/{request.path_params['out']}")


@again(show_out)
async def post_ring(request: Request) -> Response:
    """Keep what was said on the phone: a new promise, or that nobody answered."""
    form = await typed(request)
    rung_on = form.day("rung_on") or today(request).isoformat()
    promised_on, ring_on = form.day("promised_on"), form.day("ring_on")
    nobody = form.text("nobody") == "yes"
    form.check()
    id = request.path_params["out"]
    rung = Rung(lot="", out=id, rung_on=rung_on, promised_on=None if nobody else promised_on,
                ring_on=ring_on, nobody=nobody, text=form.text("text"))  # fmt: skip
    record = await deed(fix.ring, request, id, rung, today=today(request), **hand(request, form))
    return answer_kept(request, _here(request, form), record.id)


@again(show_out)
async def post_back(request: Request) -> Response:
    """Keep that it came back, that the wrong thing came, or that it was called off."""
    form, id = await typed(request), request.path_params["out"]
    how = form.text("how")
    if how not in ENDS:
        form.problems.append(Problem("how", say("not chosen"), say("Press one of the keys.")))
    ended_on = form.day("ended_on") or today(request).isoformat()
    paid = form.amount("paid")
    form.check()
    ended = OutEnded(lot="", out=id, ended_on=ended_on, how=cast(Any, how), paid=paid,
                     deposit_back=form.yes_no("deposit_back"), text=form.text("text"))  # fmt: skip
    await deed(fix.back, request, id, ended, request.app.state.kinds, today=today(request),
               **hand(request, form))  # fmt: skip
    return to(f"{WAITING}/{id}")


@again(show_out)
async def post_judge(request: Request) -> Response:
    """Keep whether what came back is good; what is bad opens its card again."""
    form, id = await typed(request), request.path_params["out"]
    judged = form.text("judged")
    if judged not in ("good", "bad"):
        form.problems.append(Problem("judged", say("not chosen"), say("Press good or bad.")))
    form.check()
    given = (id, judged == "good", form.text("text"))
    await deed(fix.judge, request, *given, **hand(request, form))
    return to(back_of(form.text("back"), WAITING))


@again(show_out)
async def post_correct(request: Request) -> Response:
    """Say anew at whom it is, how it is reached, how it goes and comes back."""
    form, id = await typed(request), request.path_params["out"]
    kinds = request.app.state.kinds
    owed: Owed = await deed(fix.one_out, request, id, on=today(request), kinds=kinds)
    amount, deposit = form.amount("amount"), form.amount("deposit")
    form.check()
    said: dict[str, Any] = {"amount": amount, "deposit": deposit}
    said |= {name: form.text(name) for name in ("reach", "parcel", "serial", "text")}
    said |= {name: form.text(name) or getattr(owed.out, name) for name in ("what", "whom")}
    right = replace(owed.out, **said)
    await deed(fix.correct_out, request, owed.first.id, right, **hand(request, form))
    return to(f"{WAITING}/{id}")


async def post_withdraw(request: Request) -> Response:
    """Take back what was kept of it: a call, its end, or that it went out at all."""
    form, id = await typed(request), request.path_params["out"]
    record = form.text("record")
    await deed(fix.withdraw_out, request, record, form.text("reason"), **hand(request, form))
    return to(WAITING if record == id else f"{WAITING}/{id}")


def every_machine(shop: RecordShop) -> list[tuple[str, str]]:
    """Machines of all lots: lot and machine as one value of a field, and their names."""
    machines: dict[str, list[Record[Machine]]] = {}
    for one in shop.current(Machine):
        machines.setdefault(one.fact.lot, []).append(one)
    found = []
    for lot in worth.lots(shop):
        id, name = first_id(shop, lot), lot.fact.name
        found.append((id, name))
        found += [
            (f"{id}|{first_id(shop, one)}", f"{name}: {one.fact.name}")
            for one in machines.get(id, ())
        ]
    return found


def belongs(request: Request, form: Typed | None = None) -> tuple[str, str | None]:
    """Lot and machine that a form or an address names; a lot alone has no machine."""
    asked = request.query_params
    if form is None:
        return asked.get("lot", ""), asked.get("machine") or None
    lot, _, machine = form.text("of").partition("|")
    if not lot:
        form.problems.append(
            Problem("of", say("is not picked"), say("Pick the machine or the lot it is for."))
        )
    return lot, machine or None


async def show_send(request: Request, /, **more: Any) -> Response:
    """Something goes out, is ordered, asked for, borrowed or hired: the form."""
    lot, machine = belongs(request)
    line = request.query_params.get("line", "")
    return show(
        request,
        "send.html",
        every=await deed(every_machine, request),
        of=f"{lot}|{machine}" if machine else lot,
        line=line,
        words=line_words(line, request.app.state.kinds.values()) if line else "",
        sorts=SORTS,
        id=fresh(),
        **more,
    )


@again(show_send)
async def post_send(request: Request) -> Response:
    """Keep what goes out, at whom, promised when."""
    form = await typed(request)
    lot, machine = belongs(request, form)
    sort = form.text("sort")
    if sort not in SORTS:
        form.problems.append(Problem("sort", say("not chosen"), say("Press what it is.")))
    for name, words in (("what", say("Say what it is.")), ("whom", say("Say who has it."))):
        if not form.text(name):
            form.problems.append(Problem(name, say("is empty"), words))
    fields = _sent(form, today(request).isoformat())
    form.check()
    out = Out(lot=lot, machine=machine, sort=cast(OutSort, sort), **fields)
    record = await deed(fix.send, request, out, request.app.state.kinds, today=today(request),
                        **hand(request, form))  # fmt: skip
    return to(f"{WAITING}#out-{record.id}")


def _sent(form: Typed, today: str) -> dict[str, Any]:
    texts = ("line", "what", "whom", "reach", "parcel", "serial", "text")
    return {name: form.text(name) for name in texts} | {
        "since_on": form.day("since_on") or today,
        "promised_on": form.day("promised_on"),
        "ring_on": form.day("ring_on"),
        "amount": form.amount("amount"),
        "currency": form.text("currency") or "EUR",
        "deposit": form.amount("deposit"),
    }
