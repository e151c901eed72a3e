"""What was kept on the pages: in two taps from any form it is taken back or corrected."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Match, Route
from tests.cases.test_diary_tables import full
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock, jpeg
from tests.web.visitor import Visitor, text_of

from retrue.cases.diary_pages import Spot, page_of
from retrue.cases.diary_rules import RULES
from retrue.kinds.library import Kind
from retrue.phases import note
from retrue.records.checking import KINDS
from retrue.records.facts import Finding, Note
from retrue.records.joining import DeviceJoined
from retrue.records.seeking import Signed
from retrue.web import kept_now
from retrue.web.app import ROUTES, Settings, app
from retrue.web.door import deed, to

POSTS = [one for one in ROUTES if isinstance(one, Route) and "POST" in (one.methods or set())]
GETS = [one for one in ROUTES if isinstance(one, Route) and "GET" in (one.methods or set())]
KEEPS_NOTHING = {
    "/pair": "a code is offered to a phone; nothing is kept before it joins",
    "/fix/buy/read": "a file is read and shown; it is kept by the next form",
    "/settle/import/read": "a file is read and shown; it is kept by the next form",
    "/settle/share": "a file is looked at; it is taken by the next form",
    "/settle/check": "a condition record is checked; nothing of it is kept",
}
"""Forms after which there is nothing to take back, and why."""


@pytest.fixture
def shop(house: Starlette) -> FakeShop:
    kept: FakeShop = house.state.shop
    return kept


@pytest.fixture
def mill(shop: FakeShop) -> str:
    return bare_lot(shop)[0]


def kept_links(answer_text: str) -> list[str]:
    found = re.search(r'id="kept-now".*?</p>', answer_text, re.DOTALL)
    return re.findall(r'href="([^"]+)"', found[0]) if found else []


class TestAfterAForm:
    def test_one_tap_leads_to_the_record_and_the_next_takes_it_back(
        self, owner: Visitor, shop: FakeShop
    ) -> None:
        page = owner.post("/note", {"text": "Belt smells hot"})
        (link,) = kept_links(page.text)
        assert "Kept: a note." in text_of(page)
        record = owner.get(link)
        assert f'action="{link}/back"' in record.text
        gone = owner.post(f"{link}/back", {"reason": "wrong machine"})
        assert "Taken back: it counts no more." in text_of(gone)
        assert "because: wrong machine" in text_of(gone)
        assert shop.current(Note) == []
        back = owner.post(f"{gone.url.path}/again")
        assert back.status_code == 200
        assert [one.fact.text for one in shop.current(Note)] == ["Belt smells hot"]

    def test_the_line_is_said_once(self, owner: Visitor) -> None:
        owner.post("/note", {"text": "Belt smells hot"}, follow=False)
        assert kept_links(owner.get("/note").text)
        assert not kept_links(owner.get("/note").text)

    def test_what_was_refused_says_nothing_of_the_sort(self, owner: Visitor) -> None:
        assert not kept_links(owner.post("/note", {"text": " "}).text)
        assert not kept_links(owner.get("/note").text)

    def test_of_many_the_first_are_named_and_the_rest_counted(self, owner: Visitor) -> None:
        mill = bare_lot(owner.app.state.shop)[0]
        files = [("pictures", (f"p{n}.jpg", jpeg(n), "image/jpeg")) for n in range(5)]
        answer = owner.post(mill.partition("/machines")[0] + "/pictures", {}, files)
        assert len(kept_links(answer.text)) == 4
        assert kept_links(answer.text)[-1] == "/kept"
        assert "and 2 more" in text_of(answer)

    def test_a_look_is_taken_back_from_the_page_after_it(
        self, owner: Visitor, shop: FakeShop, mill: str
    ) -> None:
        page = owner.post(f"{mill}/looks/C28", {"answer": "seen"})
        link = kept_links(page.text)[0]
        page = owner.get(link)
        assert "Correct it on its page" in page.text
        owner.post(f"{link}/back")
        assert shop.current(Finding) == []

    def test_a_page_that_says_itself_what_it_kept_says_it_once(self, owner: Visitor) -> None:
        form = {"sort": "paid", "what": "bearings", "amount": "90", "posted_on": "2026-11-20"}
        page = owner.post("/settle/post", form)
        assert page.text.count('class="keptbar"') == 1
        assert not kept_links(page.text)

    @pytest.mark.parametrize(
        "cookie", ["<script>", "note:../../etc", "nothing:n1", "note:n1" * 200, "note:a,+x", "%"]
    )
    def test_a_line_that_a_browser_made_up_is_not_shown(self, owner: Visitor, cookie: str) -> None:
        owner.cookies.set(kept_now.COOKIE, cookie.replace("<", "%3C").replace(">", "%3E"))
        page = owner.get("/note")
        assert page.status_code == 200
        assert "<script>alert" not in page.text
        assert all(link.startswith("/kept/") for link in kept_links(page.text))

    def test_every_form_of_every_page_is_followed_by_the_line(
        self, clock: Clock, settings: Settings, kinds: Mapping[str, Kind]
    ) -> None:
        """Each route that keeps something, its deed exchanged for one that keeps a note."""

        async def keeps(request: Request) -> Response:
            await deed(note.note, request, f"kept at {request.url.path}", by="owner")
            return to("/note")

        exchanged = [Route(one.path, keeps, methods=["POST"]) for one in POSTS]
        made = app(shop=FakeShop(), kinds=kinds, clock=clock, settings=settings)
        made.router.routes[:0] = exchanged
        owner, lost = Visitor(made), []
        for one in POSTS:
            path = re.sub(r"\{\w+\}", "x1", one.path)
            page = owner.post(path, {"by": "owner"})
            if not any(link.startswith("/kept/") for link in kept_links(page.text)):
                lost.append(one.path)
        assert lost == []

    def test_forms_that_keep_nothing_are_forms(self) -> None:
        assert set(KEEPS_NOTHING) <= {one.path for one in POSTS}


def _fits(path: str) -> bool:
    scope = {"type": "http", "path": path, "method": "GET", "headers": [], "root_path": ""}
    return any(one.matches(scope)[0] is Match.FULL for one in GETS)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_of_record_has_a_page_that_shows_it(kind: str) -> None:
    path = page_of(Spot("x2", "x1", full(kind), home="x1"))
    assert _fits(path), path


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_is_taken_back_in_two_taps_or_its_page_says_what_instead(
    kind: str, house: Starlette, owner: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A record of each kind, on its own page: a button, or why not and what is done instead."""
    shop: FakeShop = house.state.shop
    monkeypatch.setattr("retrue.records.adding.check", lambda _: None)
    replaces = None
    if kind == "withdrawn":
        replaces = shop.add(Note(text="gone"), by="owner").id
        kept = shop.withdraw(replaces, by="owner")
    else:
        kept = shop.add(full(kind), by="owner", id="k1")
    page = owner.get(f"/kept/{kept.id}")
    assert page.status_code == 200, text_of(page)
    buttons = re.findall(r'action="/kept/[^"]+/(back|again)"', page.text)
    if RULES[kind].way in ("never", "page") and kind != "withdrawn":
        assert buttons == []
        assert str(RULES[kind].why)[:30] in text_of(page)
        assert "Open its page" in page.text
    else:
        held = ("stands on this", "was kept with", "is the only machine")
        assert len(buttons) == 1 or any(words in page.text for words in held)


