"""The file to give away: its checksums, and where a changed byte is found."""

from __future__ import annotations

import base64
import hashlib
import json
import random
import zlib
from datetime import date

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.recorded import ready
from tests.web.conftest import jpeg

from retrue.base.refusals import Unreadable
from retrue.cases.settle.condition import condition
from retrue.cases.settle.condition_check import (
    attached,
    check_file,
    pictures_of,
)
from retrue.cases.settle.condition_file import (
    canonical,
    content_of,
    differences,
    file_of,
    in_groups,
    record_of,
    sha256_of,
)
from retrue.cases.settle.condition_kept import record_kept
from retrue.cases.settle.condition_said import said_otherwise
from retrue.cases.settle.record_lines import ConditionRecord, Pictured
from retrue.cases.spot import find

KINDS = load()
PHOTO = jpeg()


@pytest.fixture(scope="module")
def record() -> ConditionRecord:
    shop = FakeShop()
    spot = find(shop, *ready(shop, KINDS), KINDS)
    return condition(record_kept(shop, spot, spot.kind), on=date(2026, 11, 26), sold_as="running",
                     by="An Müller", version="0.1.0")  # fmt: skip


@pytest.fixture(scope="module")
def content(record: ConditionRecord) -> dict:
    copy = hashlib.sha256(PHOTO).hexdigest()
    one = Pictured(id="1", sha256="a" * 64, caption="front", place="outside", on="2026-11-25",
                   by="An", copy_sha256=copy)  # fmt: skip
    told = content_of(record)
    return told | {"pictures": [json.loads(canonical({s: getattr(one, s) for s in one.__slots__}))]}


@pytest.fixture(scope="module")
def made(content: dict) -> bytes:
    return file_of(content, {hashlib.sha256(PHOTO).hexdigest(): PHOTO})


def test_the_checksum_is_the_sha_256_of_fips_180_4():
    """NIST, Secure Hashing examples: SHA-256 of "abc"; of the two bytes {} by coreutils."""
    abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert hashlib.sha256(b"abc").hexdigest() == abc
    empty = "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
    assert sha256_of({}) == empty
    assert "".join(in_groups(empty)) == empty
    assert len(in_groups(empty)) == 16


def test_a_buyer_with_no_program_of_ours_can_work_it_out(made):
    """By the rule that stands in the file itself, with Python's own modules alone."""
    told = json.loads(made)
    bare = json.dumps(told["content"], sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert hashlib.sha256(bare.encode("utf-8")).hexdigest() == told["content_sha256"]
    for key, text in told["pictures"].items():
        assert hashlib.sha256(base64.b64decode(text)).hexdigest() == key
    assert "not that it is true" in told["how_to_check"]


def test_it_comes_back_to_the_last_bit(record, made, content):
    assert record_of(content_of(record)) == record
    checked = check_file(made)
    assert checked.unchanged
    assert not checked.where
    assert (checked.machine, checked.sold_as) == ("mill", "running")
    assert list(pictures_of(made).values()) == [PHOTO]
    assert file_of(json.loads(made)["content"], pictures_of(made)) == made


def test_every_answer_says_what_was_checked_and_what_not(made):
    checked = check_file(made)
    assert len(checked.was) == 3
    assert any("true" in one for one in checked.was_not)
    assert any("compare it with the paper" in one for one in checked.was_not)


def test_a_changed_byte_is_found_wherever_it_is(made):
    chance = random.Random(7)
    for at in (0, 1, len(made) - 1, *(chance.randrange(len(made)) for _ in range(60))):
        for bit in (1, 4):
            other = bytearray(made)
            other[at] ^= bit
            try:
                checked = check_file(bytes(other))
            except Unreadable:
                continue  # it is no record any more, and says so
            assert not checked.unchanged, (at, made[at : at + 20])
            assert checked.where


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ('"state": "proved"', '"state": "provex"', "guards: "),
        ('"made_on": "2026-11-26"', '"made_on": "2026-11-27"', "made_on: "),
        ("Seen by An", "Seen by Bo", "as_found: "),
        ('"machine": "mill"', '"machine": "mall"', "machine: "),
        ('"edition": "0.1.0"', '"edition": "0.1.1"', "edition: "),
    ],
)
def test_the_part_that_was_changed_is_named(made, old, new, where):
    other = made.replace(old.encode(), new.encode(), 1)
    assert other != made
    checked = check_file(other)
    assert not checked.unchanged
    assert any(one.startswith(where) for one in checked.where)


