"""What was worked out of each lot is made anew only where something was kept since."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.say import speaking
from retrue.records.by_lot import SETTLED, ByLot, marks_now
from retrue.records.facts import Finding, Lot, Machine, Note, Shop
from retrue.records.measuring import Reading
from retrue.records.seeking import PartMoved
from retrue.store.shop import SqlShop, open_shop


@pytest.fixture(params=["memory", "disk"])
def shop(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[FakeShop | SqlShop]:
    if request.param == "memory":
        yield FakeShop()
        return
    moment = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)
    opened = open_shop(str(tmp_path / "s.sqlite"), clock=lambda: moment)
    yield opened
    opened.close()


class Counted:
    """Two lots, and how often each was worked out."""

    def __init__(self, shop: FakeShop | SqlShop) -> None:
        self.shop = shop
        self.a, self.b = (shop.add(Lot(name=name), by="me").id for name in "ab")
        self.made: list[str] = []
        self.held: ByLot[int] = ByLot()

    def anew(self) -> str:
        """Which lots are made anew when both are asked for."""
        self.made.clear()
        self.held.of(self.shop, [self.a, self.b], (), self._make)
        return "".join("a" if one == self.a else "b" for one in self.made)

    def _make(self, lot: str) -> int:
        self.made.append(lot)
        return len(self.made)


@pytest.fixture
def counted(shop: FakeShop | SqlShop) -> Counted:
    made = Counted(shop)
    assert made.anew() == "ab"
    assert made.anew() == ""
    return made


def test_a_finding_makes_its_own_lot_anew_and_taking_it_back_does_again(counted: Counted) -> None:
    shop = counted.shop
    seen = shop.add(Finding(lot=counted.b, machine=None, check="C01", answer="seen"), by="me")
    assert counted.anew() == "b"
    shop.withdraw(seen.id, by="me")
    assert counted.anew() == "b"


def test_what_is_of_the_whole_shop_makes_all_of_them_anew(counted: Counted) -> None:
    counted.shop.add(Shop(name="ours"), by="me")
    assert counted.anew() == "ab"


def test_a_note_that_names_no_lot_and_a_reading_make_none_anew(counted: Counted) -> None:
    counted.shop.add(Note(text="way oil"), by="me")
    counted.shop.add(Reading(set="s", cell="c", text="+2"), by="me")
    assert counted.anew() == ""
    counted.shop.add(Note(text="way oil", lot=counted.a), by="me")
    assert counted.anew() == "a"


def test_a_part_that_moved_from_one_lot_to_another_is_of_both(counted: Counted) -> None:
    moved = PartMoved(lot=counted.a, machine="m", slot="X", from_machine="n", from_slot="X",
                      part="axis_drive", serial="7", why="donor")  # fmt: skip
    counted.shop.add(moved, by="me")
    assert counted.anew() == "ab"


def test_each_language_is_held_by_itself(counted: Counted) -> None:
    with speaking("nl"):
        assert counted.anew() == "ab"
        assert counted.anew() == ""
    assert counted.anew() == ""


def test_the_marks_of_a_lot_say_how_many_count_and_which_is_the_newest(counted: Counted) -> None:
    shop = counted.shop
    mill = shop.add(Machine(lot=counted.a, name="mill", kind="turning_centre"), by="me")
    shop.add(Machine(lot=counted.a, name="old mill", kind="turning_centre"), by="me",
             replaces=mill.id)  # fmt: skip
    marks = marks_now(shop, SETTLED)
    assert marks[counted.a] == (("machine", 1, 4),)
    assert marks[None] == (("lot", 2, 2),)


def test_no_more_is_held_than_is_allowed_but_all_that_is_wanted_at_once(counted: Counted) -> None:
    counted.held = ByLot(most=1)
    assert counted.anew() == "ab"
    assert counted.anew() == ""
    counted.made.clear()
    counted.held.of(counted.shop, [counted.a], (), counted._make, "mill")
    assert counted.made == [counted.a]
    assert counted.anew() == "ab"
