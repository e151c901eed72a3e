"""Cards, one week and the calendar from a shop: only what belongs to the lots of the plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.fakes.shop import FakeShop
from tests.paper.cards import at, opening, plan, row

from retrue.base.refusals import NotYet, Unknown
from retrue.phases import fix, worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.fixing import Chosen, Out, Worker

ON = date(2026, 11, 26)
MOTOR = Out(
    lot="school", machine="mill", sort="sent_out", line="F15:local", what="spindle motor",
    whom="the winder in Ghent", since_on="2026-11-02", promised_on="2026-11-20",
)  # fmt: skip


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


def view_of(lot):
    long = row(opening(), at(0, 21), at(1, 20.5))
    return plan(long, lots=(lot.id,), hire=())


def test_a_week_has_what_is_late_of_its_own_lots_and_the_evenings_of_who_is_named(shop, lot, kinds):
    two = Machine(lot="", name="two", kind="vertical_machining_centre")
    other = worth.new_lot(shop, Lot(name="other"), Terms(lot=""), [two], by="me")
    fix.send(shop, MOTOR, kinds, by="me")
    fix.send(shop, replace(MOTOR, lot=other.id, machine="two", what="not ours"), kinds, by="me")
    who = Worker(name="Ann", evenings=(("mon", "19:30", "22:00"), ("tue", "20:00", "22:00")))
    fix.set_worker(shop, who, by="me")
    week = fix.week(shop, view_of(lot), kinds, on=ON, day=date(2026, 12, 2))
    assert [(one.what, one.days_late) for one in week.ring] == [("spindle motor", 6)]
    assert [(e.on.day, e.cards[0].hours) for e in week.evenings] == [(30, 1.0), (1, 0.5)]
    titles = {one.title for one in fix.calendar(shop, view_of(lot), kinds, on=ON)}
    assert "Promised by the winder in Ghent: spindle motor" in titles
    assert not [title for title in titles if "not ours" in title]


def test_without_a_shop_a_plan_tells_its_own_week(kinds):
    view = plan()
    week = fix.week(None, view, kinds, on=ON, day=date(2026, 12, 2))
    assert week.ring == ()
    assert [sum(card.hours for card in evening.cards) for evening in week.evenings] == [1.5, 1.5]
    made = fix.calendar(None, view, kinds, on=ON)
    assert len(made) == 4 + 1 + 1  # evenings, hire, promise


def test_all_cards_one_visit_or_one_card_and_a_machine_that_is_sold_has_none(shop, lot, kinds):
    mill = lot.machine_id("mill")
    made = fix.cards(shop, lot.id, mill, kinds, on=ON)
    every = fix.card_sheets(made, kinds)
    assert len({one.key for one in every}) == len(every) > 10
    assert [one.key for one in fix.card_sheets(made, kinds, place="cabinet")] == ["cabinet"]
    assert [one.title for one in fix.card_sheets(made, kinds, card="J01")] == [
        kinds[made.kind].jobs["J01"].name
    ]
    with pytest.raises(Unknown):
        fix.card_sheets(made, kinds, card="J99")
    sold = Chosen(lot=lot.id, machine=mill, sort="aim", way="sell_as_found")
    fix.choose(shop, lot.id, mill, kinds, sold, by="me")
    with pytest.raises(NotYet):
        fix.card_sheets(fix.cards(shop, lot.id, mill, kinds, on=ON), kinds)


def test_on_every_real_sheet_no_look_of_an_electrician_is_a_step(shop, lot, kinds):
    made = fix.cards(shop, lot.id, lot.machine_id("mill"), kinds, on=ON)
    kind = kinds[made.kind]
    licensed = [one.text for one in kind.checks.values() if one.who == "electrician"]
    single = [sheet for card in made.cards if card.place
              for sheet in fix.card_sheets(made, kinds, card=card.key)]  # fmt: skip
    steps = [step.text for sheet in (*fix.card_sheets(made, kinds), *single)
             for card in sheet.cards for step in card.steps]  # fmt: skip
    assert len(steps) > 200
    assert not [text for text in licensed if any(text in step for step in steps)]
    power = next(sheet for sheet in single if sheet.key == "J20")
    assert power.cards[0].steps == ()
