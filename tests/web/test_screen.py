"""A catalogue on its pages: read, priced, the best lots, who bids; as a plain form."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping

import httpx
import pytest
from python_calamine import CalamineWorkbook
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.paper.reading import text_of as paper_text
from tests.web.conftest import Clock
from tests.web.joining import joined
from tests.web.visitor import File, Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.records.facts import Lot
from retrue.records.screening import Bidder, Catalogue, PartScreened
from retrue.records.shop import RecordShop
from retrue.web.app import Settings, app

Kinds = Mapping[str, Kind]
LAN = "192.168.1.20"
SALE = """\
Los;Bezeichnung;Baujahr;Preis;Zustand
1;CNC Drehmaschine, Schrägbett;2012;1.000,-;läuft
2/1;Bearbeitungszentrum vertikal;2014;600,-;
7;Werkzeugschrank <b>;;50,-;gut
9;Waagerecht-Bearbeitungszentrum;;4.000,-;
"""
FORM = {"name": "Closing sale", "premium": "16", "distance_km": "42", "sale": "fixed_price"}


def sent(text: str = SALE, name: str = "sale.csv") -> list[File]:
    return [("table", (name, text.encode(), "text/csv"))]


def house_of(shop: FakeShop, clock: Clock, kinds: Kinds) -> Starlette:
    settings = Settings(secret="only for tests", edition="retrue 0.1.0", worlds=300, lan=LAN)
    return app(shop=shop, kinds=kinds, clock=clock, settings=settings)


@pytest.fixture(scope="module")
def screened(kinds: Kinds) -> tuple[FakeShop, str]:
    """A catalogue that was read and priced, and its path; each test goes on from there."""
    clock = Clock()
    shop = FakeShop(clock)
    house = house_of(shop, clock, kinds)
    answer = Visitor(house).post("/screen", FORM, sent(), follow=False)
    assert answer.status_code == 303, text_of(answer)
    path = answer.headers["location"]
    begun = Visitor(house).post(f"{path}/work", {"how": "go"}, follow=False)
    assert begun.status_code == 303, text_of(begun)
    house.state.screener.wait(path.rpartition("/")[2])
    return shop, str(path)


@pytest.fixture
def one(kinds: Kinds, screened: tuple[FakeShop, str]) -> Starlette:
    clock = Clock()
    shop = FakeShop(clock)
    shop.go_on_from(screened[0])
    return house_of(shop, clock, kinds)


@pytest.fixture
def here(screened: tuple[FakeShop, str]) -> str:
    """Its path."""
    return screened[1]


@pytest.fixture
def me(one: Starlette) -> Visitor:
    return Visitor(one)


@pytest.fixture
def shop(one: Starlette) -> RecordShop:
    kept: RecordShop = one.state.shop
    return kept


def found(pattern: str, answer: httpx.Response) -> str:
    told = re.search(pattern, answer.text)
    assert told is not None, text_of(answer)
    return told[1]


class TestReading:
    def test_before_it_is_priced_the_page_says_what_was_read(self, owner: Visitor) -> None:
        page = owner.post("/screen", FORM, sent())
        text = text_of(page)
        assert "Closing sale" in text
        assert "Machines that can be priced, of 4 lots 3" in text
        assert "Read: Los, Bezeichnung, Baujahr, Preis" in text
        assert "Price every lot" in text
        assert owner.app.state.shop.current(PartScreened) == []
        assert "Closing sale Not priced yet." in text_of(owner.get("/screen"))

    def test_without_a_file_what_was_typed_stays(self, owner: Visitor) -> None:
        page = owner.post("/screen", FORM | {"premium": "16,5"})
        assert page.status_code == 422
        assert "no file was sent" in text_of(page)
        assert values(page, "premium") == ["16,5"]

    def test_a_rate_without_its_currency_is_named(self, owner: Visitor) -> None:
        page = owner.post("/screen", FORM | {"rate-2": "1.07"}, sent())
        assert page.status_code == 422
        assert "no currency was typed" in text_of(page)
        assert owner.app.state.shop.current(Catalogue) == []
        # the file need not be sent again
        held = {name: values(page, name)[0] for name in ("kept", "kept_name")}
        done = owner.post("/screen", FORM | held)
        assert "Machines that can be priced, of 4 lots 3" in text_of(done)

    def test_columns_nobody_can_decide_are_asked_for_and_the_file_is_kept(
        self, owner: Visitor
    ) -> None:
        odd = "A1;B2;C3\n1;CNC lathe;2500\n2;milling machine;900\n"
        asked = owner.post("/screen", {"name": "odd"}, sent(odd))
        assert asked.status_code == 200
        assert str(asked.url.path).endswith("/columns")
        assert values(asked, "heading-1") == ["B2"]
        path = str(asked.url.path)
        form = {"heading-1": "B2", "role-1": "title", "heading-2": "C3", "role-2": "start",
                "name": "odd"}  # fmt: skip
        again = owner.post(path, form)
        assert again.status_code == 200, text_of(again)
        assert "Machines that can be priced, of 2 lots 2" in text_of(again)

    def test_what_must_be_said_first_is_asked_on_the_page_by_the_names_of_its_fields(
        self, owner: Visitor
    ) -> None:
        """Only looked at, it is no refusal; a remedy names what stands on the page."""
        swiss = "lot;description;price\n1;CNC lathe;CHF 900\n"
        asked = owner.post("/screen", {"name": "swiss"}, sent(swiss))
        path = str(asked.url.path)
        read = owner.get(path.replace("/columns", "/read"))
        bids = owner.get(path.replace("/columns", "/bids"))
        lot = owner.get(path.replace("/columns", "/lot/1"))
        for page in (asked, owner.get(path), read, bids, lot):
            assert page.status_code == 200
            assert str(page.url.path) == path
            text = text_of(page)
            assert "CHF has no rate" in text
            assert "under Other currencies" in text
            assert "--rate" not in page.text
            assert "did not go through" not in text
            assert 'id="rates-wrong"' in page.text
        said = {"rate_currency-1": "CHF", "rate-1": "1.05", "rate_on": "2026-11-20"}
        done = owner.post(path, {"name": "swiss"} | said)
        assert "of 1 lots 1" in text_of(done), text_of(done)

    def test_what_is_no_table_is_not_kept_and_takes_no_name(self, owner: Visitor) -> None:
        junk = "%PDF-1.4 xx\n1 0 obj\nfoo\nbar\n"
        refused = owner.post("/screen", {"name": "w"}, sent(junk, "w.csv"))
        assert refused.status_code == 422
        assert "--columns" not in refused.text
        assert owner.app.state.shop.current(Catalogue) == []
        assert owner.post("/screen", {"name": "w"}, sent()).status_code == 200

    def test_more_lines_than_a_sale_has_are_refused(self, owner: Visitor) -> None:
        long = "lot;description\n" + "".join(f"{n};cupboard\n" for n in range(5_001))
        refused = owner.post("/screen", {"name": "long"}, sent(long))
        assert refused.status_code == 422
        assert "more than 5 000" in text_of(refused).replace("\xa0", " ").replace("\u202f", " ")
        assert "Cut it in parts" in text_of(refused)
        assert owner.app.state.shop.current(Catalogue) == []

    def test_every_cell_and_what_was_made_of_it_is_told(self, me: Visitor, here: str) -> None:
        page = me.get(f"{here}/read")
        text = text_of(page)
        for line in SALE.splitlines():
            for cell in filter(None, line.split(";")):
                assert cell in text, cell
        assert "Werkzeugschrank <b>" in text
        assert "<b>;" not in page.text
        assert "Not used" in text
        assert "Lots without a price" in text

    def test_a_column_said_otherwise_is_read_otherwise(self, owner: Visitor) -> None:
        path = owner.post("/screen", FORM, sent(), follow=False).headers["location"]
        page = owner.get(f"{path}/columns")
        assert values(page, "premium") == ["16"]
        place = values(page, "heading-4")
        assert place == ["Zustand"]
        form = {name: values(page, name)[0] for name in ("heading-4", "was-4", "name", "premium")}
        owner.post(f"{path}/columns", form | {"role-4": "text"})
        (kept,) = owner.app.state.shop.current(Catalogue)
        assert kept.fact.columns == (("text", "Zustand"),)
        assert "as you said" in text_of(owner.get(f"{path}/columns"))


class TestTheBest:
    def test_it_says_how_many_are_worth_a_call_and_each_leads_to_its_page(
        self, me: Visitor, here: str
    ) -> None:
        page = me.get(here)
        assert page.status_code == 200
        text = text_of(page)
        assert text.index("Estimate for planning.") < text.index("Worth a bid, of 4 lots 2")
        assert "1 lots have no price" in text
        assert "Best is" in text
        assert "<svg" in page.text
        for link in set(re.findall(rf'href="({here}/lot/[^"]+)"', page.text)):
            assert me.get(link).status_code == 200, link

    def test_the_tables_hold_every_lot_and_the_paper_the_best(self, me: Visitor, here: str) -> None:
        lines = me.get(f"{here}/sheet.csv").text.splitlines()
        assert len(lines) == 1 + 4
        whole = CalamineWorkbook.from_filelike(io.BytesIO(me.get(f"{here}/sheet.xlsx").content))
        assert len(whole.get_sheet_by_index(0).to_python()) == 1 + 4
        printed = paper_text(me.get(f"{here}/sheet.pdf").content)
        assert "Worth a call: Closing sale" in printed
        assert "4 lots, 3 with a price" in printed

    def test_best_first_by_own_hours_is_another_address(self, me: Visitor, here: str) -> None:
        page = me.get(f"{here}?by=hour")
        assert page.status_code == 200
        assert f"{here}/sheet.csv?by=hour" in page.text

    def test_its_progress_is_told_to_a_program(self, me: Visitor, here: str) -> None:
        told = me.get(f"{here}/progress").json()
        assert told == {"done": 4, "going": False, "schema": "screening/1", "share": 1.0,
                        "words": "4 of 4 lots."}  # fmt: skip

    def test_what_it_rests_on_changed_is_said_and_priced_anew(
        self, owner: Visitor, house: Starlette
    ) -> None:
        path = owner.post(
            "/screen", FORM, sent("lot;description\n1;CNC lathe\n"), follow=False
        ).headers["location"]
        owner.post(f"{path}/work", {"how": "go"})
        house.state.screener.wait(path.rpartition("/")[2])
        owner.post(f"{path}/columns", FORM | {"premium": "25"})
        assert "Price them anew" in text_of(owner.get(path))
        refused = owner.post(f"{path}/work", {"how": "go"})
        assert refused.status_code == 409
        owner.post(f"{path}/work", {"how": "again"})
        house.state.screener.wait(path.rpartition("/")[2])
        assert "Price them anew" not in text_of(owner.get(path))


DEAR = "lot;description;year;price\n1;CNC lathe;1999;90000\n2;milling machine;1998;80000\n"


def test_where_no_work_was_said_the_page_asks_for_it_and_draws_no_conclusion(
    owner: Visitor, house: Starlette
) -> None:
    """The same catalogue, before and after the shop has said its work."""

    def priced(name: str, text: str) -> httpx.Response:
        path = owner.post("/screen", FORM | {"name": name}, sent(text), follow=False).headers[
            "location"
        ]
        before = owner.get(path)
        assert ("what work must be done" in text_of(before)) == (name == "before")
        owner.post(f"{path}/work", {"how": "go"})
        house.state.screener.wait(path.rpartition("/")[2])
        return owner.get(path)

    page = priced("before", DEAR)
    text = text_of(page)
    assert text.index("what work must be done") < text.index("Worth a bid, of 2 lots none")
    assert 'href="/shop#needs"' in page.text
    assert "Let this sale go" not in text
    assert "No lot of this catalogue is better" not in text
    for name, kind in (("plates", "vertical_machining_centre"), ("knobs", "turning_centre")):
        owner.post("/shop/needs", {"need_name": name, "kind": kind})
    said = text_of(priced("after", DEAR + "3;cupboard;;50\n"))
    assert "what work must be done" not in said
    assert "Worth a bid, of 3 lots" in said


def test_a_column_that_looks_like_years_and_is_not_read_is_told_above_the_list(
    owner: Visitor,
) -> None:
    text = "lot;description;Q7\n" + "".join(f"{n};CNC lathe;{1990 + n}\n" for n in range(4))
    page = owner.post("/screen", FORM, sent(text))
    told = text_of(page)
    assert told.index("is not read.") < told.index("Machines that can be priced")
    assert "“Q7”" in told
    assert "looks like years of make (1990)" in told


def test_above_the_list_stands_what_first_prices_leave_out(me: Visitor, here: str) -> None:
    text = text_of(me.get(here))
    assert text.index("a third too low") < text.index("Worth a bid, of 4 lots")


class TestALot:
    def test_its_number_may_hold_what_an_address_cannot(self, me: Visitor, here: str) -> None:
        page = me.get(f"{here}/lot/line%203")
        assert page.status_code == 200
        assert "Lot 2/1: Bearbeitungszentrum vertikal" in text_of(page)
        assert me.get(f"{here}/lot/nowhere").status_code == 404

    def test_a_type_not_known_here_says_so_before_its_number(self, me: Visitor, here: str) -> None:
        text = text_of(me.get(f"{here}/lot/9"))
        assert "Type not known." in text
        assert "Nobody of us so far." in text

    def test_a_cupboard_has_no_price_and_is_not_taken(self, me: Visitor, here: str) -> None:
        page = me.get(f"{here}/lot/7")
        assert "no price" in text_of(page)
        assert f'action="{here}/take"' not in page.text
        assert me.post(f"{here}/take", {"number": "7"}).status_code == 422

    def test_it_is_taken_into_my_lots_once(self, me: Visitor, here: str, shop: RecordShop) -> None:
        first = me.post(f"{here}/take", {"number": "2/1"}, follow=False)
        again = me.post(f"{here}/take", {"number": "2/1"}, follow=False)
        assert first.status_code == again.status_code == 303
        assert first.headers["location"] == again.headers["location"]
        (lot,) = shop.current(Lot)
        assert lot.fact.name == "Closing sale 2/1"
        assert first.headers["location"] == f"/lots/{lot.id}"
        assert "To my lot" in text_of(me.get(f"{here}/lot/line%203"))

    def test_one_person_bids_and_the_second_is_told_who(
        self, one: Starlette, me: Visitor, here: str, shop: RecordShop
    ) -> None:
        assert me.post(f"{here}/bidder", {"number": "1", "limit": "100"}).status_code == 200
        other = joined(one, "owner", person="An")
        refused = other.post(f"{here}/bidder", {"number": "1", "limit": "200"})
        assert refused.status_code == 409
        assert "owner bids on lot 1" in text_of(refused)
        high = me.post(f"{here}/bidder", {"number": "1", "limit": "999999"})
        assert high.status_code == 409
        assert values(high, "limit") == ["999999"]
        assert "Say why" in text_of(high)
        me.post(f"{here}/bidder/back", {"number": "1"})
        assert shop.current(Bidder) == []
        assert other.post(f"{here}/bidder", {"number": "1", "limit": "100"}).status_code == 200
        won = other.post(f"{here}/outcome", {"number": "1", "result": "won", "amount": "90"})
        assert "Won by An , € 90" in text_of(won)
        assert "won by An" in text_of(me.get(here))

    def test_won_at_nothing_said_is_refused(self, me: Visitor, here: str) -> None:
        me.post(f"{here}/bidder", {"number": "9"})
        refused = me.post(f"{here}/outcome", {"number": "9", "result": "won"})
        assert refused.status_code == 422
        assert me.post(f"{here}/outcome", {"number": "9"}).status_code == 422


def test_the_type_and_what_to_ask_are_said_in_the_readers_language(
    one: Starlette, here: str
) -> None:
    reader = Visitor(one)
    reader.headers["accept-language"] = "nl-BE,nl"
    text = text_of(reader.get(f"{here}/lot/1"))
    assert "type machine: Draaicentrum" in text
    assert "Turning centre" not in text
    assert "How many" not in text


class TestSeveralBids:
    def test_the_limits_are_kept_and_the_bids_hold_them(self, me: Visitor, here: str) -> None:
        page = me.get(f"{here}/bids")
        assert "What the bids may take together" in text_of(page)
        assert me.get(f"{here}/bids.pdf").status_code == 409
        done = me.post(
            f"{here}/bids", {"money": "40000", "floor_m2": "30", "odds": "0.95", "only": "1"}
        )
        assert done.status_code == 200, text_of(done)
        assert values(done, "money") == ["40000"]
        text = text_of(done)
        assert "Bids: Closing sale" in paper_text(me.get(f"{here}/bids.pdf").content)
        assert me.get(f"{here}/bids.xlsx").content[:2] == b"PK"
        for words in ("If all of them win", "what is left then", "Money", "Floor", "My own hours"):
            assert words in text

    def test_what_cannot_be_is_named(self, me: Visitor, here: str) -> None:
        page = me.post(f"{here}/bids", {"money": "-1", "short_list": "900"})
        assert page.status_code == 422
        assert "a number below zero" in text_of(page)
        assert "is not from 1 to 60" in text_of(page)
        assert me.post(f"{here}/bids", {"only": "1, 44"}).status_code == 404


class TestAHelper:
    def test_he_sees_how_far_it_is_and_no_lot(self, one: Starlette, here: str) -> None:
        helper = joined(one, "helper")
        page = helper.get(here)
        text = text_of(page)
        assert "Every lot is worked out." in text
        assert "Drehmaschine" not in text
        assert "/lot/" not in page.text
        assert helper.get(f"{here}/lot/1").status_code == 403
        assert helper.post(f"{here}/bidder", {"number": "9"}).status_code == 403
        assert 'type="file"' not in helper.get("/screen").text
