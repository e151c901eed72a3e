"""A page speaks its reader's words, never ours."""

from __future__ import annotations

import pytest

from retrue.base.refusals import Unknown
from retrue.base.say import teach
from retrue.base.words import word, words

OURS = ("posterior", "prior", "regret", "evsi", "informant", "tornado", "bucket", "walk-away")


def test_no_page_word_is_one_of_ours():
    for entry in words().values():
        for ours in OURS:
            assert ours not in entry.page.lower(), entry


def test_every_word_says_something():
    assert len(words()) > 80
    for code, entry in words().items():
        assert entry.code == code
        assert entry.page == entry.page.strip()
        assert entry.page.endswith("...") or not entry.page.endswith(".")


@pytest.mark.parametrize("code", ["world", "lower bound", "not looked", "no such word"])
def test_what_is_never_shown_cannot_be_said(code: str):
    with pytest.raises(Unknown, match=code):
        word(code)


def test_the_nine_deeds_have_their_titles():
    titles = [word(name) for name in ("worth", "move", "strip", "find", "wake", "prove", "settle")]
    assert titles == [
        "What to pay",
        "Move and place",
        "As found and apart",
        "Fault-finding",
        "First power",
        "Measure",
        "Money and sale",
    ]
    assert word("note") == "note"
    assert word("fix (page)") == "What to do"


def test_a_word_is_said_in_the_readers_language():
    teach("xx", {"past life": "vorig leven"})
    assert word("history", language="xx") == "vorig leven"
    assert word("history", language="yy") == "past life"
