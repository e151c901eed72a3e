"""What is measured with: owned, to borrow, to hire."""

from __future__ import annotations

from typing import Any, Literal, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.prove.deed import deeds
from retrue.cases.prove.sensed import SENSES
from retrue.phases import prove
from retrue.records.measuring import Instrument
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.prove.where import show

UNITS = ("µm", "µm/m", "mm", "°C", *(one.unit for one in SENSES.values()))


def sorts() -> list[str]:
    """The sorts of instrument that any test can be made with."""
    read_with = {sort for test in deeds() for sort in test.instrument_sorts}
    return sorted(read_with | {one.meter for one in SENSES.values()})


async def show_instruments(request: Request, /, **more: Any) -> Response:
    """The list, and room for one more."""
    return show(
        request,
        "instruments.html",
        None,
        instruments=await deed(prove.instruments, request),
        sorts=sorts(),
        units=UNITS,
        id=fresh(),
        **more,
    )


def instrument_from(form: Typed) -> Instrument:
    """One instrument as it was typed."""
    if not form.text("name"):
        form.problems.append(Problem("name", say("it has no name"), say("Give it a name.")))
    if form.text("sort") not in sorts():
        form.problems.append(Problem("sort", say("nobody said what it is"), say("Choose one.")))
    return Instrument(
        name=form.text("name"),
        sort=form.text("sort"),
        way=cast(Literal["owned", "borrow", "hire"], form.text("way") or "owned"),
        hire_a_day=form.amount("hire_a_day"),
        unit=form.text("unit"),
        resolution=form.real("resolution"),
        uncertainty=form.real("uncertainty"),
        certificate=form.text("certificate"),
        certified_on=form.day("certified_on"),
        due_on=form.day("due_on"),
    )


@again(show_instruments)
async def post_instrument(request: Request) -> Response:
    """Keep one instrument; one of the same name takes the place of the old one."""
    form = await typed(request)
    fact = instrument_from(form)
    form.check()
    await deed(prove.keep_instrument, request, fact, **hand(request, form))
    return to("/instruments")
