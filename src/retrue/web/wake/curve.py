"""The picture of a watch, once for the telephone and once for the laptop."""

from __future__ import annotations

from retrue.cases.wake.drawing import WarmUpDrawing
from retrue.cases.wake.watch_drawing import drawing_of
from retrue.cases.wake.watch_kept import calls_of, watch_kept
from retrue.figures.axes import Room
from retrue.figures.ink import PAGE
from retrue.figures.wake.picture import picture
from retrue.phases.wake import WatchStands
from retrue.records.shop import RecordShop
from retrue.web.prove.result import ONE_AT_A_TIME, own_names

ROOMS: tuple[Room, ...] = ("phone", "wide")


def drawn(shop: RecordShop, stands: WatchStands) -> dict[str, str]:
    """The picture by room; nothing before a temperature was read."""
    kept = watch_kept(shop, stands.watch.id)
    shown = drawing_of(stands.watched, stands.plan, kept.begun, calls_of(kept))
    return {} if shown is None else {room: _one(shown, room) for room in ROOMS}


def _one(shown: WarmUpDrawing, room: Room) -> str:
    with ONE_AT_A_TIME:
        return own_names(picture(shown, theme=PAGE, room=room), room)
