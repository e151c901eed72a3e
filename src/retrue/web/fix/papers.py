"""Job cards and the week on paper, and the plan as a calendar file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.assume import HOURS_A_WEEK
from retrue.cases.fix.buying_lines import Buying
from retrue.cases.fix.calendar_entries import calendar_entries
from retrue.cases.fix.hands import staff
from retrue.cases.fix.lines import Waiting
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.visit_lines import VisitLines, card_lines_of, sheets_of
from retrue.cases.fix.week_lines import week_of
from retrue.paper.calendar_file import Entry, calendar_file
from retrue.paper.card_sheet import CardSheet, card_sheet
from retrue.paper.press import Paper
from retrue.paper.week_sheet import WeekSheet, week_sheet
from retrue.phases import fix, worth
from retrue.plan.jobs import Hands
from retrue.records.facts import Shop
from retrue.web.door import deed
from retrue.web.fix.cards import cards_of
from retrue.web.fix.plan import PLAN, kept_plan
from retrue.web.fix.where import asked, home_of, today
from retrue.web.pairing import on_the_network
from retrue.web.prove.papers import given, pdf
from retrue.web.prove.where import Place, place_of

CALENDAR = "text/calendar; charset=utf-8"


def _paper(request: Request) -> Paper:
    return "us-letter" if request.query_params.get("paper") == "letter" else "a4"


async def _cards_printed(
    request: Request, place: Place, lines: Iterable[VisitLines], name: str
) -> Response:
    state = request.app.state
    sheets = [
        CardSheet(
            lines=one,
            address=on_the_network(state.settings, f"{home_of(place)}/cards"),
            by=state.settings.by,
            version=state.settings.edition.removeprefix("retrue "),
        )
        for one in lines
    ]
    if not sheets:
        raise NotYet(
            say("there is no card to print at {machine}", machine=place.machine.name),
            remedy=say("Look at its choices: a machine that is sold as it stands has none."),
        )
    paper = _paper(request)
    made = await deed(lambda _: card_sheet(sheets, at=state.clock(), paper=paper), request)
    return pdf(made, f"{place.machine.name}-{name}.pdf")


async def cards_file(request: Request) -> Response:
    """Every visit of a machine on a sheet of its own, cautions first, a box for every line."""
    place = await place_of(request)
    cards = await cards_of(request, place.view.id, place.key)
    return await _cards_printed(request, place, sheets_of(cards, place.kind), "cards")


async def card_file(request: Request) -> Response:
    """One job card on paper."""
    place, key = await place_of(request), request.path_params["card"]
    cards = await cards_of(request, place.view.id, place.key)
    lines = card_lines_of(cards, key, place.kind)
    return await _cards_printed(request, place, [lines], f"card-{key.replace(':', '-')}")


async def _planned(request: Request) -> PlanView:
    view = await kept_plan(request)
    if view is None:
        raise NotYet(say("nothing is planned yet"), remedy=say("Plan it first."))
    return view


async def _around(request: Request) -> dict[str, Any]:
    """Who works when, what is out, what is to be bought: all that has a day beside the cards."""
    kinds, on = request.app.state.kinds, today(request)
    waiting: Waiting = await deed(fix.waiting, request, on=on, kinds=kinds)
    buying: Buying = await deed(fix.buying, request, kinds, on=on)
    return {"hands": await _hands(request), "owed": waiting.owed, "buying": buying.rows}


async def _hands(request: Request) -> tuple[Hands, ...]:
    kept, gear = await deed(fix.workers, request), await deed(fix.gear, request)
    mine = await deed(worth.my_shop, request)
    hours = (mine.fact if mine else Shop()).hours_a_week or HOURS_A_WEEK
    return staff([one.fact for one in kept], [one.fact for one in gear], hours).hands


async def week_file(request: Request) -> Response:
    """A week on paper: evenings, cards, who, whom to ring, what to order; ?day= names another."""
    state, form = request.app.state, asked(request)
    day = form.day("day")
    form.check()
    on = date.fromisoformat(day) if day else today(request)
    lines = week_of(await _planned(request), on, state.kinds, **await _around(request))
    mine = await deed(worth.my_shop, request)
    sheet = WeekSheet(
        lines=lines,
        shop=mine.fact.name if mine else "",
        address=on_the_network(state.settings, PLAN),
        by=state.settings.by,
        version=state.settings.edition.removeprefix("retrue "),
    )
    paper = _paper(request)
    made = await deed(lambda _: week_sheet(sheet, at=state.clock(), paper=paper), request)
    return pdf(made, f"week-{lines.week_on.isoformat()}.pdf")


async def calendar(request: Request) -> Response:
    """The plan as a calendar file: evenings, days to hire, to ring, to order, dates."""
    state = request.app.state
    entries = calendar_entries(await _planned(request), **await _around(request))
    edition = state.settings.edition.removeprefix("retrue ")
    made = calendar_file(
        [Entry(**asdict(one)) for one in entries],
        name=say("What to do"), at=state.clock(), version=edition,
    )  # fmt: skip
    return given(made, "plan.ics", CALENDAR)
