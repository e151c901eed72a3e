"""What is seen on photographs and looked at: each tap is kept, and the price answers."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from tests.web.measuring import first
from tests.web.priced import amount
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind


@pytest.fixture
def picture(owner: Visitor, lot: str) -> str:
    """The first photograph, sorted as a view of the first machine's inside."""
    path = str(owner.get(f"{lot}/pictures/next").url.path)
    key = values(owner.get(path), "machine")[0]
    assert owner.post(f"{path}/sort", {"machine": key, "shot": "W_inside"}).status_code == 200
    return path


class TestPhotographs:
    def test_each_tap_is_kept_and_the_price_line_answers(
        self, owner: Visitor, picture: str
    ) -> None:
        page = owner.get(picture)
        key = values(page, "answer")[0]
        after = owner.post(f"{picture}/tap", {"answer": key})
        assert after.url.path == picture
        assert "kept" in first(r'id="price-line"(.*?)</p>', after.text.replace("\n", " "))
        assert re.search(r'aria-pressed="true">' + re.escape(key), after.text)

    def test_a_key_pressed_again_is_taken_back(
        self, owner: Visitor, lot: str, picture: str
    ) -> None:
        before = amount(owner, lot)
        key = values(owner.get(picture), "answer")[0]
        owner.post(f"{picture}/tap", {"answer": key})
        after = owner.post(f"{picture}/untap", {"answer": key})
        assert not re.search(r'aria-pressed="true">' + re.escape(key), after.text)
        assert amount(owner, lot) == before

    def test_where_no_bid_is_left_the_line_says_so(self, owner: Visitor, picture: str) -> None:
        line = first(r'id="price-line"(.*?)</p>', owner.get(picture).text.replace("\n", " "))
        assert "do not bid" in line
        assert "even for nothing" in line
        assert "\u202f0<" not in line

    @pytest.mark.parametrize("answer", ["nothing_bad", "cant_tell"])
    def test_the_last_two_keys_go_on_to_the_next_photograph(
        self, owner: Visitor, picture: str, answer: str
    ) -> None:
        after = owner.post(f"{picture}/tap", {"answer": answer})
        assert after.url.path != picture
        assert "/pictures/" in after.url.path

    def test_the_machine_of_the_photograph_before_is_taken(
        self, owner: Visitor, lot: str, picture: str
    ) -> None:
        owner.post(f"{picture}/tap", {"answer": "nothing_bad"})
        page = owner.get(f"{lot}/pictures/next")
        keys = re.findall(r'name="machine" value="([^"]+)" aria-pressed="true"', page.text)
        hidden = re.findall(r'type="hidden" name="machine" value="([^"]+)"', page.text)
        assert keys == hidden[:1]

    def test_an_answer_that_is_not_offered_is_refused(self, owner: Visitor, picture: str) -> None:
        assert owner.post(f"{picture}/tap", {"answer": "purple"}).status_code == 404

    def test_when_all_are_judged_the_price_comes(self, owner: Visitor, lot: str) -> None:
        for _ in range(3):
            path = owner.get(f"{lot}/pictures/next").url.path
            key = values(owner.get(path), "machine")[0]
            owner.post(f"{path}/sort", {"machine": key, "shot": "W_inside"})
            owner.post(f"{path}/tap", {"answer": "nothing_bad"})
        assert owner.get(f"{lot}/pictures/next").url.path == lot


class TestLooks:
    def test_a_look_is_kept_with_its_degree_and_can_be_taken_back(
        self, owner: Visitor, lot: str, machine: str
    ) -> None:
        before = amount(owner, lot)
        form = {"answer": "severe", "channel": "visit_dead"}
        assert owner.post(f"{machine}/looks/C12", form).status_code == 200
        found = owner.get(f"{lot}/findings")
        assert "severe" in text_of(found)
        finding = first(r'action="[^"]+/findings/([^"/]+)/withdraw"', found.text)
        assert "severe" in text_of(owner.get(f"{lot}/findings/{finding}"))
        owner.post(f"{lot}/findings/{finding}/withdraw", {"reason": "wrong cabinet"})
        assert amount(owner, lot) == before

    def test_a_reading_is_kept_as_a_number(self, owner: Visitor, lot: str, machine: str) -> None:
        page = owner.get(f"{machine}/looks/C31")
        measure = values(page, "measure")[0]
        form = {"reading": "0,4", "measure": measure, "channel": "visit_dead"}
        assert owner.post(f"{machine}/looks/C31", form).status_code == 200
        assert "0.4" in text_of(owner.get(f"{lot}/findings"))

    def test_a_reading_that_is_none_is_refused_beside_its_field(
        self, owner: Visitor, machine: str
    ) -> None:
        answer = owner.post(f"{machine}/looks/C31", {"reading": "much"})
        assert answer.status_code == 422
        assert values(answer, "reading") == ["much"]

    def test_the_caution_stands_before_the_look(self, owner: Visitor, machine: str) -> None:
        text = owner.get(f"{machine}/looks/C12").text
        assert text.index('class="caution"') < text.index("Do you see it?")

    def test_a_look_that_the_type_lacks_is_unknown(self, owner: Visitor, machine: str) -> None:
        assert owner.get(f"{machine}/looks/C999").status_code == 404

    def test_every_look_of_every_type_has_a_page(
        self, owner: Visitor, machine: str, kinds: Mapping[str, Kind]
    ) -> None:
        for check in kinds["vertical_machining_centre"].checks:
            assert owner.get(f"{machine}/looks/{check}").status_code == 200, check

    def test_the_plate_keeps_what_was_typed(self, owner: Visitor, machine: str) -> None:
        owner.post(f"{machine}/plate", {"N03": "4200", "N02": "A-1187"})
        page = owner.get(f"{machine}/plate")
        assert values(page, "N03") == ["4200"]
        assert values(page, "N02") == ["A-1187"]

    def test_an_odd_stamp_is_kept_with_a_doubt(self, owner: Visitor, machine: str) -> None:
        owner.post(f"{machine}/plate", {"N04": "4000"})
        page = owner.get(f"{machine}/plate")
        assert values(page, "N04") == ["4000"]
        assert 'class="problem"' in page.text
