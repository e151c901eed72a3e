"""Evenings that left traces in a shop, and what is asked about them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta, timezone
from typing import Any
from zoneinfo import ZoneInfo

from retrue.cases.settle.hour_lines import HoursView
from retrue.kinds.library import Kind
from retrue.phases import settle
from retrue.records.facts import File, Lot, Machine, Outcome

BRUSSELS, GHENT = ZoneInfo("Europe/Brussels"), timezone(timedelta(hours=1))
ON = date(2026, 11, 25)  # a Wednesday
NOW = datetime(2026, 11, 25, 23, 30, tzinfo=GHENT)
Kinds = Mapping[str, Kind]
EVENING = ("19:50", "20:15", "20:40", "21:05", "21:30", "21:50")


def wall(moment: datetime) -> datetime:
    return moment.astimezone(BRUSSELS)


def at(clock: str, day: int = 25) -> datetime:
    hour, minute = clock.split(":")
    return datetime(2026, 11, day, int(hour), int(minute), tzinfo=GHENT)


def school(shop) -> dict[str, str]:
    """A lot of two machines that was won, and one that is bid for."""
    shop.add(Lot(name="school"), by="me", id="school")
    for name in ("mill", "lathe"):
        made = Machine(lot="school", name=name, kind="turning_centre")
        shop.add(made, by="me", id=name)
    shop.add(Lot(name="other hall"), by="me", id="other")
    shop.add(Machine(lot="other", name="saw", kind="turning_centre"), by="me", id="saw")
    shop.add(Outcome(lot="school", result="won"), by="me", observed_at=at("12:00", day=2))
    return {"lot": "school", "machine": "lathe"}


def photographs(shop, where: Mapping[str, str], *clocks: str, day: int = 25, **more: Any) -> None:
    """Photographs without a time of their own, sent as they were taken."""
    hand: dict[str, Any] = {"by": "me", "device": "phone"} | more
    for n, clock in enumerate(clocks):
        fact = File(sha256="0" * 64, name=f"{n}.jpg", media_type="image/jpeg", size_bytes=1,
                    **where)  # fmt: skip
        shop.add(fact, observed_at=at(clock, day), **hand)


def view(shop, now: datetime = NOW, **more: Any) -> HoursView:
    return settle.hours(shop, {}, on=now.date(), now=now, wall=wall, **more)


def asked(shop, now: datetime = NOW) -> list[tuple[str, str, str, float]]:
    return [(one.worked_on, one.begin, one.end, one.hours) for one in view(shop, now).guesses]


def answer(shop, how: str, *, key: str = "", **more: Any) -> list[Any]:
    key = key or view(shop).guesses[0].key
    hand = {"by": "me"} | more
    return settle.answer(shop, key, how, now=hand.pop("now", NOW), wall=wall, **hand)
