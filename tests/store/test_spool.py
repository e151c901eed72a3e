"""What is done of a catalogue, kept beside it: a run goes on, nothing unfinished is thrown away."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.cases.priced import kinds
from tests.cases.screen.listed import small_parts

from retrue.base.refusals import NotKept, NotYet, Unusable
from retrue.cases.screen.parts import PartDone
from retrue.cases.screen.score import score_part
from retrue.store.spool import beside, spooled

KEY, OTHER = "a" * 64, "b" * 64


@pytest.fixture(scope="module")
def done() -> tuple[PartDone, ...]:
    return tuple(score_part(part, kinds()) for part in small_parts(3, worlds=100))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return beside(tmp_path / "sale.csv")


def keep(path: Path, *parts: PartDone, key: str = KEY, of: int = 3) -> None:
    with spooled(path, key, of) as spool:
        for part in parts:
            spool.keep(part)


def kept(path: Path, key: str = KEY, **how: bool) -> dict[int, PartDone]:
    with spooled(path, key, 3, **how) as spool:
        return spool.done


def test_a_stopped_run_goes_on_with_the_same_rows_to_the_last_bit(path: Path, done) -> None:
    keep(path, done[1])
    assert kept(path) == {1: done[1]}
    keep(path, done[0])
    assert kept(path) == {0: done[0], 1: done[1]}


def test_what_is_kept_is_on_the_disk_before_the_run_ends(path: Path, done) -> None:
    with spooled(path, KEY, 3) as spool:
        spool.keep(done[0])
        assert path.read_bytes().count(b"\n") == 2


@pytest.mark.parametrize("cut", [1, 40, 400])
def test_a_line_that_was_cut_off_is_left_out(path: Path, done, cut: int) -> None:
    keep(path, done[0], done[1])
    path.write_bytes(path.read_bytes()[:-cut])
    assert kept(path) == {0: done[0]}
    keep(path, done[1])
    assert kept(path) == {0: done[0], 1: done[1]}


def test_a_line_that_was_changed_is_left_out_and_counted(path: Path, done) -> None:
    """One digit of a price, and the hash of the line no longer fits (FIPS 180-4)."""
    keep(path, done[0], done[1], done[2])
    head, first, *rest = path.read_bytes().splitlines(keepends=True)
    at = first.index(b'"walk_away":') + len(b'"walk_away":')
    path.write_bytes(b"".join((head, first[:at], b"9", first[at:], *rest)))
    with spooled(path, KEY, 3) as spool:
        assert (spool.done, spool.damaged) == ({1: done[1], 2: done[2]}, 1)
        spool.keep(done[0])
    assert kept(path) == {0: done[0], 1: done[1], 2: done[2]}


def test_a_part_that_is_none_or_of_other_lots_is_left_out(path: Path, done) -> None:
    numbers = [[row.number for row in part.rows] for part in done]
    keep(path, done[1], replace(done[0], number=7), replace(done[0], number=2))
    with spooled(path, KEY, 3, lots=numbers) as spool:
        assert (spool.done, spool.damaged) == ({1: done[1]}, 2)


@pytest.mark.parametrize(
    "odd",
    [
        '{"key": "a", "parts": "x", "schema": 2}',
        '{"key": "a", "parts": true, "schema": 2}',
        '{"key": "a", "parts": -1, "schema": 2}',
        '{"key": 1, "parts": 3, "schema": 2}',
        '{"key": "a", "parts": 3, "schema": true}',
        '["key", "parts", "schema"]',
    ],
)
def test_an_odd_first_line_is_refused_and_stays(path: Path, done, odd: str) -> None:
    keep(path, done[0])
    _, rest = path.read_text(encoding="utf-8").split("\n", 1)
    path.write_text(f"{odd}\n{rest}", encoding="utf-8")
    with pytest.raises(Unusable, match="no screening"):
        kept(path)
    assert path.read_text(encoding="utf-8").startswith(odd)


def test_one_of_another_version_gives_way_only_where_it_is_finished(path: Path) -> None:
    head = '{"key": "a", "parts": 2, "schema": 1}\n'
    path.write_text(head + '{"number":0,"rows":[]}\n', encoding="utf-8")
    with pytest.raises(Unusable, match="another version") as refused:
        kept(path)
    assert "--restart" in refused.value.remedy
    path.write_text(head + '{"number":0,"rows":[]}\n{"number":1,"rows":[]}\n', encoding="utf-8")
    assert kept(path) == {}


def test_a_first_line_that_was_cut_off_is_written_anew(path: Path, done) -> None:
    path.write_bytes(b'{"key": "aaaa')
    keep(path, done[0])
    assert kept(path) == {0: done[0]}


def test_another_catalogue_finds_it_unfinished_and_is_refused(path: Path, done) -> None:
    keep(path, done[0])
    with pytest.raises(Unusable, match="1 of 3 parts") as refused:
        kept(path, OTHER)
    assert "--restart" in refused.value.remedy
    assert kept(path) == {0: done[0]}
    assert kept(path, OTHER, anew=True) == {}


def test_one_that_is_finished_gives_way(path: Path, done) -> None:
    keep(path, *done)
    assert kept(path, OTHER) == {}


def test_a_file_of_somebody_else_stays(path: Path) -> None:
    path.write_text("dear diary\n", encoding="utf-8")
    with pytest.raises(Unusable, match="no screening"):
        kept(path)
    assert path.read_text(encoding="utf-8") == "dear diary\n"


def test_two_runs_at_once_are_told_apart(path: Path) -> None:
    pytest.importorskip("fcntl")
    with spooled(path, KEY, 3), pytest.raises(NotYet, match="another run"):
        kept(path)


def test_where_nothing_may_be_written_it_is_said(tmp_path: Path) -> None:
    with pytest.raises(NotKept, match=r"sale\.csv\.screening cannot be written"):
        kept(beside(tmp_path / "nowhere" / "sale.csv"))


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
def test_a_full_disk_is_said(done, path: Path) -> None:
    with spooled(path, KEY, 3) as spool, Path("/dev/full").open("wb", buffering=0) as full:
        spool._file = full
        with pytest.raises(NotKept, match="cannot be written"):
            spool.keep(done[0])
