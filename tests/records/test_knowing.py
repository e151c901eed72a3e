"""A shop in the hands of somebody who knows it up to a number."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any, cast

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import Overtaken
from retrue.records.facts import Note, Shop, Withdrawn
from retrue.records.knowing import Knowing, Meanwhile, said_unseen
from retrue.records.shop import RecordShop, ToAdd

AT = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


def knowing(shop: FakeShop, knows: int, **more: Any) -> Knowing:
    return Knowing(cast(RecordShop, shop), knows, device="phone", **more)


def test_what_was_seen_is_replaced(shop: FakeShop) -> None:
    old = shop.add(Shop(name="a"), by="owner", device="laptop")
    mine = knowing(shop, shop.newest())
    new = mine.add(Shop(name="b"), by="owner", device="phone", replaces=old.id)
    mine.add(Shop(name="c"), by="owner", device="phone", replaces=new.id)  # it knows its own
    assert [one.fact.name for one in shop.current(Shop)] == ["c"]


@pytest.mark.parametrize("named", ["old", "new"])
def test_what_was_not_seen_is_not_replaced_and_nothing_is_kept(shop: FakeShop, named: str) -> None:
    old = shop.add(Shop(name="a"), by="owner", device="laptop")
    knew = shop.newest()
    new = shop.add(Shop(name="b"), by="owner", device="laptop", replaces=old.id)
    stood = shop.newest()
    replaces = {"old": old.id, "new": new.id}[named]
    with pytest.raises(Meanwhile) as met:
        knowing(shop, knew).add(Shop(name="c"), by="owner", device="phone", replaces=replaces)
    assert [(record.id, fact) for record, fact in met.value.met] == [(new.id, Shop(name="c"))]
    assert shop.newest() == stood


def test_the_same_from_both_is_no_question(shop: FakeShop) -> None:
    old = shop.add(Shop(name="a"), by="owner", device="laptop")
    knew = shop.newest()
    new = shop.add(Shop(name="b"), by="owner", device="laptop", replaces=old.id)
    said = knowing(shop, knew).add(Shop(name="b"), by="owner", device="phone", replaces=new.id)
    assert said.id == new.id


def test_all_or_none_of_many(shop: FakeShop) -> None:
    old = shop.add(Shop(name="a"), by="owner", device="laptop")
    knew = shop.newest()
    new = shop.add(Shop(name="b"), by="owner", device="laptop", replaces=old.id)
    many = [ToAdd(fact=Note(text="n")), ToAdd(fact=Shop(name="c"), replaces=new.id)]
    with pytest.raises(Meanwhile):
        knowing(shop, knew).add_all(many, by="owner", device="phone")
    assert not shop.current(Note)
    assert len(knowing(shop, shop.newest()).add_all(many, by="owner", device="phone")) == 2


def test_many_things_of_one_form_are_gathered(shop: FakeShop) -> None:
    old = shop.add(Shop(name="a"), by="owner", device="laptop")
    knew = shop.newest()
    new = shop.add(Shop(name="b"), by="owner", device="laptop", replaces=old.id)
    mine = knowing(shop, knew)
    mine.gathers = True
    mine.add(Shop(name="c"), by="owner", device="phone", replaces=new.id)
    mine.add(Note(text="the rest"), by="owner", device="phone")
    assert len(mine.met) == 1
    assert [one.fact.text for one in shop.current(Note)] == ["the rest"]


def test_a_device_knows_its_own_unless_it_wrote_before_it(shop: FakeShop) -> None:
    old = shop.add(Shop(name="a"), by="owner", device="laptop")
    knew = shop.newest()
    late = AT + timedelta(minutes=5)
    new = shop.add(Shop(name="b"), by="o", device="phone", replaces=old.id, observed_at=late)
    with pytest.raises(Meanwhile):  # this waited since before that
        knowing(shop, knew, waited=AT).add(
            Shop(name="c"), by="o", device="phone", replaces=new.id, observed_at=AT
        )
    after = knowing(shop, knew, waited=late + timedelta(minutes=1))
    assert after.add(Shop(name="c"), by="o", device="phone", replaces=new.id).fact.name == "c"


def test_two_take_back_once_is_enough(shop: FakeShop) -> None:
    old = shop.add(Note(text="a"), by="owner", device="laptop")
    knew = shop.newest()
    gone = shop.withdraw(old.id, by="owner", device="laptop")
    wish = Withdrawn(of_kind="note", reason="mine")
    assert knowing(shop, knew).add(wish, by="owner", replaces=old.id).id == gone.id


def test_in_the_moment_between_it_is_asked_too(
    shop: FakeShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = shop.add(Shop(name="a"), by="owner", device="laptop")
    mine = knowing(shop, shop.newest())
    kept = shop.add

    def quicker(fact: Any, **named: Any) -> Any:
        monkeypatch.setattr(shop, "add", kept)
        kept(Shop(name="b"), by="owner", device="laptop", replaces=old.id)
        return kept(fact, **named)

    monkeypatch.setattr(shop, "add", quicker)
    with pytest.raises(Meanwhile):
        mine.add(Shop(name="c"), by="owner", device="phone", replaces=old.id)


def test_another_content_under_one_id_is_refused(shop: FakeShop) -> None:
    mine = knowing(shop, 0)
    assert mine.add(Note(text="a"), by="owner", id="n").id == "n"
    assert mine.add(Note(text="a"), by="owner", id="n").id == "n"
    with pytest.raises(Overtaken):
        mine.add(Note(text="b"), by="owner", id="n")


def test_what_stays_beside_is_asked_about(shop: FakeShop) -> None:
    stands = shop.add(Note(text="a"), by="owner", device="laptop")
    mine = cast(RecordShop, knowing(shop, 0))
    assert said_unseen(mine, Note(text="a"), stands) == stands
    with pytest.raises(Meanwhile):
        said_unseen(mine, Note(text="b"), stands)
    assert said_unseen(cast(RecordShop, knowing(shop, 1)), Note(text="b"), stands) is None
    assert said_unseen(cast(RecordShop, shop), Note(text="b"), stands) is None
