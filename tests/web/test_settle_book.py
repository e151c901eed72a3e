"""The book on its pages: put in, shown, corrected, taken back; rates; closing."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from tests.web.bare import bare_lot
from tests.web.conftest import Clock, jpeg
from tests.web.visitor import Visitor, text_of, values

from retrue.phases import worth
from retrue.records.facts import File, Withdrawn
from retrue.records.settling import BooksClosed, DayRate, Posting
from retrue.records.shop import RecordShop

POST, BOOK = "/settle/post", "/settle/book"


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def mill(shop: RecordShop) -> str:
    """The mill as a field names it: lot and machine."""
    path = bare_lot(shop)[0].split("/")
    return f"{path[2]}|{path[4]}"


def line(mill: str, **more: str) -> dict[str, str]:
    return {
        "sort": "bought", "amount": "121,50", "what": "spindle belts", "for": mill,
        "posted_on": "2026-11-20",
    } | more  # fmt: skip


def one(shop: RecordShop) -> Posting:
    (record,) = shop.current(Posting)
    return record.fact


class TestPuttingIn:
    def test_three_answers_are_enough(self, owner: Visitor, shop: RecordShop, mill: str) -> None:
        page = owner.post(POST, line(mill, bucket="", paid_from=""))
        assert page.status_code == 200
        assert one(shop).amount == Decimal("121.50")
        assert one(shop).machine == mill.partition("|")[2]
        assert "It costs € 121.50." in text_of(page)

    def test_the_photograph_of_the_receipt_stays_with_the_line(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        paper = [("paper", ("till.jpg", jpeg(), "image/jpeg"))]
        page = owner.post(POST, line(mill), paper)
        (kept,) = shop.current(File)
        assert one(shop).receipt == kept.fact.sha256
        assert f"/files/{kept.id}/shown/small" in page.text
        assert owner.get(f"/files/{kept.id}/shown/small").status_code == 200

    def test_a_receipt_is_kept_though_the_line_is_refused(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        paper = [("paper", ("till.jpg", jpeg(), "image/jpeg"))]
        page = owner.post(POST, line(mill, amount="much"), paper)
        assert page.status_code == 422
        (kept,) = shop.current(File)
        assert values(page, "receipt") == [kept.fact.sha256]
        assert values(page, "what") == ["spindle belts"]
        assert shop.current(Posting) == []

    def test_without_a_rate_it_is_refused_and_everything_typed_stays(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        page = owner.post(POST, line(mill, currency="CHF"))
        assert page.status_code == 422
        assert "missing rate: CHF on 2026-11-20" in text_of(page)
        assert values(page, "amount") == ["121,50"]
        assert shop.current(Posting) == []

    def test_sent_twice_it_is_kept_once(self, owner: Visitor, shop: RecordShop, mill: str) -> None:
        form = line(mill) | {"id": values(owner.get(POST), "id")[0]}
        owner.post(POST, form)
        owner.post(POST, form)
        assert one(shop).what == "spindle belts"

    def test_a_seller_on_the_margin_scheme_shows_no_tax(self, owner: Visitor, mill: str) -> None:
        page = owner.post(POST, line(mill, tax="21", tax_scheme="margin"))
        assert page.status_code == 422
        assert "whose scheme shows no tax" in text_of(page)

    def test_what_is_wrong_stands_beside_what_answers_it(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        page = owner.post(POST, line(mill, sort="returned"))
        assert page.status_code == 422
        assert page.text.index('for="sort"') < page.text.index('id="of-wrong"')
        assert page.text.index('id="of-wrong"') < page.text.index('for="amount"')
        page = owner.post(POST, line("no-such-lot"))
        assert page.status_code == 404
        assert page.text.index('for="for"') < page.text.index('id="lot-wrong"')
        assert page.text.index('id="lot-wrong"') < page.text.index('for="posted_on"')
        page = owner.post(POST, line(mill, from_machine="|nowhere", sort="moved"))
        assert 'id="from_machine-wrong"' in page.text
        page = owner.post(POST, line(mill, source="outcome:x"))
        assert 'id="source-wrong"' in page.text
        page = owner.post(POST, line(mill, currency="chf"))
        assert "/settle/rates?currency=CHF&amp;on=2026-11-20" in page.text
        assert "retrue settle" not in text_of(page)
        assert shop.current(Posting) == []

    def test_it_says_how_the_book_stands_and_what_is_next(self, owner: Visitor, mill: str) -> None:
        assert "this is its first line. Next: what happened" in text_of(owner.get(POST))
        owner.post(POST, line(mill))
        assert "One line is in the book." in text_of(owner.get(POST))


class TestTheBook:
    def test_lines_stand_newest_first_with_what_they_come_to(
        self, owner: Visitor, mill: str
    ) -> None:
        owner.post(POST, line(mill, what="old belts", posted_on="2026-10-01"))
        owner.post(POST, line(mill, what="new belts", tax="21", bucket="parts"))
        told = text_of(owner.get(BOOK))
        assert told.index("new belts") < told.index("old belts")
        assert "€ 221.91 spent." in told  # 121.50 and 121.50 / 1.21 = 100.41
        assert "went out of the bank € 243.00" in told
        assert "tax that comes back € 21.09" in told
        assert "balances to the cent in every currency" in told
        for word in ("debit", "credit"):
            assert word not in told.lower()

    def test_it_is_sifted_by_machine_place_and_month(self, owner: Visitor, mill: str) -> None:
        lot = mill.partition("|")[0]
        owner.post(POST, line(mill, what="old belts", posted_on="2026-10-01"))
        owner.post(POST, line(lot, what="the truck", bucket="move", split="equal"))
        assert "the truck" in text_of(owner.get(f"{BOOK}?for={mill}"))
        assert "€ 182.25 spent." in text_of(owner.get(f"{BOOK}?for={mill}"))  # half the truck
        assert "old belts" not in text_of(owner.get(f"{BOOK}?month=2026-11"))
        assert "the truck" not in text_of(owner.get(f"{BOOK}?bucket=none"))

    def test_what_was_won_is_known_until_it_is_put_in(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        worth.outcome(shop, mill.partition("|")[0], "won", amount=Decimal(6000), by="owner")
        page = owner.get(BOOK)
        assert "€ 6 000.00 spent." in text_of(page)
        assert "One line of it is known and not posted yet." in text_of(page)
        (source,) = values(page, "source")
        owner.post(f"{POST}/expected", {"source": source})
        told = text_of(owner.get(BOOK))
        assert "€ 6 000.00 spent." in told
        assert "not posted yet" not in told
        assert one(shop).source == source

    def test_old_lines_are_a_page_further(self, owner: Visitor, mill: str) -> None:
        for day in range(60):
            owner.post(POST, line(mill, what=f"thing {day:02d}.", amount="1"))
        first = owner.get(BOOK)
        assert "Older: 10 more" in text_of(first)
        second = text_of(owner.get(f"{BOOK}?from=50"))
        assert "thing 09." in second
        assert "thing 11." not in second

    def test_as_a_table(self, owner: Visitor, mill: str) -> None:
        owner.post(POST, line(mill))
        table = owner.get(f"{BOOK}.csv").text.splitlines()
        assert table[0].startswith("id,state,posted_on,sort,what")
        assert "121.50" in table[1]
        assert owner.get(f"{BOOK}.xlsx").content.startswith(b"PK")


class TestOneLine:
    def test_it_is_corrected_in_its_own_form(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        page = owner.post(POST, line(mill, tax="21"))
        assert values(page, "tax") == ["21"]
        path = f"{BOOK}/{shop.current(Posting)[0].id}"
        page = owner.post(path, line(mill, amount="131,50", tax="21"))
        assert one(shop).amount == Decimal("131.50")
        assert "€ 131.50" in text_of(page)

    def test_it_is_taken_back(self, owner: Visitor, shop: RecordShop, mill: str) -> None:
        owner.post(POST, line(mill))
        record = shop.current(Posting)[0].id
        page = owner.post("/settle/take-back", {"record": record, "back": BOOK})
        assert "Nothing is in the book here yet" in text_of(page)

    def test_a_debt_is_paid_and_is_no_second_cost(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        page = owner.post(POST, line(mill, paid_from="owed"))
        owed = shop.current(Posting)[0].id
        assert "It is paid now" in text_of(page)
        form = owner.get(f"{POST}?sort=paid&of={owed}")
        assert values(form, "amount") == ["121.5"]
        owner.post(POST, line(mill, sort="paid", of=owed))
        told = text_of(owner.get(BOOK))
        assert "€ 121.50 spent." in told
        assert "owed to others" not in told

    def test_more_than_was_paid_does_not_come_back(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        owner.post(POST, line(mill))
        bought = shop.current(Posting)[0].id
        page = owner.post(POST, line(mill, sort="returned", of=bought, amount="121,51"))
        assert page.status_code == 422
        assert "more than the € 121.50 that are left of it" in text_of(page)

    def test_no_such_line(self, owner: Visitor) -> None:
        assert owner.get(f"{BOOK}/nothing").status_code == 404


class TestRates:
    def test_a_rate_is_typed_and_a_second_takes_its_place(
        self, owner: Visitor, shop: RecordShop
    ) -> None:
        for rate in ("1,07", "1,08"):
            page = owner.post(
                "/settle/rates", {"currency": "chf", "rate": rate, "rate_on": "2026-11-20"}
            )
        (kept,) = shop.current(DayRate)
        assert (kept.fact.currency, kept.fact.rate) == ("CHF", Decimal("1.08"))
        assert "Kept: CHF on 2026-11-20: 1.08." in text_of(page)
        assert values(page, "record")[0] == kept.id
        owner.post("/settle/take-back", {"record": kept.id, "back": "/settle/rates"})
        assert shop.current(DayRate) == []

    def test_it_says_what_is_missing_and_what_is_next(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        assert "No rate is kept, and none is missing. Next: nothing" in text_of(
            owner.get("/settle/rates")
        )
        owner.post("/settle/rates", {"currency": "CHF", "rate": "1,07", "rate_on": "2026-11-20"})
        owner.post(POST, line(mill, currency="CHF"))
        (kept,) = shop.current(DayRate)
        back = {"record": kept.id, "back": "/settle/rates"}
        assert owner.post("/settle/take-back", back).status_code == 409
        shop.add(Withdrawn(of_kind=DayRate.KIND), replaces=kept.id, by="owner")
        page = owner.get("/settle/rates")
        assert "Missing rate: CHF on 2026-11-20. Next: type it." in text_of(page)

    def test_a_table_is_read_whole_or_not_at_all(self, owner: Visitor, shop: RecordShop) -> None:
        bad = b"date,currency,rate\n2026-11-20,CHF,1.07\n2026-11-21,CFH,1.07\n"
        page = owner.post("/settle/rates/file", {}, [("table", ("r.csv", bad, "text/csv"))])
        assert page.status_code == 422
        assert "CFH is no currency" in text_of(page)
        assert shop.current(DayRate) == []
        good = bad.replace(b"CFH", b"CHF")
        for count in (2, 0):
            page = owner.post("/settle/rates/file", {}, [("table", ("r.csv", good, "text/csv"))])
            assert f"{count} rates are new or changed" in text_of(page)

    def test_one_far_from_the_last_asks_whether_that_is_sure(
        self, owner: Visitor, shop: RecordShop, mill: str
    ) -> None:
        rate = {"currency": "CHF", "rate": "1,07", "rate_on": "2026-11-20"}
        owner.post("/settle/rates", rate)
        far = rate | {"rate": "0,0107", "rate_on": "2026-11-21"}
        page = owner.post("/settle/rates", far)
        assert page.status_code == 422
        assert "is 0.0107, and the last of CHF was 1.07" in text_of(page)
        assert "I am sure of this rate" in text_of(page)
        typed = line(mill, currency="CHF", rate="107")
        asked = owner.post(POST, typed)
        assert asked.status_code == 422
        assert "I am sure of this rate" in text_of(asked)
        assert owner.post(POST, typed | {"sure": "yes"}).status_code == 200
        assert owner.post("/settle/rates", far | {"sure": "yes"}).status_code == 200
        assert (len(shop.current(DayRate)), len(shop.current(Posting))) == (2, 1)

    def test_an_unknown_currency_is_named(self, owner: Visitor) -> None:
        page = owner.post("/settle/rates", {"currency": "ERU", "rate": "1"})
        assert page.status_code == 422
        assert re.search("ERU is no currency. Did you mean .*EUR", text_of(page))


class TestClosing:
    def test_nothing_changes_in_a_closed_part_until_the_closing_is_taken_back(
        self, owner: Visitor, shop: RecordShop, mill: str, clock: Clock
    ) -> None:
        owner.post(POST, line(mill))
        record = shop.current(Posting)[0].id
        clock.now += timedelta(days=1)
        locked = owner.post("/settle/lock", {"until_on": "2026-11-20"})
        assert locked.status_code == 200
        assert "Kept: closed up to 2026-11-20." in text_of(locked)
        assert values(locked, "record")[0] == shop.current(BooksClosed)[0].id
        assert "lock the book" in text_of(locked)
        for page in (
            owner.post(POST, line(mill)),
            owner.post(f"{BOOK}/{record}", line(mill, posted_on="2026-11-25")),
            owner.post("/settle/take-back", {"record": record}),
        ):
            assert page.status_code == 409
            assert "the book is closed up to 2026-11-20" in text_of(page)
        (closing,) = shop.current(BooksClosed)
        owner.post("/settle/take-back", {"record": closing.id, "back": "/settle/lock"})
        asked = owner.post(POST, line(mill))
        assert asked.status_code == 422
        assert "stands in the book already: spindle belts" in text_of(asked)
        assert owner.post(POST, line(mill, beside="yes")).status_code == 200

    def test_a_day_still_to_come_is_not_closed(self, owner: Visitor) -> None:
        page = owner.post("/settle/lock", {"until_on": "2027-01-01"})
        assert page.status_code == 422
        assert "still to come" in text_of(page)
