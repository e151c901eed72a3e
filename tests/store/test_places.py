"""Where a shop may be kept, and what is refused before anything is written."""

from __future__ import annotations

import os
import sqlite3
import tempfile
import warnings
from pathlib import Path

import pytest
from sqlalchemy import event, text
from tests.fakes.shop import TickingClock

from retrue.base.refusals import NotKept, Unreadable, Unusable
from retrue.records.chain import verify_chain
from retrue.records.facts import Note
from retrue.store.beside import Disk
from retrue.store.engine import postgresql_gate
from retrue.store.files import Files
from retrue.store.places import NETWORK, file_system, place_of
from retrue.store.shop import SqlShop, open_shop

NOTE = Note(text="way oil on the floor")


def opening(place: object, **more: object) -> SqlShop:
    return open_shop(str(place), clock=TickingClock(), **more)  # type: ignore[arg-type]  # options given by name, as a test likes them


def test_a_folder_gets_a_shop_of_its_own(tmp_path):
    shop = opening(tmp_path)
    shop.close()
    assert (tmp_path / "shop.sqlite").exists()
    assert place_of(f"sqlite:///{tmp_path}/a.sqlite").path == tmp_path / "a.sqlite"


def test_a_missing_folder_is_made(tmp_path):
    shop = opening(tmp_path / "new" / "one" / "shop.sqlite")
    shop.add(NOTE, by="owner")
    assert shop.file(shop.keep_file(b"x")) == b"x"
    shop.close()
    assert (tmp_path / "new" / "one" / "shop.sqlite.files").is_dir()


@pytest.mark.parametrize("place", ["", "  ", ":memory:", "mysql://shop@host/shop", "http://x"])
def test_a_place_that_is_none_is_refused(place):
    with pytest.raises(Unusable) as refusal:
        opening(place)
    assert "postgresql://" in refusal.value.remedy


