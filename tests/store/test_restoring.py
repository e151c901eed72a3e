"""A backup put back and a shop copied: row for row the same, on either database, or nothing."""

from __future__ import annotations

import os
import signal
import sqlite3
import sys
from pathlib import Path

import pytest
from sqlalchemy import text
from tests.fakes.shop import TickingClock
from tests.store.keeping import LOOK, NOW, Full, fill, largest_file, rows_of, without_rights

from retrue.base.refusals import NotKept, Unreadable
from retrue.records.chain import verify_chain
from retrue.records.facts import Finding, Note
from retrue.store import pouring
from retrue.store.backup import back_up
from retrue.store.beside import coming_name
from retrue.store.copying import copy
from retrue.store.restoring import restore
from retrue.store.shop import open_shop
from retrue.store.whole import look_over


@pytest.fixture(scope="module")
def backup(tmp_path_factory) -> Path:
    """A backup of a filled shop; the shop itself is beside it, as source.sqlite."""
    folder = tmp_path_factory.mktemp("source")
    shop = open_shop(str(folder / "source.sqlite"), clock=TickingClock())
    fill(shop)
    back_up(shop, folder / "b.zip", version="0.1.0", now=NOW)
    shop.close()
    return folder / "b.zip"


@pytest.fixture
def source(backup):
    shop = open_shop(str(backup.with_name("source.sqlite")), clock=TickingClock())
    yield shop
    shop.close()


def put_back(backup, place, tmp_path, **more):
    return restore(backup, place, files=tmp_path / "files", clock=TickingClock(), **more)


def test_a_shop_comes_back_row_for_row_and_goes_on(backup, source, place, opens, tmp_path):
    inside, there = put_back(backup, place, tmp_path)
    shop = opens(place)
    assert rows_of(shop) == rows_of(source)
    assert (inside.records, inside.last_sha256) == (there.records, there.last_sha256)
    assert inside.content_sha256 == there.content_sha256
    assert look_over(shop).is_whole
    assert [one.fact.answer for one in shop.current(Finding, lot="l1")] == [
        one.fact.answer for one in source.current(Finding, lot="l1")
    ]
    kept = sorted(path.name for path in (tmp_path / "files").glob("*/*"))
    assert len(kept) == 2
    assert shop.file(kept[0])
    shop.add(Note(text="it goes on"), by="owner")
    assert verify_chain(shop) == []
    assert [p.name for p in tmp_path.iterdir() if "coming" in p.name] == []


def test_a_place_with_records_is_refused_and_one_without_is_filled(backup, place, opens, tmp_path):
    shop = opens(place)
    put_back(backup, place, tmp_path)
    before = rows_of(shop)
    assert len(before) == 14
    with pytest.raises(NotKept, match="there is a shop with 14 records") as refused:
        put_back(backup, place, tmp_path)
    assert "empty place" in refused.value.remedy
    assert rows_of(shop) == before


@pytest.mark.postgresql
def test_a_copy_goes_to_the_other_database_and_back_with_equal_hashes(source, server, tmp_path):
    there = server.place()
    first = copy(source, there, files=tmp_path / "pg", clock=TickingClock())
    assert first.is_equal
    assert first.source.content_sha256 == first.copy.content_sha256
    on_server = open_shop(there, clock=TickingClock(), files=tmp_path / "pg")
    back = copy(on_server, str(tmp_path / "back.sqlite"), clock=TickingClock())
    assert back.is_equal
    assert back.copy == first.source
    again = open_shop(str(tmp_path / "back.sqlite"), clock=TickingClock())
    assert rows_of(again) == rows_of(on_server) == rows_of(source)
    assert look_over(again).is_whole
    assert look_over(on_server).is_whole
    again.close()
    on_server.close()


def test_the_hash_over_all_rows_is_of_what_the_databases_hold(source, tmp_path):
    """Reckoned here from the columns themselves, by SQL of our own."""
    import hashlib
    import json

    copy(source, str(tmp_path / "c.sqlite"), clock=TickingClock())
    with sqlite3.connect(tmp_path / "c.sqlite") as db:
        db.row_factory = sqlite3.Row
        lines = [dict(row) for row in db.execute("SELECT * FROM records ORDER BY seq")]
    over = hashlib.sha256()
    for line in lines:
        over.update(json.dumps(line, sort_keys=True, ensure_ascii=False,
                               separators=(",", ":")).encode() + b"\n")  # fmt: skip
    assert look_over(source).content_sha256 == over.hexdigest()


def test_a_shop_that_is_not_whole_is_not_copied(backup, tmp_path):
    damaged = tmp_path / "damaged.sqlite"
    restore(backup, str(damaged), clock=TickingClock())
    file = next(iter((tmp_path / "damaged.sqlite.files").glob("*/*")))
    file.unlink()
    shop = open_shop(str(damaged), clock=TickingClock())
    with pytest.raises(NotKept, match="not whole") as refused:
        copy(shop, str(tmp_path / "c.sqlite"), clock=TickingClock())
    shop.close()
    assert [one.where for one in refused.value.problems] == [file.name]
    assert not (tmp_path / "c.sqlite").exists()


