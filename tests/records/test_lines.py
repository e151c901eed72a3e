"""A row as a line and back, byte for byte; which files a row names.

Held against: json of the standard library, SHA-256 (FIPS 180-4) as hashlib has it.
"""

from __future__ import annotations

import hashlib
import json
import re
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import Unreadable, Unusable
from retrue.records.chain import START, Row
from retrue.records.checking import types_of
from retrue.records.facts import File, Note
from retrue.records.keeping import BackedUp
from retrue.records.lines import Tally, files_named, line_of, row_of
from retrue.records.packing import KINDS
from retrue.records.seeking import Act
from retrue.records.settling import Posting


@pytest.fixture
def rows():
    shop = FakeShop()
    for words in ("belt", "ça « suinte »", "line one\nline two", "\u2028 and \U0001f600", '"{}\\'):
        shop.add(Note(text=words), by="owner", device="phone")
    return list(shop.rows())


def test_a_row_comes_back_as_it_was_and_takes_one_line(rows):
    for row in rows:
        line = line_of(row)
        assert line.count(b"\n") == 1
        assert row_of(line) == row
        assert json.loads(line)["payload"] == row.payload


def test_a_tally_is_the_hash_over_all_lines_and_tells_the_last(rows):
    tally = Tally()
    assert (tally.count, tally.last, tally.until) == (0, START, "")
    assert list(tally.counted(rows)) == rows
    assert tally.content == hashlib.sha256(b"".join(map(line_of, rows))).hexdigest()
    assert (tally.count, tally.last, tally.until) == (5, rows[-1].sha256, rows[-1].noted_at)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda line: line[:-1],
        lambda line: line.replace(b'"seq":1', b'"seq":"1"'),
        lambda line: line.replace(b'"seq":1', b'"seq":true'),
        lambda line: line.replace(b'"by":', b'"at":'),
        lambda line: line.replace(b'"by":"owner"', b'"by":null'),
        lambda line: line.replace(b",", b", ", 1),
        lambda line: b"[" * 100_000,
        lambda line: b"\xff" + line,
        lambda line: b"{}\n",
        lambda line: b"null\n",
    ],
)
def test_a_line_of_another_form_is_refused(rows, spoil):
    with pytest.raises(Unreadable):
        row_of(spoil(line_of(rows[0])))


def test_the_files_that_a_row_names_are_found_wherever_they_stand():
    shop, one, two = FakeShop(), "a" * 64, "b" * 64
    shop.add(File(sha256=one, name="a.jpg", media_type="image/jpeg", size_bytes=1), by="me")
    shop.add(Posting(sort="bought", posted_on="2026-11-25", what="belts", amount=Decimal(1),
                     receipt=two),
             by="me")  # fmt: skip
    shop.add(Act(lot="l", machine="m", sort="clean", fault="F01", pictures=(one, two)), by="me")
    shop.add(Note(text=one), by="me")  # says it, and names none
    shop.add(Note(text="belt", file="an-id"), by="me")
    told = [sorted(files_named(row)) for row in shop.rows()]
    assert told == [[one], [two], [one, two], [], []]


HASH = "0f" * 32
GIVEN = json.dumps({"pictures": [{"sha256": "1e" * 32, "copy_sha256": HASH}, {"copy_sha256": ""}]})
PLACES = {
    ("plate", "picture"): HASH, ("finding", "picture"): HASH, ("file", "sha256"): HASH,
    ("note", "file"): HASH, ("instrument", "picture"): HASH, ("reading_set", "file"): HASH,
    ("reading_set", "options"): [["known", f"file:{HASH}"]], ("trouble", "picture"): HASH,
    ("act", "pictures"): ["", HASH], ("planned", "values"): [["table", HASH]],
    ("data_copy", "file"): HASH, ("data_copy", "sha256"): HASH, ("sensed", "file"): HASH,
    ("sensed", "options"): [["known", f"file:{HASH}"]], ("posting", "receipt"): HASH,
    ("included", "file"): HASH, ("record_given", "content"): GIVEN,
    ("set_aside", "form"): [["text", "1e" * 32], ["held:picture", f"{HASH}|a|b.jpg"]],
}  # fmt: skip
"""Where a kept file can be named, and how it stands there."""

