"""Where a page of first power stands, and by which shape and word it tells a state."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.formatter import number, short
from retrue.base.say import say
from retrue.phases import wake
from retrue.phases.wake import StageStands
from retrue.web.door import deed, fresh
from retrue.web.pages import render
from retrue.web.prove.where import Place
from retrue.web.security import LAPTOP
from retrue.web.wake.follower import running

WAKE = 5  # its place on the path
STATES = {  # of a stage: shape and word
    "signed": ("good", "signed"),
    "begun": ("open", "begun"),
    "open": ("open", "may begin"),
    "closed": ("none", "closed"),
    "aborted": ("bad", "called off"),
    "strip": ("bad", "strip first"),
}
CALLS = {"go": "good", "step": "good", "hold": "open", "stop": "bad", "no_reading": "bad"}
RULINGS = {"in": ("good", "in"), "out": ("open", "out of the band"), "abort": ("bad", "stop")}


def home_of(place: Place) -> str:
    """Where the pages of first power of this machine begin."""
    return f"{place.path}/wake"


def stage_of(place: Place, stage: str) -> str:
    """The page of one stage."""
    return f"{home_of(place)}/stages/{stage}"


def shape_of(call: str) -> str:
    """The shape of a watch's call; an ended one has a dotted square."""
    return CALLS.get(call, "none")


def step_words(stands: StageStands) -> str:
    """The step of a run-in that comes next or goes on: how fast, how long."""
    one = stands.step
    if one is None:
        return ""
    words = say("Step {number}: {percent} %, {minutes} minutes at least", number=one.step,
                percent=short(one.percent), minutes=short(one.minutes))  # fmt: skip
    if stands.step_rpm is None:
        return words
    return say("{words}, {speed} a minute", words=words, speed=number(stands.step_rpm))


async def watches_of(request: Request, place: Place) -> dict[str, Any]:
    """All watches of a machine, the newest first, and the ids of those that run."""
    kept = await deed(wake.watches, request, place.view.id, place.key)
    going = await deed(running, request)
    return {"watches": kept, "going": {one.id for one in going}}


def show(request: Request, template: str, place: Place, /, **values: Any) -> Response:
    """A page of first power."""
    given: dict[str, Any] = {
        "phase": WAKE,
        "place": place,
        "here": home_of(place),
        "fresh": fresh,
        "states": STATES,
        "rulings": RULINGS,
        "step_words": step_words,
        "laptop": request.state.device == LAPTOP,
        "cautions": place.kind.cautions,
    }
    return render(request, f"wake/{template}", **given | values)
