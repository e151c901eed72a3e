"""Whose page is in which language: chosen on a device, else asked by its browser, else English.

The order in which a browser asks: RFC 9110, 12.5.4 (Accept-Language) and 12.4.2 (weights).
"""

from __future__ import annotations

import re

import pytest
from starlette.applications import Starlette
from tests.web.visitor import Visitor, text_of

from retrue.base.say import reader
from retrue.kinds.load import content_hash


def language_of(page: str) -> str:
    found = re.search(r'<html lang="(\w+)">', page)
    assert found is not None
    return found[1]


@pytest.mark.parametrize(
    ("asked", "spoken"),
    [
        ("nl-BE,nl;q=0.9,en;q=0.8", "nl"),
        ("fr-BE,en;q=0.5,nl;q=0.7", "nl"),
        ("en-GB,nl;q=0.5", "en"),
        ("nl;q=0", "en"),
        ("de", "en"),
        ("", "en"),
        ("nl;q=" + "9" * 5000, "en"),
    ],
)
def test_a_browser_is_answered_in_the_language_it_asks_for(owner: Visitor, asked: str, spoken: str):
    page = owner.get("/shop", headers={"accept-language": asked})
    assert language_of(page.text) == spoken
    assert ("Mijn werkplaats" in text_of(page) or "Nederlands" in text_of(page)) is True
    assert reader() == "en"  # nothing is left behind for who asks next


def test_what_is_chosen_holds_on_that_device_and_goes_first(house: Starlette, owner: Visitor):
    answer = owner.post("/language", {"language": "nl", "back": "/shop?x=1"}, follow=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/shop?x=1")
    cookie = answer.headers["set-cookie"].lower()
    assert {"httponly", "samesite=lax", "path=/"} <= {one.strip() for one in cookie.split(";")}
    assert language_of(owner.get("/shop", headers={"accept-language": "en"}).text) == "nl"
    assert language_of(Visitor(house).get("/shop").text) == "en"


@pytest.mark.parametrize("back", ["//elsewhere.test/", "/\\elsewhere.test", "https://x.test/", ""])
def test_nobody_is_sent_elsewhere(owner: Visitor, back: str):
    answer = owner.post("/language", {"language": "nl", "back": back}, follow=False)
    assert answer.headers["location"] == "/"


def test_a_language_we_do_not_have_is_refused(owner: Visitor):
    answer = owner.post("/language", {"language": "xx", "back": "/"})
    assert answer.status_code == 422
    assert "English, Nederlands" in text_of(answer)


def test_a_refusal_is_in_the_readers_language_too(owner: Visitor):
    told = {
        asked: text_of(owner.get("/lots/none", headers={"accept-language": asked}))
        for asked in ("en", "nl")
    }
    assert told["en"] != told["nl"]


def test_what_is_chosen_by_its_word_is_kept_in_english(owner: Visitor):
    """A tool of the library is shown in Dutch and kept as what it is."""
    owner.post("/language", {"language": "nl", "back": "/"})
    page = owner.get("/shop").text
    values = re.findall(r'name="instruments" value="([^"]*)"', page)
    assert "torch" in values or "cloth" in values
    owner.post("/shop", {"instruments": values[:2]})
    assert page.count(" checked") + 2 == owner.get("/shop").text.count(" checked")


def test_a_kind_has_the_same_hash_in_any_language(house: Starlette):
    for kind in house.state.kinds.values():
        assert content_hash(kind) == kind.hash