def test_a_spoiled_backup_puts_nothing_back(backup, place, tmp_path, opens):
    spoiled = bytearray(backup.read_bytes())
    spoiled[400] ^= 4
    (tmp_path / "bad.zip").write_bytes(spoiled)
    with pytest.raises(Unreadable):
        put_back(tmp_path / "bad.zip", place, tmp_path)
    assert rows_of(opens(place)) == []
    assert list((tmp_path / "files").glob("*/*")) == []


def test_an_error_half_way_leaves_the_place_as_it_was(backup, place, opens, tmp_path, monkeypatch):
    """The last row is put in, then the index fails: neither rows nor files stay."""

    def fails(db) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(pouring, "fill", fails)
    with pytest.raises((NotKept, OSError)):
        put_back(backup, place, tmp_path)
    monkeypatch.undo()
    assert list((tmp_path / "files").glob("*/*")) == []
    assert rows_of(opens(place)) == []
    assert not [p.name for p in tmp_path.iterdir() if "coming" in p.name]


def test_a_full_disk_at_any_file_leaves_nothing(backup, tmp_path, monkeypatch):
    made = open_shop
    for after in range(4):
        full = Full(after)

        def opening(place, *, clock, files, disk=full.disk):
            shop = made(place, clock=clock, files=files)
            shop._files._disk = disk
            return shop

        monkeypatch.setattr(pouring, "open_shop", opening)
        with pytest.raises(NotKept, match="is full"):
            restore(backup, str(tmp_path / "new.sqlite"), clock=TickingClock())
        assert os.listdir(tmp_path) == []
    monkeypatch.undo()
    restore(backup, str(tmp_path / "new.sqlite"), clock=TickingClock())


def test_the_system_itself_refuses_room_for_the_rows(backup, tmp_path):
    """Rows need more than files: SQLite is told by the system that its file may not grow."""
    with largest_file(16_000), pytest.raises(NotKept, match=r"full|cannot be read or written"):
        restore(backup, str(tmp_path / "new.sqlite"), clock=TickingClock())
    assert os.listdir(tmp_path) == []


@pytest.mark.skipif(sys.platform == "win32", reason="NOT RUN: kills by signal")
def test_a_restore_that_is_killed_leaves_no_shop_and_the_next_clears_what_it_left(backup, tmp_path):
    place = tmp_path / "new.sqlite"
    child = os.fork()
    if child == 0:

        def at_the_end(what: str, done: int, of: int) -> None:
            if what == "records" and done == of:
                os.kill(os.getpid(), signal.SIGKILL)

        restore(backup, str(place), clock=TickingClock(), progress=at_the_end)
        os._exit(0)
    assert os.waitpid(child, 0)[1] == signal.SIGKILL
    assert not place.exists()
    assert any("coming" in name for name in os.listdir(tmp_path))
    restore(backup, str(place), clock=TickingClock())
    assert sorted(os.listdir(tmp_path)) == ["new.sqlite", "new.sqlite.files"]


def test_a_shop_that_appears_meanwhile_is_not_overwritten(backup, tmp_path):
    place = tmp_path / "new.sqlite"

    def meanwhile(what: str, done: int, of: int) -> None:
        if what == "records" and done == of and not place.exists():
            other = open_shop(str(place), clock=TickingClock())
            other.add(LOOK, by="somebody", id="theirs")
            other.close()

    with pytest.raises(NotKept, match="is there already"):
        restore(backup, str(place), clock=TickingClock(), progress=meanwhile)
    other = open_shop(str(place), clock=TickingClock())
    assert [row.id for row in other.rows()] == ["theirs"]
    other.close()


def test_a_read_only_folder_is_said_plainly(backup, open_folder):
    readable = open_folder / "b.zip"
    readable.write_bytes(backup.read_bytes())
    locked = open_folder / "locked"
    locked.mkdir(mode=0o555)

    def deed() -> None:
        with pytest.raises(NotKept, match="nothing can be kept in"):
            restore(readable, str(locked / "new.sqlite"), clock=TickingClock())

    assert without_rights(deed)
    assert list(locked.iterdir()) == []


def test_what_a_process_is_making_now_stays(tmp_path, backup):
    mine = coming_name(tmp_path / "new.sqlite")
    mine.write_bytes(b"half")
    restore(backup, str(tmp_path / "new.sqlite"), clock=TickingClock())
    assert mine.exists()


def test_a_newer_shop_is_not_restored_over(backup, place, opens, tmp_path):
    shop = opens(place)
    with shop._gate.writing() as db:
        db.execute(text("UPDATE index_version SET version_num = '9999'"))
    with pytest.raises(NotKept, match="newer version"):
        put_back(backup, place, tmp_path)
