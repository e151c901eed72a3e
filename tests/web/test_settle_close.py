"""A machine closed on its page; closed machines shown before they leave, and taken in."""

from __future__ import annotations

import json
import re

import pytest
from tests.closed import ON, opened
from tests.library import load
from tests.web.visitor import Visitor, text_of, values

from retrue.phases import settle
from retrue.records.settling import CaseClosed, LedgerTaken
from retrue.records.shop import RecordShop


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def page(shop: RecordShop) -> str:
    _, lot, machine = opened(shop)
    return f"/lots/{lot}/machines/{machine}/settle/close"


@pytest.fixture(scope="module")
def theirs() -> bytes:
    """What another shop gives away."""
    other, lot, machine = opened()
    settle.close(other, lot, machine, "sold", load(), on=ON, by="they")
    return settle.share(other).encode()


def test_the_table_stands_guess_beside_truth_and_next_is_to_close_it(owner: Visitor, page: str):
    answer = owner.get(page)
    assert answer.status_code == 200
    told = text_of(answer)
    assert "As it stands today; not closed" in told
    assert "1 900" in told.replace("\u202f", " ")
    assert "not foreseen" in told
    assert "was there" in told
    places = [
        answer.text.index(one) for one in ('id="answer"', 'id="next"', "<table", 'id="learned"')
    ]
    assert places == sorted(places)


def test_it_is_closed_by_one_form_and_says_so(owner: Visitor, page: str, shop: RecordShop):
    answer = owner.post(page, {"end": "sold", "changes": "ask for two quotes"})
    assert answer.status_code == 200
    told = text_of(answer)
    assert "Closed on" in told
    assert "ask for two quotes" in told
    (kept,) = shop.current(CaseClosed)
    assert (kept.fact.end, kept.fact.changes) == ("sold", "ask for two quotes")


def test_what_was_closed_is_said_and_taken_back_by_one_key(
    owner: Visitor, page: str, shop: RecordShop
):
    answer = owner.post(page, {"end": "sold"})
    assert "Kept: closed on" in text_of(answer)
    (record,) = values(answer, "record")
    opened_again = owner.post("/settle/take-back", {"record": record, "back": page})
    assert shop.current(CaseClosed) == []
    assert "As it stands today; not closed" in text_of(opened_again)
    assert "Kept:" not in text_of(opened_again)


def test_the_long_tables_are_folded(owner: Visitor, page: str):
    told = owner.get(page).text
    for title in ("Line by line", "Faults"):
        assert re.search(rf"<details><summary>{title}: \d+</summary>", told)
    assert "<h2>By where the money went</h2>" in told


def test_without_an_end_nothing_is_kept_and_the_words_stay(
    owner: Visitor, page: str, shop: RecordShop
):
    answer = owner.post(page, {"changes": "ask <twice>"})
    assert answer.status_code == 422
    assert "nothing was picked" in text_of(answer)
    assert "ask &lt;twice&gt;" in answer.text
    assert shop.current(CaseClosed) == []


def test_what_would_leave_is_read_first_and_given_as_a_file(owner: Visitor, page: str):
    assert "no machine is closed yet" in text_of(owner.get("/settle/share"))
    owner.post(page, {"end": "keeps_working"})
    shown = owner.get("/settle/share")
    file = owner.get("/settle/share.json")
    assert file.headers["content-disposition"].startswith("attachment")
    for row in json.loads(file.content)["cases"][0]["rows"]:
        assert row["words"].split("(")[0].strip() in text_of(shown)
    without = owner.get("/settle/share.json?without=parts").text
    assert '"line": "parts"' in file.text
    assert '"line": "parts"' not in without


def test_a_file_of_others_is_shown_then_taken_in_once(
    owner: Visitor, shop: RecordShop, theirs: bytes
):
    def look():
        return owner.post(
            "/settle/share", {}, [("file", ("theirs.json", theirs, "application/json"))]
        )

    first = look()
    assert "1 new" in text_of(first)
    assert shop.current(LedgerTaken) == []
    held = first.text.split('name="held" value="')[1].split('"')[0]
    form = {"held": held, "name": "theirs.json", "text": "from a friend"}
    assert "Taken in: 1." in text_of(owner.post("/settle/share/take", form))
    assert "Nothing in that file was new." in text_of(owner.post("/settle/share/take", form))
    assert "0 new" in text_of(look())
    assert [one.fact.text for one in shop.current(LedgerTaken)] == ["from a friend"]


def test_a_file_that_does_not_fit_is_refused_beside_the_form(owner: Visitor, shop: RecordShop):
    answer = owner.post("/settle/share", {}, [("file", ("x.json", b"[1, 2]", "application/json"))])
    assert answer.status_code == 422
    assert "no file of closed machines" in text_of(answer)
    assert owner.post("/settle/share", {}).status_code == 422
    assert shop.current(LedgerTaken) == []
