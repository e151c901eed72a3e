"""A machine walked to first power as Tonight says: every pick done, every look answered."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Unusable
from retrue.cases.fix.lines import Card, Pick
from retrue.cases.fix.places import share_of_places
from retrue.kinds.library import Kind
from retrue.phases import fix, worth
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.fixing import Stock

MILL = "vertical_machining_centre"
ON = date(2026, 11, 26)
THERE = ("F85", "F27")  # what the looks bring to light
MOST_EVENINGS = 60


class Walk:
    """Evenings in a shop with one machine."""

    def __init__(self, kinds: Mapping[str, Kind]) -> None:
        self.shop, self.kinds = FakeShop(), kinds
        worth.keep_shop(self.shop, Shop(hours_a_week=12.0), by="me")
        mill = Machine(lot="", name="mill", kind=MILL, age_years=24)
        view = worth.new_lot(self.shop, Lot(name="school"), Terms(lot=""), [mill], by="me")
        self.lot, self.machine = view.id, view.machines[0][0]
        self.opened: list[str] = []
        self.looked: list[str] = []

    def evening(self, on: date) -> list[Card]:
        told = fix.tonight(self.shop, self.kinds, on=on, hours=12.0, alone=False, hoist=True)
        assert told.picks, told.nothing
        for pick in told.picks:
            if pick.card.job == "J20":
                return [one.card for one in told.picks]
            self.do(pick, on)
            if pick.card.key.startswith("look:"):
                return []  # what was seen changes the list: it is asked for again
        return []

    def do(self, pick: Pick, on: date) -> None:
        card = pick.card
        if card.key.startswith("look:"):
            self.answer(card)
            listed = fix.cards(self.shop, self.lot, self.machine, self.kinds, on=on).cards
            if card.key not in {one.key for one in listed if one.state != "done"}:
                return
        if card.key.startswith("open:"):
            self.opened.append(card.key)
        fix.mark(self.shop, self.lot, self.machine, card.key, "done", self.kinds, on=on, by="me",
                 hours=pick.hours)  # fmt: skip
        if card.sort == "work":
            self.seen(card.faults[0], present=False)

    def answer(self, card: Card) -> None:
        self.looked.append(card.key)
        for fault in card.faults:
            self.seen(fault, present=fault in THERE)
            if fault in THERE:
                for fix_ in self.kinds[MILL].fixes[fault]:
                    self.shop.add(Stock(name=f"{fault}:{fix_.way}", amount=1.0), by="me")

    def seen(self, fault: str, *, present: bool) -> None:
        said = Finding(lot=self.lot, machine=self.machine, fault=fault, grade=3, channel="apart",
                       answer="present" if present else "absent")  # fmt: skip
        self.shop.add(said, by="me")


@pytest.fixture(scope="module")
def walked(kinds: Mapping[str, Kind]) -> tuple[Walk, list[Card]]:
    """All evenings until first power is offered."""
    walk = Walk(kinds)
    for at in range(MOST_EVENINGS):
        picks = walk.evening(ON + timedelta(days=7 * at))
        if picks:
            return walk, picks
    raise AssertionError(walk.opened)


def test_every_pick_done_and_every_look_answered_comes_to_first_power(walked):
    walk, picks = walked
    assert any(card.job == "J20" for card in picks)
    assert len(set(walk.opened)) == len(walk.opened)  # no place is opened twice
    assert len(set(walk.looked)) >= 5


def test_at_first_power_all_that_presses_was_seen_and_put_right_and_every_place_is_shut(walked):
    walk, picks = walked
    made = {one.key: one for one in fix.cards(walk.shop, walk.lot, walk.machine, walk.kinds).cards}
    assert not [one.key for one in made.values() if one.key.startswith("look:")
                and one.urgency in ("STOP", "MUST") and one.state != "done"]  # fmt: skip
    for fault in THERE:
        assert [one for one in made.values() if fault in one.faults and one.state == "done"]
    before = {card.key for card in picks[: [card.job for card in picks].index("J20")]}
    standing = [key for key, one in made.items() if key.startswith("open:") and one.state == "done"]
    assert {key.replace("open:", "close:") for key in standing} <= before


def test_a_look_is_not_done_while_nobody_has_said_what_was_seen(kinds):
    walk = Walk(kinds)
    with pytest.raises(NotYet, match="nobody has said yet of") as refused:
        fix.mark(walk.shop, walk.lot, walk.machine, "look:cabinet", "done", kinds, on=ON, by="me")
    assert "there" in refused.value.remedy


def test_a_door_can_be_marked_though_it_left_the_list_and_what_was_marked_can_be_opened(kinds):
    walk = Walk(kinds)
    told = fix.mark(walk.shop, walk.lot, walk.machine, "open:foundation", "done", kinds, on=ON,
                    by="me")  # fmt: skip
    assert told.fact.card == "open:foundation"
    walk.seen("F99", present=True)
    do = (walk.shop, walk.lot, walk.machine, "F99:repair")
    fix.mark(*do, "done", kinds, on=ON, by="me", hours=2.0)
    walk.seen("F99", present=True)  # it did not help
    listed = fix.cards(walk.shop, walk.lot, walk.machine, kinds).cards
    [tried] = [one for one in listed if one.key == "F99:repair"]
    assert tried.spent_hours == 2.0
    fix.mark(*do, "open_again", kinds, on=ON, by="me")


def test_done_twice_and_opening_what_is_open_are_refused(kinds):
    walk = Walk(kinds)
    do = (walk.shop, walk.lot, walk.machine, "J01")
    with pytest.raises(Unusable, match="nothing was marked"):
        fix.mark(*do, "open_again", kinds, on=ON, by="me")
    fix.mark(*do, "done", kinds, on=ON, by="me", hours=1.0)
    with pytest.raises(Unusable, match="done already"):
        fix.mark(*do, "done", kinds, on=ON, by="me", hours=1.0)


def test_what_was_read_with_its_opening_is_not_read_again_once_it_stands_open(kinds):
    walk = Walk(kinds)

    def keys() -> set[str]:
        return {one.key for one in fix.cards(walk.shop, walk.lot, walk.machine, kinds).cards}

    listed = fix.cards(walk.shop, walk.lot, walk.machine, kinds).cards
    likely = {one.place for one in listed if one.sort == "open" and 0.5 <= one.chance < 1.0}
    read = set(share_of_places(kinds[MILL]))
    place = min(one for one in likely & read if f"before:{one}" not in keys())
    fix.mark(walk.shop, walk.lot, walk.machine, f"open:{place}", "done", kinds, on=ON, by="me")
    assert f"before:{place}" not in keys()
