"""Own hours: one tap an evening, hours typed, start and stop, the week."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unknown
from retrue.base.say import say
from retrue.cases.settle.evening import Evening
from retrue.cases.settle.evening_clock import moment_of
from retrue.cases.settle.evening_drawing import evening_drawing
from retrue.cases.settle.evening_shown import guessed_from, hours_text, question
from retrue.cases.settle.hour_answers import HOWS, How
from retrue.cases.settle.hour_doubts import from_times
from retrue.cases.settle.hours import week_of
from retrue.cases.settle.hours_view import week_rows
from retrue.figures.settle.evenings import rows as drawn_rows
from retrue.phases import settle
from retrue.phases.settle.hours import this_wall
from retrue.records.settling import HoursTold
from retrue.records.shop import Record, RecordShop
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.drawn import each_drawn
from retrue.web.fix.waiting import every_machine
from retrue.web.forms import Typed
from retrue.web.settle.where import show, today
from retrue.web.strip.where import kept as answer_kept

HOURS = "/settle/hours"
BACK = (HOURS, "/")


def hour_words(request: Request) -> dict[str, Any]:
    """What the pieces of own hours need, on whichever page they stand."""
    on, me = today(request), request.app.state.settings.by
    return {
        "asks": lambda one: question(one, on, me=me),
        "guessed_from": guessed_from,
        "hours_text": hours_text,
        "fresh": fresh,
    }


async def open_question(request: Request) -> Evening | None:
    """The newest evening that is still to be asked about, for the front page."""
    found: Evening | None = await deed(
        settle.newest_question, request, now=request.app.state.clock()
    )
    return found


async def told_by(request: Request) -> list[Record[HoursTold]]:
    """What was kept by the answer that the address names."""
    told: list[Record[HoursTold]] = await deed(_told, request, request.query_params.get("kept", ""))
    return told


async def show_hours(request: Request, /, **more: Any) -> Response:
    """Own hours: open questions first, clocks that run, then the week and what it comes to."""
    asked = request.query_params.get("on", "")
    on = _day(asked) or today(request)
    now, kinds = request.app.state.clock(), request.app.state.kinds
    view = await deed(settle.hours, request, kinds, on=on, now=now)
    drawing = evening_drawing(view)
    (drawn,) = await each_drawn(request, [drawing])
    monday = date.fromisoformat(week_of(view.on))
    return show(
        request, "hours.html", view=view, drawn=drawn, week=week_rows(view), monday=monday,
        table=drawn_rows(drawing) if drawing else (), every=await deed(every_machine, request),
        before=(monday - timedelta(days=1)).isoformat(),
        after=(monday + timedelta(days=7)).isoformat() if on < today(request) else "",
        told=await told_by(request),
        **hour_words(request) | more,
    )  # fmt: skip


@again(show_hours)
async def post_hours(request: Request) -> Response:
    """Keep the answer to an evening by one tap, or hours that were typed."""
    form = await typed(request)
    key = form.text("key")
    told = await (_answered(request, form, key) if key else _typed(request, form))
    back = form.text("back") if form.text("back") in BACK else HOURS
    return answer_kept(request, f"{back}?kept={told[0].id}", told[0].id)


@again(show_hours)
async def post_clock(request: Request) -> Response:
    """Start or stop the clock."""
    form = await typed(request)
    moment = form.moment("observed_at")
    pressed = datetime.fromisoformat(moment) if moment else None
    now = request.app.state.clock()
    named: dict[str, Any] = {"now": now, "text": form.text("text"), **hand(request, form)}
    if form.text("how") == "start":
        lot, _, machine = form.text("of").partition("|")
        if not machine and not named["text"]:
            form.problems.append(
                Problem("of", say("is not picked"), say("Pick the machine you work at."))
            )
        form.check()
        record = await deed(settle.start, request, request.app.state.kinds, lot=lot or None,
                            machine=machine or None, at=pressed, **named)  # fmt: skip
    else:
        at, hours = _stop_at(form), form.real("hours", signed=True)
        form.check()
        if at is None and hours is None and pressed is not None:
            named["now"] = pressed
        record = await deed(settle.stop, request, at=at, hours=hours,
                            of=form.text("start") or None, **named)  # fmt: skip
    return answer_kept(request, f"{HOURS}#clock", record.id)


@again(show_hours)
async def post_hours_back(request: Request) -> Response:
    """Take an answer, typed hours, a start or a stop back; an evening is then asked again."""
    form = await typed(request)
    await deed(settle.take_back_hours, request, form.text("record"), **hand(request, form))
    return to(form.text("back") if form.text("back") in BACK else HOURS)


async def _answered(request: Request, form: Typed, key: str) -> list[Record[HoursTold]]:
    how, hours, until = form.text("how"), form.real("hours", signed=True), form.text("until")
    if how == "figure":
        how = "yes"
        if hours is None and not form.problems:
            form.problems.append(Problem("hours", say("is empty"), say("Type the hours.")))
    else:
        hours = None
    if how not in HOWS:
        form.problems.append(Problem("how", say("not chosen"), say("Press one of the keys.")))
    ends = None
    if until:
        try:
            ends = datetime.fromisoformat(until)
        except ValueError:
            what = Problem("until", say("not a moment"), say("Open the page again."))
            form.problems.append(what)
    form.check()
    told: list[Record[HoursTold]] = await deed(
        settle.answer, request, key, cast(How, how), now=request.app.state.clock(),
        until=ends if ends is not None and ends.tzinfo else None, hours=hours,
        **hand(request, form),
    )  # fmt: skip
    return told


async def _typed(request: Request, form: Typed) -> list[Record[HoursTold]]:
    hours = form.real("hours", signed=True)
    begin, end = form.text("begin"), form.text("end")
    lot, _, machine = form.text("of").partition("|")
    day = form.day("worked_on") or today(request).isoformat()
    if hours is None and not (begin and end) and not form.problems:
        remedy = say("Type the hours, or from when to when.")
        form.problems.append(Problem("hours", say("is empty"), remedy))
    form.check()
    fact = HoursTold(
        lot=lot or None, machine=machine or None, worked_on=day, begin=begin, end=end,
        hours=hours if hours is not None else from_times(begin, end) or 0.0,
        worker=form.text("worker"), text=form.text("text"),
    )  # fmt: skip
    try:
        record: Record[HoursTold] = await deed(
            settle.tell_hours, request, fact, request.app.state.kinds,
            now=request.app.state.clock(), **hand(request, form),
        )  # fmt: skip
    except Unknown as why:  # no such lot or machine
        beside = (Problem("of", say("is none of the shop's")),)
        raise Unknown(why.reason, remedy=why.remedy, problems=beside) from why
    return [record]


def _stop_at(form: Typed) -> datetime | None:
    """When it was stopped: a whole moment, or a day and a time."""
    whole, day, clock = form.text("stop_at"), form.day("day"), form.text("at")
    if not whole and not clock:
        return None
    try:
        if whole:
            return datetime.fromisoformat(whole).astimezone()
        return moment_of(date.fromisoformat(day or ""), clock, this_wall)
    except ValueError:
        form.problems.append(
            Problem("at", say("not a time"), say("Type the day, and the time as 22:10."))
        )
        return None


def _told(shop: RecordShop, id: str) -> list[Record[HoursTold]]:
    """What was kept by the answer that this record is of."""
    every = shop.current(HoursTold) if id else []
    mine = [one for one in every if one.id == id]
    key = mine[0].fact.evening if mine else ""
    return [one for one in every if one.fact.evening == key] if key else mine


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
