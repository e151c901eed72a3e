"""Selling one machine, on its pages: ask and take, listing, offers, what comes after."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal

import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock
from tests.web.seen import look_at
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.phases import settle
from retrue.records.facts import Machine, Shop
from retrue.records.settling import ForSale, Offered, Posting, RunFigure
from retrue.records.shop import RecordShop


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture(scope="module")
def seen(kinds: Mapping[str, Kind]) -> tuple[str, FakeShop]:
    """The lathe, its page looked at."""
    shop = FakeShop()
    here = f"{bare_lot(shop)[1]}/settle"
    look_at(shop, kinds, f"{here}/sell")
    return here, shop


@pytest.fixture
def here(house: Starlette, seen: tuple[str, FakeShop]) -> str:
    house.state.shop.go_on_from(seen[1])
    return seen[0]


LISTED = {"sold_as": "parts", "ask": "4800", "take": "3200", "dump": "1500"}


@pytest.fixture
def listed(owner: Visitor, here: str) -> str:
    answer = owner.post(f"{here}/sell/list", LISTED, follow=False)
    assert answer.status_code == 303, text_of(answer)
    return here


@pytest.fixture
def offered(owner: Visitor, listed: str) -> str:
    form = {"whom": "a school", "amount": "9000", "currency": "EUR"}
    answer = owner.post(f"{listed}/offers", form, follow=False)
    assert answer.status_code == 303, text_of(answer)
    return listed


class TestTheSale:
    def test_the_page_says_what_to_ask_take_and_let_go_and_the_law_before_it(
        self, owner: Visitor, here: str
    ) -> None:
        page = owner.get(f"{here}/sell")
        told = text_of(page)
        for words in ("Ask", "now; let it go at", "A month of waiting costs", "does not pay"):
            assert words in told
        assert page.text.index("local law") < page.text.index('id="answer"')
        assert page.text.index('id="answer"') < page.text.index('id="next"')
        assert (
            page.text.count("<svg") == 2 + 4
        )  # the line for phone and laptop, and a rule for each state

    def test_a_machine_with_open_stop_items_is_listed_for_parts_or_repair_only(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        answer = owner.post(f"{here}/sell/list", LISTED | {"sold_as": "running"})
        assert answer.status_code == 409
        assert "for parts or repair" in text_of(answer)
        assert 'value="4800"' in answer.text
        assert not shop.current(ForSale)
        assert owner.post(f"{here}/sell/list", LISTED, follow=False).status_code == 303
        assert [one.fact.sold_as for one in shop.current(ForSale)] == ["parts"]

    def test_the_big_number_is_for_what_it_may_be_sold_as(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        assert "List it for parts or repair" in text_of(owner.get(f"{here}/sell"))
        shop.add(Shop(hour_alternative=Decimal(0)), by="owner")
        page = owner.get(f"{here}/sell")
        told = text_of(page)
        assert "Ask, for parts or repair, as found" in told
        assert "Clear what is open:" in told
        chosen = re.search(r'name="sold_as" value="(\w+)" checked', page.text)
        assert chosen is not None
        assert chosen[1] == "parts"

    def test_what_is_not_used_is_folded(self, owner: Visitor, here: str) -> None:
        page = re.sub(r"<details>.*?</details>", "", owner.get(f"{here}/sell").text, flags=re.S)
        assert 'action="' not in page[page.index("<main") : page.index("</main")]
        assert page.count('<li class="sheet job">') == 1
        assert len(re.findall(r'<tr id="', page)) == 3
        wrong = owner.post(f"{here}/offers", {"whom": "", "amount": "x"})
        assert "<details open><summary>Somebody offers" in wrong.text

    def test_what_each_deed_brings_has_its_money(self, owner: Visitor, here: str) -> None:
        cells = re.findall(r'data-label="each [^"]*€[^"]* brings">(.*?)</td>',
                           owner.get(f"{here}/sell").text)  # fmt: skip
        assert cells
        assert all("€" in one for one in cells)

    def test_a_listing_and_a_figure_are_taken_back_where_they_were_kept(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        figure = {"item": "film_share", "low": "1", "likely": "2", "high": "3"}
        for form, at, kind, words in (
            (LISTED, "sell/list", ForSale, "listed for parts or repair, ask €"),
            (figure, "sell/figure", RunFigure, "your own figure of what a film"),
            ({"whom": "a school", "amount": "9"}, "offers", Offered, "the offer of a school"),
        ):
            page = owner.post(f"{here}/{at}", form)
            assert f"Kept: {words}" in text_of(page)
            (made,) = values(page, "record")
            assert owner.post(f"{here}/sell/back", {"record": made}).status_code == 200
            assert not shop.current(kind)

    def test_a_new_price_does_not_begin_the_listing_anew(
        self, owner: Visitor, listed: str, shop: RecordShop, clock: Clock
    ) -> None:
        clock.passes(days=20)
        owner.post(f"{listed}/sell/list", LISTED | {"ask": "4500"}, follow=False)
        (kept,) = shop.current(ForSale)
        assert (str(kept.fact.ask), kept.fact.listed_on) == ("4500", "2026-11-25")

    def test_every_wrong_field_is_named_and_nothing_is_kept(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        answer = owner.post(f"{here}/sell/list", {"sold_as": "", "ask": "12x"})
        assert answer.status_code == 422
        assert {"sold_as-wrong", "ask-wrong"} <= set(re.findall(r'id="([\w]+-wrong)"', answer.text))
        above = owner.post(f"{here}/sell/list", LISTED | {"take": "5000"})
        assert above.status_code == 422
        assert "Ask is the highest" in text_of(above)
        assert not shop.current(ForSale)

    def test_a_figure_of_ones_own_stands_with_its_reason(self, owner: Visitor, here: str) -> None:
        form = {"item": "film_share", "low": "1", "likely": "2", "high": "3", "reason": "no films"}
        page = owner.post(f"{here}/sell/figure", form)
        assert page.status_code == 200
        assert "your own figure: no films" in text_of(page)

    def test_the_text_of_the_listing_promises_nothing(self, owner: Visitor, listed: str) -> None:
        told = owner.get(f"{listed}/sell/text?language=nl").text
        assert told.startswith("Te koop: Slant lathe")
        assert "Alleen voor onderdelen of herstelling" in told
        assert "belooft geen geschiktheid" in told
        assert owner.get(f"{listed}/sell/text?language=xx").status_code == 404


class TestOffers:
    def test_an_offer_far_above_is_taken_and_stands_in_the_book_as_owed(
        self, owner: Visitor, offered: str, shop: RecordShop
    ) -> None:
        page = owner.get(f"{offered}/sell")
        assert "Take the offer of a school" in text_of(page)
        (offer,) = shop.current(Offered)
        form = {"offer": offer.id, "answer": "taken", "paid": "500", "load_by": "2026-12-04"}
        after = owner.post(f"{offered}/sell/answer", form)
        assert after.status_code == 200
        assert "still owed" in text_of(after)
        (sold,) = shop.current(Posting, sort="sold")
        assert (sold.fact.paid_from, sold.fact.source) == ("owed", f"offer:{offer.id}")
        assert shop.current(Posting, sort="received")[0].fact.of == sold.id
        assert "Sold to a school" in text_of(owner.get(f"{offered}/sell"))

    def test_a_sale_taken_back_in_the_book_may_be_taken_again(
        self, owner: Visitor, offered: str, shop: RecordShop, clock: Clock
    ) -> None:
        (offer,) = shop.current(Offered)
        form = {"offer": offer.id, "answer": "taken"}
        for _ in range(2):  # sent twice, it is sold once
            owner.post(f"{offered}/sell/answer", form, follow=False)
        (sold,) = shop.current(Posting)
        settle.take_back(shop, sold.id, by="owner")
        owner.post(f"{offered}/sell/answer", form, follow=False)
        assert [one.fact.amount for one in shop.current(Posting)] == [9000]

    def test_nothing_is_taken_that_is_not_listed(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        owner.post(f"{here}/offers", {"whom": "a school", "amount": "9000"}, follow=False)
        (offer,) = shop.current(Offered)
        answer = owner.post(f"{here}/sell/answer", {"offer": offer.id, "answer": "taken"})
        assert answer.status_code == 409
        assert not shop.current(Posting)
        assert shop.current(Offered)[0].fact.answer == ""

    def test_a_currency_without_a_rate_is_kept_and_nothing_is_said_of_it(
        self, owner: Visitor, listed: str
    ) -> None:
        form = {"whom": "a shop in Basel", "amount": "9000", "currency": "CHF"}
        page = owner.post(f"{listed}/offers", form)
        assert "The rate of CHF" in text_of(page)
        unknown = owner.post(f"{listed}/offers", form | {"currency": "QQQ"})
        assert unknown.status_code == 422

    def test_sent_twice_it_is_kept_once(
        self, owner: Visitor, listed: str, shop: RecordShop
    ) -> None:
        form = {"id": "5e1f", "whom": "a school", "amount": "3000"}
        for _ in range(2):
            assert owner.post(f"{listed}/offers", form, follow=False).status_code == 303
        assert len(shop.current(Offered)) == 1


class TestAfterTheSale:
    def test_promises_and_questions_run_late_and_are_kept_and_answered(
        self, owner: Visitor, offered: str, shop: RecordShop, clock: Clock
    ) -> None:
        after = f"{offered}/after"
        owner.post(f"{after}/promise", {"what": "the manual", "whom": "a school",
                                        "until_on": "2026-11-30"})  # fmt: skip
        owner.post(f"{after}/asked", {"question": "Which oil?", "asker": "a school"})
        clock.passes(days=9)
        told = text_of(owner.get(after))
        assert "4 days late" in told
        assert "6 days late" in told
        due = settle.due_after_sale(shop, clock().date())
        assert [(one.sort, one.days_left) for one in due] == [("question", -6), ("promise", -4)]
        owner.post(f"{after}/kept", {"promise": due[1].id})
        page = owner.post(f"{after}/answered", {"question": due[0].id, "answer": "ISO VG 68"})
        assert "ISO VG 68" in text_of(page)
        assert settle.due_after_sale(shop, clock().date()) == ()

    def test_a_promise_with_things_open_has_the_caution_before_it_and_is_no_fact(
        self, owner: Visitor, here: str
    ) -> None:
        before = text_of(owner.get(f"{here}/after"))
        assert "A promise proves nothing" in before
        assert "Clear what is open, or list it for parts or repair" in before
        page = owner.post(f"{here}/after/promise", {"what": "all guards are proved", "whom": "x"})
        told = text_of(page)
        assert "Said, not proved: “all guards are proved”" in told
        assert "Kept: promised: all guards are proved" in told
        owner.post(f"{here}/sell/back", {"record": values(page, "record")[0]})
        assert "all guards are proved" not in text_of(owner.get(f"{here}/after"))

    def test_an_answer_with_things_open_is_no_fact(self, owner: Visitor, here: str) -> None:
        owner.post(f"{here}/after/asked", {"question": "All guards proved?", "asker": "x"})
        id = values(owner.get(f"{here}/after"), "question")[0]
        page = owner.post(f"{here}/after/answered", {"question": id, "answer": "yes, all"})
        told = text_of(page)
        assert "Said, not proved: “yes, all”" in told
        assert "An answer proves nothing" in told

    def test_the_books_door_asks_what_the_offers_door_asks(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        _, _, lot, _, machine, _ = here.split("/")
        form = {"sort": "sold", "amount": "9000", "what": "the lathe", "for": f"{lot}|{machine}"}
        answer = owner.post("/settle/post", form)
        assert answer.status_code == 409
        assert "for parts or repair" in text_of(answer)
        assert 'value="9000"' in answer.text
        owner.post(f"{here}/sell/list", LISTED, follow=False)
        assert owner.post("/settle/post", form, follow=False).status_code == 303
        assert "sold already" in text_of(owner.post("/settle/post", form | {"amount": "8000"}))
        assert len(shop.current(Posting)) == 1

    def test_money_that_came_is_taken_back_where_it_was_kept(
        self, owner: Visitor, offered: str, shop: RecordShop
    ) -> None:
        (offer,) = shop.current(Offered)
        taken = owner.post(f"{offered}/sell/answer", {"offer": offer.id, "answer": "taken"})
        assert "Kept: the offer of a school, € 9 000.00: taken" in text_of(taken).replace(
            "\u202f", " "
        )
        (sold,) = shop.current(Posting)
        page = owner.post(f"{offered}/after/came", {"sale": sold.id, "amount": "500"})
        assert "Kept: Slant lathe" in text_of(page)
        offer_back = {"record": values(taken, "record")[0]}
        assert owner.post(f"{offered}/sell/back", offer_back).status_code == 409  # money came
        back = {"record": values(page, "record")[0], "back": f"{offered}/after"}
        assert "It is not sold yet" not in text_of(owner.post(f"{offered}/sell/back", back))
        assert [one.id for one in shop.current(Posting)] == [sold.id]
        assert owner.post(f"{offered}/sell/back", offer_back).status_code == 200
        assert not shop.current(Posting)
        assert [one.fact.answer for one in shop.current(Offered)] == [""]

    @pytest.mark.parametrize("of", [0, 1])
    def test_money_for_what_is_no_sale_is_refused(self, owner: Visitor, here: str, of: int) -> None:
        id = (here.split("/")[2], here.split("/")[4])[of]
        answer = owner.post(f"{here}/after/came", {"sale": id, "amount": "5"})
        assert answer.status_code == 404

    def test_another_machines_offer_is_not_answered_here(
        self, owner: Visitor, offered: str, shop: RecordShop
    ) -> None:
        (offer,) = shop.current(Offered)
        mill = shop.current(Machine)[0].id
        other = f"{offered.rpartition('/machines/')[0]}/machines/{mill}/settle"
        answer = owner.post(f"{other}/sell/answer", {"offer": offer.id, "answer": "refused"})
        assert answer.status_code == 404
        assert shop.current(Offered)[0].fact.answer == ""

    def test_an_empty_question_is_refused_by_field(self, owner: Visitor, here: str) -> None:
        answer = owner.post(f"{here}/after/asked", {"question": "", "asker": ""})
        assert answer.status_code == 422
        assert "Say who asked" in text_of(answer)
