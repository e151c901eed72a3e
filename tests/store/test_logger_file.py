"""Files that a logger writes: named when the server starts, and no other is ever read."""

from __future__ import annotations

from pathlib import Path

import pytest

from retrue.base.refusals import Unknown, Unreadable
from retrue.store import logger_file


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "loggers"
    made.mkdir()
    for name in ("b.csv", "a.CSV", "notes.pdf"):
        (made / name).write_bytes(name.encode())
    (tmp_path / "secret.csv").write_bytes(b"secret")
    (made / "link.csv").symlink_to(tmp_path / "secret.csv")
    return made


def test_a_folder_offers_its_tables_and_nothing_that_leads_out_of_it(folder: Path) -> None:
    loggers = logger_file.named([folder])
    assert list(logger_file.offered(loggers)) == ["loggers/a.CSV", "loggers/b.csv"]
    assert logger_file.read(loggers, "loggers/b.csv") == b"b.csv"


def test_a_file_that_appears_later_is_offered_then(folder: Path) -> None:
    loggers = logger_file.named([folder])
    (folder / "late.csv").write_bytes(b"x")
    assert "loggers/late.csv" in logger_file.offered(loggers)


@pytest.mark.parametrize(
    "name",
    ["secret.csv", "loggers/link.csv", "loggers/../secret.csv", "/etc/hostname", "loggers", ""],
)
def test_no_path_can_be_named_only_what_was_offered(folder: Path, name: str) -> None:
    with pytest.raises(Unknown, match="no logger is called"):
        logger_file.read(logger_file.named([folder]), name)


def test_two_loggers_of_one_name_are_told_apart(folder: Path) -> None:
    other = folder.parent / "b.csv"
    other.write_bytes(b"other")
    loggers = logger_file.named([folder / "b.csv", other])
    assert [logger_file.read(loggers, name) for name in loggers] == [b"b.csv", b"other"]
    assert list(loggers) == ["b.csv", "b.csv (2)"]


def test_what_is_not_there_or_too_large_is_refused_by_name(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(Unreadable, match=r"gone\.csv"):
        logger_file.named([folder / "gone.csv"])
    loggers = logger_file.named([folder / "b.csv"])
    monkeypatch.setattr(logger_file, "LARGEST", 4)
    with pytest.raises(Unreadable, match="larger than"):
        logger_file.read(loggers, "b.csv")


def test_a_grown_file_has_another_stamp(folder: Path) -> None:
    path = folder / "b.csv"
    before = logger_file.stamp(path)
    path.write_bytes(b"more than before")
    assert logger_file.stamp(path) != before
    assert logger_file.stamp(folder / "gone.csv") == (0, 0)
