"""The purchase list by hand: days to order, money by chance and week, the shelf."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from tests.library import load

from retrue.cases.case import LotCase
from retrue.cases.fix.buying import Lists, buying_of
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.kept import OutKept, fix_of_case
from retrue.cases.fix.lines import Card, Cards, Wait
from retrue.kinds.judged import Three
from retrue.records.facts import Lot, Machine, Shop, Terms
from retrue.records.fixing import Out, Quoted, Stock
from retrue.records.shop import Record

AT = datetime(2026, 11, 26, tzinfo=UTC)
ON = date(2026, 11, 26)
MILL = Machine(lot="a", name="mill", kind="vertical_machining_centre")
ZERO = Three(0, 0, 0)


@pytest.fixture(scope="module")
def kept():
    case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(MILL,))
    return fix_of_case(case, load())


def record(fact, seq: int = 1):
    return Record(f"r{seq}", fact.KIND, 1, seq, AT, AT, "me", "", None, fact, "", "")


def card(key: str, *parts: Part, chance: float = 1.0, **more) -> Card:
    told = {"lot": "a", "machine": "mill", "machine_name": "mill", "sort": "work", "title": key,
            "place": "head", "place_name": "head", "steps": (), "hours": ZERO} | more  # fmt: skip
    return Card(key=key, parts=parts, chance=chance, **told)


def cards(*each: Card) -> Cards:
    return Cards(lot="a", lot_name="a", machine="mill", machine_name="mill", kind=MILL.kind,
                 aim="keep", level="right", cards=each, visits=(), hours=0.0)  # fmt: skip


MOTOR = Part(line="F15:local", what="winding", money=Three(400, 700, 1600), days=20.0)
BELT = Part(line="F06:replace", what="belt", money=Three(30, 60, 90), days=4.0)
LISTED = cards(
    card("send:F15:local"),
    card("F15:local", MOTOR, waits=(Wait(card="send:F15:local", days=20, part="F15:local"),)),
    card("F06:replace", BELT, chance=0.5, waits=(Wait(card="open:head", part="F06:replace"),)),
    card("J11", job="J11"),
    card("J05", Part(line="J05", what="brushes", money=ZERO, days=3), state="done"),
)


def test_the_day_to_order_is_the_day_it_is_needed_less_its_days(kept):
    begins = {
        ("mill", "F15:local"): "2026-12-14T19:30+01:00",
        ("mill", "F06:replace"): "2027-01-11",
    }
    view = buying_of([Lists(kept=kept, cards=[LISTED], begins=begins)], on=ON)
    motor, belt = view.rows
    assert (motor.needed_on, motor.order_by_on, motor.late) == ("2026-12-14", "2026-11-24", True)
    assert (belt.needed_on, belt.order_by_on, belt.late) == ("2027-01-11", "2027-01-07", False)
    assert (motor.amount, belt.amount) == (800.0, 30.0)  # (400 + 4 x 700 + 1600) / 6; half of 60
    assert [(week.week_on, week.amount) for week in view.weeks] == [
        ("2026-11-23", 800.0),  # what is late is paid now
        ("2027-01-04", 30.0),
    ]
    assert (view.total, view.undated) == (830.0, 0.0)
    assert motor.part.state == "no_vendor"
    assert "retrue fix quote" in view.no_vendor[0]


def test_without_a_plan_what_is_sure_is_ordered_from_today_and_the_rest_once_seen(kept):
    view = buying_of([Lists(kept=kept, cards=[LISTED])], on=ON)
    assert [row.order_by_on for row in view.rows] == ["2026-11-26", None]
    assert "once it is seen" in view.rows[1].why
    assert view.undated == 30.0


def test_quotes_and_orders_go_before_the_table(kept):
    quote = Quoted(lot="a", machine="mill", line="F15:local", vendor="winder", days=14.0,
                   quoted_on="2026-11-24", amount=Decimal(500), currency="GBP",
                   rate=Decimal("1.2"), rate_on="2026-11-20")  # fmt: skip
    told = replace(kept, quotes=(record(quote),))
    row = buying_of([Lists(kept=told, cards=[LISTED])], on=ON).rows[0]
    assert (row.amount, row.part.days, row.part.state) == (600.0, 14.0, "to_buy")
    out = Out(lot="a", machine="mill", sort="ordered", line="F06:replace", what="belt",
              whom="dealer", since_on="2026-11-20", promised_on="2026-12-03",
              amount=Decimal(55))  # fmt: skip
    own = Out(lot="a", sort="hired", what="gantry", whom="hire shop", since_on="2026-11-20",
              promised_on="2026-12-01", amount=Decimal(90))  # fmt: skip
    outs = (OutKept(first=record(out, 2), out=out), OutKept(first=record(own, 3), out=own))
    view = buying_of([Lists(kept=replace(told, outs=outs), cards=[LISTED])], on=ON)
    assert [(row.part.line, row.part.state, row.amount) for row in view.rows] == [
        ("F15:local", "to_buy", 600.0),
        ("gantry", "ordered", 90.0),
        ("F06:replace", "ordered", 55.0),  # ordered is sure
    ]
    assert [(week.week_on, week.amount) for week in view.weeks] == [
        ("2026-11-23", 600.0),
        ("2026-11-30", 145.0),
    ]
    assert view.rates == {"GBP": 1.2}


def test_the_shelf_is_held_against_its_least_and_the_open_cards(kept):
    stock = tuple(
        record(one, at)
        for at, one in enumerate((
            Stock(name="way oil", amount=12, unit="l", least=10),
            Stock(name="rags", amount=500, least=100),
            Stock(name="F06:replace", amount=1),
            Stock(name="blue paint", amount=0.2, unit="l", least=0.5),
        ))
    )  # fmt: skip
    view = buying_of([Lists(kept=replace(kept, stock=stock), cards=[LISTED])], on=ON)
    assert [row.part.line for row in view.rows] == ["F15:local"]  # the belt lies on the shelf
    assert [(row.name, row.needed, row.low) for row in view.stock] == [
        ("blue paint", None, True),
        ("way oil", 20.0, True),
        ("F06:replace", 1.0, False),
        ("rags", 40.0, False),
    ]
