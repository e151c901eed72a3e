"""Signs that turn the direction of writing: shown and handed out without them.

The signs: Unicode Character Database, property Bidi_Control, as the standard library's own
bidirectional classes have them.
"""

from __future__ import annotations

import sys
import unicodedata
from urllib.parse import unquote

import pytest
from tests.fakes.shop import FakeShop
from tests.web.visitor import Visitor

from retrue.base.one_way import one_way
from retrue.records.facts import File, Note
from retrue.web.app import app
from retrue.web.limits import short_name

CLASSES = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
TURNS = [chr(n) for n in range(sys.maxunicode) if unicodedata.bidirectional(chr(n)) in CLASSES]


def test_every_sign_that_turns_is_taken_out_and_letters_stay():
    assert len(TURNS) == 9
    for sign in (*TURNS, "\u200e", "\u200f", "\u061c"):
        assert one_way(f"a{sign}b") == "ab"
    for text in ("\u05d0\u05d1", "a\u202fb", "a\u200db", "\ufeffa"):
        assert one_way(text) == text


@pytest.mark.parametrize("sign", ["\u202e", "\u2067"])
def test_a_note_and_a_name_are_shown_and_handed_out_in_one_way(kinds, clock, settings, sign):
    shop = FakeShop(clock)
    sha256 = shop.keep_file(b"MZ")
    name = f"light{sign}fdp.exe"
    shop.add(Note(text=f"oil {sign}roolf"), by="owner")
    shop.add(File(sha256=sha256, name=name, media_type="application/octet-stream", size_bytes=2),
             by="owner", id="f1")  # fmt: skip
    owner = Visitor(app(shop=shop, kinds=kinds, clock=clock, settings=settings))
    page = owner.get("/note").text
    assert "oil roolf" in page
    assert sign not in page
    given = owner.get("/files/f1").headers["content-disposition"]
    assert unquote(given.partition("''")[2]) == "lightfdp.exe"
    assert short_name(name) == "lightfdp.exe"
