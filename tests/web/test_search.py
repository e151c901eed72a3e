"""Search on the pages: what was kept and what the library knows, straight to its page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from urllib.parse import quote

import pytest
from starlette.applications import Starlette
from starlette.routing import Match, Route
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock, jpeg
from tests.web.joining import LAN, joined
from tests.web.visitor import Visitor, text_of

from retrue.base.codes import code_of
from retrue.base.refusals import Unknown
from retrue.base.say import speaking
from retrue.cases.diary_rules import MONEY
from retrue.cases.search_pages import MACHINE_PAGES, PAGES
from retrue.kinds.library import Kind
from retrue.kinds.spoken import spoken
from retrue.phases import diary, search
from retrue.records.facts import Finding, Note, Plate
from retrue.records.joining import DeviceJoined
from retrue.records.settling import Posting
from retrue.records.stripping import Taken
from retrue.records.waking import StageReading
from retrue.web import manual_index, roles
from retrue.web.app import ROUTES, Settings, app

GETS = [one for one in ROUTES if isinstance(one, Route) and "GET" in (one.methods or set())]


def fits(path: str) -> bool:
    scope = {"type": "http", "path": path, "method": "GET", "headers": [], "root_path": ""}
    return any(one.matches(scope)[0] is Match.FULL for one in GETS)


@pytest.fixture
def shop(house: Starlette) -> FakeShop:
    kept: FakeShop = house.state.shop
    return kept


@pytest.fixture
def mill(shop: FakeShop) -> str:
    return bare_lot(shop)[0]


@pytest.fixture
def at(mill: str) -> dict[str, str]:
    lot, machine = re.findall(r"[0-9a-f-]{36}", mill)
    return {"lot": lot, "machine": machine}


class TestAsItsReaderSeesIt:
    """What stands in a line is found by it: amounts, readings, words of the library."""

    @pytest.fixture
    def paid(self, shop: FakeShop) -> str:
        line = Posting(sort="paid", posted_on="2026-11-25", what="oil", amount=Decimal("411.4"))
        return shop.add(line, by="owner").id

    @pytest.mark.parametrize("words", ["411", "411.4", "411.40", "411,4", "€ 411.40"])
    def test_an_amount_is_found_as_it_is_shown_or_typed(
        self, owner: Visitor, paid: str, words: str
    ) -> None:
        page = owner.get(f"/search?words={quote(words)}")
        assert f"/settle/book/{paid}" in page.text
        assert "€ 411.40" in text_of(page).replace("\u202f", " ")

    @pytest.mark.parametrize("words", ["12400", "12 400", "12\u202f400"])
    def test_thousands_are_found_joined_and_apart(
        self, owner: Visitor, shop: FakeShop, words: str
    ) -> None:
        line = Posting(sort="paid", posted_on="2026-11-25", what="mill", amount=Decimal(12400))
        shop.add(line, by="owner")
        assert "mill" in text_of(owner.get(f"/search?words={quote(words)}"))

    def test_a_reading_is_found_by_its_number_and_by_its_words(
        self, owner: Visitor, shop: FakeShop, at: dict[str, str]
    ) -> None:
        read = StageReading(**at, stage="P0-V", begun="b", name="earth", reading=0.0417, unit="Ω")
        shop.add(read, by="owner")
        for words in ("0.0417", "earth metal"):
            assert "0.0417 Ω" in text_of(owner.get(f"/search?words={words}")).replace("\u202f", " ")

    def test_a_finding_is_found_by_the_words_of_its_readers_language(
        self, shop: FakeShop, at: dict[str, str], kinds: Mapping[str, Kind]
    ) -> None:
        check = "C01"
        kept = shop.add(Finding(**at, check=check, answer="seen"), by="owner")
        for language in ("en", "nl"):
            with speaking(language):
                about = diary.about_of(shop, spoken(kinds))
                kind = about.kinds[at["machine"]]
                assert kind is not None
                word = max(kind.checks[check].text.split(), key=len)
                found = search.search(shop, word, about)
                assert kept.id in [one.id for one in found.kept], (language, word)

    def test_where_not_all_was_read_so_it_says_so(
        self, owner: Visitor, paid: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        says = "by amounts, readings and the words of the library the newest 1 records"
        assert says not in text_of(owner.get("/search?words=411"))
        monkeypatch.setattr(search, "MOST_READ", 1)
        assert says in text_of(owner.get("/search?words=nothing+like+it"))

    def test_what_was_taken_back_is_not_found_so(
        self, owner: Visitor, shop: FakeShop, paid: str
    ) -> None:
        shop.withdraw(paid, by="owner")
        assert "411.40" not in text_of(owner.get("/search?words=411"))

    def test_a_helper_is_not_shown_an_amount(self, house: Starlette, paid: str) -> None:
        found = search.search(
            house.state.shop, "411", diary.about_of(house.state.shop, {}), hidden=MONEY
        )
        assert found.kept == ()


class TestWhatWasKept:
    def test_a_machine_leads_to_its_page(self, owner: Visitor, mill: str) -> None:
        page = owner.get("/search?words=bed+mil")
        assert f'href="{mill}"' in page.text
        assert "Machines and lots" in text_of(page)

    def test_a_note_with_its_photograph(self, owner: Visitor, shop: FakeShop) -> None:
        files = [("picture", ("n.jpg", jpeg(), "image/jpeg"))]
        owner.post("/note", {"text": "Étau serré"}, files)
        page = owner.get("/search?words=etau")
        (kept,) = shop.current(Note)
        assert "Étau serré" in text_of(page)
        assert f"/files/{kept.fact.file}/shown/small" in page.text
        assert f'href="/kept/{kept.id}"' in page.text

    def test_the_newest_stands_first_and_only_what_counts(
        self, owner: Visitor, shop: FakeShop, at: dict[str, str]
    ) -> None:
        old = shop.add(Note(text="gib dry, old", **at), by="owner")
        shop.add(Finding(**at, check="C01", answer="seen", text="gib dry"), by="owner")
        gone = shop.add(Note(text="gib dry, gone", **at), by="owner")
        shop.withdraw(gone.id, by="owner")
        told = text_of(owner.get("/search?words=gib+dry"))
        assert told.index("seen; gib dry") < told.index("gib dry, old")
        assert "gone" not in told.partition("What was kept, the newest first")[2]
        assert f"/kept/{old.id}" in owner.get("/search?words=gib+dry").text

    def test_a_serial_number_in_part(
        self, owner: Visitor, shop: FakeShop, at: dict[str, str], mill: str
    ) -> None:
        shop.add(Plate(machine=at["machine"], entry="N02", value="VM-77/0412-B"), by="owner")
        for asked in ("VM-77/0412-B", "0412", "vm77"):
            page = owner.get("/search", params={"words": asked})
            assert f'href="{mill}/plate"' in page.text, asked


class TestCodesOnPaper:
    def test_a_label_leads_straight_to_its_line(
        self, owner: Visitor, shop: FakeShop, at: dict[str, str], mill: str
    ) -> None:
        code = code_of("labels", "1")
        part = Taken(**at, place="cabinet", sort="part", code=code, what="fan")
        shop.add(part, by="owner")
        asked = code.lower().replace("-", " ")
        answer = owner.get("/search", params={"words": asked}, follow=False)
        assert answer.status_code == 303
        assert answer.headers["location"] == f"{mill}/strip/apart/{code}"

    def test_a_code_of_nothing_is_looked_for_as_a_word(self, owner: Visitor, mill: str) -> None:
        code = code_of("labels", "nobody has it")
        page = owner.get("/search", params={"words": code})
        assert page.status_code == 200
        assert "Nothing has" in text_of(page)

    def test_finders_are_asked_one_after_the_other(self) -> None:
        code = code_of("labels", "1")
        asked: list[str] = []

        def never(typed: str) -> str:
            asked.append(typed)
            raise Unknown("no", remedy="look again")

        assert search.straight(code, {"label": never, "set": "/sets/{}/all".format}) == (
            f"/sets/{code}/all"
        )
        assert asked == [code]


class TestWhatTheLibraryKnows:
    @pytest.mark.parametrize(
        ("asked", "sort", "table"),
        [("F12", "what may be wrong", "faults"), ("C01", "look", "checks"),
         ("Y01", "what it does", "symptoms"), ("X02", "caution", "cautions"),
         ("J05", "job card", "jobs")],
    )  # fmt: skip
    def test_an_id_is_found_first(
        self, owner: Visitor, mill: str, kinds: dict[str, Kind], asked: str, sort: str, table: str
    ) -> None:
        page = owner.get(f"/search?words={asked}")
        told = text_of(page)
        names = [
            getattr(one, said)
            for kind in ("vertical_machining_centre", "turning_centre")
            for one in [getattr(kinds[kind], table).get(asked)]
            for said in ("name", "text", "words")
            if one is not None and hasattr(one, said)
        ]
        assert any(name in told for name in names)
        assert f"{sort} {asked}" in told

    def test_a_word_finds_faults_looks_tests_and_each_leads_to_a_page(
        self, owner: Visitor, mill: str
    ) -> None:
        page = owner.get("/search?words=backlash")
        links = re.findall(r'href="(/lots/[^"#]+)', page.text)
        assert any(link.endswith("/measure/backlash/new") for link in links)
        assert any("/looks/" in link for link in links)
        assert all(fits(link) for link in links)
        assert owner.get(next(one for one in links if "/looks/" in one)).status_code == 200

    def test_without_a_machine_the_library_is_not_offered(self, owner: Visitor) -> None:
        assert "What may be wrong" not in text_of(owner.get("/search?words=backlash"))


class TestPages:
    def test_every_page_that_is_offered_is_there(self) -> None:
        later = {"/shop/keeping"} - {one.path for one in GETS}
        assert [path for path, _, _ in PAGES if not fits(path)] == sorted(later)
        below = [f"/lots/l/machines/m{end}" for end, _, _ in MACHINE_PAGES]
        assert [path for path in below if not fits(path)] == []

    def test_a_page_by_its_title_and_by_another_word(self, owner: Visitor, mill: str) -> None:
        assert 'href="/settle/hours"' in owner.get("/search?words=own+hours").text
        assert 'href="/kept"' in owner.get("/search?words=undo").text
        assert f'href="{mill}/strip/remaining"' in owner.get("/search?words=not+yet+back").text

    def test_the_manual_by_its_headings(self, owner: Visitor) -> None:
        assert "docs/hours.md" in text_of(owner.get("/search?words=how+an+evening"))
        for one, _ in manual_index.headings():
            assert one.page
            assert one.words


class TestTheForm:
    def test_nothing_found_says_what_was_searched(self, owner: Visitor, mill: str) -> None:
        told = text_of(owner.get("/search?words=qqqq"))
        assert "Nothing has “qqqq” in it." in told
        assert "the book" in told
        assert "manual" in told

    @pytest.mark.parametrize("words", ["", "   ", ".,;", "'; DROP TABLE", "%25_%25", "🙂"])
    def test_whatever_is_typed_is_answered(self, owner: Visitor, words: str) -> None:
        assert owner.get(f"/search?words={words}").status_code == 200

    def test_more_than_anybody_types_is_refused(self, owner: Visitor) -> None:
        answer = owner.get("/search", params={"words": "a" * 300})
        assert answer.status_code == 422

    def test_what_was_typed_stays_text(self, owner: Visitor) -> None:
        page = owner.get("/search", params={"words": "<b>&amp;"})
        assert "<b>&amp;" not in page.text.partition('id="asked"')[2][:200]


def test_a_helper_is_not_shown_money(
    kinds: Mapping[str, Kind], clock: Clock, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The filter by kind holds whatever routes a helper may open."""
    opened = {"GET /search", "GET /kept", "GET /kept/{id}"}
    monkeypatch.setattr(roles, "FOR_A_HELPER", roles.FOR_A_HELPER | opened)
    shop = FakeShop()
    made = app(shop=shop, kinds=kinds, clock=clock, settings=replace(settings, lan=LAN))
    paid = Posting(sort="paid", posted_on="2026-11-25", what="bearings paid", amount=Decimal(9))
    posted = shop.add(paid, by="owner")
    phone = joined(made, "helper")
    (his,) = shop.current(DeviceJoined)
    noted = shop.add(Note(text="bearings growl"), by="An", device=his.fact.device)
    for path in ("/search?words=bearings", "/kept"):
        told = text_of(phone.get(path))
        assert "bearings growl" in told
        assert "bearings paid" not in told
    assert phone.get(f"/kept/{noted.id}").status_code == 200
    assert phone.get(f"/kept/{posted.id}").status_code == 403
    assert "/settle" not in phone.get("/search?words=hours").text
