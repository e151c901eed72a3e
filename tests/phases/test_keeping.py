"""How long ago the shop was backed up, and when that is too long."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import pytest
from tests.fakes.shop import FakeShop

from retrue.phases.keeping import backups, keep_backup, since_backup, step_words
from retrue.records.facts import Lot, Note


@dataclass
class Made:
    records: int = 3
    last_sha256: str = "a" * 64
    files: int = 1
    problems: tuple[object, ...] = ()


class Calendar:
    """A clock that stands still until it is moved."""

    now = datetime(2026, 11, 2, 20, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def calendar():
    return Calendar()


@pytest.fixture
def shop(calendar):
    return FakeShop(calendar)


def test_an_empty_shop_owes_no_backup(shop):
    told = since_backup(shop, date(2026, 11, 26))
    assert (told.days, told.is_due, told.words) == (None, False, "")


@pytest.mark.parametrize("fact", [Lot(name="school"), Note(text="belt")])
def test_without_a_backup_it_is_due_a_week_after_the_first_record_even_if_that_was_corrected(
    shop, calendar, fact
):
    first = shop.add(fact, by="owner")
    calendar.now += timedelta(days=5)
    shop.add(fact, by="owner", replaces=first.id)
    assert not since_backup(shop, date(2026, 11, 8)).is_due
    told = since_backup(shop, date(2026, 11, 9))
    assert (told.days, told.is_due, told.words) == (
        7,
        True,
        "No backup was taken off this laptop yet.",
    )


def test_a_backup_of_half_past_midnight_is_of_today(ghent, shop, calendar):
    calendar.now = datetime(2026, 11, 2, 23, 30, tzinfo=UTC)
    shop.add(Note(text="belt"), by="owner")
    assert since_backup(shop, date(2026, 11, 10)).days == 7
    keep_backup(shop, Made(), place="/media/stick/b.zip", size_bytes=900, by="owner")
    assert since_backup(shop, date(2026, 11, 3)).words == "The last backup is of today."
    assert since_backup(shop, date(2026, 11, 4)).words == "The last backup is of yesterday."


def test_the_last_backup_counts(shop, calendar):
    shop.add(Note(text="belt"), by="owner")
    keep_backup(shop, Made(), place="/media/stick/b.zip", size_bytes=900, by="owner")
    calendar.now += timedelta(days=3)
    kept = keep_backup(shop, Made(problems=("x",)), place="/media/stick/b.zip", size_bytes=900,
                       by="owner")  # fmt: skip
    assert [one.fact.whole for one in backups(shop)] == [True, False]
    for days, due, words in (
        (0, False, "The last backup is of today."),
        (1, False, "The last backup is of yesterday."),
        (6, False, "The last backup is 6 days old."),
        (7, True, "The last backup is 7 days old."),
    ):
        told = since_backup(shop, calendar.now.date() + timedelta(days=days))
        assert (told.last, told.days, told.is_due, told.words) == (kept, days, due, words)


def test_a_step_is_told_in_words():
    assert step_words("files", 3, 9) == "Files: 3 of 9"
    assert step_words("records read back", 500, 0) == "Records read back: 500"
