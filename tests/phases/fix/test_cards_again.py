"""The cards of a machine asked for again: as if nothing were held, after each sort of deed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.phases.fix.test_tonight_again import DEEDS, ON, where

from retrue.phases import fix
from retrue.phases.fix import here
from retrue.records.by_lot import ByLot

__all__ = ["where"]


@pytest.mark.parametrize("deed", DEEDS)
def test_cards_that_are_held_are_those_that_would_be_made(
    where: tuple[FakeShop, str, str], deed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, lot, machine = where
    kinds = load()
    before = fix.cards(shop, lot, machine, kinds, on=ON)
    assert fix.cards(shop, lot, machine, kinds, on=ON) is before
    DEEDS[deed](shop, lot, machine, kinds)
    told = fix.cards(shop, lot, machine, kinds, on=ON)
    monkeypatch.setattr(here, "HELD", ByLot())
    assert told == fix.cards(shop, lot, machine, kinds, on=ON)
    assert told is not before


def test_each_day_and_each_level_has_cards_of_its_own(where: tuple[FakeShop, str, str]) -> None:
    shop, lot, machine = where
    kinds = load()
    fix.mark(shop, lot, machine, "J01", "not_now", kinds, on=ON, by="me",
             until_on=(ON + timedelta(days=1)).isoformat())  # fmt: skip
    now = fix.cards(shop, lot, machine, kinds, on=ON)
    later = fix.cards(shop, lot, machine, kinds, on=ON + timedelta(days=1))
    assert now != later
    level = fix.cards(shop, lot, machine, kinds, on=ON, level="like_new")
    assert level != now
    assert fix.cards(shop, lot, machine, kinds, on=ON) == now
