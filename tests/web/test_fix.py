"""What to do, on its pages: tonight by one tap, the cards, the front page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock
from tests.web.seen import look_at
from tests.web.sent import ids, opened, sent
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.fixing import CardMarked
from retrue.records.seeking import Act
from retrue.records.shop import RecordShop

Kinds = Mapping[str, Kind]


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@dataclass(frozen=True)
class Seen:
    """Two machines; the mill is opened after, and what is to be done was looked at."""

    machines: tuple[str, ...]
    bare: FakeShop
    found: str
    opened: FakeShop


@pytest.fixture(scope="module")
def seen(kinds: Kinds) -> Seen:
    bare, shop = FakeShop(), FakeShop()
    machines = bare_lot(bare)
    shop.go_on_from(bare)
    found = opened(shop, machines[0], kinds)
    look_at(shop, kinds, "/fix")
    return Seen(machines, bare, found, shop)


@pytest.fixture
def machines(house: Starlette, seen: Seen) -> tuple[str, ...]:
    house.state.shop.go_on_from(seen.bare)
    return seen.machines


@pytest.fixture
def machine(machines: tuple[str, ...]) -> str:
    return machines[0]


@pytest.fixture
def found(house: Starlette, machine: str, seen: Seen) -> str:
    assert house.state.shop.newest() == seen.bare.newest()
    house.state.shop.go_on_from(seen.opened)
    return seen.found


@pytest.fixture
def out(owner: Visitor, shop: RecordShop, found: str) -> str:
    return sent(owner, shop, found)


def of(path: str) -> dict[str, str]:
    lot, machine = ids(path)
    return {"lot": lot, "machine": machine}


def tap(machine: str, card: str, how: str, **more: str) -> dict[str, str]:
    return of(machine) | {"card": card, "how": how} | more


class TestTheFrontPage:
    def test_an_empty_shop_is_one_form_and_says_nothing_of_tonight(self, owner: Visitor) -> None:
        page = owner.get("/")
        assert "One form, and a first number" in text_of(page)
        assert 'id="tonight"' not in page.text

    def test_what_to_do_in_an_empty_shop_leads_to_the_first_lot(self, owner: Visitor) -> None:
        page = owner.get("/fix")
        assert page.status_code == 200
        assert 'href="/lots/new"' in page.text
        for words in ("/fix/plan", "Plan it", "Ask again"):
            assert words not in page.text

    def test_its_cautions_are_folded_to_one_line_before_the_first_card(
        self, owner: Visitor, out: str
    ) -> None:
        told = owner.get("/?hours=6").text.split('id="tonight"')[1].split('class="sheet job"')[0]
        assert told.count("<details") == told.count("caution shortcaution") == 1
        assert 'class="caution"' not in told

    def test_while_one_only_bids_the_lots_stand_first(self, owner: Visitor, machine: str) -> None:
        page = owner.get("/")
        assert "<h1>My lots</h1>" in page.text
        assert 'id="tonight"' not in page.text

    def test_once_a_machine_is_worked_on_tonight_stands_first_then_who_owes_what_then_lots(
        self, owner: Visitor, out: str
    ) -> None:
        page = owner.get("/")
        told = ["<h1>My lots</h1>", "Tonight</h2>", 'id="waiting"', "Lots</h2>", "/lots/new"]
        places = [page.text.index(one) for one in told]
        assert places == sorted(places)
        assert "spindle cartridge" in text_of(page)

    def test_nobody_is_told_to_work_tonight_on_what_he_only_bids_for(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        assert "only bid for" not in text_of(owner.get("/fix"))
        mill = Machine(lot="", name="Mill", kind="milling_machine")
        bid = worth.new_lot(shop, Lot(name="Lot 15"), Terms(lot=""), [mill], by="owner")
        tonight = owner.get("/?hours=9").text.split('id="tonight"')[1].split('id="waiting"')[0]
        assert f'value="{bid.id}"' not in tonight
        page = owner.get("/fix?hours=9")
        assert f'value="{bid.id}"' not in page.text.split('id="waiting"')[0]
        assert "Of lots that are only bid for nothing stands here" in text_of(page)
        assert owner.get(f"/lots/{bid.id}").status_code == 200

    def test_two_machines_of_a_lot_lead_to_what_to_do_at_each_in_two_taps(
        self, owner: Visitor, machines: tuple[str, ...]
    ) -> None:
        page = owner.get("/").text
        assert all(f'href="{path}"' in page for path in machines)
        assert all(f'href="{path}/fix"' in owner.get(path).text for path in machines)


class TestTonight:
    def test_hours_help_and_hoist_are_a_plain_question(self, owner: Visitor, machine: str) -> None:
        page = owner.get("/fix?hours=3.5&helped=yes&hoist=yes")
        assert values(page, "hours") == ["3.5"]
        assert re.search(r'name="helped" value="yes" checked', page.text)
        assert re.search(r'name="hoist" value="yes" checked', page.text)

    def test_hours_that_are_none_are_named_and_stay_as_typed(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get("/fix?hours=two")
        assert page.status_code == 200
        assert values(page, "hours") == ["two"]
        assert 'id="hours-wrong"' in page.text

    def test_a_caution_stands_before_the_hours_of_its_card(
        self, owner: Visitor, machine: str
    ) -> None:
        job = owner.get("/fix").text.split('class="sheet job"')[1]
        assert job.index("caution") < job.index('class="even"')

    def test_one_tap_is_kept_said_and_can_be_taken_back(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        after = owner.post("/fix/mark", tap(machine, "J01", "done", back="/fix?hours=3", id="a1"))
        assert "Kept: done" in text_of(after)
        assert values(after, "hours") == ["3"]
        (act,) = shop.current(Act)
        assert act.fact.job == "J01"
        back = {"record": values(after, "record")[0], "back": "/fix"}
        assert owner.post("/fix/mark/back", back).status_code == 200
        assert not shop.current(Act)
        assert not shop.current(CardMarked)

    def test_a_tap_sent_twice_is_kept_once(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        for _ in range(2):
            assert owner.post("/fix/mark", tap(machine, "J01", "begun", id="b1")).status_code == 200
        assert len(shop.current(CardMarked)) == 1

    def test_not_tonight_comes_again_tomorrow(
        self, owner: Visitor, shop: RecordShop, machine: str, clock: Clock
    ) -> None:
        owner.post("/fix/mark", tap(machine, "J01", "not_now"))
        (record,) = shop.current(CardMarked)
        assert record.fact.until_on == "2026-11-26"
        mine = f'value="{ids(machine)[1]}"><input type="hidden" name="card" value="J01"'
        assert mine not in owner.get("/fix?hours=8").text
        clock.passes(days=1)
        assert mine in owner.get("/fix?hours=8").text

    def test_a_form_leads_back_to_pages_of_ours_only(self, owner: Visitor, machine: str) -> None:
        for away in ("https://elsewhere.example/", "//elsewhere.example", "/lots/../pair"):
            form = tap(machine, "J01", "begun", back=away)
            answer = owner.post("/fix/mark", form, follow=False)
            assert answer.headers["location"].startswith("/fix?kept="), away


class TestACard:
    def test_cautions_come_first_then_hours_then_steps_in_order(
        self, owner: Visitor, found: str
    ) -> None:
        page = owner.get(f"{found}/fix/cards/J03").text
        told = ['class="caution"', 'id="answer"', 'id="next"', 'id="steps"', 'id="found"']
        places = [page.index(one) for one in told]
        assert places == sorted(places)

    def test_what_cannot_be_kept_is_said_on_the_card_with_what_was_typed(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        answer = owner.post("/fix/mark", tap(machine, "J01", "done", hours="2 or so"))
        assert answer.status_code == 422
        assert values(answer, "hours") == ["2 or so"]
        assert 'aria-invalid="true"' in answer.text
        assert not shop.current(CardMarked)

    def test_what_was_found_is_kept_with_the_card(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        owner.post("/fix/mark", tap(machine, "J01", "found", text="a crack in the base"))
        (record,) = shop.current(CardMarked)
        assert record.fact.text == "a crack in the base"
        assert "a crack in the base" in text_of(owner.get("/note"))

        assert owner.post("/fix/mark", tap(machine, "J01", "found")).status_code == 422
        assert len(shop.current(CardMarked)) == 1

    def test_a_stuck_card_stays_and_says_what_next(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        after = owner.post("/fix/mark", tap(machine, "open:cabinet", "stuck"))
        told = after.text.split('class="keptbar"')[1].split("</div>")[0]
        assert len(re.sub(r"<[^>]+>", "", told).split()) > 8  # one act at least is named
        assert "stuck" in text_of(owner.get(f"{machine}/fix/cards/open:cabinet"))

    def test_a_card_that_is_not_there_is_unknown(self, owner: Visitor, machine: str) -> None:
        assert owner.get(f"{machine}/fix/cards/F999:local").status_code == 404
        assert owner.post("/fix/mark", {"how": "done"}).status_code == 404
        assert owner.post("/fix/mark", {}).status_code == 404

    def test_every_place_is_one_visit_and_leads_to_what_to_renew_there(
        self, owner: Visitor, found: str
    ) -> None:
        page = owner.get(f"{found}/fix/cards").text
        places = re.findall(r'class="sheet visit" id="([^"]+)"', page)
        assert len(places) == len(set(places)) > 5
        assert f"{found}/fix/together/{places[-1]}" in page


def test_no_code_word_reaches_the_pages(owner: Visitor, out: str, found: str) -> None:
    card = "/fix/cards/" + "J03"
    for path in ("/", "/fix", "/fix/waiting", out, found + card, found + "/fix/cards"):
        text = text_of(owner.get(path)).lower()
        for word in ("posterior", "not_yet", "sent_out", "not_now", "f01:", "critical", "p90"):
            assert word not in text, (path, word)
