"""The page of one trouble, or of one level: the answer, the next step, what was tried."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.figures.axes import Room
from retrue.figures.find.picture import costs, costs_rows
from retrue.figures.ink import PAGE, PAPER
from retrue.kinds.library import LEVELS
from retrue.paper.find_sheet import FindSheet, TriedRow, find_sheet
from retrue.phases import find, note
from retrue.phases.find import Advice, TriedLine
from retrue.records.hand import numbered
from retrue.store.proof import prove_picture
from retrue.web.door import FILE, deed, fresh, hand, sum_of
from retrue.web.find.choices import ways_of
from retrue.web.forms import Typed
from retrue.web.pages import render
from retrue.web.prove.papers import pdf
from retrue.web.prove.where import Place, place_of
from retrue.web.uploads import content

FIND = 3  # its place on the path
ROOMS: tuple[Room, ...] = ("phone", "wide")
LOOKS = ("observe", "measure", "swap")
OTHER = "other"  # something was done that stands in no step


@dataclass(frozen=True, slots=True)
class Aim:
    """What is searched for: one trouble (its id), or one level."""

    place: Place
    key: str

    @property
    def trouble(self) -> str | None:
        """The trouble's id; None for a level."""
        return None if self.key in LEVELS else self.key

    @property
    def path(self) -> str:
        """Where its page is."""
        return f"{self.place.path}/find/{self.key}"


async def aim_of(request: Request) -> Aim:
    """What the address names."""
    return Aim(await place_of(request), request.path_params["aim"])


async def advice_of(request: Request, aim: Aim) -> Advice:
    """What comes next."""
    goal = "clear" if aim.trouble else aim.key
    kinds, place = request.app.state.kinds, aim.place
    named: dict[str, Any] = {"goal": goal, "trouble": aim.trouble}
    seed = {"seed": sum_of(request)["seed"]}
    return await deed(find.advise, request, place.view.id, place.key, kinds, **named, **seed)


async def picture_of(request: Request, form: Typed) -> str | None:
    """The SHA-256 of a photograph that came along."""
    sent = form.files("picture")
    if not sent:
        return None
    name = sent[0].filename or ""
    kept = await deed(
        note.keep_file,
        request,
        content(sent[0]),
        name,
        prove_picture,
        whole=True,
        **numbered(hand(request, form), FILE),
    )
    sha256: str = kept.fact.sha256
    return sha256


async def tried_of(request: Request, aim: Aim) -> tuple[TriedLine, ...]:
    """What was tried at this machine, newest first."""
    kinds, place = request.app.state.kinds, aim.place
    lines: tuple[TriedLine, ...] = await deed(find.tried, request, place.view.id, place.key, kinds)
    return tuple(reversed(lines))


def show(request: Request, template: str, place: Place, /, **values: Any) -> Response:
    """A page of fault-finding."""
    given: dict[str, Any] = {"phase": FIND, "place": place} | values
    return render(request, f"find/{template}", **given)


async def show_aim(request: Request, /, **more: Any) -> Response:
    """One act and why it is worth it, with its answer keys; then the others, and what was tried."""
    aim = await aim_of(request)
    advice = await advice_of(request, aim)
    kinds, place = request.app.state.kinds, aim.place
    step = request.query_params.get("step", "")
    other = step == OTHER or more.get("typed", {}).get("other") == "yes"
    return show(
        request,
        "aim.html",
        place,
        aim=aim,
        advice=advice,
        chosen=_chosen(advice, step),
        other=other,
        ways=ways_of(place.kind, [one.fault for one in advice.suspects]) if other else (),
        neighbours=[one for one in place.view.machines if one[0] != place.key],
        checks=place.kind.checks,
        measures=place.kind.measures,
        looks=LOOKS,
        tried=await tried_of(request, aim),
        vain=await deed(find.not_needed, request, place.view.id, place.key, kinds),
        drawn={room: costs(advice, theme=PAGE, room=room) for room in ROOMS},
        rows=costs_rows(advice),
        groups=place.kind.groups,
        may_try=not advice.switch_off,
        called=await _who_is_called(request, aim, advice),
        parts_to_swap=place.kind.swappable,
        id=fresh(),
        **more,
    )


async def _who_is_called(request: Request, aim: Aim, advice: Advice) -> bool:
    """Whether who is called for this trouble is the one who may try a machine that stays off."""
    if aim.trouble is None or not advice.switch_off:
        return False
    place, kinds = aim.place, request.app.state.kinds
    told = await deed(find.troubles, request, place.view.id, place.key, kinds)
    mine = [one.symptom for one in told if one.id == aim.trouble]
    return any(symptom is not None and symptom.switch_off_first for symptom in mine)


def _chosen(advice: Advice, step: str) -> Any:
    """The step that the page asks for: the first one, or another that was picked."""
    picked = [one for one in advice.steps if one.id == step]
    steps = picked or list(advice.steps)
    return steps[0] if steps else None


async def sheet_file(request: Request) -> Response:
    """Where it stands, on paper."""
    aim, state = await aim_of(request), request.app.state
    advice = await advice_of(request, aim)
    rows = tuple(_row(line) for line in reversed(await tried_of(request, aim)))

    def printed(_: object) -> bytes:
        sheet = FindSheet(advice=advice, lot=aim.place.view.name, tried=rows, by=state.settings.by)
        picture = costs(advice, theme=PAPER, room="paper") or None
        return find_sheet(sheet, picture=picture, at=state.clock())

    return pdf(await deed(printed, request), f"{aim.place.machine.name}-fault-finding.pdf")


def _row(line: TriedLine) -> TriedRow:
    paid = "" if line.money is None else f"{line.money}"
    when = f"{line.when:%Y-%m-%d}"
    return TriedRow(when, line.what, line.expected, line.seen, line.decided, paid)