def test_a_photograph_that_was_changed_left_out_or_put_in_is_named(made):
    told = json.loads(made)
    [key] = told["pictures"]
    for pictures, words in (
        ({key: base64.b64encode(jpeg(10)).decode()}, "photograph 1: it does not fit"),
        ({}, "photograph 1: taken out"),
        (told["pictures"] | {"b" * 64: "AAAA"}, "photograph ?: it is not one"),
    ):
        other = json.dumps(told | {"pictures": pictures}, sort_keys=True, indent=2)
        assert any(words in one for one in check_file(other.encode()).where), words


def test_white_space_alone_is_found_though_the_content_fits(made):
    checked = check_file(made.replace(b"  ", b"   ", 1))
    assert not checked.unchanged
    assert checked.where == ("line 2: written otherwise than it was made",)


def test_what_was_added_after_the_end_or_cut_off_there_is_named_where_it_is(made):
    lines = made.count(b"\n") + 1
    checked = check_file(made + b"\n")
    assert checked.where == (f"after its end, line {lines}: 1 bytes were added",)
    cut = check_file(made[:-1])
    assert cut.where == (f"line {lines - 1}: its end is cut off",)


def test_whoever_works_the_checksums_out_anew_is_found_by_the_paper_alone(made):
    """And the answer says so: by itself such a file fits."""
    told = json.loads(made)
    forged = file_of(told["content"] | {"machine": "better mill"}, pictures_of(made))
    checked = check_file(forged)
    assert checked.unchanged
    assert checked.sha256 != told["content_sha256"]
    assert any("compare it with the paper" in one for one in checked.was_not)


def test_a_photograph_called_a_fact_is_found_though_every_checksum_fits(made):
    told = json.loads(made)
    fact = {"what": "x", "how": "Seen by An on 2026-11-25", "grade": 1, "on": "2026-11-25"}
    content = told["content"] | {"known": {"stated": [fact], "reported": []}}
    checked = check_file(file_of(content, pictures_of(made)))
    assert not checked.unchanged
    assert "grade 1 is no fact" in checked.where[0]


def test_a_small_file_that_unpacks_to_a_huge_one_is_cut_short(monkeypatch):
    monkeypatch.setattr("retrue.cases.settle.condition_check.LARGEST", 1000)
    raw = zlib.compress(bytes(1_000_000))
    head = b"1 0 obj<</Type/EmbeddedFile/Length %d/Filter/FlateDecode>>\nstream\n" % len(raw)
    assert len(attached(b"%PDF " + head + raw + b"\nendstream") or b"") == 1000


@pytest.mark.parametrize(
    "content", [b"", b"{}", b"[1]", b"%PNG", b'{"content": 3}', b"\xff\xfe", b"[" * 100_000]
)
def test_what_is_no_record_is_refused(content):
    with pytest.raises(Unreadable):
        check_file(content)


def test_what_is_cut_off_says_where(made):
    checked = check_file(made[: len(made) // 2])
    assert not checked.unchanged
    assert "line" in checked.where[0]


def test_one_line_put_in_is_one_difference():
    every = [{"what": f"look {number}", "how": "Seen"} for number in range(12)]
    new = [every[0], {"what": "crash marks", "how": "Seen"}, *every[1:]]
    assert len(list(differences({"a": every}, {"a": new}))) == 1
    assert len(list(differences({"a": new}, {"a": every}))) == 1
    [one] = said_otherwise({"done": {"stated": every}}, {"done": {"stated": new}})
    assert (one.heading, one.was, one.now) == ("Done", "", "crash marks (Seen)")


def test_differences_are_named_by_path():
    old = {"a": {"b": [1, 2]}, "c": "x"}
    new = {"a": {"b": [1, 3]}, "d": None, "c": "x"}
    assert list(differences(old, new)) == [("a.b.2", "2", "3")]


@pytest.mark.parametrize("odd", ["1" * 5000, "1e999", "NaN", "-Infinity", r'"\ud800"'])
def test_a_number_or_a_letter_that_no_record_holds_is_a_changed_file(made, odd):
    spoiled = made.replace(b'"content": {', b'"content": {"odd": %s,' % odd.encode(), 1)
    found = check_file(spoiled)
    assert not found.unchanged
    assert found.where
