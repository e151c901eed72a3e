"""A backup is one file, proved before it takes its name; nothing that was good is lost by it.

Held against: the zip form as Python's own zipfile reads it, SHA-256 of FIPS 180-4 as hashlib has
it, and the chain reckoned anew here from what docs/records.md says of it.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import threading
import zipfile
from dataclasses import replace

import pytest
from tests.fakes.shop import FakeShop, TickingClock
from tests.store.keeping import LOOK, NOW, PHOTOGRAPH, Full, calls_of, fill, largest_file

from retrue.base.refusals import NotKept, Overtaken, Refusal, Unreadable, Unusable
from retrue.records.chain import digest
from retrue.records.facts import Note
from retrue.records.lines import line_of, row_of
from retrue.store.backup import back_up, own_folders, refuse_place
from retrue.store.beside import Disk, coming_name
from retrue.store.inside import inside_of
from retrue.store.shop import open_shop
from retrue.store.unpacked import manifest_of, proved

HASHED = (
    "kind", "schema", "id", "by", "device", "noted_at", "observed_at", "replaces", "payload",
    "previous",
)  # fmt: skip


def made(shop, target, **more):
    return back_up(shop, target, version="0.1.0", now=NOW, **more)


@pytest.fixture
def shop(sql_shop):
    fill(sql_shop)
    return sql_shop


def chain_by_hand(lines: list[dict]) -> None:
    """The hash of each record as the manual describes it, with nothing of this program."""
    previous = "0" * 64
    for line in lines:
        assert line["previous"] == previous
        parts = [line[name] for name in HASHED]
        text = json.dumps(parts, ensure_ascii=False, separators=(",", ":"))
        assert hashlib.sha256(text.encode()).hexdigest() == line["sha256"]
        previous = line["sha256"]


def test_a_backup_is_a_zip_that_anybody_can_read_and_check(shop, tmp_path):
    told = made(shop, tmp_path / "b.zip")
    with zipfile.ZipFile(tmp_path / "b.zip") as packed:
        assert packed.testzip() is None
        content = packed.read("records.jsonl")
        lines = [json.loads(line) for line in content.splitlines()]
        chain_by_hand(lines)
        assert [line["id"] for line in lines] == [row.id for row in shop.rows()]
        assert hashlib.sha256(content).hexdigest() == told.content_sha256
        assert lines[-1]["sha256"] == told.last_sha256
        kept = [one for one in packed.infolist() if one.filename.startswith("files/")]
        assert {one.compress_type for one in kept} == {zipfile.ZIP_STORED}
        for one in kept:
            name = one.filename.rsplit("/", 1)[1]
            assert hashlib.sha256(packed.read(one)).hexdigest() == name
        manifest = json.loads(packed.read("manifest.json"))
    assert (told.records, told.files, told.file_bytes) == (14, 2, len(PHOTOGRAPH) + 11)
    assert manifest["problems"] == []
    raw = (tmp_path / "b.zip").read_bytes()
    assert raw[-64:].decode() == hashlib.sha256(raw[:-64]).hexdigest()
    assert proved(tmp_path / "b.zip") == told


def test_the_same_shop_at_the_same_moment_gives_the_same_bytes(shop, tmp_path):
    made(shop, tmp_path / "a.zip")
    made(shop, tmp_path / "b.zip")
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_an_empty_shop_can_be_backed_up(sql_shop, tmp_path):
    told = made(sql_shop, tmp_path / "b.zip")
    assert (told.records, told.files, told.until) == (0, 0, "")


def test_while_others_write_the_backup_is_of_one_moment(shop, opens, place, tmp_path):
    other, stop, added = opens(place), threading.Event(), []

    def write() -> None:
        while not stop.is_set():
            sha = other.keep_file(os.urandom(50))
            added.append(other.add(replace(LOOK, text=sha), by="helper").seq)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        told = [made(shop, tmp_path / f"b{n}.zip") for n in range(3)]
    finally:
        stop.set()
        writer.join()
    assert added
    assert [one.records for one in told] == sorted(one.records for one in told)
    assert all(not one.problems for one in told)


def test_a_newer_backup_takes_the_place_of_an_older_one(shop, tmp_path):
    made(shop, tmp_path / "b.zip")
    shop.add(Note(text="one more"), by="owner")
    assert made(shop, tmp_path / "b.zip").records == 15
    assert manifest_of(tmp_path / "b.zip").records == 15
    assert [name for name in os.listdir(tmp_path) if "coming" in name] == []


def test_a_shop_that_lost_records_does_not_replace_the_backup_that_has_them(shop, tmp_path, opens):
    made(shop, tmp_path / "b.zip")
    before = (tmp_path / "b.zip").read_bytes()
    other = opens(str(tmp_path / "other.sqlite"))
    other.add(Note(text="begun anew"), by="owner")
    with pytest.raises(Overtaken, match="record 14, which this shop does not have") as refused:
        made(other, tmp_path / "b.zip")
    assert "note check --last" in refused.value.remedy
    assert (tmp_path / "b.zip").read_bytes() == before


def test_what_is_no_backup_stays_under_its_name(shop, tmp_path):
    (tmp_path / "holiday.zip").write_bytes(b"photographs")
    with pytest.raises(Unusable, match="is no whole backup"):
        made(shop, tmp_path / "holiday.zip")
    assert (tmp_path / "holiday.zip").read_bytes() == b"photographs"
    with pytest.raises(Unusable, match="is a folder"):
        made(shop, tmp_path)


def test_a_missing_and_a_damaged_file_are_named_and_never_replace_a_good_backup(shop, tmp_path):
    made(shop, tmp_path / "b.zip")
    good = (tmp_path / "b.zip").read_bytes()
    first, second = sorted((tmp_path / "files").glob("*/*"))
    first.write_bytes(b"rotten")
    second.unlink()
    with pytest.raises(NotKept, match="the shop is not whole") as refused:
        made(shop, tmp_path / "b.zip")
    assert {problem.where for problem in refused.value.problems} == {first.name, second.name}
    assert (tmp_path / "b.zip").read_bytes() == good
    told = made(shop, tmp_path / "what-there-is.zip")
    assert [what for _, what in told.problems] == [
        "this kept file is damaged", "this kept file is missing, and a record names it",
    ]  # fmt: skip
    assert proved(tmp_path / "what-there-is.zip") == told


def test_a_place_that_is_lost_with_the_shop_is_refused(shop, tmp_path, place):
    for folder in own_folders(shop):
        with pytest.raises(NotKept, match="own folder"):
            refuse_place(folder / "b.zip", own_folders(shop))
    away = tmp_path / "stick"
    with pytest.raises(NotKept, match="no such folder"):
        refuse_place(away / "b.zip", (tmp_path / "files",))
    away.mkdir()
    refuse_place(away / "b.zip", (tmp_path / "files",))


def test_a_shop_in_memory_has_no_backup(tmp_path):
    with pytest.raises(NotKept, match="no disk"):
        made(FakeShop(), tmp_path / "b.zip")


# Trouble with the disk


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_a_disk_that_is_full_at_any_call_leaves_the_older_backup_and_nothing_half(shop, tmp_path):
    made(shop, tmp_path / "b.zip")
    before = (tmp_path / "b.zip").read_bytes()
    calls = calls_of(lambda disk: made(shop, tmp_path / "c.zip", disk=disk))
    assert calls >= 3
    shop.add(Note(text="one more"), by="owner")
    for after in range(calls):
        with pytest.raises(NotKept, match="is full"):
            made(shop, tmp_path / "b.zip", disk=Full(after).disk)
        assert (tmp_path / "b.zip").read_bytes() == before
        assert [name for name in os.listdir(tmp_path) if "coming" in name] == []
    made(shop, tmp_path / "b.zip")


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_the_system_itself_says_that_a_file_may_not_grow(shop, tmp_path):
    for size in (0, 100, 4000):
        with largest_file(size), pytest.raises(NotKept, match="is full"):
            made(shop, tmp_path / "b.zip")
        assert not (tmp_path / "b.zip").exists()


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_a_disk_that_lacks_the_room_is_refused_before_anything_is_written(
    shop, tmp_path, monkeypatch
):
    monkeypatch.setattr("shutil.disk_usage", lambda _: type("U", (), {"free": 1000})())
    with pytest.raises(NotKept, match=r"lacks \d+ MB"):
        made(shop, tmp_path / "b.zip")
    assert not (tmp_path / "b.zip").exists()


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_a_disk_that_does_not_keep_what_it_is_given_is_found_by_reading_back(shop, tmp_path):
    def careless(handle: int, data) -> int:
        spoiled = bytearray(data)
        spoiled[len(spoiled) // 2] ^= 1
        return os.write(handle, spoiled)

    with pytest.raises(Unreadable, match="changed or cut off"):
        made(shop, tmp_path / "b.zip", disk=Disk(write=careless))
    assert not (tmp_path / "b.zip").exists()


def test_what_a_killed_backup_left_is_cleared_by_the_next_and_never_taken_for_one(shop, tmp_path):
    target = tmp_path / "b.zip"
    dead = coming_name(target)
    half = dead.with_name(dead.name.replace(f"-{os.getpid()}-", "-4194303-"))
    mine, other = coming_name(target), coming_name(tmp_path / "c.zip")
    for path in (half, mine, other):
        path.write_bytes(b"half")
    made(shop, target)
    assert not half.exists()  # its process is gone
    assert mine.exists()  # its process lives
    assert other.exists()  # of another name


# Backups that are not as they were made


@pytest.fixture(scope="module")
def small(tmp_path_factory) -> bytes:
    folder = tmp_path_factory.mktemp("small")
    shop = open_shop(str(folder / "own.sqlite"), clock=TickingClock())
    shop.add(Note(text="belt"), by="owner")
    shop.keep_file(b"a photograph")
    made(shop, folder / "b.zip")
    shop.close()
    return (folder / "b.zip").read_bytes()


def test_one_flipped_byte_anywhere_is_found(small, tmp_path):
    path = tmp_path / "b.zip"
    for at in {*range(0, len(small), 9), *range(len(small) - 120, len(small), 5)}:
        spoiled = bytearray(small)
        spoiled[at] ^= 1 << at % 8
        path.write_bytes(spoiled)
        with pytest.raises(Unreadable):
            proved(path)
    path.write_bytes(small)
    assert proved(path).records == 1


def test_a_backup_cut_off_anywhere_or_with_more_behind_it_is_found(small, tmp_path):
    path = tmp_path / "b.zip"
    for end in range(0, len(small), 41):
        path.write_bytes(small[:end])
        with pytest.raises(Unreadable):
            proved(path)
    path.write_bytes(small + b"more")
    with pytest.raises(Unreadable):
        proved(path)


def resealed(parts: dict[str, bytes], compressed=zipfile.ZIP_STORED, **more) -> bytes:
    """A zip that carries a right hash over its bytes: made by somebody who means it."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", compressed) as packed:
        packed.comment = b"retrue-backup sha256:" + b"0" * 64
        for name, content in parts.items():
            packed.writestr(name, content)
        for name, content in more.items():
            packed.writestr(name, content)
    raw = out.getvalue()[:-64]
    return raw + hashlib.sha256(raw).hexdigest().encode()


