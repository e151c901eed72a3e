"""Whether a machine may be sold: the same answer from the listing, an offer, the book, a file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.recorded import MADE, Here, bare, guard, ready

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.cases.settle.bring import Wanted
from retrue.cases.settle.bring_lines import Choices
from retrue.kinds.library import Kind
from retrue.phases import settle, worth
from retrue.records.facts import File, Lot, Machine, Terms
from retrue.records.settling import BuyerAsked, ForSale, Offered, Posting, Promised
from retrue.records.shop import Record, RecordShop

Kinds = Mapping[str, Kind]
Door = Callable[[RecordShop, Here, Kinds], object]
ON, DAY = date(2026, 11, 26), "2026-11-26"
BY = {"by": "An"}
BANK = "datum;bedrag;munt;naam\n2026-11-24;-3,00;EUR;een bank\n2026-11-25;9000,00;EUR;een school\n"


def line(at: Here, **more: Any) -> Posting:
    told: dict[str, Any] = {"sort": "sold", "posted_on": DAY, "what": "the mill",
                            "amount": Decimal(9000), "lot": at[0], "machine": at[1]}  # fmt: skip
    return Posting(**told | more)


def by_book(shop: RecordShop, at: Here, kinds: Kinds) -> object:
    return settle.post(shop, line(at), on=ON, kinds=kinds, **BY)


def by_offer(shop: RecordShop, at: Here, kinds: Kinds) -> object:
    fact = Offered(lot="", machine="", whom="a school", offered_on=DAY, amount=Decimal(9000))
    made = settle.offer(shop, *at, kinds, fact, on=ON, **BY)
    return settle.answer_offer(shop, made.id, "taken", kinds, on=ON, **BY)


def by_file(shop: RecordShop, at: Here, kinds: Kinds, text: str = BANK) -> object:
    wanted = Wanted(lot=at[0], machine=at[1])
    told = settle.read_import(shop, text.encode(), "bank.csv", kinds, on=ON, wanted=wanted)
    sold = {row.number: "sold" for row in told.rows[1:]}
    choices = Choices(sorts=sold, deeds={2: "leave"} | dict.fromkeys(sold, "add"))
    return settle.keep_import(shop, told, choices, on=ON, kinds=kinds, **BY)


DOORS: tuple[Door, ...] = (by_book, by_offer, by_file)


def listed(shop: RecordShop, at: Here, sold_as: Any) -> None:
    """As it was listed, whatever came to light since."""
    fact = ForSale(lot=at[0], machine=at[1], sold_as=sold_as, ask=Decimal(9000), listed_on=DAY)
    shop.add(fact, **BY)


@pytest.fixture(scope="module")
def sound(kinds: Kinds) -> tuple[FakeShop, Here]:
    shop = FakeShop()
    return shop, ready(shop, kinds)


@pytest.mark.parametrize("door", DOORS)
def test_with_something_open_no_door_sells_it_but_for_parts(door: Door, kinds: Kinds) -> None:
    shop = FakeShop()
    at = bare(shop)
    listed(shop, at, "running")
    with pytest.raises(NotYet, match="stop items or guards are open") as refused:
        door(shop, at, kinds)
    kind = kinds["vertical_machining_centre"]
    stops = {one.id for one in kind.faults.values() if one.urgency == "STOP"}
    assert {one.where for one in refused.value.problems} >= stops | set(kind.guards)
    assert not shop.current(Posting)
    listed(shop, at, "parts")
    door(shop, at, kinds)
    assert [one.fact.sort for one in shop.current(Posting)] == ["sold"]


@pytest.mark.parametrize("door", DOORS)
def test_no_door_sells_it_twice(door: Door, kinds: Kinds) -> None:
    shop = FakeShop()
    at = bare(shop)
    listed(shop, at, "parts")
    settle.post(shop, line(at, what="whole"), on=ON, kinds=kinds, **BY)
    with pytest.raises(NotYet, match="sold already"):
        door(shop, at, kinds)
    assert [one.fact.what for one in shop.current(Posting)] == ["whole"]


def test_what_is_sound_is_sold_unlisted_and_a_defeated_guard_shuts_the_book_again(
    kinds: Kinds,
) -> None:
    shop = FakeShop()
    at = ready(shop, kinds)
    made = settle.post(shop, line(at), on=ON, kinds=kinds, **BY)
    settle.take_back(shop, made.id, **BY)
    guard(shop, at, "Door interlock", "defeated")
    with pytest.raises(NotYet, match="Door interlock"):
        by_book(shop, at, kinds)


def test_parts_of_it_are_sold_one_by_one_and_sell_no_machine(kinds: Kinds) -> None:
    shop = FakeShop()
    at = bare(shop)
    for what in ("a drive", "a chuck"):
        settle.post(shop, line(at, what=what, bucket="parts"), on=ON, kinds=kinds, **BY)
    assert settle.after_sale(shop, *at, kinds, on=ON).sales == ()
    with pytest.raises(NotYet, match="are open"):
        by_book(shop, at, kinds)


def test_a_sale_is_said_anew_sent_twice_and_sold_again_once_it_was_brought_back(
    kinds: Kinds,
) -> None:
    shop = FakeShop()
    at = bare(shop)
    listed(shop, at, "parts")
    sent = {**BY, "id": "5e11"}
    first = settle.post(shop, line(at), on=ON, kinds=kinds, **sent)
    assert settle.post(shop, line(at), on=ON, kinds=kinds, **sent) == first
    less = settle.correct(shop, first.id, line(at, amount=Decimal(8000)), on=ON, kinds=kinds, **BY)
    assert less.fact.amount == 8000
    back = line(at, sort="returned", of=first.id, amount=Decimal(8000))
    settle.post(shop, back, on=ON, **BY)
    by_book(shop, at, kinds)
    assert len(settle.after_sale(shop, *at, kinds, on=ON).sales) == 1


def test_another_line_made_a_sale_is_asked_too(kinds: Kinds) -> None:
    shop = FakeShop()
    at = bare(shop)
    paid = settle.post(shop, line(at, sort="paid"), on=ON, **BY)
    with pytest.raises(NotYet, match="are open"):
        settle.correct(shop, paid.id, line(at), on=ON, kinds=kinds, **BY)


def test_a_file_sells_one_machine_once_and_names_the_line(kinds: Kinds) -> None:
    shop = FakeShop()
    at = bare(shop)
    listed(shop, at, "parts")
    with pytest.raises(NotYet, match=r"line 4 of bank\.csv: another line"):
        by_file(shop, at, kinds, BANK + "2026-11-25;8000,00;EUR;een atelier\n")
    assert not shop.current(Posting)


@pytest.mark.parametrize("sort", ["lot", "machine", "offer", "listing"])
def test_money_comes_for_a_sale_and_for_nothing_else(sort: str, kinds: Kinds) -> None:
    shop = FakeShop()
    at = bare(shop)
    listed(shop, at, "parts")
    fact = Offered(lot=at[0], machine=at[1], whom="a school", offered_on=DAY, amount=Decimal(9))
    ids = {"lot": at[0], "machine": at[1], "offer": shop.add(fact, **BY).id,
           "listing": shop.current(ForSale)[0].id}  # fmt: skip
    with pytest.raises(Unknown):
        settle.money_in(shop, ids[sort], Decimal(1), on=ON, **BY)
    bought = settle.post(shop, line(at, sort="bought"), on=ON, **BY)
    with pytest.raises(Unknown, match="no sale"):
        settle.money_in(shop, bought.id, Decimal(1), on=ON, **BY)


class TestAPromise:
    def test_with_something_open_it_is_kept_with_the_caution_and_is_no_fact(
        self, kinds: Kinds
    ) -> None:
        shop = FakeShop()
        at = bare(shop)
        fact = Promised(lot="", machine="", what="It runs and all guards are proved",
                        whom="a school", promised_on=DAY)  # fmt: skip
        made = settle.promise(shop, *at, kinds, fact, on=ON, **BY)
        assert made.fact.text.startswith("A promise proves nothing")
        view = settle.after_sale(shop, *at, kinds, on=ON)
        assert view.stops > 0
        assert view.cautions
        (due,) = view.due
        assert due.words == "Promised to a school, not proved: “It runs and all guards are proved”"

    def test_with_nothing_open_it_stands_plainly(
        self, sound: tuple[FakeShop, Here], kinds: Kinds
    ) -> None:
        shop, at = sound
        fact = Promised(lot="", machine="", what="the manual", whom="x", promised_on=DAY)
        assert settle.promise(shop, *at, kinds, fact, on=ON, **BY).fact.text == ""
        assert settle.after_sale(shop, *at, kinds, on=ON).cautions == ()


class TestAnAnswer:
    def test_with_something_open_it_is_kept_with_the_caution_as_a_promise_is(
        self, kinds: Kinds
    ) -> None:
        shop = FakeShop()
        at = bare(shop)
        fact = BuyerAsked(lot="", machine="", whom="a school", asked_on=DAY,
                          question="Are the guards proved?")  # fmt: skip
        made = settle.asked(shop, *at, kinds, fact, on=ON, **BY)
        assert made.fact.text == ""
        told = settle.answered(shop, made.id, "yes, all", on=ON, kinds=kinds, **BY)
        at_once = settle.asked(shop, *at, kinds, replace(fact, answer="yes"), on=ON, **BY)
        for one in (told, at_once):
            assert one.fact.text.startswith(f"An answer proves nothing. Open on {DAY}")

    def test_with_nothing_open_it_stands_plainly(
        self, sound: tuple[FakeShop, Here], kinds: Kinds
    ) -> None:
        shop, at = sound
        fact = BuyerAsked(lot="", machine="", whom="x", asked_on=DAY, question="Which oil?")
        made = settle.asked(shop, *at, kinds, fact, on=ON, **BY)
        assert settle.answered(shop, made.id, "68", on=ON, kinds=kinds, **BY).fact.text == ""


class TestAnOfferAnsweredAtOnce:
    FACT = Offered(lot="", machine="", whom="Piet", offered_on=DAY, amount=Decimal(5000))

    def test_unlisted_nothing_of_it_is_kept(self, kinds: Kinds) -> None:
        shop = FakeShop()
        at = bare(shop)
        with pytest.raises(NotYet, match="not listed"):
            settle.offer_answered(shop, *at, kinds, self.FACT, "taken", on=ON, **BY)
        assert not shop.current(Offered)

    @pytest.mark.parametrize("terms", [{"paid": Decimal(6000)}, {"load_by": "2026-11-01"}])
    def test_on_terms_that_cannot_be_nothing_of_it_is_kept(
        self, terms: dict[str, Any], kinds: Kinds
    ) -> None:
        shop = FakeShop()
        at = bare(shop)
        listed(shop, at, "parts")
        with pytest.raises(Unusable):
            settle.offer_answered(shop, *at, kinds, self.FACT, "taken", on=ON,
                                  terms=settle.Terms(**terms), **BY)  # fmt: skip
        assert not shop.current(Offered)

    @pytest.mark.parametrize("fact", [FACT, replace(FACT, currency="CHF")])
    def test_sold_closed_or_without_a_rate_nothing_of_it_is_kept(
        self, fact: Offered, kinds: Kinds
    ) -> None:
        shop = FakeShop()
        at = bare(shop)
        listed(shop, at, "parts")
        if fact.currency == "EUR":
            settle.post(shop, line(at), on=ON, kinds=kinds, **BY)
        with pytest.raises((NotYet, Unusable)):
            settle.offer_answered(shop, *at, kinds, fact, "taken", on=ON, **BY)
        assert not shop.current(Offered)

    def test_taken_it_is_kept_answered_and_sold_once_though_sent_twice(self, kinds: Kinds) -> None:
        shop = FakeShop()
        at = bare(shop)
        listed(shop, at, "parts")
        for _ in range(2):
            made = settle.offer_answered(shop, *at, kinds, self.FACT, "taken", on=ON, by="An",
                                         id="5e12")  # fmt: skip
        assert made.fact.answer == "taken"
        assert [one.fact.amount for one in shop.current(Posting)] == [5000]

    @pytest.mark.parametrize("answer", ["refused", "waiting"])
    def test_sold_by_it_it_is_not_refused_any_more(self, answer: Any, kinds: Kinds) -> None:
        shop = FakeShop()
        at = bare(shop)
        listed(shop, at, "parts")
        made = settle.offer_answered(shop, *at, kinds, self.FACT, "taken", on=ON, **BY)
        with pytest.raises(NotYet, match="was taken") as refused:
            settle.answer_offer(shop, made.id, answer, kinds, on=ON, **BY)
        (sale,) = shop.current(Posting)
        assert sale.id[:12] in refused.value.remedy
        assert [one.fact.answer for one in shop.current(Offered)] == ["taken"]
        settle.take_back(shop, sale.id, **BY)
        settle.answer_offer(shop, made.id, answer, kinds, on=ON, **BY)
        assert [one.fact.answer for one in shop.current(Offered)] == [answer]


class TestWhatIsBehindIt:
    def test_first_power_signed_and_a_record_given_count_as_done(self, kinds: Kinds) -> None:
        shop = FakeShop()
        at = ready(shop, kinds)
        made = settle.sale(shop, *at, kinds, on=ON, worlds=200)
        assert made.state == made.stands == "as_it_stands"
        settle.give(shop, *at, kinds, on=ON, sold_as="running", **BY)
        given = settle.sale(shop, *at, kinds, on=ON, worlds=200)
        assert {one.id for one in made.adds if one.sort == "proof"} == {"proof:film",
                                                                       "proof:record"}  # fmt: skip
        assert {one.id for one in given.adds if one.sort == "proof"} == {"proof:film"}
        assert given.line[0].take > made.line[0].take
        film = File(lot=at[0], machine=at[1], sha256="0" * 64, name="cold.mp4", shot="S19",
                    media_type="video/mp4", size_bytes=1)  # fmt: skip
        shop.add(film, **BY)
        filmed = settle.sale(shop, *at, kinds, on=ON, worlds=200)
        assert not any(one.sort == "proof" for one in filmed.adds)
        assert filmed.line[0].take > given.line[0].take


class TestAnotherMachine:
    @pytest.fixture
    def two(self) -> tuple[FakeShop, Here, Here]:
        shop = FakeShop()
        machines = [Machine(lot="", name=name, kind=kind) for name, kind in MADE.items()]
        view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), machines, **BY)
        mill, lathe = ((view.id, key) for key, _ in view.machines)
        return shop, mill, lathe

    def test_its_offer_promise_question_and_sale_are_none_of_this_one(
        self, two: tuple[FakeShop, Here, Here], kinds: Kinds
    ) -> None:
        shop, mill, lathe = two
        at = {"lot": mill[0], "machine": mill[1], "whom": "a school"}
        offer = shop.add(Offered(**at, offered_on=DAY, amount=Decimal(9)), **BY)
        said = shop.add(Promised(**at, what="oil", promised_on=DAY), **BY)
        asked = shop.add(BuyerAsked(**at, asked_on=DAY, question="Which oil?"), **BY)
        listed(shop, mill, "parts")
        sold = settle.post(shop, line(mill), on=ON, kinds=kinds, **BY)
        for act in (
            lambda: settle.answer_offer(shop, offer.id, "refused", kinds, on=ON, at=lathe, **BY),
            lambda: settle.promise_kept(shop, said.id, on=ON, at=lathe, **BY),
            lambda: settle.answered(shop, asked.id, "ISO VG 68", on=ON, at=lathe, **BY),
            lambda: settle.money_in(shop, sold.id, Decimal(1), on=ON, at=lathe, **BY),
            lambda: settle.as_before(shop, offer.id, at=lathe, **BY),
        ):
            with pytest.raises(Unknown):
                act()
        assert settle.said_of_sale(shop, offer.id, at=lathe) == ""

    def test_a_name_that_offered_for_both_needs_the_machine(
        self, two: tuple[FakeShop, Here, Here], kinds: Kinds
    ) -> None:
        shop, mill, lathe = two
        for at in (mill, lathe):
            shop.add(Offered(lot=at[0], machine=at[1], whom="a school", offered_on=DAY,
                             amount=Decimal(9)), **BY)  # fmt: skip
        with pytest.raises(Unknown, match="several machines"):
            settle.answer_offer(shop, "a school", "refused", kinds, on=ON, **BY)
        settle.answer_offer(shop, "a school", "refused", kinds, on=ON, at=mill, **BY)
        told = {one.fact.machine: one.fact.answer for one in shop.current(Offered)}
        assert told == {mill[1]: "refused", lathe[1]: ""}


class TestTakenBack:
    def test_what_stood_before_counts_again(self, kinds: Kinds) -> None:
        shop = FakeShop()
        at = bare(shop)
        fact = Promised(lot="", machine="", what="the manual", whom="x", promised_on=DAY)
        made = settle.promise(shop, *at, kinds, fact, on=ON, **BY)
        kept = settle.promise_kept(shop, made.id, on=ON, **BY)
        settle.as_before(shop, kept.id, at=at, **BY)
        assert [one.fact.kept_on for one in shop.current(Promised)] == [None]

    def test_the_first_thing_said_is_withdrawn(self, kinds: Kinds) -> None:
        shop = FakeShop()
        at = bare(shop)
        fact = ForSale(lot="", machine="", sold_as="parts", ask=Decimal(9))
        made = settle.put_up(shop, *at, kinds, fact, on=ON, **BY)
        settle.as_before(shop, made.id, at=at, **BY)
        assert not shop.current(ForSale)

    def test_a_taken_offer_takes_its_sale_and_the_loading_with_it(self, kinds: Kinds) -> None:
        shop = FakeShop()
        at = bare(shop)
        listed(shop, at, "parts")
        fact = Offered(lot="", machine="", whom="x", offered_on=DAY, amount=Decimal(9))
        offer: Record[Offered] = settle.offer(shop, *at, kinds, fact, on=ON, **BY)
        terms = settle.Terms(load_by="2026-12-04")
        taken = settle.answer_offer(shop, offer.id, "taken", kinds, on=ON, terms=terms, **BY)
        assert len(shop.current(Promised)) == len(shop.current(Posting)) == 1
        settle.as_before(shop, taken.id, at=at, **BY)
        assert not shop.current(Promised)
        assert not shop.current(Posting)
        assert shop.current(Offered)[0].fact == replace(offer.fact, answer="")
