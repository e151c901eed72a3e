"""The choices of one machine: how far, each fault's ways, another control, go on or stop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, cast, get_args

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Refusal, Unknown
from retrue.base.say import say
from retrue.cases.fix.choice_lines import FaultOptions, Options
from retrue.cases.reckon.method import methods, short
from retrue.phases import fix
from retrue.records.fixing import Chosen, ChosenSort
from retrue.records.fixing_rules import AIMS, WORKED_FOR
from retrue.web.door import again, deed, hand, sum_of, to, typed
from retrue.web.fix.cards import cards_of
from retrue.web.fix.where import asked, back_of, home_of, show
from retrue.web.forms import Typed
from retrue.web.pages import plain, word
from retrue.web.prove.where import Place, place_of

SORTS: tuple[str, ...] = get_args(ChosenSort)
LEVELS = ("just_running", "right", "like_new")
WORLDS = 2000  # of choices: a page answers while somebody waits for it


def sum_small(request: Request) -> dict[str, Any]:
    """Seed and size of every choice this server tells."""
    told = sum_of(request)
    return {"seed": told["seed"], "worlds": min(told["worlds"], WORLDS)}


@dataclass(frozen=True, slots=True)
class Asked:
    """How far, with how much money, until when: what the choices are told for."""

    level: str | None
    budget: float | None
    by_on: str | None
    problems: tuple[Problem, ...]

    @property
    def named(self) -> dict[str, Any]:
        """As the deed takes it."""
        by_on = date.fromisoformat(self.by_on) if self.by_on else None
        return {"level": self.level, "budget": self.budget, "by_on": by_on}


def asked_of(request: Request) -> Asked:
    """What the address asks for; a level nobody knows is none."""
    form = asked(request)
    level = form.text("level")
    budget, by_on = form.real("budget"), form.day("by_on")
    return Asked(level if level in LEVELS else None, budget, by_on, tuple(form.problems))


async def options_of(request: Request, place: Place, wanted: Asked) -> Options:
    """The choices of a machine."""
    state = request.app.state
    made: Options = await deed(
        fix.options, request, place.view.id, place.key, state.kinds,
        now=state.clock(), **wanted.named, **sum_small(request),
    )  # fmt: skip
    return made


async def show_options(request: Request, /, **more: Any) -> Response:
    """How far, what each fault takes and why that way, another control, whether to go on."""
    place, wanted = await place_of(request), asked_of(request)
    given = {"wrong": {one.where: one for one in wanted.problems}}
    made = await options_of(request, place, wanted)
    told = [one for one in made.levels if one.level == made.level]
    return show(
        request,
        "options.html",
        place=place,
        here=home_of(place),
        made=made,
        asked=wanted,
        typed_budget=request.query_params.get("budget", plain(made.budget)),
        told=told[0] if told else None,
        aims=[(aim, word(aim, "plan")) for aim in AIMS],
        worked_for=WORKED_FOR,
        levels=LEVELS,
        places=await _places(request, place),
        matches=[(short(one.id), one.title) for one in methods("fix")],
        **given | more,
    )


async def _places(request: Request, place: Place) -> list[tuple[str, str]]:
    """Places that are opened for something: where renewing as well may pay."""
    try:
        made = await cards_of(request, place.view.id, place.key)
    except Refusal:
        return []
    return [(visit.place, visit.place_name) for visit in made.visits if visit.place]


@again(show_options)
async def post_chosen(request: Request) -> Response:
    """Keep a choice: how far, which way, what to renew, which extra; the newest counts."""
    form, place = await typed(request), await place_of(request)
    chosen = chosen_from(form, place)
    await keep_chosen(request, place, chosen, form)
    here = home_of(place) + (f"#{chosen.what}" if chosen.sort == "way" else "")
    return to(back_of(form.text("back"), here))


def chosen_from(form: Typed, place: Place) -> Chosen:
    """One choice as it was pressed."""
    sort = form.text("sort")
    if sort not in SORTS:
        form.problems.append(Problem("sort", say("not chosen"), say("Press one of the keys.")))
    level, way = form.text("level"), form.text("way")
    form.check()
    worked = sort == "aim" and way in WORKED_FOR
    return Chosen(
        lot=place.view.id,
        machine=place.key,
        sort=cast(ChosenSort, sort),
        what=form.text("what"),
        way=way,
        level=cast(Any, (level if level in LEVELS else "right") if worked else ""),
        yes=form.text("yes") != "no",
        why=form.text("why"),
    )


async def keep_chosen(request: Request, place: Place, chosen: Chosen, form: Typed) -> None:
    """Keep one choice."""
    at = (place.view.id, place.key, request.app.state.kinds, chosen)
    await deed(fix.choose, request, *at, **hand(request, form))


async def show_fault(request: Request, /, **more: Any) -> Response:
    """One fault: every way to put it right, side by side; one tap chooses."""
    place, wanted = await place_of(request), asked_of(request)
    made = await options_of(request, place, wanted)
    one = _fault(made, request.path_params["fault"])
    card = next((c for c in (await cards_of(request, place.view.id, place.key)).cards
                 if one.fault in c.faults and c.sort != "send"), None)  # fmt: skip
    return show(request, "fault.html", place=place, here=home_of(place), made=made, one=one,
                card=card, this=f"{home_of(place)}/faults/{one.fault}", **more)  # fmt: skip


def _fault(made: Options, fault: str) -> FaultOptions:
    for one in made.faults:
        if one.fault == fault:
            return one
    raise Unknown(
        say("{fault} is neither found nor likely at this machine", fault=fault),
        remedy=say("Say under fault-finding what was seen; then its choices stand here."),
    )


@again(show_fault)
async def post_way(request: Request) -> Response:
    """Choose one way for this fault, or leave it to what is reckoned best."""
    form, place = await typed(request), await place_of(request)
    fault = request.path_params["fault"]
    chosen = Chosen(lot=place.view.id, machine=place.key, sort="way", what=fault,
                    way=form.text("way"), why=form.text("why"))  # fmt: skip
    await keep_chosen(request, place, chosen, form)
    return to(back_of(form.text("back"), f"{home_of(place)}/faults/{fault}"))
