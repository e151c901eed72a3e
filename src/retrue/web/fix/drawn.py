"""A drawing for the phone and others for the laptop, made in a thread beside."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from starlette.requests import Request

from retrue.base.say import reader
from retrue.figures.axes import Room
from retrue.figures.drawing import picture
from retrue.figures.ink import PAGE
from retrue.web.door import deed

ROOMS: tuple[Room, ...] = ("phone", "wide")
EVERY: tuple[Room, ...] = (*ROOMS, "broad")  # of a drawing that may be as wide as the column
Drawn = dict[Room, str]


@lru_cache(maxsize=64)  # what is drawn is a plain value: drawn once in each language
def _picture(one: Any, room: Room, _language: str) -> str:
    return picture(one, theme=PAGE, room=room)


async def each_drawn(
    request: Request, drawings: Sequence[Any], rooms: Sequence[Room] = ROOMS
) -> list[Drawn]:
    """Every drawing in each room; nothing for None."""

    def made(_: object) -> list[Drawn]:
        return [
            {room: _picture(one, room, reader()) for room in rooms} if one is not None else {}
            for one in drawings
        ]

    every: list[Drawn] = await deed(made, request)
    return every
