"""What was kept is found by its words, alike in memory and on either database.

References: Unicode Standard Annex 15 (NFKD) and The Unicode Standard 5.18 (caseless matching) for
what folding means; the answer itself is held against looking at every record.
"""

from __future__ import annotations

import random
import sys
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from sqlalchemy import text
from tests.fakes.shop import FakeShop

from retrue.records.checking import KINDS
from retrue.records.facts import File, Finding, Lot, Machine, Note, Plate
from retrue.records.searching import TEXTS, asked_for, fold, matches, words_of, words_of_text
from retrue.records.shop import RecordShop, ToAdd
from retrue.records.stripping import Taken
from retrue.store.shop import SqlShop

Found = Callable[[str], list[str]]


def finder(shop: RecordShop) -> Found:
    return lambda words: [one.id for one in shop.found(words, most=50)]


def test_a_note_is_found_by_the_beginning_of_its_words_and_all_of_them_must_be_there(shop):
    shop.add(Note(text="Belt smells hot at the headstock"), by="owner", id="n1")
    shop.add(Note(text="The other belt is cold"), by="owner", id="n2")
    found = finder(shop)
    assert found("belt") == ["n2", "n1"]  # the newest first
    assert found("BEL") == ["n2", "n1"]
    assert found("smell belt") == ["n1"]
    assert found("belt warm") == []
    assert found("elt") == []  # by its beginning, not by its middle
    assert found("be") == []  # too short to begin another word
    assert found("is") == ["n2"]  # but whole it is found
    assert found("") == found("  ,;") == []


@pytest.mark.parametrize(
    ("kept", "asked"),
    [
        ("Coördinaattafel", "coordinaat"),
        ("ÉTAU de fraisage", "etau"),
        ("Spindelstock groß", "GROSS"),
        ("Żuraw", "zuraw"),
        ("ﬁxture", "fixture"),  # a ligature is its letters
        ("e\u0301tau", "étau"),  # accents apart or joined
        ("bearing ７２０６", "7206"),  # wide digits
    ],
)
def test_accents_and_capitals_hide_nothing(shop, kept, asked):
    shop.add(Note(text=kept), by="owner", id="n1")
    assert finder(shop)(asked) == ["n1"]


@pytest.mark.parametrize(
    "asked", ["W-0412", "w0412", "0412", "041", "w-04", "KX77/4711-A", "4711", "77", "KX7"]
)
def test_codes_and_serial_numbers_are_found_whole_and_in_part(shop, asked):
    shop.add(Plate(machine="m1", entry="N03", value="W-0412"), by="owner", id="p1")
    fact = Taken(lot="l1", machine="m1", place="cabinet", sort="part", code="7H2M4K9P",
                 what="W-0412 KX77/4711-A")  # fmt: skip
    shop.add(fact, by="owner", id="t1")
    assert "t1" in finder(shop)(asked)
    assert finder(shop)("7h2m") == ["t1"]


def test_only_what_counts_now_is_found(shop):
    first = shop.add(Note(text="headstock"), by="owner")
    second = shop.add(Note(text="tailstock"), by="owner", replaces=first.id)
    found = finder(shop)
    assert found("headstock") == []
    assert found("tailstock") == [second.id]
    gone = shop.withdraw(second.id, by="owner", reason="tailstock")
    assert found("tailstock") == []
    back = shop.add(second.fact, by="owner", replaces=gone.id)
    assert found("tailstock") == [back.id]


def test_many_kept_together_are_found_and_a_replaced_one_among_them_is_not(shop):
    wanted = [
        ToAdd(fact=Note(text="first word"), id="a"),
        ToAdd(fact=Note(text="second word"), id="b", replaces="a"),
        ToAdd(fact=Lot(name="wordless"), id="c"),
    ]
    shop.add_all(wanted, by="owner")
    assert finder(shop)("word") == ["c", "b"]


def test_no_more_than_asked_for(shop):
    shop.add_all([ToAdd(fact=Note(text=f"belt {n}"), id=f"n{n}") for n in range(9)], by="owner")
    assert [one.id for one in shop.found("belt", most=3)] == ["n8", "n7", "n6"]


def test_what_a_program_made_is_no_word(shop):
    hash = "ab" * 32
    fact = File(sha256=hash, name="door.jpg", media_type="image/jpeg", size_bytes=1, lot="lot1id")
    shop.add(fact, by="owner", id="f1")
    found = finder(shop)
    assert found("door") == found("jpg") == ["f1"]
    assert found(hash) == found("lot1id") == found("jpeg") == []


WORDS = ("belt", "belts", "bélt", "gib", "gibs", "W-0412", "w 0412", "0412", "0,02", "Straße",
         "strasse", "x", "xy", "xyz", "F12", "f-12", "kx77", "ＡＢＣ", "abc",
         "ñandú", "ab")  # fmt: skip


