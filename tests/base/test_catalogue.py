"""A PO file as the GNU gettext manual has it, section "The Format of PO Files".

Comments with #, msgctxt before msgid, strings in quotes that go on over lines, backslash escapes.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from retrue.base.catalogue import (
    Sentence,
    doubts,
    keep_own,
    own,
    program_sentences,
    read,
    shipped,
    shipped_file,
    write,
)
from retrue.base.refusals import Unreadable, Unusable

WRAPPED = """# a translator
msgid ""
msgstr ""
"Language: nl\\n"

#: web/note.py
#: web/shop.py
msgid ""
"Keep "
"it"
msgstr ""
"Be"
"waren"

msgctxt "verb"
msgid "open"
msgstr "openen"

#, fuzzy
msgid "left"
msgstr "rechts"
"""


def test_a_file_that_another_program_has_wrapped_is_read():
    keep, verb, unsure = read(WRAPPED)
    assert (keep.text, keep.told, keep.places) == (
        "Keep it",
        "Bewaren",
        ("web/note.py", "web/shop.py"),
    )
    assert (verb.key, verb.told) == ("verb\4open", "openen")
    assert unsure.told == ""  # a guess of the editor's is no translation


@pytest.mark.parametrize(
    "text", ['say "no"', "a\\b", "two\nlines", "a\ttab", "{n} of {all}", "é – “x”"]
)
def test_every_sign_comes_back(text: str):
    (back,) = read(write([Sentence(text, told=text)], "nl", "1"))
    assert (back.text, back.told) == (text, text)


def test_no_po_file_is_refused():
    with pytest.raises(Unreadable):
        read("hello")


@pytest.mark.parametrize(
    ("text", "told", "what"),
    [
        ("{n} looks", "{m} keer", "{n} is missing"),
        ("{n} looks", "{n} en {m} keer", "{m} stands in no English sentence here"),
        ("over 85 dB", "te luid", "the number 85 is gone"),
        ("left", "", "is not translated"),
    ],
)
def test_what_got_lost_is_named(text: str, told: str, what: str):
    assert what in [one.what for one in doubts([Sentence(text, told=told)], [Sentence(text)])]


def test_a_comma_for_a_point_loses_no_number():
    assert doubts([Sentence("0.05 mm", told="0,05 mm")], [Sentence("0.05 mm")]) == ()


def test_a_sentence_of_another_program_is_named():
    found = doubts([Sentence("left", told="links"), Sentence("x", told="y")], [Sentence("left")])
    assert [(one.where, one.what) for one in found] == [("x", "is no sentence of this program")]


def test_fast_and_whole_reading_agree():
    slow = {one.key: one.told for one in read(shipped_file("nl")) if one.told}
    assert shipped("nl") == slow
    assert len(slow) > 5000


class TestOwnWords:
    def test_only_what_differs_is_kept_and_then_said(self, tmp_path: Path):
        first, second = [one for one in program_sentences() if one.told and "{" not in one.text][:2]
        given = [
            Sentence(first.text, first.sense, first.told + "!"),
            Sentence(second.text, second.sense, second.told),
        ]
        assert keep_own(tmp_path / "words", "nl", given, "1") == 1
        assert own(tmp_path / "words", "nl") == {first.key: first.told + "!"}

    def test_a_sentence_that_would_lose_a_value_is_refused_and_nothing_is_kept(
        self, tmp_path: Path
    ):
        named = next(one for one in program_sentences() if "{" in one.text)
        with pytest.raises(Unusable):
            keep_own(tmp_path, "nl", [Sentence(named.text, named.sense, "niets")], "1")
        assert own(tmp_path, "nl") == {}

    def test_a_broken_file_is_no_reason_to_stop(self, tmp_path: Path):
        (tmp_path / "nl.po").write_bytes(b"\xff\xfe")
        assert own(tmp_path, "nl") == {}


def test_no_sentence_of_a_large_file_is_cut_off():
    """As many as the file that came with the program has, counted by their keyword."""
    file = shipped_file("nl")
    assert len(read(file)) == file.count("\nmsgid ") == len({one.key for one in read(file)})
    with pytest.raises(Unreadable, match="8 million"):
        read('msgid "a"\nmsgstr "b"\n' + "#" * 8_000_000)
