"""Tonight asked again: nothing is made anew that nothing has changed, and nothing old is told."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load

from retrue.kinds.library import Kind
from retrue.phases import find, fix, worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.fixing import Chosen, Out
from retrue.records.shop import RecordShop

asked: Any = sys.modules["retrue.phases.fix.tonight"]  # its deed has the same name
ON = date(2026, 11, 26)
Deed = Callable[[RecordShop, str, str, Mapping[str, Kind]], object]
DEEDS: dict[str, Deed] = {
    "found": lambda shop, lot, m, kinds: find.teardown(shop, lot, m, "F36", True, kinds, by="me"),
    "marked": lambda shop, lot, m, kinds: fix.mark(shop, lot, m, "J01", "begun", kinds, on=ON,
                                                   by="me"),
    "done": lambda shop, lot, m, kinds: fix.mark(shop, lot, m, "J01", "done", kinds, on=ON,
                                                 by="me"),
    "way": lambda shop, lot, m, kinds: fix.choose(
        shop, lot, m, kinds, Chosen(lot=lot, machine=m, sort="way", what="F36", way="local"),
        by="me"),
    "level": lambda shop, lot, m, kinds: fix.choose(
        shop, lot, m, kinds, Chosen(lot=lot, machine=m, sort="aim", way="keep", level="like_new"),
        by="me"),
    "extra": lambda shop, lot, m, kinds: fix.choose(
        shop, lot, m, kinds,
        Chosen(lot=lot, machine=m, sort="upgrade", what=min(kinds["turning_centre"].upgrades)),
        by="me"),
    "out": lambda shop, lot, m, kinds: fix.send(
        shop, Out(lot=lot, machine=m, sort="sent_out", line="F36:local", what="spindle",
                  whom="the spindle shop", since_on="2026-11-20"), kinds, by="me"),
}  # fmt: skip


@pytest.fixture
def where() -> tuple[FakeShop, str, str]:
    shop = FakeShop()
    lathe = Machine(lot="", name="Lathe", kind="turning_centre")
    view = worth.new_lot(shop, Lot(name="Lot 14"), Terms(lot=""), [lathe], by="me")
    return shop, view.id, view.machines[0][0]


@pytest.mark.parametrize("deed", DEEDS)
def test_every_deed_is_seen_the_moment_it_is_kept(
    where: tuple[FakeShop, str, str], deed: str
) -> None:
    shop, lot, machine = where
    kinds = load()
    fix.tonight(shop, kinds, on=ON, hours=9.0)
    DEEDS[deed](shop, lot, machine, kinds)
    told = fix.tonight(shop, kinds, on=ON, hours=9.0)
    asked._MADE.clear()
    assert told == fix.tonight(shop, kinds, on=ON, hours=9.0)


def test_cards_are_made_once_until_something_changes(
    where: tuple[FakeShop, str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, lot, machine = where
    kinds, made = load(), list[int]()
    before = asked.cards_of

    def counted(*of: Any) -> Any:
        made.append(1)
        return before(*of)

    monkeypatch.setattr(asked, "cards_of", counted)
    first = fix.tonight(shop, kinds, on=ON)
    assert fix.tonight(shop, kinds, on=ON) == first
    assert len(made) == 1
    fix.mark(shop, lot, machine, "J01", "done", kinds, on=ON, by="me")
    assert fix.tonight(shop, kinds, on=ON) != first
    assert len(made) == 2


def test_of_a_lot_only_the_newest_cards_are_remembered(where: tuple[FakeShop, str, str]) -> None:
    shop, lot, machine = where
    kinds = load()
    asked._MADE.clear()
    for how in ("begun", "done"):
        fix.tonight(shop, kinds, on=ON)
        fix.mark(shop, lot, machine, "J01", how, kinds, on=ON, by="me")
    fix.tonight(shop, kinds, on=ON)
    assert len(asked._MADE) == 1