def test_the_index_says_what_looking_at_every_record_says(sql_shop: SqlShop):
    """A property over random texts and questions: the oracle looks at each fact by itself."""
    chance = random.Random(7)
    kept = [
        ToAdd(fact=Note(text=" ".join(chance.choices(WORDS, k=3))), id=f"n{n}") for n in range(120)
    ]
    sql_shop.add_all(kept, by="owner")
    for n in range(0, 120, 7):
        sql_shop.add(Note(text="gib again"), by="owner", id=f"c{n}", replaces=f"n{n}")
    live = sql_shop.current(Note)
    for _ in range(150):
        asked = " ".join(
            chance.choices([*WORDS, "be", "bel", "041", "st"], k=chance.choice((1, 2)))
        )
        chunks = [_bare(chunk) for chunk in asked.split()]
        slow = [one.id for one in reversed(live) if _plainly(chunks, one.fact.text)]
        assert [one.id for one in sql_shop.found(asked, most=500)] == slow, asked


def _bare(word: str) -> list[str]:
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", word).casefold())
    signs = (s if s.isalnum() else " " for s in apart if not unicodedata.combining(s))
    return "".join(signs).split()


@cache
def _there(text: str) -> frozenset[str]:
    """Pieces and joined pieces."""
    there = set()
    for chunk in text.split():
        pieces = _bare(chunk)
        for at, piece in enumerate(pieces):
            there |= {piece, "".join(pieces[at:])}
            turns = [
                n for n in range(1, len(piece)) if piece[n].isdigit() != piece[n - 1].isdigit()
            ]
            there |= {piece[n:] for n in turns}
    return frozenset(there)


def _plainly(chunks: list[list[str]], text: str) -> bool:
    """What the promise says, written without the index: pieces, joined pieces, beginnings."""
    there = _there(text)

    def has(piece: str) -> bool:
        begun = len(piece) >= 3 and any(word.startswith(piece) for word in there)
        return piece in there or begun

    return all(has("".join(c)) or all(has(piece) for piece in c) for c in chunks)


def test_the_index_may_be_dropped_and_is_made_anew(sql_shop: SqlShop):
    sql_shop.add(Note(text="headstock"), by="owner", id="n1")
    gone = sql_shop.add(Note(text="headstock too"), by="owner", id="n2")
    sql_shop.withdraw(gone.id, by="owner")
    for _ in range(2):
        with sql_shop._gate.writing() as db:
            db.execute(text("DROP TABLE current_records"))
        assert finder(sql_shop)("headstock") == ["n1"]
    with sql_shop._gate.writing() as db:
        db.execute(text("DROP TABLE current_records"))
    sql_shop.add(Note(text="tailstock"), by="owner", id="n3")  # writing makes it anew as well
    assert finder(sql_shop)("tail") == ["n3"]
    before = _lines(sql_shop)
    sql_shop.rebuild()
    assert _lines(sql_shop) == before


def test_the_index_of_a_shop_opened_again_is_the_same(place, opens):
    shop = opens(place)
    shop.add(Note(text="Żuraw 3 t"), by="owner", id="n1")
    shop.close()
    assert finder(opens(place))("zur") == ["n1"]


def _lines(shop: SqlShop) -> list[tuple[str, int]]:
    with shop._gate.reading() as db:
        rows = db.execute(text("SELECT words, seq FROM current_records WHERE words IS NOT NULL"))
        return sorted((str(row[0]), int(row[1])) for row in rows)


def test_words_are_compared_sign_by_sign_on_both_databases(sql_shop: SqlShop):
    """Whatever the language of the database."""
    words = ["abz", "abza", "abzz", "abzÿ", "abz\u4e00", "abz\U00020000", "ab", "acz", "ABZ"]
    sql_shop.add_all([ToAdd(fact=Note(text=w), id=f"n{n}") for n, w in enumerate(words)], by="me")
    assert finder(sql_shop)("abz") == ["n8", "n5", "n4", "n3", "n2", "n1", "n0"]


def test_every_kind_of_record_says_by_which_of_its_fields_it_is_found():
    assert set(TEXTS) == set(KINDS)
    for kind, fields in TEXTS.items():
        assert set(fields) <= set(KINDS[kind].__dataclass_fields__), kind


def test_what_the_issue_names_is_found(shop: FakeShop):
    """Machines by name and type, findings by look, note, alarm and setting by their words."""
    machine = Machine(lot="l1", name="Bed mill", kind="vertical_machining_centre")
    shop.add(machine, by="owner", id="m1")
    finding = Finding(lot="l1", machine="m1", check="C01", answer="seen", text="black dust")
    shop.add(finding, by="owner", id="f1")
    shop.add(replace(Note(), alarm="402 over-current", doing="homing"), by="owner", id="a1")
    shop.add(Note(setting="servo gain X", old="30", new="28"), by="owner", id="s1")
    found = finder(shop)
    assert (found("machining"), found("mill")) == (["m1"], ["m1"])
    assert found("C01") == found("dust") == ["f1"]
    assert found("overcurrent") == found("over-curr") == found("402 hom") == ["a1"]
    assert found("gain 28") == ["s1"]


def test_a_word_without_an_end_is_cut_and_still_found():
    assert [len(word) for word in words_of_text("a" * 5000)] == [40, 40]
    assert matches(asked_for("a" * 5000), words_of(Note(text="a" * 5000)))
    many = " ".join(f"word{n}" for n in range(5000))
    assert len(words_of(Note(text=many))) == 2000


def test_folding_twice_changes_nothing_more():
    every = "".join(map(chr, range(32, 0x3000)))
    assert fold(fold(every)) == fold(every)
    assert sys.maxunicode == 0x10FFFF
