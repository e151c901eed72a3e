"""Taking back while others write: nothing stays behind on what counts no more."""

from __future__ import annotations

import pytest

from retrue.base.refusals import Overtaken
from retrue.phases.diary import taking
from retrue.phases.diary.hanging import Hanging, hanging
from retrue.phases.diary.taking import bring_back, take_back
from retrue.records.facts import Lot, Machine, Note, Plate, Withdrawn
from retrue.records.shop import Record, RecordShop, ToAdd, WrittenSince


@pytest.fixture
def lot(shop: RecordShop) -> str:
    return shop.add(Lot(name="school"), by="owner").id


@pytest.fixture
def mill(shop: RecordShop, lot: str) -> str:
    for name in ("lathe", "mill"):
        kept = shop.add(Machine(lot=lot, name=name, kind="vertical_machining_centre"), by="owner")
    return kept.id


def note(lot: str, mill: str, text: str = "oil") -> Note:
    return Note(text=text, lot=lot, machine=mill)


def test_many_are_kept_only_as_long_as_nothing_came_between(shop, lot):
    seen = shop.newest()
    shop.add(Note(text="between"), by="helper")
    with pytest.raises(WrittenSince):
        shop.add_all([ToAdd(fact=Note(text="late"))], by="owner", newest=seen)
    assert [one.fact.text for one in shop.current(Note)] == ["between"]
    shop.add_all([ToAdd(fact=Note(text="now"))], by="owner", newest=shop.newest())
    assert len(shop.current(Note)) == 2


def test_what_comes_between_looking_and_writing_goes_too(shop, lot, mill, monkeypatch):
    came: list[Record[Note]] = []

    def looked(kept: RecordShop, record: Record[Machine]) -> Hanging:
        found = hanging(kept, record)
        if not came:  # in the very moment after
            came.append(kept.add(note(lot, mill), by="helper"))
        return found

    monkeypatch.setattr(taking, "hanging", looked)
    take_back(shop, mill, rooms={}, by="owner")
    assert isinstance(shop.history(came[0].id)[-1].fact, Withdrawn)
    assert not shop.current(Note)
    bring_back(shop, mill, by="owner")
    assert [one.fact.text for one in shop.current(Note)] == ["oil"]


def test_where_others_never_stop_it_is_refused_and_nothing_is_taken(shop, lot, mill, monkeypatch):
    def looked(kept: RecordShop, record: Record[Machine]) -> Hanging:
        kept.add(note(lot, mill), by="helper")
        return hanging(kept, record)

    monkeypatch.setattr(taking, "hanging", looked)
    monkeypatch.setattr(taking, "TRIES", 3)
    with pytest.raises(Overtaken):
        take_back(shop, mill, rooms={}, by="owner")
    assert len(shop.current(Machine)) == 2
    assert len(shop.current(Note)) == 3


def test_nothing_new_is_kept_of_what_was_taken_back(shop, lot, mill):
    """Whoever found the machine a moment ago is too late."""
    kept = shop.add(note(lot, mill), id="n1", by="helper")
    take_back(shop, mill, rooms={}, by="owner")
    for add in (
        lambda: shop.add(Plate(machine=mill, entry="N03", value="400 V"), by="helper"),
        lambda: shop.add_all([ToAdd(fact=note(lot, mill, "late"))], by="helper"),
    ):
        with pytest.raises(Overtaken, match="was taken back"):
            add()
    assert not shop.current(Plate)
    assert not shop.current(Note)
    assert shop.add(note(lot, mill), id="n1", by="helper") == kept  # it was sent before
    bring_back(shop, mill, by="owner")
    shop.add(note(lot, mill, "and on"), by="helper")
    assert len(shop.current(Note)) == 2
