"""Backups and shops made by somebody who means it: every hash is right, what they say is not.

Held against: hashes and zips as the standard library makes them, the rules of adding a record.
"""

from __future__ import annotations

import hashlib
import io
import os
import sqlite3
import zipfile
from dataclasses import replace

import pytest
from tests.fakes.shop import FakeShop, TickingClock
from tests.store.keeping import NOW, fill, rows_of

from retrue.base.refusals import Unreadable, Unusable
from retrue.records.chain import START, broken, digest
from retrue.records.facts import Finding, Note
from retrue.records.lines import Tally
from retrue.records.outside import LONGEST_NAME
from retrue.store import files as files_module
from retrue.store.backup import back_up
from retrue.store.beside import Disk
from retrue.store.inside import inside_of
from retrue.store.kept import kept
from retrue.store.restoring import restore
from retrue.store.shop import open_shop
from retrue.store.whole import look_over


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """The rows of a small shop, and the parts of its backup."""
    folder = tmp_path_factory.mktemp("whole")
    shop = open_shop(str(folder / "shop.sqlite"), clock=TickingClock())
    fill(shop)
    back_up(shop, folder / "b.zip", version="0.1.0", now=NOW)
    rows = rows_of(shop)
    shop.close()
    with zipfile.ZipFile(folder / "b.zip") as packed:
        return rows, {name: packed.read(name) for name in packed.namelist()}


def chained(rows):
    """The same rows with numbers, links and hashes as they must be."""
    made, previous = [], START
    for seq, row in enumerate(rows, 1):
        row = replace(row, seq=seq, previous=previous)
        made.append(replace(row, sha256=digest(row)))
        previous = made[-1].sha256
    return made


def crafted(path, rows, parts, problems=()):
    """A backup of these rows in which every hash is right."""
    tally = Tally()
    lines = b"".join(map(tally.take, rows))
    told = replace(
        inside_of(parts["manifest.json"]), records=tally.count, until=tally.until,
        last_sha256=tally.last, content_sha256=tally.content, problems=tuple(problems),
    ).sealed()  # fmt: skip
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.comment = b"retrue-backup sha256:" + b"0" * 64
        for name, content in parts.items():
            one = {"records.jsonl": lines, "manifest.json": told.written()}.get(name, content)
            deflated = zipfile.ZIP_DEFLATED if name == "records.jsonl" else zipfile.ZIP_STORED
            packed.writestr(name, one, deflated)
    raw = out.getvalue()[:-64]
    path.write_bytes(raw + hashlib.sha256(raw).hexdigest().encode())
    return path


def with_note(**fields):
    return lambda rows: [*rows[:-1], replace(rows[-1], **fields)]


SPOILED = {
    "noted_at is 'yesterday'": with_note(noted_at="yesterday"),
    "noted_at is '9999-99-99'": with_note(noted_at="9999-99-99"),
    "noted_at is not in universal time": with_note(noted_at="2026-11-26T20:00:00.000000+01:00"),
    "observed_at is '2026-11-26T10:00:00'": with_note(observed_at="2026-11-26T10:00:00"),
    "id is '../../x y\\x00'": with_note(id="../../x y\0"),
    "id is ''": with_note(id=""),
    "by is empty": with_note(by=" "),
    "by holds a character that is not text": with_note(by="a\0b"),
    "device holds a character that is not text": with_note(device="a\u202eb"),
    "text holds a character that is not text": with_note(payload='{"text":"a\\u0000b"}'),
    "not JSON text": with_note(payload="[" * 100_000),
    "names a finding, not a note": with_note(replaces="f0"),
    "which does not stand before it": with_note(replaces="n1"),
    "which was replaced before": with_note(
        replaces="f1", kind="finding",
        payload='{"answer":"seen","check":"C01","lot":"l1","machine":"m1"}',
    ),
    "replaces is missing": with_note(kind="withdrawn", payload='{"of_kind":"note"}'),
    "has an id that another record before it has": lambda rows: [*rows, rows[-1]],
    "text is empty": with_note(payload='{"text":""}'),
    "is not a SHA-256": with_note(
        kind="file", payload='{"sha256":"x","name":"a","media_type":"b","size_bytes":1}'
    ),
    "which is not a date": with_note(
        kind="posting", payload='{"amount":"1","posted_on":"soon","sort":"bought","what":"belt"}'
    ),
    "names a note, not a lot": with_note(kind="lot", replaces="n0", payload='{"name":"x"}'),
}  # fmt: skip


def spoiled_rows(whole, what):
    rows, _ = whole
    note = replace(rows[-1], id="n0")
    return chained(SPOILED[what]([*rows[:-1], note, rows[-1]]))


