"""The check of a whole shop: what is changed, missing, half written or cut off is named."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from dataclasses import replace

import pytest
from sqlalchemy import delete, text, update
from tests.fakes.shop import FakeShop, TickingClock
from tests.store.keeping import LOOK, NOW, Full, fill, largest_file, without_rights

from retrue.base.refusals import NotKept, Unusable
from retrue.records.chain import verify_chain
from retrue.records.facts import Finding, Note
from retrue.records.shop import ToAdd
from retrue.store.backup import back_up
from retrue.store.files import Files
from retrue.store.kept import kept
from retrue.store.restoring import restore
from retrue.store.shop import open_shop
from retrue.store.tables import current, records
from retrue.store.whole import look_over, noted_hash


@pytest.fixture
def shop(sql_shop):
    fill(sql_shop)
    return sql_shop


def unlocked(shop):
    with shop._gate.writing() as db:
        names = ("not_updated", "not_deleted") if db.dialect.name == "sqlite" else ("not_altered",)
        on = "" if db.dialect.name == "sqlite" else " ON records"
        for name in names:
            db.execute(text(f"DROP TRIGGER records_{name}{on}"))


def test_a_whole_shop_is_whole_and_tells_its_last_hash(shop):
    told = look_over(shop)
    assert told.is_whole
    assert (told.records, told.files, told.left_over) == (14, 2, 0)
    assert told.last_sha256 == list(shop.rows())[-1].sha256


def test_a_changed_record_is_named(shop):
    unlocked(shop)
    with shop._gate.writing() as db:
        db.execute(update(records).where(records.c.id == "f3").values(by="somebody else"))
    told = look_over(shop)
    assert not told.is_whole
    assert [one.where for one in told.problems] == ["record 7 (f3)"]
    assert "was changed" in told.problems[0].what


def test_records_cut_off_the_end_are_found_by_the_noted_hash_alone(shop):
    noted = look_over(shop).last_sha256
    shop.add(Note(text="later"), by="owner")
    assert look_over(shop, last=noted).since == 1
    assert look_over(shop, last=noted[:16].upper()).since == 1
    unlocked(shop)
    with shop._gate.writing() as db:
        db.execute(delete(records).where(records.c.seq >= 13))
        db.execute(delete(current).where(current.c.seq >= 13))
    assert look_over(shop).is_whole  # a chain that ends sooner is a chain
    told = look_over(shop, last=noted)
    assert [one.where for one in told.problems] == [f"record {noted[:16]}"]
    assert "the last one here is record 12" in told.problems[0].what
    assert told.since is None


@pytest.mark.parametrize("typed", ["", "abc", "g" * 20, "0" * 65, "0x12345678901234567890"])
def test_a_hash_that_cannot_be_one_is_refused_by_its_field(typed):
    with pytest.raises(Unusable) as refused:
        noted_hash(typed)
    assert refused.value.problems[0].where == "last"


def test_damaged_missing_and_half_written_files_are_told_apart(shop, tmp_path):
    first, second = sorted((tmp_path / "files").glob("*/*"))
    first.write_bytes(first.read_bytes()[:-1])
    second.unlink()
    (tmp_path / "files" / f".coming-4194303-{'a' * 32}").write_bytes(b"half")
    told = look_over(shop)
    assert {one.where for one in told.problems} == {f"file {first.name}", f"missing {second.name}"}
    assert (told.files, told.left_over) == (0, 1)


def test_an_index_that_differs_from_the_records_is_named_and_made_anew(shop):
    with shop._gate.writing() as db:
        db.execute(delete(current).where(current.c.id == "f3"))
        db.execute(update(current).where(current.c.id == "f4").values(machine="m2"))
    (problem,) = look_over(shop).problems
    assert problem.where == "current_records"
    assert problem.what.endswith("2 records say: 7, 8")
    kept(shop).rebuild()
    assert look_over(shop).is_whole
    assert [one.fact.text for one in shop.current(Finding, machine="m1")][1] == "dust 3"


def test_a_shop_in_memory_has_nothing_to_look_over():
    with pytest.raises(NotKept, match="no disk"):
        look_over(FakeShop())


# What may befall a shop on a disk


@pytest.fixture
def stands(tmp_path):
    """A filled SQLite shop, closed; its path."""
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    fill(shop)
    shop.add_all([ToAdd(fact=replace(LOOK, text=f"{n} " * 50)) for n in range(40)], by="owner")
    back_up(shop, tmp_path / "b.zip", version="0.1.0", now=NOW)
    shop.close()
    return tmp_path / "shop.sqlite"


def looked_at(path):
    with contextlib.closing(open_shop(str(path), clock=TickingClock())) as shop:
        return look_over(shop)


def test_a_cut_off_database_is_never_taken_for_a_whole_or_a_new_one(stands, tmp_path):
    whole = stands.read_bytes()
    for share in (0.0, 0.01, 0.1, 0.5, 0.9):
        stands.write_bytes(whole[: int(len(whole) * share)])
        with pytest.raises(NotKept, match=r"not a whole SQLite database|holds no records"):
            looked_at(stands)
    stands.unlink()
    restore(tmp_path / "b.zip", str(stands), clock=TickingClock())
    shop = open_shop(str(stands), clock=TickingClock())
    assert look_over(shop).records == 54
    shop.close()


def test_a_spoiled_page_of_the_database_is_named(stands):
    """A byte changed below SQLite, where none of our checks stands in the way."""
    whole = bytearray(stands.read_bytes())
    at = whole.index(b"39 39 39 39")
    whole[at] ^= 1
    stands.write_bytes(whole)
    shop = open_shop(str(stands), clock=TickingClock())
    told = look_over(shop)
    shop.close()
    assert "was changed after it was kept" in {one.what for one in told.problems}


def test_a_shop_of_a_newer_version_says_so_and_stays(stands):
    with sqlite3.connect(stands) as db:
        db.execute("UPDATE index_version SET version_num = '9999'")
    db.close()
    before = stands.read_bytes()
    with pytest.raises(NotKept, match="newer version") as refused:
        open_shop(str(stands), clock=TickingClock())
    assert "Update the program" in refused.value.remedy
    assert stands.read_bytes() == before


def test_a_read_only_folder_says_so(open_folder):
    shop = open_shop(str(open_folder / "shop.sqlite"), clock=TickingClock())
    fill(shop)
    shop.close()
    os.chmod(open_folder, 0o555)

    def deed() -> None:
        with pytest.raises(NotKept, match=r"cannot be written|nothing can be kept in"):
            open_shop(str(open_folder / "shop.sqlite"), clock=TickingClock())

    try:
        assert without_rights(deed)
    finally:
        os.chmod(open_folder, 0o777)


def test_a_full_disk_refuses_a_record_says_so_and_all_before_stays(stands):
    shop = open_shop(str(stands), clock=TickingClock())
    before = list(shop.rows())
    with shop._gate.engine.connect() as db:
        pages = db.exec_driver_sql("PRAGMA page_count").scalar_one()
        db.exec_driver_sql(f"PRAGMA max_page_count={pages}")
        db.commit()
    said = []
    for n in range(60):
        try:
            shop.add(replace(LOOK, text=f"more {n} " * 60), by="owner", id=f"x{n}")
        except NotKept as refusal:
            said.append(str(refusal))
    assert said
    assert all("is full" in one for one in said)
    assert list(shop.rows())[: len(before)] == before
    assert verify_chain(shop) == []
    shop.close()
    again = open_shop(str(stands), clock=TickingClock())  # there is room again
    again.add(Note(text="on it goes"), by="owner")
    assert look_over(again).is_whole
    again.close()


def test_the_system_refuses_room_for_the_log_and_nothing_before_is_lost(stands):
    shop = open_shop(str(stands), clock=TickingClock())
    before = len(list(shop.rows()))
    many = [ToAdd(fact=replace(LOOK, text=f"more {n} " * 80)) for n in range(50)]
    with largest_file(20_000), pytest.raises(NotKept, match=r"full|cannot be read or written"):
        shop.add_all(many, by="owner")
    shop.add(Note(text="on it goes"), by="owner")
    assert len(list(shop.rows())) == before + 1
    assert look_over(shop).is_whole
    shop.close()


def test_a_kept_file_comes_whole_or_not_at_all_whatever_call_fails(tmp_path):
    content = bytes(3_000_000)
    counting = Full(10**9)
    Files(tmp_path / "a", disk=counting.disk).keep(content)
    for after in range(counting.calls):
        files = Files(tmp_path / "b", disk=Full(after).disk)
        with pytest.raises(NotKept, match="is full"):
            files.keep(content)
        assert list(files.names()) == []
        assert [path for path in (tmp_path / "b").rglob("*") if path.is_file()] == []


def test_half_written_files_are_swept_once_they_are_old_and_nobodys(tmp_path):
    files = Files(tmp_path)
    names = {"dead": 4194303, "mine": os.getpid()}
    paths = {}
    for name, process in names.items():
        paths[name] = tmp_path / f".coming-{process}-{'a' * 32}"
        paths[name].write_bytes(b"half")
    young = paths["dead"].stat().st_mtime + 60
    files.sweep(young)
    assert paths["dead"].exists()
    files.sweep(young + 3600)
    assert not paths["dead"].exists()
    assert paths["mine"].exists()
