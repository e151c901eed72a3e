"""What is done on the page of a trouble: a look, an act, a try, a swap, a signature, a guess."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.find.rehearsal import SORTS as SORTS_BY_WAY
from retrue.phases import find
from retrue.records.facts import Finding
from retrue.records.hand import numbered
from retrue.records.seeking import Act, ActSort, PartMoved, Trial
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.find.aim import Aim, aim_of, picture_of, show, show_aim
from retrue.web.find.start import unpicked
from retrue.web.forms import Typed
from retrue.web.worth.looks import finding_from, the_check

SORTS = ("clean", "adjust", "repair", "replace", "send_out", "call_for_help")


@again(show_aim)
async def post_look(request: Request) -> Response:
    """Keep what was seen or read."""
    form, aim = await typed(request), await aim_of(request)
    place = aim.place
    check = the_check(place.kind, form.text("check")).id
    finding = finding_from(form, place.view, place.key, check)
    if not finding.answer and finding.reading is None:
        raise unpicked("answer")
    await deed(find.saw, request, finding, request.app.state.kinds, **hand(request, form))
    return to(aim.path)


@again(show_aim)
async def post_did(request: Request) -> Response:
    """Keep what was done, with what it cost; and whether it still does it, if that was tried."""
    form, aim = await typed(request), await aim_of(request)
    if form.text("other") == "yes" and not form.text("what"):
        raise unpicked("what")
    act = _act(form, aim, await picture_of(request, form))
    form.check()
    place, kinds = aim.place, request.app.state.kinds
    writer = hand(request, form)
    await deed(find.did, request, place.view.id, place.key, act, kinds, **writer)
    if form.text("outcome") in ("gone", "still"):
        await _tried(request, aim, form, beside=1)
    return to(aim.path)


@again(show_aim)
async def post_again(request: Request) -> Response:
    """Tried again: it is gone, or it still does it; a group is right, or not."""
    form, aim = await typed(request), await aim_of(request)
    if form.text("outcome") not in ("gone", "still"):
        raise unpicked("outcome")
    await _tried(request, aim, form)
    return to(aim.path)


@again(show_aim)
async def post_sign(request: Request) -> Response:
    """Sign a stop point by name."""
    form, aim = await typed(request), await aim_of(request)
    place, kinds = aim.place, request.app.state.kinds
    given = (form.text("stage"), form.text("name"), form.text("text"), kinds)
    await deed(find.sign, request, place.view.id, place.key, *given, **hand(request, form))
    return to(aim.path)


@again(show_aim)
async def post_guess(request: Request) -> Response:
    """Keep a hunch: I think it is ..."""
    form, aim = await typed(request), await aim_of(request)
    if not form.text("fault") or aim.trouble is None:
        raise unpicked("fault")
    given = (form.text("fault"), form.text("informant") or None, "", request.app.state.kinds)
    await deed(find.guess_cause, request, aim.trouble, *given, **hand(request, form))
    return to(aim.path)


@again(show_aim)
async def post_opened(request: Request) -> Response:
    """It was opened: the fault was there, or it was not."""
    form, aim = await typed(request), await aim_of(request)
    place, kinds = aim.place, request.app.state.kinds
    present = form.yes_no("present")
    if not form.text("fault") or present is None:
        raise unpicked("fault")
    given = (form.text("fault"), present, kinds)
    await deed(find.teardown, request, place.view.id, place.key, *given, **hand(request, form))
    return to(aim.path)


@again(show_aim)
async def post_swap(request: Request) -> Response:
    """Two parts of one type change places; each serial number is written."""
    form, aim = await typed(request), await aim_of(request)
    place = aim.place
    move = PartMoved(
        lot=place.view.id,
        machine=place.key,
        slot=form.text("slot"),
        from_machine=form.text("from_machine") or place.key,
        from_slot=form.text("from_slot"),
        part=form.text("part"),
        serial=form.text("serial"),
        other_serial=form.text("other_serial"),
        same_type=form.text("same_type") == "yes",
        text=form.text("text"),
    )
    await deed(find.swap, request, move, request.app.state.kinds, **hand(request, form))
    return to(f"{aim.path}?step=swap:{move.part}")


async def show_answer(request: Request, /, **more: Any) -> Response:
    """One earlier answer, to be corrected or taken back."""
    aim = await aim_of(request)
    record = await deed(find.newest_of, request, request.path_params["record"])
    fact = record.fact
    look = fact.check if isinstance(fact, Finding) else None
    check = aim.place.kind.checks.get(look) if look else None
    return show(
        request,
        "answer.html",
        aim.place,
        aim=aim,
        record=record,
        check=check,
        tried=isinstance(fact, Trial),
        **more,
    )


@again(show_answer)
async def post_answer(request: Request) -> Response:
    """Correct an earlier answer where it stood; everything follows."""
    form, aim = await typed(request), await aim_of(request)
    record = await deed(find.newest_of, request, request.path_params["record"])
    right = _corrected(form, record.fact)
    await deed(find.correct, request, record.id, right, **hand(request, form))
    return to(aim.path)


@again(show_answer)
async def post_back(request: Request) -> Response:
    """Take an earlier answer back."""
    form, aim = await typed(request), await aim_of(request)
    id, reason = request.path_params["record"], form.text("reason")
    await deed(find.withdraw, request, id, reason, **hand(request, form))
    return to(aim.path)


def _corrected(form: Typed, fact: Any) -> Any:
    if isinstance(fact, Finding):
        reading = form.real("reading", signed=True)
        form.check()
        answer = form.text("answer")
        if reading is None and not answer:
            raise unpicked("answer")
        measure = fact.measure if reading is not None else None
        return replace(
            fact, answer="" if reading is not None else answer, reading=reading, measure=measure
        )
    if isinstance(fact, Trial) and form.text("outcome") in ("gone", "still"):
        return replace(fact, passes=form.text("outcome") == "gone")
    raise Unknown(
        say("this line cannot be corrected on this page"),
        remedy=say("Take it back and say it anew."),
    )


async def _tried(request: Request, aim: Aim, form: Typed, *, beside: int = 0) -> None:
    place, kinds = aim.place, request.app.state.kinds
    passes, writer = form.text("outcome") == "gone", numbered(hand(request, form), beside)
    if aim.trouble is not None:
        await deed(find.try_again, request, aim.trouble, passes, **writer)
        return
    given = (form.text("group"), aim.key, passes, kinds)
    await deed(find.prove_group, request, place.view.id, place.key, *given, **writer)


def _act(form: Typed, aim: Aim, picture: str | None) -> Act:
    fault, way, job = form.text("fault"), form.text("way"), form.text("job")
    sort = form.text("sort")
    if what := form.text("what"):  # something that stood in no step
        fault, _, way = what.partition(":")
        fault, job = (fault, job) if way else ("", fault)
        sort = SORTS_BY_WAY.get(way, way)
    return Act(
        lot=aim.place.view.id,
        machine=aim.place.key,
        trouble=aim.trouble,
        sort=cast(ActSort, sort if sort in SORTS else "repair"),
        fault=fault or None,
        way=way,
        job=job or None,
        expected=form.text("expected"),
        seen=form.text("seen"),
        decided=form.text("decided"),
        pictures=(picture,) if picture else (),
        money=form.amount("money"),
        hours=form.real("hours"),
        bought=form.text("bought"),
        needed=form.yes_no("needed"),
    )