@pytest.mark.parametrize("what", SPOILED)
def test_a_backup_made_with_care_is_refused_and_says_what_is_wrong(whole, tmp_path, what):
    rows = spoiled_rows(whole, what)
    problems = list(broken(rows))
    assert any(what in one.what for one in problems)
    assert all(one.where.isprintable() for one in problems)
    for listed in ((), tuple((one.where, one.what) for one in problems)):
        path = crafted(tmp_path / "b.zip", rows, whole[1], problems=listed)
        place = tmp_path / f"shop{len(listed)}.sqlite"
        said = refused(path, place)
        if said is not None:
            assert what in said or "no database takes" in said
            assert not place.exists()
            continue
        assert listed  # a shop that was damaged comes back as it was, and says so
        shop = open_shop(str(place), clock=TickingClock())
        assert not look_over(shop).is_whole
        assert len(shop.current(Finding)) >= 4
        shop.close()


def refused(path, place):
    """Why a backup is not put back; None where it is."""
    try:
        restore(path, str(place), clock=TickingClock())
    except Unreadable as refusal:
        return " ".join([refusal.reason, *(one.what for one in refusal.problems)])
    return None


def test_rows_as_they_were_kept_pass(whole, tmp_path):
    rows, parts = whole
    assert list(broken(chained(rows))) == []
    path = crafted(tmp_path / "b.zip", chained(rows), parts)
    assert restore(path, str(tmp_path / "s.sqlite"), clock=TickingClock())[1].records == len(rows)


def test_an_older_record_without_a_field_of_today_passes(whole):
    """A field that came later has its default; the text of the record stays as it was written."""
    rows, _ = whole
    older = replace(rows[-1], payload='{"text": "oil"}', by="a name " * 60, device="")
    assert list(broken(chained([*rows[:-1], older]))) == []


@pytest.mark.parametrize("field", ["by", "device"])
def test_a_name_has_a_bound_when_it_comes(field):
    shop = FakeShop()
    shop.add(Note(text="oil"), **{"by": "me", field: "n" * LONGEST_NAME})
    with pytest.raises(Unusable) as refused:
        shop.add(Note(text="oil"), **{"by": "me", field: "n" * 100_000})
    assert [one.where for one in refused.value.problems] == [field]


# A shop whose bytes were changed behind its back


DAMAGES = (
    {"noted_at": "xx"},
    {"observed_at": "2026-01-01T00:00:00"},
    {"noted_at": "xx", "observed_at": "2026-01-01T00:00:00"},
    {"payload": "[" * 100_000},
    {"payload": "{}"},
    {"payload": '{"text":1e999}'},
    {"kind": "nothing"},
    {"schema": 10**6},
    {"schema": -1},
    {"by": "\0"},
)


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda one: " ".join(one))
def test_a_changed_record_is_named_and_the_rest_is_read(tmp_path, damage):
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    fill(shop)
    shop.close()
    with sqlite3.connect(tmp_path / "shop.sqlite") as db:
        for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type='trigger'").fetchall():
            db.execute(f"DROP TRIGGER {name}")
        for column, value in damage.items():
            db.execute(f'UPDATE records SET "{column}" = ? WHERE seq = 4', (value,))
    db.close()
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    for _ in range(2):
        told = look_over(shop)
        assert {one.where for one in told.problems} == {"record 4 (f0)"}
        assert "was changed after it was kept" in {one.what for one in told.problems}
        assert told.records == 14
        kept(shop).rebuild()
    assert "dust 5" in [one.fact.text for one in shop.current(Finding)]
    made = back_up(shop, tmp_path / "b.zip", version="0.1.0", now=NOW)
    assert {where for where, _ in made.problems} == {"record 4 (f0)"}
    shop.close()
    inside, there = restore(tmp_path / "b.zip", str(tmp_path / "c.sqlite"), clock=TickingClock())
    assert inside.problems
    assert there.records == 14


def test_ten_files_are_synced_before_the_first_has_its_name(tmp_path, monkeypatch):
    """Each file once, each folder once; no name before the bytes of all are on the disk."""
    more = {hashlib.sha256(bytes([n])).hexdigest(): bytes([n]) for n in range(10)}
    each = [(name, lambda content=content: io.BytesIO(content)) for name, content in more.items()]
    told: list[str] = []

    def sync(handle: int) -> None:
        told.append("sync")
        os.fsync(handle)

    def name(coming, home, move=os.replace) -> None:
        told.append("name")
        move(coming, home)

    monkeypatch.setattr(files_module, "sync_folder", lambda folder: told.append(folder.name))
    monkeypatch.setattr(os, "replace", name)
    files = files_module.Files(tmp_path / "to", disk=Disk(sync=sync))
    assert files.take_all(each, lambda done: None) == 10
    assert told[:10] == ["sync"] * 10
    assert told[10:20] == ["name"] * 10
    assert told[20:] == sorted({name[:2] for name in more})
    assert sorted(files.names()) == sorted(more)
    assert files.take_all(each, lambda done: None) == 0
