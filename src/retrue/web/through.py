"""One way through: a machine with its path and one next step, and a line for each of its pages."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.onward_path import PageLine, Tick
from retrue.cases.onward_words import SEEK, Step
from retrue.phases import find, fix, move, prove, through, worth
from retrue.phases.through import Asks, Onward
from retrue.web.door import deed, sum_of
from retrue.web.fix.where import sentence, today
from retrue.web.pages import PHASES, render

ASKS = Asks(cards=fix.first_cards, plan=move.ahead, bench=prove.ahead)
STATE_SHAPES = {"done": "good", "begun": "open", "ahead": "none", "shut": "bad"}


@dataclass(frozen=True, slots=True)
class Stretch:
    """One phase of a machine: its tick, and its pages, the first by name."""

    tick: Tick
    name: str
    pages: tuple[PageLine, ...]


async def onward(request: Request) -> tuple[Onward, ...]:
    """Every machine with its next step, the most pressing first."""
    kinds = request.app.state.kinds
    found: tuple[Onward, ...] = await deed(
        through.machines, request, kinds, ASKS, on=today(request), **sum_of(request)
    )
    return found


async def show_machine(request: Request, /, **more: Any) -> Response:
    """One machine: its photograph, where it stands, what is next, and every page of it."""
    lot, name = request.path_params["lot"], request.path_params["machine"]
    view = await deed(worth.view_lot, request, lot)
    kinds = request.app.state.kinds
    one = await deed(
        through.machine, request, kinds, ASKS, view.machine_id(name), on=today(request),
        lot=view.id, **sum_of(request),
    )  # fmt: skip
    step = await _with_check(request, one)
    return render(
        request, "machine.html", one=one.along, step=step, stretches=stretches(one),
        view=view, state_shapes=STATE_SHAPES, phase=-1, sentence=sentence, **more,
    )  # fmt: skip


async def _with_check(request: Request, one: Onward) -> Step | None:
    """The step; where it is a trouble's, with the check that is remembered as the best."""
    step = one.step
    if step is None or step.phase != SEEK or step.sort != "check":
        return step
    along = one.along
    known = await deed(find.remembered, request, along.lot, along.machine,
                       request.app.state.kinds, trouble=along.seek.trouble)  # fmt: skip
    if known is None or not known.steps:
        return step
    best = known.steps[0]
    return replace(step, act=best.text, why=best.why, minutes=best.minutes, money=best.money,
                   currency=known.currency)  # fmt: skip


def stretches(one: Onward) -> tuple[Stretch, ...]:
    """The eight phases of a machine with their pages."""
    pages = one.pages
    return tuple(
        Stretch(tick, PHASES[tick.phase], tuple(p for p in pages if p.phase == tick.phase))
        for tick in one.ticks
    )
