"""What is set aside is one sending and all it says: nothing of it is hidden, or decided unsent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import httpx
import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock
from tests.web.measuring import LEVEL, begun, cells, first
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.phases import twice
from retrue.records.facts import Note
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.meeting import SetAside
from retrue.records.shop import Record, RecordShop
from retrue.web.app import Settings, app

LAN = "192.168.1.20"
PROGRAM = {"accept": "application/json", "retrue-onward": "yes"}
EARLY = "2026-11-25T20:00:30+01:00"
CELL, OTHER = (cell.id for cell in cells("level")[:2])


@pytest.fixture
def house(kinds: Mapping[str, Kind], clock: Clock, settings: Settings) -> Starlette:
    return app(shop=FakeShop(clock), kinds=kinds, clock=clock, settings=replace(settings, lan=LAN))


@pytest.fixture
def shop(house: Starlette) -> RecordShop:
    kept: RecordShop = house.state.shop
    return kept


@pytest.fixture
def phone(house: Starlette, owner: Visitor) -> Visitor:
    code = first(r"/pair/([a-z0-9]+)<", owner.post("/pair").text)
    base = f"http://{LAN}:8314"
    made = Visitor(house, address="192.168.1.50", base=base, headers={"origin": base})
    assert made.post(f"/pair/{code}", follow=False).status_code == 303
    return made


@pytest.fixture
def set(owner: Visitor, shop: RecordShop) -> str:
    owner.post("/instruments", LEVEL, follow=False)
    return begun(owner, bare_lot(shop)[0], "level")


@pytest.fixture
def knew(owner: Visitor, shop: RecordShop, set: str) -> str:
    """What the telephone's page knew before the laptop read the point."""
    known = str(shop.newest())
    assert owner.post(set, {"cell": CELL, "reading": "+20"}, follow=False).status_code == 303
    return known


def read(who: Visitor, set: str, text: str, **more: str) -> httpx.Response:
    return who.post(set, {"cell": CELL, "reading": text, **more}, follow=False)


def late(who: Visitor, set: str, text: str, **more: str) -> httpx.Response:
    form = {"cell": CELL, "reading": text, "observed_at": EARLY, **more}
    return who.post(set, form, headers=PROGRAM, follow=False)


def typed(shop: RecordShop) -> list[str]:
    return [one.fact.text for one in shop.current(Reading)]


def asides(shop: RecordShop) -> list[Record[SetAside]]:
    return twice.undecided(shop)


def said(shop: RecordShop) -> list[str]:
    return [dict(one.fact.form)["reading"] for one in asides(shop)]


@pytest.mark.parametrize("long", ["a", "a" * 57 + "-one"])
def test_another_content_under_one_id_is_another_question(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str, knew: str, long: str
) -> None:
    assert read(phone, set, "+30", knows=knew, id=long).status_code == 409
    second = read(phone, set, "+31", knows=knew, id=long)
    assert second.status_code == 409
    assert "+31" in text_of(second)
    assert read(phone, set, "+32", knows=knew, id=long[:57] + "-two").status_code == 409
    assert said(shop) == ["+30", "+31", "+32"]
    for text in ("+30", "+31"):  # each sent once more is still the same question
        read(phone, set, text, knows=knew, id=long)
    assert late(phone, set, "+31", knows=knew, id=long).json()["aside"] == 1
    assert said(shop) == ["+30", "+31", "+32"]
    first_one = asides(shop)[0].id
    owner.post(f"/twice/{first_one}", {"how": "theirs"}, follow=False)
    assert late(phone, set, "+30", knows=knew, id=long).json() == {"aside": 0}
    told = late(phone, set, "+33", knows=knew, id=long)
    assert told.json()["aside"] == 1
    assert said(shop) == ["+31", "+32", "+33"]
    assert typed(shop) == ["+20"]


