"""Taking apart when something went wrong: a wrong tap, a refused photograph, foreign letters."""

from __future__ import annotations

import re

import httpx
import pytest
from tests.paper.reading import text_of as paper_text
from tests.web.measuring import first
from tests.web.test_strip import READY, completed, off, photograph, shoot
from tests.web.visitor import Visitor, text_of, values


@pytest.fixture
def here(machine: str) -> str:
    return machine + "/strip"


class TestApart:
    def test_other_letters_than_the_fonts_have_print_on_labels_and_log(
        self, owner: Visitor, here: str
    ) -> None:
        off(owner, here, what="Łańcuch ⌀ 12, жук \N{WRENCH}")
        for paper in ("labels.pdf", "log.pdf"):
            printed = owner.get(f"{here}/{paper}")
            assert printed.status_code == 200
            assert "Lancuch Ø 12, ???" in " ".join(paper_text(printed.content).split())

    def test_a_refused_photograph_leaves_no_code_behind(self, owner: Visitor, here: str) -> None:
        form = {"id": "8d1c2ab6-0000-4000-8000-000000000008", "sort": "hose", "place": "lighting",
                "from_end": "lamp"}  # fmt: skip
        page = owner.post(here + "/apart", form, [("picture", ("p.jpg", b"none", "image/jpeg"))])
        assert page.status_code == 422
        assert form["id"] in values(page, "id")
        assert "Nothing is off yet" in text_of(page)

    def test_the_same_form_sent_twice_keeps_thing_and_photograph_once(
        self, owner: Visitor, here: str
    ) -> None:
        form = {"id": "8d1c2ab6-0000-4000-8000-000000000009", "sort": "hose", "place": "lighting",
                "from_end": "lamp"}  # fmt: skip
        for _ in range(2):
            page = owner.post(here + "/apart", form, photograph(70))
        code = first(r'class="label num">([^<]+)<', page.text)
        assert owner.get(f"{here}/apart/{code}").text.count("/shown/small") == 1
        assert len(re.findall(r'<li id="[\w-]+"><div class="offwords">', page.text)) == 1

    def test_a_torque_stands_after_its_caution(self, owner: Visitor, here: str) -> None:
        code = off(owner, here, torque_nm="9.5")
        for path in (f"/apart/{code}", "/remaining"):
            text = text_of(owner.get(here + path))
            assert text.index("not what it must go on with") < text.index("9.5")


class TestTakenBack:
    """A tap on the wrong key: each has a way back on the page itself."""

    def back(self, owner: Visitor, page: httpx.Response, of: str) -> httpx.Response:
        """Press the only such key of a page."""
        forms = re.findall(r'<form[^>]*action="([^"]+/back)"[^>]*>(.*?)</form>', page.text)
        action, form = next(one for one in forms if of in one[1])
        told = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))
        return owner.post(action, told)

    def test_what_was_put_back_by_mistake_is_off_again(self, owner: Visitor, here: str) -> None:
        code = off(owner, here)
        owner.post(f"{here}/apart/{code}", {"back": "apart"})
        assert code not in owner.get(here + "/remaining").text
        page = self.back(owner, owner.get(here + "/apart"), "is not back")
        assert page.url.path == here + "/apart"
        assert code in owner.get(here + "/remaining").text
        assert owner.post(here + "/back", {"code": code}).status_code == 404
        owner.post(f"{here}/apart/{code}", {"back": "apart"})
        page = self.back(owner, owner.get(f"{here}/apart/{code}"), "is not back")
        assert page.url.path == f"{here}/apart/{code}"
        assert code in owner.get(here + "/remaining").text

    def test_a_label_that_was_never_off_is_gone(self, owner: Visitor, here: str) -> None:
        code = off(owner, here)
        page = self.back(owner, owner.get(f"{here}/apart/{code}"), "was never off")
        assert "Nothing is off yet" in text_of(page)

    def test_a_photograph_of_the_wrong_line_opens_it_again(self, owner: Visitor, here: str) -> None:
        page = shoot(owner, here, "cabinet", entry="A12", back="places/cabinet")
        assert re.search(r'class="sheet entry done" id="A12"', page.text)
        page = self.back(owner, page, "photograph 1")
        assert re.search(r'class="sheet entry open" id="A12"', page.text)

    def test_a_reading_and_a_cleaning_are_taken_back(self, owner: Visitor, here: str) -> None:
        path = here + "/places/cabinet"
        read = {"entry": "A15", "back": "places/cabinet", "state": "done", "reading": "12"}
        page = self.back(owner, owner.post(path, read | {"unit": "MΩ", "text": "X"}), 'value="')
        assert re.search(r'class="sheet entry open" id="A15"', page.text)
        completed(owner, here)
        page = owner.post(f"{here}/places/{READY}/cleaned", {"muck": "oil"})
        assert "Cleaned already" in text_of(page)
        page = self.back(owner, page, 'name="muck"')
        assert "Cleaned already" not in text_of(page)
