"""Invented job cards of one place, and a plan of one week."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from typing import Any

from tests.library import load

from retrue.cases.fix.buying_lines import BuyRow, Part
from retrue.cases.fix.lines import Card, Cards, Owed, Step, Visit, Wait
from retrue.cases.fix.plan_lines import HireDay, MachineDates, PlanRow, PlanView
from retrue.cases.fix.visit_lines import VisitLines, card_lines_of, visit_of
from retrue.kinds.judged import Three
from retrue.kinds.library import Kind
from retrue.plan.jobs import Hands
from retrue.records.fixing import Out
from retrue.records.shop import Record

CET = timezone(timedelta(hours=1))
WHEN = datetime(2026, 11, 26, 8, tzinfo=CET)
MONDAY = date(2026, 11, 30)
ME = Hands(name="Ann", evenings=tuple((day, 19.5, 22.0) for day in range(4)))
PART = Part(line="F24:replace", what="fan for the drive", money=Three(40, 60, 90), days=4)
FIRST = (Wait(card="J01"),)
AFTER_OPEN = (Wait(card="open:cabinet"),)


def mill() -> Kind:
    return load(only=("vertical_machining_centre",))["vertical_machining_centre"]


def look(id: str) -> str:
    return mill().checks[id].text


def card(key: str, sort: Any, title: str, *steps: tuple[Any, str], **more: Any) -> Card:
    told: dict[str, Any] = {
        "key": key, "sort": sort, "title": title, "lot": "lot-14", "machine": "mill",
        "machine_name": "bed mill", "place": "cabinet", "place_name": "Electrical cabinet",
        "steps": tuple(Step(sort=of, text=text) for of, text in steps),
        "hours": Three(0.5, 1.0, 2.5), "cautions": ("X01", "X02", "X03"), "who": "competent",
    }  # fmt: skip
    return Card(**(told | more))


def opening(**more: Any) -> Card:
    told = {"waits": FIRST, "stuck": 0.2, "cautions": ("X01", "X02", "X46")} | more
    return card("open:cabinet", "open", "Open: Electrical cabinet", ("open", "Take off: door."),
                ("measure", "Look while it stands open: fans."), **told)  # fmt: skip


def cabinet() -> tuple[Card, ...]:
    opened = "Electrical cabinet is opened first."
    dead = ("measure", look("C33")), ("measure", look("C34"))
    again = ("measure", f"Look again: {look('C75')}.")
    fan = {"chance": 0.25, "cautions": ("X01", "X22")}
    return (
        card("J01", "job", "As found", ("work", "As found"), place="outside",
             place_name="Outside", job="J01"),
        opening(),
        card("J18", "job", "Dead tests", ("open", opened), ("work", "Dead tests"), *dead,
             job="J18", waits=AFTER_OPEN, tools=("meter",), spent_hours=0.5),
        card("F24:replace", "work", "Drive fan dead: fit a new one", ("open", opened),
             ("work", "seal the plugs"), again, parts=(PART,), waits=AFTER_OPEN, **fan),
        card("close:cabinet", "close", "Close: Electrical cabinet", ("close", "Door on."),
             waits=(Wait(card="J18"), Wait(card="F24:replace"))),
        card("J20", "job", "First power in stages", ("work", "switch it on"), job="J20",
             waits=(Wait(card="close:cabinet"),), alone=False),
        card("J19", "job", "Cells changed", ("work", "Cells changed"), job="J19",
             waits=(Wait(card="J20"),)),
        card("F109:adjust", "work", "Supply too soft", ("work", "clamp the line"),
             place="supply", place_name="Supply", who="electrician"),
    )  # fmt: skip


def made(*cards: Card) -> Cards:
    every = cards or cabinet()
    places = dict.fromkeys(one.place for one in every)
    visits = tuple(
        Visit(place=place, place_name=place, hours=1.0,
              cards=tuple(one for one in every if one.place == place))
        for place in places
    )  # fmt: skip
    return Cards(lot="lot-14", lot_name="Lot 14", machine="mill", machine_name="bed mill",
                 kind="vertical_machining_centre", aim="keep", level="right", cards=every,
                 visits=visits, hours=10.0)  # fmt: skip


def visit(place: str = "cabinet") -> VisitLines:
    return visit_of(made(), place, mill())


def one(key: str) -> VisitLines:
    return card_lines_of(made(), key, mill())


def at(day: int, hour: float) -> str:
    return (datetime(2026, 11, 30, tzinfo=CET) + timedelta(days=day, hours=hour)).isoformat()


def row(of: Card, begins: str, ends: str, *people: str) -> PlanRow:
    return PlanRow(card=of, people=people or ("Ann",), begins=begins, ends=ends,
                   late_begins=begins, late_ends=ends, slack_days=0.0)  # fmt: skip


def plan(*rows: PlanRow, **more: Any) -> PlanView:
    by = {each.key: each for each in cabinet()}
    usual = (
        row(by["open:cabinet"], at(0, 19.5), at(0, 20.5)),
        row(by["J18"], at(0, 20.5), at(1, 21)),
        row(by["close:cabinet"], at(9, 19.5), at(9, 20)),
    )
    dates = MachineDates(
        machine="mill", machine_name="bed mill", early_on="2027-01-18", even_on="2027-02-01",
        promise_on="2027-02-22", expected_on="2027-02-01", order_now=(), stop_loss=None,
        late_by=(("waiting for: spindle motor", 0.8), ("own work: cabinet", 0.4), ("c", 0.2)),
        hours_left=60.0, day_worth=12.0,
    )  # fmt: skip
    hire = HireDay(name="hoist", on="2026-12-01", cards=("x",), titles=("Open: spindle motor",),
                   costs=60.0, saved=60.0)  # fmt: skip
    told: dict[str, Any] = {
        "at": WHEN.isoformat(), "lots": ("lot-14",), "machines": (dates,), "rows": rows or usual,
        "hire": (hire,), "refused": (), "hands": ("Ann",), "proved": True, "by_rule": False,
        "gap": 0.0, "seed": 7, "worlds": 500, "currency": "EUR",
    }  # fmt: skip
    return PlanView(**(told | more))


def owed(what: str, promised_on: str, **more: Any) -> Owed:
    fact = Out(lot="lot-14", machine="mill", sort="sent_out", what=what, whom="the winder",
               reach="09 123 45 67", since_on="2026-11-02", promised_on=promised_on)  # fmt: skip
    kept: dict[str, Any] = {"by": "owner", "device": "", "sha256": "", "previous": ""}
    first = Record(id=f"id-{what}", kind="out", schema=1, seq=1, noted_at=WHEN, observed_at=WHEN,
                   replaces=None, fact=fact, **kept)  # fmt: skip
    told: dict[str, Any] = {"state": "out", "ring_on": None} | more
    return Owed(first=first, out=fact, lot_name="Lot 14", machine_name="bed mill",
                promised_on=promised_on, **told)  # fmt: skip


def to_buy(what: str, order_by_on: str | None, **more: Any) -> BuyRow:
    part = Part(line=f"F24:{what}", what=what, money=Three(40, 60, 90), days=4)
    return BuyRow(machine="mill", machine_name="bed mill", part=part, chance=1.0, amount=60.0,
                  order_by_on=order_by_on, **more)  # fmt: skip
