"""The five-second note: a word, a file or both; alarm and setting are lines of it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

import pytest

from retrue.base.refusals import Unknown, Unusable
from retrue.phases import note


@dataclass(frozen=True)
class Proved:
    media_type: str = "text/plain"
    taken: str | None = None


def prove(content: bytes, name: str) -> Proved:
    return Proved()


def test_one_sentence_is_enough_and_an_empty_note_is_refused(shop):
    kept = note.note(shop, "  oil under the head ", by="owner", id="n")
    assert kept.fact.text == "oil under the head"
    assert note.note(shop, "  oil under the head ", by="owner", id="n") == kept
    with pytest.raises(Unusable):
        note.note(shop, "  ", by="owner")
    assert [record.id for record in note.notes(shop)] == ["n"]


def test_a_file_is_kept_by_its_hash_and_given_back_as_it_came(shop):
    kept = note.keep_file(shop, b"%1234\nO0001", "params.txt", prove, place="cabinet", by="owner")
    assert kept.fact.sha256 == hashlib.sha256(b"%1234\nO0001").hexdigest()
    assert (kept.fact.size_bytes, kept.fact.place) == (11, "cabinet")
    assert note.content_of(shop, kept.id) == b"%1234\nO0001"
    note.note(shop, file=kept.id, by="owner")
    with pytest.raises(Unknown):
        note.kept_file(shop, "nothing")


def test_a_note_is_no_file(shop):
    kept = note.note(shop, "word", by="owner")
    with pytest.raises(Unknown):
        note.kept_file(shop, kept.id)


def test_an_alarm_needs_its_text(shop):
    kept = note.alarm(shop, "414 X axis", doing="homing", by="owner")
    assert (kept.fact.alarm, kept.fact.doing) == ("414 X axis", "homing")
    with pytest.raises(Unusable):
        note.alarm(shop, " ", by="owner")


def test_a_changed_setting_needs_its_name_and_a_value(shop):
    kept = note.changed_setting(
        shop, "1851 X", old="12", new="9", why="lost motion", put_back=False, by="owner"
    )
    assert (kept.fact.setting, kept.fact.old, kept.fact.new) == ("1851 X", "12", "9")
    assert kept.fact.put_back is False
    for name, old, new in ((" ", "1", "2"), ("1851 X", " ", "")):
        with pytest.raises(Unusable):
            note.changed_setting(shop, name, old=old, new=new, by="owner")
