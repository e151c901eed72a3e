"""Tonight, and who owes what: the two lists, and one tap for each card."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, Literal, cast, get_args
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Refusal
from retrue.base.say import say
from retrue.cases.fix.lines import Tonight, Waiting
from retrue.phases import fix, worth
from retrue.records.fixing import CardMarked
from retrue.records.shop import Record
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.fix.cards import KeptMark, kept_mark, show_card
from retrue.web.fix.plan import chart_of, kept_plan
from retrue.web.fix.where import asked, back_of, show, today
from retrue.web.pages import plain
from retrue.web.strip.where import kept as answer_kept

How = Literal["begun", "done", "stuck", "found", "not_now", "open_again"]
HOWS: tuple[str, ...] = get_args(How)
HOURS = 2.0  # of an evening, until somebody says
LEAST_HOURS, MOST_HOURS = 0.25, 24.0


@dataclass(frozen=True, slots=True)
class Evening:
    """What somebody has tonight: hours, company, the hoist; as it was asked for."""

    hours: float
    alone: bool
    hoist: bool
    typed: str
    problems: tuple[Problem, ...] = ()

    @property
    def query(self) -> str:
        """The same as an address asks for it; nothing where nothing was asked."""
        told = {"hours": self.typed, "helped": "" if self.alone else "yes",
                 "hoist": "yes" if self.hoist else ""}  # fmt: skip
        told = {name: value for name, value in told.items() if value}
        return "" if told == {"hours": plain(HOURS)} else "?" + urlencode(told)


def evening_of(request: Request) -> Evening:
    """The evening that the address asks for: two hours, alone, no hoist, unless it says."""
    said = asked(request)
    hours = said.real("hours")
    helped, hoist = said.yes_no("helped") is True, said.yes_no("hoist") is True
    shown = said.text("hours") or plain(HOURS)
    if hours is not None and not LEAST_HOURS <= hours <= MOST_HOURS:
        remedy = say("Type a quarter of an hour at least, 0.25, and 24 at most.")
        said.problems.append(Problem("hours", say("no length of an evening"), remedy))
        hours = None
    hours = HOURS if hours is None else hours
    return Evening(hours, not helped, hoist, shown, tuple(said.problems))


@dataclass(frozen=True, slots=True)
class Lists:
    """The two lists, or why one of them cannot be told."""

    evening: Evening
    tonight: Tonight | None
    waiting: Waiting | None
    refused: tuple[Refusal, ...]
    kept: KeptMark | None

    @property
    def working(self) -> bool:
        """Whether there is anything to do or to chase."""
        picks = self.tonight is not None and (self.tonight.picks or self.tonight.not_tonight)
        owed = self.waiting is not None and (self.waiting.owed or self.waiting.due)
        return bool(picks or owed)

    @property
    def said(self) -> bool:
        """Whether the page answers somebody: a tap, an evening asked for, a refusal."""
        return bool(self.kept or self.evening.query or self.refused or self.evening.problems)


async def lists_of(request: Request, lots: Collection[str] | None = None) -> Lists:
    """Tonight, and who owes what; a list that is refused leaves the other standing.

    ``lots`` are those whose cards are offered; None: all that were not lost or walked away from.
    """
    evening, on, kinds = evening_of(request), today(request), request.app.state.kinds
    tonight: Tonight | None = None
    waiting: Waiting | None = None
    refused: list[Refusal] = []
    try:
        tonight = await deed(fix.tonight, request, kinds, on=on, hours=evening.hours,
                             alone=evening.alone, hoist=evening.hoist, lots=lots)  # fmt: skip
    except Refusal as refusal:
        refused.append(refusal)
    try:
        waiting = await deed(fix.waiting, request, on=on, kinds=kinds)
    except Refusal as refusal:
        refused.append(refusal)
    return Lists(evening, tonight, waiting, tuple(refused), await kept_mark(request))


async def show_fix(request: Request, /, **more: Any) -> Response:
    """Tonight and who owes what, in full; under them when each machine will cut.

    Once something is in hand, what is only bid for stays out of the evening. Without a lot there is
    nothing to ask for: the page leads to the first.
    """
    if not await deed(worth.lots, request):
        return show(request, "tonight_empty.html", **more)
    mine = await deed(fix.in_hand, request)
    lists = await lists_of(request, mine or None)
    given: dict[str, Any] = {"wrong": {one.where: one for one in lists.evening.problems}}
    plan = await kept_plan(request)
    drawn = await chart_of(request, plan)
    given["only_mine"] = bool(mine and await deed(fix.bid_for, request))
    return show(request, "tonight.html", lists=lists, plan=plan, drawn=drawn, **given | more)


@again(show_card)
async def post_mark(request: Request) -> Response:
    """Keep that a card was begun, done, stuck, put off, or that something was found on the way."""
    form = await typed(request)
    how = form.text("how")
    if how not in HOWS:
        form.problems.append(Problem("how", say("not chosen"), say("Press one of the keys.")))
    named: dict[str, Any] = {
        "hours": form.real("hours"),
        "left_hours": form.real("left_hours"),
        "until_on": form.day("until_on"),
        "text": form.text("text"),
    }
    if how == "found" and not named["text"]:
        form.problems.append(Problem("text", say("is empty"), say("Say what was found.")))
    if how == "not_now" and named["until_on"] is None:
        named["until_on"] = (today(request) + timedelta(days=1)).isoformat()
    form.check()
    where = (form.text("lot"), form.text("machine"), form.text("card"), cast(How, how))
    record: Record[CardMarked] = await deed(
        fix.mark, request, *where, request.app.state.kinds,
        on=today(request), **named, **hand(request, form),
    )  # fmt: skip
    back = back_of(form.text("back"), "/fix")
    joined = "&" if "?" in back else "?"
    return answer_kept(request, f"{back}{joined}kept={record.id}", record.id)


async def post_back(request: Request) -> Response:
    """Take a mark back, with what was kept with it; it stays readable and counts no more."""
    form = await typed(request)
    await deed(fix.take_back_mark, request, form.text("record"), **hand(request, form))
    return to(back_of(form.text("back"), "/fix"))
