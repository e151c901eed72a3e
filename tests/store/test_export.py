"""Everything to take away: read here with Python's own csv, json and zipfile, as a stranger would.

CSV: RFC 4180. What begins a formula in a spreadsheet: OWASP, CSV Injection (a web page; secondary
source).
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import zipfile
from dataclasses import fields
from decimal import Decimal

import pytest
from tests.store.keeping import NOW, PHOTOGRAPH, Full, calls_of, fill

from retrue.base.refusals import NotKept
from retrue.records.facts import Note
from retrue.records.measuring import ReadingSet
from retrue.records.packing import KINDS
from retrue.records.waking import Sensed
from retrue.store.export import HEAD, export
from retrue.store.export_words import FileWords, cell, file_path


def taken(shop, target, **more):
    return export(shop, target, version="0.1.0", now=NOW, **more)


@pytest.fixture
def shop(sql_shop):
    fill(sql_shop)
    return sql_shop


def table(packed: zipfile.ZipFile, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(packed.read(name).decode("utf-8"), newline="")))


def test_what_counts_stands_in_tables_and_everything_in_lines(shop, tmp_path):
    done = taken(shop, tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as packed:
        assert packed.testzip() is None
        names = packed.namelist()
        lines = [json.loads(line) for line in packed.read("records.jsonl").splitlines()]
        findings = table(packed, "tables/finding.csv")
        (posting,) = table(packed, "tables/posting.csv")
        (note,) = table(packed, "tables/note.csv")
        assert b"apostrophe" in packed.read("README.txt")
    assert {name for name in names if name.endswith(".csv")} == {
        "files.csv", *(f"tables/{kind}.csv" for kind in
                       ("lot", "machine", "finding", "file", "posting", "note", "withdrawn")),
    }  # fmt: skip
    assert (done.records, done.counting, done.files) == (14, 12, 2)
    assert [line["id"] for line in lines] == [row.id for row in shop.rows()]
    counts = {line["id"] for line in lines if line["counts"]}
    assert {"f1", "f2"}.isdisjoint(counts)
    assert {row["id"] for row in findings} == {"f0", "f3", "f4", "f5", "f1b"}
    assert (findings[0]["by"], findings[0]["device"], findings[0]["text"]) == (
        "owner", "phone-1", "dust 0",
    )  # fmt: skip
    assert Decimal(posting["amount"]) == Decimal("121.00")
    assert note["text"] == "'=1+1 oil, ça suinte"
    said = {line["id"]: line["payload"] for line in lines}
    assert said["n1"]["text"] == "=1+1 oil, ça suinte"


def test_the_lines_carry_the_chain_as_the_readme_tells_it(shop, tmp_path):
    taken(shop, tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as packed:
        lines = [json.loads(line) for line in packed.read("records.jsonl").splitlines()]
    previous = "0" * 64
    for line in lines:
        text = json.dumps(line["payload"], sort_keys=True, ensure_ascii=False,
                          separators=(",", ":"))  # fmt: skip
        head = ("kind", "schema", "id", "by", "device", "noted_at", "observed_at", "replaces")
        parts = [*(line[name] for name in head), text, previous]
        told = json.dumps(parts, ensure_ascii=False, separators=(",", ":"))
        assert hashlib.sha256(told.encode()).hexdigest() == line["sha256"]
        previous = line["sha256"]


def test_files_stand_under_names_that_people_read(shop, tmp_path):
    taken(shop, tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as packed:
        index = table(packed, "files.csv")
        by_hash = {row["sha256"]: row for row in index}
        for name, row in by_hash.items():
            assert hashlib.sha256(packed.read(row["path"])).hexdigest() == name
    photograph = by_hash[hashlib.sha256(PHOTOGRAPH).hexdigest()]
    assert photograph["path"] == (
        f"files/school-hall-3/mill/cabinet-black-dust-{photograph['sha256'][:12]}.jpg"
    )
    assert (photograph["lot"], photograph["machine"], photograph["whole"]) == (
        "School, hall 3", "mill", "yes",
    )  # fmt: skip
    assert photograph["record"] == "p1"


def test_a_recording_keeps_its_name_its_ending_and_its_machine(shop, tmp_path):
    """Also what only a field, an option or a set of readings names, and no line about the file."""
    nose, table_, known = (shop.keep_file(one) for one in (b"RIFF nose", b"lux\n1\n", b"RIFF k"))
    shop.add(Sensed(lot="l1", machine="m1", sort="sound", when="before", point="spindle nose",
                    file=nose, file_name="nose.wav", options=(("known", f"file:{known}"),)),
             by="owner", id="s1")  # fmt: skip
    shop.add(ReadingSet(lot="l1", machine="m2", test="level", file=table_, file_name="light.csv"),
             by="owner")  # fmt: skip
    taken(shop, tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as packed:
        by_hash = {row["sha256"]: row for row in table(packed, "files.csv")}
    paths = {by_hash[one]["path"].replace(one[:12], "") for one in (nose, table_, known)}
    assert paths == {
        "files/school-hall-3/mill/spindle-nose-nose-.wav",
        "files/school-hall-3/lathe/light-.csv",
        "files/school-hall-3/mill/spindle-nose-sensed-.bin",
    }
    told = by_hash[nose]
    assert (told["name"], told["machine"], told["record"]) == ("nose.wav", "mill", "s1")


@pytest.mark.parametrize(
    "typed",
    ["=SUM(A1:A9)", "+1+1", "-2+3", "@cmd", "\t=1", "\r=1", '=HYPERLINK("http://x")', "-", "+32 9"],
)
def test_no_text_of_a_table_is_a_formula(typed):
    assert cell(typed) == "'" + typed


@pytest.mark.parametrize("typed", ["-0.02", "+3", "1e-5", "-1,5", "way oil", "a=b", "1=1"])
def test_plain_words_and_numbers_stay_as_they_are(typed):
    assert cell(typed) == typed


def test_numbers_of_records_stay_numbers():
    assert [cell(value) for value in (Decimal("-12.50"), -3.5, 0, True, None, ("a", "=b"))] == [
        "-12.50", "-3.5", "0", "true", "", '["a","=b"]',
    ]  # fmt: skip


@pytest.mark.parametrize(
    "words", ["../../x", "C:\\Windows", "con", "a" * 300, "\u202egpj.exe", "..", "/", "nul.txt"]
)
def test_no_name_of_a_file_leads_elsewhere(words):
    told = file_path(FileWords(sha256="ab" * 32, name=words, lot=words, machine=words,
                               place=words, caption=words))  # fmt: skip
    parts = told.split("/")
    assert parts[0] == "files"
    assert all(part.strip(".") and part not in ("con", "nul", "..") for part in parts)
    assert told.isascii()
    assert "\\" not in told
    assert ":" not in told
    assert max(map(len, parts)) < 120


def test_every_kind_of_record_has_columns_that_differ():
    for kind in KINDS.values():
        names = [*HEAD, *(f"told_{f.name}" if f.name in HEAD else f.name for f in fields(kind))]
        assert len(set(names)) == len(names), kind


def test_a_damaged_shop_gives_away_what_can_be_read(shop, tmp_path):
    first, second = sorted((tmp_path / "files").glob("*/*"))
    first.write_bytes(b"rotten")
    second.unlink()
    done = taken(shop, tmp_path / "all.zip")
    assert done.damaged == (first.name,)
    assert done.files == 1
    with zipfile.ZipFile(tmp_path / "all.zip") as packed:
        (row, *_) = [row for row in table(packed, "files.csv") if row["sha256"] == first.name]
    assert row["whole"] == "no"


def test_what_has_that_name_stays(shop, tmp_path):
    (tmp_path / "all.zip").write_bytes(b"mine")
    with pytest.raises(NotKept, match="is there already"):
        taken(shop, tmp_path / "all.zip")
    assert (tmp_path / "all.zip").read_bytes() == b"mine"


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_a_full_disk_leaves_nothing_of_it(shop, tmp_path):
    calls = calls_of(lambda disk: taken(shop, tmp_path / "a.zip", disk=disk))
    for after in range(calls):
        with pytest.raises(NotKept, match="is full"):
            taken(shop, tmp_path / "b.zip", disk=Full(after).disk)
        assert not [name for name in os.listdir(tmp_path) if name.startswith((".b", "b"))]


def test_a_shop_may_be_written_while_it_is_taken_away(shop, tmp_path, opens, place):
    other = opens(place)

    def meanwhile(what: str, done: int, of: int) -> None:
        if what == "records":
            other.add(Note(text="meanwhile"), by="helper")

    done = taken(shop, tmp_path / "all.zip", progress=meanwhile)
    with zipfile.ZipFile(tmp_path / "all.zip") as packed:
        assert len(table(packed, "tables/note.csv")) == 1
    assert done.records == 14
