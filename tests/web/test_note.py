"""A note on the pages: one sentence or one picture is enough, and nothing is kept twice."""

from __future__ import annotations

from tests.web.conftest import jpeg
from tests.web.visitor import Visitor, text_of, values


class TestNotes:
    def test_one_sentence_is_enough(self, owner: Visitor) -> None:
        assert "Belt smells hot" in text_of(owner.post("/note", {"text": "Belt smells hot"}))

    def test_one_photograph_is_enough(self, owner: Visitor) -> None:
        page = owner.post("/note", {}, [("picture", ("n.jpg", jpeg(), "image/jpeg"))])
        assert "/shown/small" in page.text

    def test_sending_the_same_form_twice_keeps_it_once(self, owner: Visitor) -> None:
        id = values(owner.get("/note"), "id")[0]
        for _ in range(2):
            page = owner.post("/note", {"id": id, "text": "Only once"})
        assert text_of(page).count("Only once") == 1

    def test_an_empty_note_is_refused(self, owner: Visitor) -> None:
        assert owner.post("/note", {"text": " "}).status_code == 422

    def test_an_alarm_and_a_changed_setting_are_kept(self, owner: Visitor) -> None:
        owner.post("/note/alarm", {"alarm": "402 over-current", "doing": "homing"})
        form = {"setting": "servo gain X", "old": "30", "new": "28", "put_back": "no"}
        page = text_of(owner.post("/note/setting", form))
        assert "402 over-current homing" in page
        assert "servo gain X: 30 → 28" in page
        assert "not put back" in page
