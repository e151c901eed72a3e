"""Job cards and the week on paper, and the plan as a calendar file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.fix.calendar_entries import CalendarEntry
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.visit_lines import VisitLines
from retrue.cases.fix.week_lines import WeekLines
from retrue.paper.calendar_file import Entry, calendar_file
from retrue.paper.card_sheet import CardSheet, card_sheet
from retrue.paper.press import Paper
from retrue.paper.week_sheet import WeekSheet, week_sheet
from retrue.phases import fix, worth
from retrue.web.door import deed, to
from retrue.web.fix.cards import cards_of
from retrue.web.fix.plan import PLAN, kept_plan
from retrue.web.fix.where import asked, home_of, today
from retrue.web.pairing import on_the_network
from retrue.web.prove.papers import given, pdf
from retrue.web.prove.where import Place, place_of

CALENDAR = "text/calendar; charset=utf-8"


def _paper(request: Request) -> Paper:
    return "us-letter" if request.query_params.get("paper") == "letter" else "a4"


def _edition(request: Request) -> str:
    edition: str = request.app.state.settings.edition
    return edition.removeprefix("retrue ")


def _page_of(place: Place, lines: VisitLines) -> str:
    """The page on which a sheet is typed in: one card, or the list at its place."""
    if lines.key in {one.key for one in lines.cards}:
        return f"{home_of(place)}/cards/{quote(lines.key, safe=':')}"
    return f"{home_of(place)}/cards#{quote(lines.key)}"


async def _cards_printed(
    request: Request, place: Place, lines: Iterable[VisitLines], name: str
) -> Response:
    state = request.app.state
    sheets = [
        CardSheet(
            lines=one,
            address=on_the_network(state.settings, _page_of(place, one)),
            by=state.settings.by,
            version=_edition(request),
        )
        for one in lines
    ]
    paper = _paper(request)
    made = await deed(lambda _: card_sheet(sheets, at=state.clock(), paper=paper), request)
    return pdf(made, f"{place.machine.name}-{name}.pdf")


async def cards_file(request: Request) -> Response:
    """Every visit of a machine on a sheet of its own; ?place= names one."""
    place, one = await place_of(request), request.query_params.get("place", "")
    cards = await cards_of(request, place.view.id, place.key)
    lines = fix.card_sheets(cards, request.app.state.kinds, place=one)
    return await _cards_printed(request, place, lines, one or "cards")


async def card_file(request: Request) -> Response:
    """One job card on paper."""
    place, key = await place_of(request), request.path_params["card"]
    cards = await cards_of(request, place.view.id, place.key)
    lines = fix.card_sheets(cards, request.app.state.kinds, card=key)
    return await _cards_printed(request, place, lines, f"card-{key.replace(':', '-')}")


async def find_card(request: Request) -> Response:
    """A typed code, or the one of a sheet, leads to its card, else to its place in the list."""
    code, kinds = request.query_params.get("code", ""), request.app.state.kinds
    lot, machine, key = await deed(fix.card_by_code, request, code, kinds)
    made = await cards_of(request, lot, machine)
    at = f"/lots/{lot}/machines/{machine}/fix/cards"
    if key in {one.key for one in made.cards}:
        return to(f"{at}/{quote(key, safe=':')}")
    return to(f"{at}#{quote(key)}")


async def _planned(request: Request) -> PlanView:
    view = await kept_plan(request)
    if view is None:
        raise NotYet(say("nothing is planned yet"), remedy=say("Plan it first."))
    return view


async def week_file(request: Request) -> Response:
    """A week on paper: evenings, cards, who, whom to ring, what to order; ?day= names another."""
    state, form, on = request.app.state, asked(request), today(request)
    day = form.day("day")
    form.check()
    of = date.fromisoformat(day) if day else on
    view = await _planned(request)
    lines: WeekLines = await deed(fix.week, request, view, state.kinds, on=on, day=of)
    mine = await deed(worth.my_shop, request)
    sheet = WeekSheet(
        lines=lines,
        shop=mine.fact.name if mine else "",
        address=on_the_network(state.settings, PLAN),
        by=state.settings.by,
        version=_edition(request),
    )
    paper = _paper(request)
    made = await deed(lambda _: week_sheet(sheet, at=state.clock(), paper=paper), request)
    return pdf(made, f"week-{lines.week_on.isoformat()}.pdf")


async def calendar(request: Request) -> Response:
    """The plan as a calendar file: evenings, days to hire, to ring, to order, dates."""
    state, view = request.app.state, await _planned(request)
    entries: tuple[CalendarEntry, ...] = await deed(
        fix.calendar, request, view, state.kinds, on=today(request)
    )
    made = calendar_file(
        [Entry(**asdict(one)) for one in entries],
        name=say("What to do"), at=state.clock(), version=_edition(request),
    )  # fmt: skip
    return given(made, "plan.ics", CALENDAR)
