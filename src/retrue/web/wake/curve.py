"""Pictures of a watch and of a run-in, once for the telephone and once for the laptop."""

from __future__ import annotations

from functools import lru_cache

from retrue.base.say import reader
from retrue.cases.wake.bands import run_in_of
from retrue.cases.wake.drawing import RunInDrawing, WarmUpDrawing
from retrue.cases.wake.ladder_drawing import run_in_drawing
from retrue.cases.wake.watch_drawing import drawing_of
from retrue.cases.wake.watch_kept import calls_of, watch_kept
from retrue.figures.axes import Room
from retrue.figures.drawing import picture
from retrue.figures.ink import PAGE, PAPER
from retrue.kinds.library import Kind
from retrue.phases.wake import StageStands, WatchStands
from retrue.records.shop import RecordShop
from retrue.web.prove.result import ONE_AT_A_TIME, own_names

ROOMS: tuple[Room, ...] = ("phone", "wide")


def drawn(shop: RecordShop, stands: WatchStands) -> dict[str, str]:
    """The picture by room; nothing before a temperature was read."""
    kept = watch_kept(shop, stands.watch.id)
    shown = drawing_of(stands.watched, stands.plan, kept.begun, calls_of(kept))
    return {} if shown is None else {room: _one(shown, room, reader()) for room in ROOMS}


def stair(_: object, kind: Kind, stands: StageStands) -> dict[str, str]:
    """The steps of a stage's run-in by room; nothing where it has none."""
    shown = _stair(kind, stands)
    return {} if shown is None else {room: _one(shown, room, reader()) for room in ROOMS}


def stair_on_paper(kind: Kind, stands: StageStands) -> str | None:
    """The same in the colours of paper; None where it has none."""
    shown = _stair(kind, stands)
    if shown is None:
        return None
    with ONE_AT_A_TIME:
        return picture(shown, theme=PAPER, room="paper")


def _stair(kind: Kind, stands: StageStands) -> RunInDrawing | None:
    steps, now = run_in_of(kind, stands.stage), stands.step
    highest = None
    if now is not None and stands.step_rpm is not None:
        highest = 100 * stands.step_rpm / now.percent
    return run_in_drawing(steps, stands, highest) if steps else None


@lru_cache(maxsize=64)  # what is drawn is a plain value: drawn once in each language
def _one(shown: WarmUpDrawing | RunInDrawing, room: Room, _language: str) -> str:
    with ONE_AT_A_TIME:
        return own_names(picture(shown, theme=PAGE, room=room), room)