def parts_of(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


@pytest.mark.parametrize(
    "name",
    ["../../etc/cron.d/x", "/etc/passwd", "files/../x", "files/ab/../../x", "C:\\x", "files/ab/cd",
     "records.jsonl/", "files/00/" + "f" * 64],
)  # fmt: skip
def test_names_that_lead_elsewhere_are_refused_and_nothing_is_written_by_a_name(
    small, tmp_path, name
):
    path = tmp_path / "b.zip"
    path.write_bytes(resealed({**parts_of(small), name: b"x"}))
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(Unreadable):
        proved(path)
    assert sorted(tmp_path.rglob("*")) == before


def test_a_bomb_is_refused_before_it_is_unpacked(small, tmp_path):
    path = tmp_path / "b.zip"
    parts = parts_of(small) | {"records.jsonl": b"0" * 20_000_000}
    path.write_bytes(resealed(parts, zipfile.ZIP_DEFLATED))
    assert path.stat().st_size < 1_000_000
    with pytest.raises(Unreadable) as refused:
        proved(path)
    assert "unpacks to far more" in str(refused.value.problems[0])
    parts = parts_of(small) | {f"files/00/00{'0' * 62}": bytes(3_000_000)}
    path.write_bytes(resealed(parts, zipfile.ZIP_DEFLATED))
    with pytest.raises(Unreadable):
        proved(path)


def test_a_part_changed_with_care_is_found_by_the_hashes_inside(small, tmp_path):
    path, parts = tmp_path / "b.zip", parts_of(small)
    changed = parts["records.jsonl"].replace(b"belt", b"bolt")
    other = json.dumps({**json.loads(parts["manifest.json"]), "records": 2}).encode()
    for name, content in (("records.jsonl", changed), ("records.jsonl", b""),
                          ("records.jsonl", b"[]\n"), ("manifest.json", other)):  # fmt: skip
        path.write_bytes(resealed({**parts, name: content}))
        with pytest.raises(Unreadable):
            proved(path)
    gone = {name: content for name, content in parts.items() if not name.startswith("files/")}
    path.write_bytes(resealed(gone))
    with pytest.raises(Unreadable):
        proved(path)
    path.write_bytes(resealed(parts))
    assert proved(path).records == 1


def test_what_the_list_of_a_zip_says_of_a_kept_file_is_held_against_it(small, tmp_path):
    """A wrong check sum, size or place in the list, sealed anew: it could not be put back."""
    path, raw = tmp_path / "b.zip", bytearray(small[:-64])
    name = b"files/" + hashlib.sha256(b"a photograph").hexdigest()[:2].encode()
    entry = raw.rindex(b"PK\x01\x02", 0, raw.rindex(name))
    for at in (entry + 16, entry + 24, entry + 42):  # APPNOTE 4.3.12: CRC-32, size, offset
        spoiled = raw.copy()
        spoiled[at] ^= 1
        path.write_bytes(spoiled + hashlib.sha256(spoiled).hexdigest().encode())
        with pytest.raises(Unreadable):
            proved(path)
    path.write_bytes(raw + hashlib.sha256(raw).hexdigest().encode())
    assert proved(path).files == 1


def test_a_mark_that_the_disk_does_not_keep_is_found(shop, tmp_path):
    def forgets(handle: int, data) -> int:
        is_mark = bytes(data).isalnum() and len(data) == 64
        return len(data) if is_mark else os.write(handle, data)

    with pytest.raises(NotKept, match="does not read as it was written"):
        made(shop, tmp_path / "b.zip", disk=Disk(write=forgets))
    assert not (tmp_path / "b.zip").exists()


def test_a_backup_of_a_newer_program_says_so(small, tmp_path):
    parts = parts_of(small)
    newer = parts["manifest.json"].replace(b"retrue-backup/1", b"retrue-backup/2")
    (tmp_path / "b.zip").write_bytes(resealed({**parts, "manifest.json": newer}))
    with pytest.raises(Unreadable, match="newer version") as refused:
        proved(tmp_path / "b.zip")
    assert "Update" in refused.value.remedy


def test_a_record_of_a_newer_program_in_a_backup_that_is_whole_says_so(small, tmp_path):
    """Its hashes are right; what it says is of a kind that nobody knows here."""
    parts = parts_of(small)
    row = row_of(parts["records.jsonl"])
    newer = replace(row, kind="laser_scan", payload='{"points":7}', sha256="")
    newer = replace(newer, sha256=digest(newer))
    told = inside_of(parts["manifest.json"])
    content = hashlib.sha256(line_of(newer)).hexdigest()
    told = replace(told, content_sha256=content, last_sha256=newer.sha256, version="9.9").sealed()
    parts |= {"records.jsonl": line_of(newer), "manifest.json": told.written()}
    (tmp_path / "b.zip").write_bytes(resealed(parts))
    with pytest.raises(Unreadable, match=r"newer version of this program \(9\.9\)"):
        proved(tmp_path / "b.zip")


@pytest.mark.parametrize("content", [b"", b"PK", b"x" * 5000, None])
def test_what_is_no_backup_is_refused_and_says_what_to_choose(tmp_path, content):
    path = tmp_path / "b.zip"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(Refusal) as refused:
        proved(path)
    assert refused.value.remedy