def test_the_second_of_one_id_may_count_after_the_first_did(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str, knew: str
) -> None:
    for text in ("+30", "+31"):
        read(phone, set, text, knows=knew, id="one")
    for text in ("+30", "+31"):
        page = owner.get(f"/twice/{asides(shop)[0].id}")
        again = {name: values(page, name)[0] for name in ("settles", "knows", "id")}
        kept = read(owner, set, text, **again)
        assert kept.status_code == 303, text_of(kept)
    assert typed(shop) == ["+31"]
    assert not asides(shop)


def test_something_else_under_the_id_of_a_question_breaks_nothing(
    phone: Visitor, shop: RecordShop, set: str, knew: str
) -> None:
    read(phone, set, "+30", knows=knew, id="zz9")
    (aside,) = asides(shop)
    shop.add(replace(aside.fact, decided="theirs"), replaces=aside.id, by="owner")
    for id in ("zz8.aside", "zz9.aside"):
        shop.add(Note(text="hi"), id=id, by="a helper")
    assert late(phone, set, "+41", knows=knew, id="zz8").json()["aside"] == 1
    assert said(shop) == ["+41"]


def test_a_foreign_record_in_its_very_place_breaks_nothing(
    phone: Visitor, shop: RecordShop, set: str, knew: str, kinds: Mapping[str, Kind],
    clock: Clock, settings: Settings,
) -> None:  # fmt: skip
    read(phone, set, "+30", knows=knew, id="zz9")
    (aside,) = asides(shop)
    other = FakeShop(clock)
    at = bare_lot(other)[0].split("/")
    other.add(Note(text="hi"), id=aside.id, by="a helper")
    stands = other.add(Note(text="it stands", lot=at[2], machine=at[4]), by="owner")
    wanted = twice.view_aside(shop, aside.id).sides[0].wanted
    for _ in range(2):  # sent twice is once
        kept = twice.set_aside(
            other, [(stands, wanted)], path=aside.fact.path, form=aside.fact.form, late=False,
            by="Bea", id="zz9",
        )  # fmt: skip
    assert kept.id == f"{aside.id}.1"
    assert len(other.current(SetAside)) == 1


def test_only_the_very_form_settles_what_was_set_aside(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str, knew: str
) -> None:
    read(phone, set, "+30", knows=knew, id="one")
    (aside,) = asides(shop)
    owner.post(set, {"cell": OTHER, "reading": "+1", "settles": aside.id}, follow=False)
    assert asides(shop) == [aside]
    (machine,) = {f"/lots/{one.fact.lot}/machines/{one.fact.machine}"
                  for one in shop.current(ReadingSet)}  # fmt: skip
    beside = begun(owner, machine, "level")
    owner.post(beside, {"cell": CELL, "reading": "+1", "settles": aside.id}, follow=False)
    assert asides(shop) == [aside]
    assert read(owner, set, "+30", settles=aside.id).status_code == 303
    assert not asides(shop)


def test_a_form_that_names_the_cell_but_writes_another_settles_nothing(shop, set, knew, phone):
    read(phone, set, "+30", knows=knew, id="one")
    (aside,) = asides(shop)
    (stands,) = shop.current(Reading)
    elsewhere = shop.add(replace(stands.fact, cell=OTHER), by="owner")
    assert not twice.settles(shop, aside, [elsewhere])
    assert twice.settles(shop, aside, [elsewhere, stands])


@pytest.mark.parametrize("knows", [None, "", "abc", "-5", "1e3", "999999999", "9" * 300])
def test_a_form_that_does_not_say_what_it_knows_writes_over_nothing(
    phone: Visitor, shop: RecordShop, set: str, knew: str, knows: str | None
) -> None:
    more = {} if knows is None else {"knows": knows}
    assert read(phone, set, "+30", **more).status_code == 409
    assert typed(shop) == ["+20"]
    assert said(shop) == ["+30"]


def test_of_its_own_words_a_program_of_the_laptop_need_not_say_it(
    owner: Visitor, shop: RecordShop, set: str, knew: str
) -> None:
    assert read(owner, set, "+21").status_code == 303
    assert typed(shop) == ["+21"]
    assert not asides(shop)
