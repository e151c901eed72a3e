"""A helper's own: what his device wrote he looks at, takes back and settles; nobody else's."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock, jpeg
from tests.web.joining import LAN, joined
from tests.web.measuring import LEVEL, begun, cells
from tests.web.visitor import Visitor, text_of, values

from retrue.base.formatter import money
from retrue.kinds.library import Kind
from retrue.phases import twice
from retrue.records.facts import Finding, Note, Shop
from retrue.records.measuring import Reading
from retrue.records.settling import Posting
from retrue.web.app import Settings, app
from retrue.web.open_ways import closed


@pytest.fixture
def house(kinds: Mapping[str, Kind], clock: Clock, settings: Settings) -> Starlette:
    return app(shop=FakeShop(clock), kinds=kinds, clock=clock, settings=replace(settings, lan=LAN))


@pytest.fixture
def shop(house: Starlette) -> FakeShop:
    kept: FakeShop = house.state.shop
    return kept


@pytest.fixture
def helper(house: Starlette) -> Visitor:
    return joined(house, "helper")


def kept_link(page: str) -> str:
    found = re.search(r'id="kept-now".*?href="(/kept/[^"]+)"', page, re.DOTALL)
    assert found is not None
    return found[1]


class TestKept:
    def test_he_takes_back_what_he_noted(self, helper: Visitor, shop: FakeShop) -> None:
        link = kept_link(helper.post("/note", {"text": "belt smells hot"}).text)
        page = helper.get(link)
        assert page.status_code == 200
        assert f'action="{link}/back"' in page.text
        assert f'action="{link}/words"' not in page.text  # that is the owner's
        assert 'href="/kept"' not in page.text
        gone = helper.post(f"{link}/back", {"reason": "wrong machine"})
        assert gone.status_code == 200
        assert "Taken back: it counts no more." in text_of(gone)
        assert shop.current(Note) == []

    def test_anothers_is_neither_shown_nor_taken_back(
        self, house: Starlette, helper: Visitor, owner: Visitor, shop: FakeShop
    ) -> None:
        joined(house, "helper").post("/note", {"text": "of the other helper"})
        owner.post("/note", {"text": "of the owner"})
        for one in shop.current(Note):
            assert helper.get(f"/kept/{one.id}").status_code == 403
            assert helper.post(f"/kept/{one.id}/back").status_code == 403
        assert len(shop.current(Note)) == 2

    def test_what_the_owner_wrote_over_is_his_no_more(
        self, helper: Visitor, owner: Visitor, shop: FakeShop
    ) -> None:
        link = kept_link(helper.post("/note", {"text": "belt"}).text)
        knows = values(owner.get(link), "knows")[0]
        owner.post(f"{link}/words", {"text": "belt, worth 900", "knows": knows})
        answer = helper.get(link)
        assert answer.status_code == 403
        assert "worth 900" not in answer.text
        assert helper.post(f"{link}/back").status_code == 403
        assert len(shop.current(Note)) == 1

    def test_what_others_stand_on_stays(self, helper: Visitor, shop: FakeShop) -> None:
        mill = bare_lot(shop)[0]
        _, lot, _, machine = mill.strip("/").split("/")
        helper.post("/note", {"text": "chips"}, [("picture", ("p.jpg", jpeg(), "image/jpeg"))])
        (note,) = shop.current(Note)
        assert note.fact.file
        found = Finding(
            lot=lot, machine=machine, check="C28", answer="seen", picture=note.fact.file
        )
        shop.add(found, by="owner")
        page = helper.get(f"/kept/{note.fact.file}")
        assert page.status_code == 200
        assert "others wrote what stands on it" in text_of(page).lower()
        assert helper.post(f"/kept/{note.fact.file}/back").status_code == 409
        assert len(shop.current(Finding)) == 1

    def test_money_is_not_his_even_from_his_own_device(
        self, helper: Visitor, shop: FakeShop
    ) -> None:
        helper.post("/note", {"text": "belt"})
        device = shop.current(Note)[0].device
        paid = Posting(sort="paid", posted_on="2026-11-25", what="bearings", amount=Decimal(9))
        one = shop.add(paid, by="An", device=device)
        assert helper.get(f"/kept/{one.id}").status_code == 403
        assert helper.post(f"/kept/{one.id}/back").status_code == 403


class TestTwice:
    @pytest.fixture
    def set(self, owner: Visitor, shop: FakeShop) -> str:
        owner.post("/instruments", LEVEL, follow=False)
        return begun(owner, bare_lot(shop)[0], "level")

    def meet(self, owner: Visitor, helper: Visitor, shop: FakeShop, set: str) -> str:
        cell, knew = cells("level")[0].id, str(shop.newest())
        owner.post(set, {"cell": cell, "reading": "+20"}, follow=False)
        told = {"cell": cell, "reading": "+10", "knows": knew}
        assert helper.post(set, told, follow=False).status_code == 409
        return twice.undecided(shop)[0].id

    def test_he_leaves_what_stands(
        self, owner: Visitor, helper: Visitor, shop: FakeShop, set: str
    ) -> None:
        aside = self.meet(owner, helper, shop, set)
        assert f'href="/twice/{aside}"' in helper.get("/twice").text
        page = helper.get(f"/twice/{aside}")
        assert "Leave what stands" in text_of(page)
        form = {"how": "theirs", "back": set, "knows": values(page, "knows")[0]}
        assert helper.post(f"/twice/{aside}", form, follow=False).headers["location"] == set
        assert twice.undecided(shop) == []
        assert [one.fact.text for one in shop.current(Reading)] == ["+20"]

    def test_anothers_is_not_his_to_settle(
        self, house: Starlette, owner: Visitor, helper: Visitor, shop: FakeShop, set: str
    ) -> None:
        aside = self.meet(owner, helper, shop, set)
        other = joined(house, "helper")
        assert aside not in other.get("/twice").text
        assert other.get(f"/twice/{aside}").status_code == 403
        assert other.post(f"/twice/{aside}", {"how": "theirs"}).status_code == 403
        assert len(twice.undecided(shop)) == 1


@pytest.mark.parametrize("letters", ["ISO", "DIN", "EUR"])
def test_money_of_the_shop_is_hidden_whatever_it_is_called(
    house: Starlette, helper: Visitor, shop: FakeShop, letters: str
) -> None:
    shop.add(Shop(currency=letters), by="owner")
    amount = money(41737, letters)
    helper.post("/note", {"text": f"a pump at {amount}, by IEC 60204-1"})
    told = text_of(helper.get("/note"))
    assert "a pump at –, by IEC 60204-1" in told
    assert "737" not in told


def test_what_looks_like_a_key_goes_and_words_stay() -> None:
    page = (
        '<p><a class="button quiet" href="/shop">Shop</a> <a href="/shop"><b>mine</b></a></p>'
        '<form action="/measure"><button formaction="/labels">L</button>'
        '<button formaction="/shop">S</button></form><form method="post" action="/shop">x</form>'
    )
    assert closed(page, lambda _, path: path != "/shop") == (
        "<p> <span><b>mine</b></span></p>"
        '<form action="/measure"><button formaction="/labels">L</button></form>'
    )
