"""One way through: the first form, a machine's page and its next step, the front page, the bar."""

from __future__ import annotations

import html
import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.conftest import Clock
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.records.facts import File, Lot, Machine, Shop
from retrue.records.moving import Arrived, LaidUp
from retrue.web.app import Settings, app

FIRST = {
    "id": "6b1f3a52-6f7e-4a53-8f0c-4f6d7c1b2a90",
    "count-vertical_machining_centre": "1",
    "name": "school",
    "shop_name": "Two of us",
    "currency": "EUR",
    "hour_alternative": "32",
}
SHAPES = re.compile(r'data-state="(\w+)"')


@pytest.fixture
def shop(house: Starlette) -> FakeShop:
    kept: FakeShop = house.state.shop
    return kept


def next_of(owner: Visitor, machine: str) -> tuple[str, str]:
    """What a machine's page says is next, and where its one button leads."""
    part = owner.get(machine).text.split('id="next"', 1)[1].split("</section>", 1)[0]
    (path,) = re.findall(r'class="button" href="([^"]+)"', part)
    return html.unescape(re.sub(r"<[^>]+>", " ", part)), path


class TestTheFirstRun:
    def test_an_empty_shop_is_one_form_and_ends_on_a_number(
        self, owner: Visitor, shop: FakeShop
    ) -> None:
        assert 'action="/first"' in owner.get("/").text
        page = owner.post("/first", FIRST)
        assert page.status_code == 200
        assert 'id="amount"' in page.text
        assert "assumed" in text_of(page)
        kept = shop.current(Shop)[-1].fact
        assert (kept.name, kept.currency, kept.hour_alternative) == (
            "Two of us",
            "EUR",
            Decimal(32),
        )

    def test_nearly_nothing_is_enough(self, owner: Visitor, shop: FakeShop) -> None:
        page = owner.post("/first", {"count-turning_centre": "1", "name": "Lot 1"})
        assert 'id="amount"' in page.text
        assert [one.fact.kind for one in shop.current(Machine)] == ["turning_centre"]

    def test_sent_twice_it_is_kept_once(self, owner: Visitor, shop: FakeShop) -> None:
        for _ in range(2):
            assert owner.post("/first", FIRST).status_code == 200
        assert len(shop.current(Lot)) == len(shop.current(Machine)) == len(shop.current(Shop)) == 1

    def test_with_no_machine_it_says_so_and_loses_nothing(
        self, owner: Visitor, shop: FakeShop
    ) -> None:
        page = owner.post("/first", FIRST | {"count-vertical_machining_centre": "0"})
        assert page.status_code == 422
        assert values(page, "shop_name") == ["Two of us"]
        assert "no machine was counted" in text_of(page)
        assert not shop.current(Lot)
        assert not shop.current(Shop)

    def test_it_says_where_one_can_look_round_and_the_invented_shop_says_it_is_one(
        self, kinds: Mapping[str, Kind], clock: Clock, owner: Visitor
    ) -> None:
        assert "retrue open --demo" in text_of(owner.get("/"))
        made = app(shop=FakeShop(), kinds=kinds, clock=clock,
                   settings=Settings(secret="s", banner="Invented: nothing is true"))  # fmt: skip
        guest = Visitor(made)
        for path in ("/", "/shop", "/note"):
            assert "Invented: nothing is true" in text_of(guest.get(path))
        assert "retrue open --demo" not in text_of(guest.get("/"))


