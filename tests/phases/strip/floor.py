"""What the tests of taking apart do over and over: shoot, say, undo."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from retrue.base.refusals import Unreadable
from retrue.phases import strip

AT = ("school", "mill")
NIGHT = datetime(2026, 11, 25, 22, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Proved:
    media_type: str
    taken: str | None = None


def prove(content: bytes, name: str) -> Proved:
    if content.startswith(b"bad"):
        raise Unreadable("not a photograph", remedy="Take it again.")
    return Proved("text/plain" if name.endswith(".txt") else "image/jpeg")


def shoot(shop, kinds, place: str, content: str, **more):
    return strip.keep_shot(
        shop, *AT, place, content.encode(), f"{content}.jpg", prove, kinds, by="me", **more
    )


def as_found(shop, kinds, place: str) -> None:
    """Everything a place needs: a photograph of each shot and wipe, a word on the rest."""
    for line in strip.place_stands(shop, *AT, place, kinds).entries:
        if line.entry.what in ("shot", "wipe"):
            shoot(shop, kinds, place, line.entry.id, entry=line.entry.id)
        else:
            said = {"state": "not_possible", "why": "no instrument"}
            strip.say_entry(shop, *AT, line.entry.id, kinds, by="me", **said)


def off(shop, kinds, place: str = "outside", sort: str = "bag", what: str = "screws", **more):
    return strip.take_off(shop, *AT, place, sort, kinds, what=what, by="me", **more)