def test_sqlite_is_told_to_lose_nothing(tmp_path):
    shop = opening(tmp_path / "shop.sqlite")
    with shop._gate.reading() as db:
        told = {
            name: db.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    shop.close()
    assert told == {
        "journal_mode": "wal",
        "synchronous": 2,  # FULL
        "foreign_keys": 1,
        "busy_timeout": 15_000,
    }


@pytest.mark.parametrize("kind", sorted(NETWORK))
def test_a_network_drive_is_refused_and_nothing_is_written(tmp_path, kind):
    table = f"/dev/sda / ext4 rw 0 0\nbox:/share {tmp_path} {kind} rw 0 0\n"
    with pytest.raises(NotKept, match="network drive") as refusal:
        opening(tmp_path / "shop.sqlite", mount_table=lambda: table)
    assert "PostgreSQL" in refusal.value.remedy
    assert list(tmp_path.iterdir()) == []


def test_the_nearest_mount_tells_the_file_system():
    table = "\n".join(
        (
            "/dev/sda / ext4 rw 0 0",
            "box:/a /srv nfs4 rw 0 0",
            "/dev/sdb /srv/local xfs rw 0 0",
            "//box/b /mnt/my\\040share cifs rw 0 0",
            "/dev/sdc /over ext4 rw 0 0",
            "box:/c /over nfs rw 0 0",
        )
    )
    told = {
        path: file_system(Path(path), table)
        for path in ("/home", "/srv/x", "/srv/local/x", "/srvx", "/mnt/my share/s", "/over/x")
    }
    assert told == {
        "/home": "ext4",
        "/srv/x": "nfs4",
        "/srv/local/x": "xfs",
        "/srvx": "ext4",
        "/mnt/my share/s": "cifs",
        "/over/x": "nfs",
    }
    assert file_system(Path("/home"), "") == ""


def test_a_read_only_folder_is_refused(tmp_path):
    with pytest.raises(NotKept, match="read-only") as refusal:
        opening(tmp_path / "shop.sqlite", writable=lambda _: False)
    assert refusal.value.remedy
    assert list(tmp_path.iterdir()) == []


def without_rights(deed):
    """Run a deed in a child process that is not root, and tell what it returned."""
    reading, writing = os.pipe()
    with warnings.catch_warnings():  # later Pythons warn of threads; the child starts none
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        try:
            if os.geteuid() == 0:
                os.setgroups([])
                os.setgid(65534)
                os.setuid(65534)
            os.write(writing, deed().encode())
        except BaseException as error:  # noqa: BLE001 - the child must tell and end
            os.write(writing, repr(error).encode())
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as told:
        said = told.read()
    os.waitpid(child, 0)
    return said


def test_a_folder_and_a_file_without_the_right_to_write_are_refused():
    with tempfile.TemporaryDirectory(dir="/tmp") as name:
        folder = Path(name)
        shop = opening(folder / "shop.sqlite")
        shop.add(NOTE, by="owner")
        shop.close()
        folder.chmod(0o555)
        (folder / "shop.sqlite").chmod(0o444)

        def deed() -> str:
            said = []
            for place in (folder / "new.sqlite", folder / "shop.sqlite"):
                try:
                    opening(place).add(NOTE, by="owner")
                except NotKept as refusal:
                    said.append(f"refused: {refusal.reason} {refusal.remedy}")
            return "\n".join(said)

        said = without_rights(deed).splitlines()
        folder.chmod(0o755)
    assert len(said) == 2
    assert all(one.startswith("refused: nothing can be kept in") for one in said)


def test_a_file_without_the_right_to_write_in_an_open_folder_is_refused():
    with tempfile.TemporaryDirectory(dir="/tmp") as name:
        folder = Path(name)
        shop = opening(folder / "shop.sqlite")
        shop.close()
        folder.chmod(0o777)
        (folder / "shop.sqlite").chmod(0o444)

        def deed() -> str:
            try:
                opening(folder / "shop.sqlite").add(NOTE, by="owner")
            except NotKept as refusal:
                return refusal.reason
            return "kept"

        said = without_rights(deed)
    assert said.endswith("cannot be written")


def test_a_full_disk_refuses_and_keeps_what_was_kept(tmp_path):
    shop = opening(tmp_path / "shop.sqlite")
    kept = [shop.add(NOTE, by="owner")]
    engine = shop._gate.engine
    engine.dispose()

    @event.listens_for(engine, "connect")
    def fill_up(raw, _):
        pages = raw.execute("PRAGMA page_count").fetchone()[0]
        raw.execute(f"PRAGMA max_page_count={pages + 2}")

    def note_on() -> None:
        for _ in range(100):
            kept.append(shop.add(Note(text="x" * 2000), by="owner"))

    with pytest.raises(NotKept, match="full") as refusal:
        note_on()
    assert "space" in refusal.value.remedy
    shop.remember("k", b"x" * 100_000)
    assert shop.recall("k") is None
    assert shop.current(Note) == kept
    shop.close()
    again = opening(tmp_path / "shop.sqlite")
    assert again.current(Note) == kept
    assert verify_chain(again) == []
    again.add(NOTE, by="owner")
    again.close()


def test_a_busy_shop_says_so(tmp_path):
    shop = opening(tmp_path / "shop.sqlite")
    engine = shop._gate.engine
    engine.dispose()
    event.listen(engine, "connect", lambda raw, _: raw.execute("PRAGMA busy_timeout=20"))
    other = sqlite3.connect(tmp_path / "shop.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(NotKept, match="busy"):
        shop.add(NOTE, by="owner")
    assert shop.current(Note) == []
    other.execute("ROLLBACK")
    other.close()
    shop.add(NOTE, by="owner")
    shop.close()


@pytest.mark.parametrize("content", [b"not a database at all, but long enough" * 40, b"\x89PNG"])
def test_a_file_that_is_no_database_is_refused_and_left_alone(tmp_path, content):
    (tmp_path / "shop.sqlite").write_bytes(content)
    with pytest.raises(NotKept, match="not a whole SQLite database"):
        opening(tmp_path / "shop.sqlite")
    assert (tmp_path / "shop.sqlite").read_bytes() == content


def test_a_database_of_another_program_is_refused(tmp_path):
    other = sqlite3.connect(tmp_path / "other.sqlite")
    other.execute("CREATE TABLE songs (name TEXT)")
    other.close()
    with pytest.raises(Unusable, match="another program"):
        opening(tmp_path / "other.sqlite")


@pytest.mark.postgresql
def test_a_busy_server_says_so_and_is_told_to_lose_nothing(server, opens, monkeypatch):
    monkeypatch.setattr("retrue.store.engine.WAIT_MS", 50)
    place = server.database()
    shop, other = opens(place), opens(place)
    with other._gate.writing(), pytest.raises(NotKept, match="busy"):
        shop.add(NOTE, by="owner")
    shop.add(NOTE, by="owner")
    with shop._gate.reading() as db:
        assert db.execute(text("SHOW synchronous_commit")).scalar() == "on"


@pytest.mark.postgresql
def test_a_server_that_goes_away_is_refused_and_found_again(server, opens):
    shop = opens(server.database())
    shop.add(NOTE, by="owner")
    with opens(server.database())._gate.reading() as db:
        db.execute(text("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname <> "
                        "current_database() AND pid <> pg_backend_pid()"))  # fmt: skip
    assert len(shop.current(Note)) == 1
    with pytest.raises(NotKept, match="does not answer"), shop._gate.writing() as db:
        db.execute(text("SELECT pg_terminate_backend(pg_backend_pid())"))
    assert shop.add(NOTE, by="owner").seq == 2


@pytest.mark.postgresql
def test_a_server_with_another_programs_records_is_refused(server, opens):
    place = server.database()
    gate = postgresql_gate(place.replace("postgresql://", "postgresql+psycopg://"))
    with gate.writing() as db:
        db.execute(text("CREATE TABLE records (song TEXT)"))
        db.execute(text("CREATE TABLE alembic_version (version_num TEXT)"))
    gate.engine.dispose()
    with pytest.raises(Unusable, match="another program"):
        opens(place)


def test_a_server_that_does_not_answer_is_refused_without_its_password(tmp_path):
    with pytest.raises(NotKept, match="does not answer") as refusal:
        opening(f"postgresql://owner:secret@/shop?host={tmp_path}")
    assert "secret" not in refusal.value.reason + refusal.value.remedy


def test_an_address_that_cannot_be_read_is_refused():
    with pytest.raises(Unusable, match="address"):
        opening("postgresql://owner@host:port:9/x")


def test_a_shop_without_a_folder_for_files_says_so(tmp_path):
    shop = opening(tmp_path / "shop.sqlite")
    shop._files = None
    with pytest.raises(NotKept, match="no folder"):
        shop.keep_file(b"x")
    shop.close()


def test_a_full_disk_leaves_no_half_file(tmp_path):
    def full(_: int, __: memoryview) -> int:
        raise OSError(28, "No space left on device")

    with pytest.raises(NotKept, match="full"):
        Files(tmp_path, disk=Disk(write=full)).keep(b"a film")
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_a_slow_disk_that_takes_a_few_bytes_at_a_time_keeps_all(tmp_path):
    files = Files(tmp_path, disk=Disk(write=lambda handle, left: os.write(handle, left[:7])))
    content = bytes(range(256)) * 3
    assert files.read(files.keep(content)) == content


def test_a_damaged_file_is_not_given_out_and_can_be_kept_again(tmp_path):
    files = Files(tmp_path)
    name = files.keep(b"a photograph")
    (tmp_path / name[:2] / name).write_bytes(b"a photogroph")
    with pytest.raises(Unreadable, match="damaged"):
        files.read(name)
    assert files.keep(b"a photograph") == name
    assert files.read(name) == b"a photograph"
    assert list(files.names()) == [name]
