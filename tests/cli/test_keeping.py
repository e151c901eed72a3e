"""Backup, restore, copy, export and check at the keyboard, for a program and for a person."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from dataclasses import replace

import pytest
from tests.cli.conftest import Door, keys_of_others
from tests.fakes.shop import TickingClock
from tests.store.keeping import fill

from retrue.cli.house import House
from retrue.cli.progress import shown
from retrue.records.keeping import BackedUp
from retrue.store.shop import open_shop
from retrue.wiring import run

MANUAL = keys_of_others()


@pytest.fixture
def own(tmp_path):
    """The place of a filled shop."""
    place = tmp_path / "own" / "shop.sqlite"
    opened = open_shop(str(place), clock=TickingClock())
    fill(opened)
    opened.close()
    return str(place)


@pytest.fixture
def at(house: House, own, tmp_path, capsys):
    """Calls a command on shops that stand on a disk."""

    @contextlib.contextmanager
    def opening(place):
        shop = open_shop(place or own, clock=TickingClock())
        try:
            yield shop
        finally:
            shop.close()

    real = replace(house, open_shop=opening, where=lambda place: (place or own, None))

    def call(*arguments):
        code = run([str(part) for part in arguments], real)
        told = capsys.readouterr()
        return Door(code, told.out, told.err)

    return call


def told(door: Door, name: str) -> dict:
    """The answer for programs, which the manual knows key by key."""
    assert door.code == 0, door.err
    assert door.err == ""
    answer = json.loads(door.out)
    assert list(answer) == sorted(answer)
    assert set(answer) == MANUAL[name] | {"schema"}
    return answer


def test_a_backup_goes_away_comes_back_and_is_the_same(at, own, tmp_path):
    stick = tmp_path / "stick"
    stick.mkdir()
    made = told(at("shop", "backup", stick / "b.zip", "--json"), "shop backup")
    assert (made["records"], made["files"], made["whole"], made["noted"]) == (14, 2, True, True)
    back = told(
        at("shop", "restore", stick / "b.zip", "--shop", tmp_path / "new.sqlite", "--json"),
        "shop restore",
    )
    for key in ("records", "files", "until", "last_sha256", "content_sha256"):
        assert back[key] == made[key]
    whole = told(at("note", "check", "--shop", tmp_path / "new.sqlite", "--json",
                    "--last", made["last_sha256"]), "note check")  # fmt: skip
    assert (whole["whole"], whole["since"], whole["problems"]) == (True, 0, [])
    assert whole["last_sha256"] == made["last_sha256"]


def test_a_person_is_told_what_is_inside_and_what_to_note(at, own, tmp_path):
    said = at("shop", "backup", tmp_path / "b.zip").out
    assert f"Backed up: {tmp_path / 'b.zip'}" in said
    assert "Records: 14, until 2026-11-25" in said
    assert "Note on paper" in said
    with contextlib.closing(open_shop(own, clock=TickingClock())) as shop:
        (kept,) = shop.current(BackedUp)
        last = kept.fact.last_sha256
        assert kept.fact.place == str(tmp_path / "b.zip")
    assert f"record 14: {' '.join(last[n : n + 4] for n in range(0, 32, 4))}" in said
    checked = at("note", "check", "--last", last).out
    assert "Whole. Records: 15, kept files: 2" in checked
    assert "records after it: 1" in checked


def test_a_backup_beside_the_shop_is_refused_and_says_where_to(at, tmp_path):
    refused = at("shop", "backup", tmp_path / "own" / "b.zip")
    assert refused.code == 1
    assert "own folder" in refused.err
    assert "a stick, a drive, another computer" in refused.err
    assert at("shop", "backup", tmp_path / "none" / "b.zip").code == 1


def test_a_copy_tells_both_hashes_and_they_are_equal(at, tmp_path, own):
    copied = told(at("shop", "copy", own, tmp_path / "c.sqlite", "--json"), "shop copy")
    assert copied["equal"] is True
    assert copied["from_content_sha256"] == copied["to_content_sha256"]
    assert copied["from_last_sha256"] == copied["to_last_sha256"]
    said = at("shop", "copy", own, tmp_path / "d.sqlite").out
    assert said.count(copied["to_content_sha256"]) == 2
    refused = at("shop", "copy", own, tmp_path / "d.sqlite")
    assert refused.code == 1
    assert "there is a shop with 14 records" in refused.err


def test_a_copy_from_a_place_that_is_not_there_makes_nothing_anywhere(at, tmp_path):
    before = sorted(tmp_path.iterdir())
    refused = at("shop", "copy", tmp_path / "a", tmp_path / "b")
    assert refused.code == 2
    assert f"there is no shop at {tmp_path / 'a'}" in refused.err
    assert sorted(tmp_path.iterdir()) == before


def test_an_export_is_a_zip_and_a_backup_says_which_folder_is_not_there(at, tmp_path):
    said = at("shop", "export", tmp_path / "all").out
    assert "Records: 14, of which 2 were corrected or taken back since." in said
    assert (tmp_path / "all.zip").exists()
    assert not (tmp_path / "all").exists()
    refused = at("shop", "backup", tmp_path / "none" / "b.zip")
    assert f"there is no such folder: {tmp_path / 'none'}" in refused.err
    assert "the right to write" not in refused.err


def test_everything_is_taken_away(at, tmp_path):
    taken = told(at("shop", "export", tmp_path / "all.zip", "--json"), "shop export")
    assert (taken["records"], taken["counting"], taken["files"]) == (14, 12, 2)
    assert "README.txt" in at("shop", "export", tmp_path / "again.zip").out
    assert at("shop", "export", tmp_path / "again.zip").code == 1


def test_a_broken_shop_is_an_answer_and_the_gate_makes_it_an_end_of_one(at, own, tmp_path):
    next(iter((tmp_path / "own" / "shop.sqlite.files").glob("*/*"))).unlink()
    answer = told(at("note", "check", "--json"), "note check")
    assert answer["whole"] is False
    (problem,) = answer["problems"]
    assert set(problem) == {"where", "what", "remedy"}
    assert answer["why"] == {"since": "none was noted"}
    gated = at("note", "check", "--gate")
    assert gated.code == 1
    assert "Not whole. Found: 1" in gated.out
    said = at("shop", "backup", tmp_path / "b.zip").out
    assert "The shop itself is not whole" in said
    assert "The shop was not whole" in at(
        "shop", "restore", tmp_path / "b.zip", "--shop", tmp_path / "new.sqlite"
    ).out  # fmt: skip


def test_the_index_is_made_anew(at, own):
    with contextlib.closing(sqlite3.connect(own)) as db:
        db.execute("DELETE FROM current_records WHERE seq = 4")
        db.commit()
    assert at("note", "check", "--gate").code == 1
    assert at("note", "check", "--gate", "--rebuild").code == 0


@pytest.mark.parametrize("last", ["belt", "12", "g" * 20])
def test_a_hash_that_is_none_is_refused(at, last):
    refused = at("note", "check", "--last", last)
    assert refused.code == 2
    assert "last: is no hash of a record" in refused.err


def test_what_is_no_backup_is_refused(at, tmp_path):
    (tmp_path / "b.zip").write_bytes(b"photographs")
    refused = at("shop", "restore", tmp_path / "b.zip", "--shop", tmp_path / "new.sqlite")
    assert refused.code == 2
    assert "b.zip is no backup of a shop" in refused.err
    assert not (tmp_path / "new.sqlite").exists()
    at("shop", "backup", tmp_path / "whole.zip")
    (tmp_path / "cut.zip").write_bytes((tmp_path / "whole.zip").read_bytes()[:-9])
    refused = at("shop", "restore", tmp_path / "cut.zip", "--shop", tmp_path / "new.sqlite")
    assert "was changed or cut off" in refused.err
    assert "cut.zip" in refused.err
    assert at("shop", "restore", tmp_path / "none.zip", "--shop", tmp_path / "x.sqlite").code == 2


def test_a_shop_in_memory_is_refused_plainly(call, tmp_path):
    for words in (("shop", "backup", tmp_path / "b.zip"), ("note", "check")):
        assert call(*words).code == 1


def test_far_along_is_told_in_plain_lines_where_there_is_no_terminal(capsys):
    with shown() as tell:
        for done in range(1, 2501):
            tell("files", done, 2500)
        tell("records", 12, 12)
    lines = capsys.readouterr().err.splitlines()
    assert lines == ["Files: 1\u202f000 of 2\u202f500", "Files: 2\u202f000 of 2\u202f500",
                     "Files: 2\u202f500 of 2\u202f500"]  # fmt: skip
    with shown(True) as tell:
        tell("files", 2500, 2500)
    assert capsys.readouterr().err == ""


def test_far_along_is_a_bar_on_a_terminal(monkeypatch, capsys):
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    with shown() as tell:
        tell("files", 5, 10)
        tell("files", 10, 10)
    assert "Files: 10 of 10" in capsys.readouterr().err


def test_the_real_thing_on_a_place_of_its_own(tmp_path, monkeypatch, capsys):
    """Through wiring, as typed: keep, back up, put back, check."""
    monkeypatch.setenv("RETRUE_SHOP", str(tmp_path / "own" / "s.sqlite"))
    new = tmp_path / "new" / "s.sqlite"
    for words in (
        ("note", "line", "belt smells hot"),
        ("shop", "backup", tmp_path / "b.zip"),
        ("shop", "restore", tmp_path / "b.zip", "--shop", new),
        ("note", "check", "--shop", new, "--gate"),
    ):
        assert run([str(word) for word in words]) == 0, capsys.readouterr().err
    assert "Whole. Records: 1, kept files: 0" in capsys.readouterr().out
