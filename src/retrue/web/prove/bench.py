"""The bench page: what was measured at a machine, what comes next, its limits, its acceptance."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unknown
from retrue.base.say import say
from retrue.paper.acceptance_sheet import acceptance_sheet
from retrue.phases import prove
from retrue.phases.prove import BenchView, LimitLine, TestLine
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.prove.papers import pdf
from retrue.web.prove.where import place_of, show


@dataclass(frozen=True, slots=True)
class Told:
    """One test as the bench lists it: what it said last, in its own words."""

    line: TestLine
    headline: str
    ruling: str
    provisional: str
    limit_mark: str


def told(line: TestLine) -> Told:
    """What a kept result said, read back; nothing where nothing was measured."""
    if line.last is None:
        return Told(line, "", "", line.provisional, "")
    fact = line.last.fact
    answer = json.loads(fact.answer)
    mark = (answer.get("verdict") or {}).get("limit_mark", "")
    provisional = fact.provisional or line.provisional
    return Told(line, answer.get("headline", ""), fact.ruling, provisional, mark)


async def show_bench(request: Request, /, **more: Any) -> Response:
    """The daily five first, then the others, each with its last result; next, with one button."""
    place = await place_of(request)
    kinds = request.app.state.kinds
    view: BenchView = await deed(prove.bench, request, place.view.id, place.key, kinds)
    lines = [told(line) for line in view.lines]
    return show(
        request,
        "bench.html",
        place,
        view=view,
        next=told(view.next),
        daily=[one for one in lines if one.line.deed.daily],
        others=[one for one in lines if not one.line.deed.daily],
        instruments=await deed(prove.instruments, request),
        **more,
    )


async def show_limits(request: Request, /, **more: Any) -> Response:
    """What results of this machine are held against, where that comes from, room to change it."""
    place = await place_of(request)
    kind = request.app.state.kinds[place.machine.kind]
    lines: list[LimitLine] = await deed(prove.limits, request, kind)
    return show(request, "limits.html", place, lines=lines, **more)


@again(show_limits)
async def post_limit(request: Request) -> Response:
    """Keep a limit as the owner wants it, with where he read it."""
    form = await typed(request)
    place = await place_of(request)
    kind, id = request.app.state.kinds[place.machine.kind], form.text("limit")
    if id not in kind.limits:
        raise Unknown(say("There is no such limit"), remedy=say("Choose one of the table."))
    field = f"value-{id}"
    value = form.real(field)
    if value is None and not form.problems:
        form.problems.append(Problem(field, say("is empty"), say("Type the limit.")))
    form.check()
    assert value is not None
    named = {
        "standard": form.text(f"standard-{id}"),
        "edition": form.text(f"edition-{id}"),
        "confirmed": form.text(f"confirmed-{id}") == "yes",
        "reason": form.text(f"reason-{id}"),
    }
    await deed(prove.keep_limit, request, kind, id, value, **named, **hand(request))
    return to(f"{place.bench}/limits#limit-{id}")


async def acceptance_file(request: Request) -> Response:
    """Everything that was judged at this machine, as one PDF."""
    place, state = await place_of(request), request.app.state
    kept = await deed(prove.acceptance, request, place.view.id, place.key, state.kinds)

    def printed(_: object) -> bytes:
        return acceptance_sheet(kept, by=state.settings.by, at=state.clock())

    return pdf(await deed(printed, request), f"{place.machine.name}-acceptance.pdf")
