"""Who works on which evenings, and away when; the hoist and other gear, and on which days."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any, TypeVar, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.fix.hands import Staff, evenings_told
from retrue.phases import fix, worth
from retrue.records.facts import Shop
from retrue.records.fixing import Gear, Worker
from retrue.records.fixing_rules import WEEK
from retrue.records.shop import Record
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.fix.where import show
from retrue.web.forms import Typed
from retrue.web.words import GEAR

R = TypeVar("R", Worker, Gear)
DAYS = {
    "mon": "Monday",
    "tue": "Tuesday",
    "wed": "Wednesday",
    "thu": "Thursday",
    "fri": "Friday",
    "sat": "Saturday",
    "sun": "Sunday",
}
DAY = r"(\d{4}-\d{2}-\d{2})"
CLOCK = r"(\d{1,2}[:.]\d{2})"
AWAY = re.compile(rf"{DAY}(?:\s*(?:to|until|-|–)\s*{DAY})?")
ALSO = re.compile(rf"{DAY}\s+(?:from\s+)?{CLOCK}\s*(?:to|until|-|–)\s*{CLOCK}")
MAY = ("anyone", "competent", "electrician")
NAMES = {words: code for code, words in GEAR.items()}  # a person writes "floor place"
HAVE = ("owned", "borrowed", "hired", "none")


def clock(text: str) -> str:
    """A time of day as it is kept: 9.30 and 9:30 are 09:30.

    Examples
    --------
    >>> clock("9.30"), clock("22:00"), clock("late")
    ('09:30', '22:00', 'late')
    """
    found = re.fullmatch(r"(\d{1,2})(?:[:.](\d{2}))?", text.strip())
    return f"{int(found[1]):02d}:{found[2] or '00'}" if found else text.strip()


def lines(
    form: Typed, name: str, pattern: re.Pattern[str], example: str
) -> Iterator[re.Match[str]]:
    """The lines of a field, each read by a pattern; one that is not is named with an example."""
    for line in form.text(name).splitlines():
        if not line.strip():
            continue
        found = pattern.fullmatch(line.strip())
        if found is None:
            what = say("the line {line} is not understood", line=repr(line.strip()))
            form.problems.append(Problem(name, what, say("Write it as {how}.", how=example)))
        else:
            yield found


def worker_from(form: Typed) -> Worker:
    """A pair of hands as it was typed: a day with neither time is no day."""
    evenings = []
    for day in WEEK:
        begins, ends = form.text(f"{day}-from"), form.text(f"{day}-to")
        if begins or ends:
            evenings.append((day, clock(begins), clock(ends)))
    away = lines(form, "away", AWAY, "2026-12-24 to 2026-12-31")
    also = lines(form, "also", ALSO, "2026-12-05 09:00 to 17:00")
    may = form.text("may")
    if not form.text("name"):
        form.problems.append(Problem("name", say("is empty"), say("Say whose hands they are.")))
    return Worker(
        name=form.text("name"),
        evenings=tuple(evenings),
        away=tuple((one[1], one[2] or one[1]) for one in away),
        also=tuple((one[1], clock(one[2]), clock(one[3])) for one in also),
        may=cast(Any, may if may in MAY else "competent"),
        helps_only=form.text("helps_only") == "yes",
        text=form.text("text"),
    )


def _named(kept: tuple[Record[R], ...], asked: str, name: Callable[[R], str]) -> R | None:
    """What an address asks for by name, else the first; nothing for a new one."""
    if asked == "new" or not kept:
        return None
    by_name = {name(record.fact): record.fact for record in kept}
    return by_name.get(asked, kept[0].fact)


async def assumed_of(request: Request) -> tuple[str, ...]:
    """What a plan assumes of hands and gear as long as nobody says, in sentences."""
    taken: Staff = await deed(fix.staffed, request)
    if not taken.helper:
        return taken.fine
    return (*taken.fine, say("Taken as {evenings}.", evenings=evenings_told(taken.hands[0])))


async def show_hands(request: Request, /, **more: Any) -> Response:
    """Who works, on which evenings, away when; one pair of hands at a time."""
    kept = await deed(fix.workers, request)
    one = _named(kept, request.query_params.get("who", ""), lambda fact: fact.name)
    return show(request, "hands.html", kept=kept, one=one, days=DAYS, id=fresh(),
                assumed=await assumed_of(request), **more)  # fmt: skip


@again(show_hands)
async def post_hands(request: Request) -> Response:
    """Keep one pair of hands; the newest of a name counts."""
    form = await typed(request)
    worker = worker_from(form)
    form.check()
    await deed(fix.set_worker, request, worker, **hand(request, form))
    return to("/fix/hands")


async def show_gear(request: Request, /, **more: Any) -> Response:
    """Lifting gear and floor: owned, borrowed or hired, how many, on which days."""
    kept = await deed(fix.gear, request)
    one = _named(kept, request.query_params.get("what", ""), lambda fact: fact.name)
    mine = await deed(worth.my_shop, request)
    currency = (mine.fact if mine else Shop()).currency
    return show(request, "gear.html", kept=kept, one=one, currency=currency, id=fresh(),
                assumed=await assumed_of(request), **more)  # fmt: skip


@again(show_gear)
async def post_gear(request: Request) -> Response:
    """Keep a piece of gear; the newest of a name counts."""
    form = await typed(request)
    days = tuple(found[1] for found in lines(form, "days", re.compile(DAY), "2026-12-05"))
    name = NAMES.get(form.text("name").lower(), form.text("name"))
    have = form.text("have")
    if not name:
        form.problems.append(Problem("name", say("is empty"), say("Say what it is.")))
    count, costs = form.whole("count"), form.amount("day_costs")
    form.check()
    gear = Gear(name=name, have=cast(Any, have if have in HAVE else "owned"),
                count=1 if count is None else count, days=days, day_costs=costs,
                whom=form.text("whom"), text=form.text("text"))  # fmt: skip
    await deed(fix.set_gear, request, gear, **hand(request, form))
    return to("/fix/gear")