NO_FILES = {
    ("frozen", "kind_hash"), ("frozen", "sheet"), ("guess", "kind_hash"), ("plan_kept", "inputs"),
    ("record_given", "content_sha256"), ("case_closed", "compared"), ("ledger_taken", "content"),
    ("ledger_taken", "file_sha256"), ("backed_up", "last_sha256"), ("reading_set", "file_name"),
    ("sensed", "file_name"), ("set_aside", "wanted"), ("trial", "options"), ("shop", "histories"),
    ("result", "readings"), ("sensed", "readings"), ("sensed_result", "values"),
    ("set_aside", "path"), ("worker", "away"), ("catalogue", "columns"), ("catalogue", "file_name"),
    ("catalogue", "content_sha256"), ("catalogue_content", "content_sha256"),
    ("catalogue_content", "content"), ("part_screened", "content"),
}  # fmt: skip
"""Hashes of something else, texts of a program, names; what was wanted is read as what it is."""

HOLDS = re.compile(r"sha256|hash|picture|photo|file|receipt|content|form$|options|values|wanted"
                   r"|sheet|inputs|compared|readings|path|pairs|histories|copy")  # fmt: skip


def test_every_field_that_can_hold_a_hash_of_a_file_is_watched():
    """A field that is new must be told of here, whether it names kept files or not."""
    found = {
        (kind, name)
        for kind, cls in KINDS.items()
        for name, hint in types_of(cls).items()
        if "str" in str(hint) and (HOLDS.search(name) or "tuple[tuple[str, str]" in str(hint))
    }
    assert found <= PLACES.keys() | NO_FILES
    assert PLACES.keys() <= found


@pytest.mark.parametrize("place", sorted(PLACES), ids=".".join)
def test_a_file_is_named_where_it_stands(place):
    kind, name = place
    assert set(files_named(row_with(kind, {name: PLACES[place]}))) == {HASH}
    aside = {"kinds": ["note", kind], "wanted": ["{}", json.dumps({name: PLACES[place]})]}
    if kind != "set_aside":
        assert set(files_named(row_with("set_aside", aside))) == {HASH}


@pytest.mark.parametrize(
    "payload",
    [{"content": "["}, {"content": f'{{"pictures":["{HASH}"]}}'}, {"form": [["held:a"]]},
     {"wanted": [HASH], "kinds": "x"}, {"values": {"a": HASH}}, {"content": "[" * 90_000 + HASH}],
)  # fmt: skip
def test_a_payload_of_another_shape_names_nothing_and_stops_nobody(payload):
    for kind in ("record_given", "set_aside", "planned"):
        assert list(files_named(row_with(kind, payload))) == []
    assert list(files_named(row_with("record_given", "[" * 90_000 + HASH))) == []


def row_with(kind, payload):
    told = payload if isinstance(payload, str) else json.dumps(payload)
    return Row(id="a", kind=kind, schema=1, seq=1, noted_at="", observed_at="", by="me",
               device="", replaces=None, payload=told, previous=START)  # fmt: skip


def test_a_backup_is_kept_with_a_hash_or_refused_by_its_field():
    shop = FakeShop()
    fact = {"place": "/media/stick/b.zip", "records": 3, "files": 1, "size_bytes": 900}
    shop.add(BackedUp(last_sha256="a" * 64, **fact), by="me")
    with pytest.raises(Unusable) as refused:
        shop.add(BackedUp(last_sha256="belt", **fact), by="me")
    assert [one.where for one in refused.value.problems] == ["last_sha256"]
