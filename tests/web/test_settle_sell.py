"""Selling one machine, on its pages: ask and take, listing, offers, what comes after."""

from __future__ import annotations

import re

import pytest
from tests.web.bare import bare_lot
from tests.web.conftest import Clock
from tests.web.visitor import Visitor, text_of

from retrue.phases import settle
from retrue.records.settling import ForSale, Offered, Posting
from retrue.records.shop import RecordShop


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def here(shop: RecordShop) -> str:
    return f"{bare_lot(shop)[1]}/settle"


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

    def test_an_empty_question_is_refused_by_field(self, owner: Visitor, here: str) -> None:
        answer = owner.post(f"{here}/after/asked", {"question": "", "asker": ""})
        assert answer.status_code == 422
        assert "Say who asked" in text_of(answer)