class TestAMachine:
    def test_its_page_has_eight_ticks_one_next_step_and_every_page_within_two_taps(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(machine).text
        path = page.split("</ol>", 1)[0]
        assert len(SHAPES.findall(path)) == 8
        assert page.count('class="sheet next"') == 1
        hrefs = re.findall(r'href="(/[^"]+)"', page.split('id="pages"', 1)[1].split("</ol>")[0])
        phases = (
            "/looks", "/plate", "/move", "/arrival", "/rest", "/strip", "/find", "/fix", "/wake",
            "/measure", "/prove/quiet", "/settle/cost", "/settle/record",
        )  # fmt: skip
        for phase in phases:
            assert machine + phase in hrefs
        dear = ("/settle/", "/wake", "/fix", "/move")  # their own tests open them
        for href in hrefs:
            if not any(one in href for one in dear) and href != machine.partition("/machines")[0]:
                assert owner.get(href).status_code == 200, href

    def test_what_it_is_has_a_page_of_its_own(self, owner: Visitor, machine: str) -> None:
        assert values(owner.get(f"{machine}/facts"), "name") == ["Bed mill"]
        page = owner.post(machine, {"name": "", "mass_kg": "heavy"})
        assert page.status_code == 422
        assert values(page, "mass_kg") == ["heavy"]

    def test_the_price_is_looked_up_and_never_reckoned_for_it(
        self, owner: Visitor, machine: str, lot: str
    ) -> None:
        says, _ = next_of(owner, machine)
        assert "Have the price reckoned" not in says  # the lot was shown, and so it was reckoned
        owner.post(f"{machine}/looks/C12", {"answer": "seen"})
        owner.post(f"{lot}/terms", {"bid_now": "5100", "sale": "ascending"}, follow=False)
        says, path = next_of(owner, machine)
        assert "Have the price reckoned" in says
        assert "not reckoned yet" in text_of(owner.get(machine))
        assert path == lot
        assert owner.get(path).status_code == 200
        assert "Have the price reckoned" not in next_of(owner, machine)[0]

    def test_from_the_hammer_to_the_first_night_each_step_leads_to_a_page_that_is_open(
        self, owner: Visitor, machine: str, lot: str, shop: FakeShop
    ) -> None:
        owner.post(f"{lot}/outcome", {"result": "won", "amount": "5000"})
        says, path = next_of(owner, machine)
        assert "Get this number first" in says
        assert owner.get(path).status_code == 200
        key = machine.rpartition("/")[2]
        here = {"lot": lot.rpartition("/")[2], "machine": key}
        shop.add(Arrived(delivered_on="2026-11-25", damage="none", **here), by="owner")
        says, path = next_of(owner, machine)
        assert "The first night" in says
        assert owner.get(path).status_code == 200
        shop.add(LaidUp(since_on="2026-09-01", **here), by="owner")
        says, path = next_of(owner, machine)
        assert "Go round the machine at rest" in says
        assert path == f"{machine}/rest#rounds"

    def test_a_lot_that_was_lost_asks_for_nothing(
        self, owner: Visitor, machine: str, lot: str
    ) -> None:
        owner.post(f"{lot}/outcome", {"result": "lost", "amount": "9000"})
        page = owner.get(machine)
        assert "the lot was lost" in text_of(page)
        assert 'class="button"' not in page.text.split('id="next"', 1)[1].split("</section>")[0]
        assert "Done with: 2" in text_of(owner.get("/"))

    def test_its_own_photograph_stands_for_it(
        self, owner: Visitor, machine: str, lot: str, shop: FakeShop
    ) -> None:
        key, home = machine.rpartition("/")[2], lot.rpartition("/")[2]
        plain: dict[str, Any] = {
            "media_type": "image/jpeg", "size_bytes": 9, "lot": home, "machine": key,
        }  # fmt: skip
        shop.add(File(sha256="a" * 64, name="a.jpg", **plain), by="owner")
        front = shop.add(
            File(sha256="b" * 64, name="b.jpg", place="floor", shot="front", **plain), by="owner"
        )
        assert f"/files/{front.id}/shown/small" in owner.get(machine).text


class TestTheFrontPage:
    def test_each_machine_stands_there_with_its_step_and_the_way_to_it(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get("/").text
        part = page.split('id="machines"', 1)[1].split("</section>", 1)[0]
        assert f'href="{machine}"' in part
        assert f'href="{next_of(owner, machine)[1]}"' in part
        assert len(SHAPES.findall(part)) == 2 * 8

    def test_a_backup_that_is_a_week_old_is_due(
        self, owner: Visitor, machine: str, clock: Clock
    ) -> None:
        assert "/shop/keeping" not in owner.get("/").text
        clock.passes(days=8)
        due = owner.get("/").text.split('id="due"', 1)[1].split("</section>", 1)[0]
        assert "/shop/keeping" in due


def test_the_bar_is_on_every_page_the_note_in_one_tap_and_no_letter_acts_alone(
    owner: Visitor, machine: str
) -> None:
    for path in ("/", machine, "/fix", "/shop", "/nowhere"):
        page = owner.get(path).text
        assert '<a class="skip" href="#main">' in page
        bar = page.split('class="bar"', 1)[1].split("</nav>", 1)[0]
        keys = re.findall(r'accesskey="(\w)"', bar)
        assert sorted(keys) == sorted(set("ltnmsk"))
        assert 'href="/note"' in bar
        assert 'action="/search"' in bar
        assert page.index('class="skip"') < page.index('class="bar"') < page.index('id="main"')