class TestTheDiary:
    def test_it_lists_and_filters(self, owner: Visitor, shop: FakeShop, mill: str) -> None:
        owner.post("/note", {"text": "Belt smells hot"})
        shop.add(Note(text="From Jan"), by="Jan", device="tablet")
        assert "Belt smells hot" in text_of(owner.get("/kept"))
        of_jan = text_of(owner.get("/kept?by=Jan"))
        assert "From Jan" in of_jan
        assert "Belt smells hot" not in of_jan
        assert "Bed mill" in text_of(owner.get(f"/kept?machine={mill.rsplit('/', 1)[1]}"))
        assert owner.get("/kept?sort=lot").status_code == 200

    def test_a_device_is_chosen_and_told_by_the_name_its_person_gave_it(
        self, owner: Visitor, shop: FakeShop
    ) -> None:
        joined = DeviceJoined(device="phone-64b5", name="my phone", person="An", role="owner")
        shop.add(joined, by="An")
        kept = shop.add(Note(text="From it"), by="An", device="phone-64b5")
        page = owner.get("/kept?device=phone-64b5")
        assert '<option value="phone-64b5" selected>my phone</option>' in page.text
        assert "An, my phone" in text_of(page)
        one = text_of(owner.get(f"/kept/{kept.id}"))
        assert "my phone" in one
        assert "phone-64b5" not in one

    def test_the_history_of_a_finding_names_the_device(
        self, owner: Visitor, shop: FakeShop, mill: str
    ) -> None:
        joined = DeviceJoined(device="phone-64b5", name="my phone", person="An", role="owner")
        shop.add(joined, by="An")
        lot, machine = mill.split("/")[2::2]
        finding = Finding(lot=lot, machine=machine, check="C01", answer="seen")
        kept = shop.add(finding, by="An", device="phone-64b5")
        page = text_of(owner.get(f"/lots/{lot}/findings/{kept.id}"))
        assert "An, my phone" in page
        assert "phone-64b5" not in page

    @pytest.mark.parametrize(
        "query", ["sort=no", "page=0", "page=999999", "page=x", "machine=nobody", "by=%00"]
    )
    def test_what_cannot_be_is_told(self, owner: Visitor, query: str) -> None:
        assert owner.get(f"/kept?{query}").status_code in (200, 422)

    def test_a_record_says_all_of_itself_with_its_photograph(
        self, owner: Visitor, shop: FakeShop
    ) -> None:
        owner.post("/note", {"text": "hot"}, [("picture", ("n.jpg", jpeg(), "image/jpeg"))])
        (kept,) = shop.current(Note)
        page = owner.get(f"/kept/{kept.id}")
        assert f"/files/{kept.fact.file}/shown/small" in page.text
        assert "{" not in text_of(page)
        assert kept.sha256 not in page.text

    def test_a_refusal_of_a_phase_is_said_on_the_page(
        self, owner: Visitor, shop: FakeShop, mill: str
    ) -> None:
        lot, machine = re.findall(r"[0-9a-f-]{36}", mill)
        kept = shop.add(Signed(lot=lot, machine=machine, stage="apart", name="Jan"), by="owner")
        gone = owner.post(f"/kept/{kept.id}/back")
        again = owner.post(f"{gone.url.path}/again")
        assert again.status_code == 409
        assert "given anew" in text_of(again)

    def test_there_is_no_such_record(self, owner: Visitor) -> None:
        for path in ("/kept/nobody", "/kept/%3Cscript%3E"):
            assert owner.get(path).status_code == 404
        assert owner.post("/kept/nobody/back").status_code == 404
        assert owner.post("/kept/nobody/again").status_code == 404

    def test_the_words_of_a_note_are_corrected_on_its_page(
        self, owner: Visitor, shop: FakeShop
    ) -> None:
        kept = shop.add(Note(text="hto"), by="owner")
        owner.post(f"/kept/{kept.id}/words", {"text": "hot"})
        assert [one.fact.text for one in shop.current(Note)] == ["hot"]
