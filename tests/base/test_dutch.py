"""Dutch is complete: every sentence of the program, with its names and its numbers."""

from __future__ import annotations

from tests.house.sentences import every

from retrue.base.catalogue import doubts, program_sentences

# Words that are the same everywhere, or say nothing by themselves.
INTERNATIONAL: frozenset[str] = frozenset()


def test_every_sentence_stands_in_the_catalogue_and_no_other():
    here = {one.key for one in every()}
    there = {one.key for one in program_sentences()}
    assert sorted(here - there)[:20] == [], "run python -m tests.house.sentences, then translate"
    assert sorted(there - here)[:20] == [], "run python -m tests.house.sentences: these are gone"


def test_every_sentence_is_translated_with_its_names_and_its_numbers():
    known = program_sentences()
    assert [(one.where, one.what) for one in doubts(known, known)][:20] == []
