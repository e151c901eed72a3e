"""Times and days are those of the clock on the wall of the workshop; what is kept is UTC.

POSIX.1-2017, Base Definitions, 8.3: ``CET-1CEST,M3.5.0,M10.5.0/3`` is one hour ahead of UTC, two
from the last Sunday of March to that of October.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, timedelta

import pytest
from tests.fakes.shop import FakeShop
from tests.web.conftest import Clock
from tests.web.visitor import Visitor, text_of

from retrue.kinds.library import Kind
from retrue.records.facts import Note
from retrue.web.app import Settings, app


@pytest.fixture
def ghent(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
        time.tzset()
        yield
    time.tzset()


@pytest.mark.usefixtures("ghent")
@pytest.mark.parametrize(
    ("kept", "read"),
    [
        (datetime(2026, 11, 25, 23, 30, tzinfo=UTC), "2026-11-26 00:30"),
        (datetime(2026, 7, 14, 22, 5, tzinfo=UTC), "2026-07-15 00:05"),
        (datetime(2026, 10, 25, 1, 30, tzinfo=UTC), "2026-10-25 02:30"),
    ],
)
def test_a_page_shows_the_time_at_which_it_was_kept(
    kinds: Mapping[str, Kind], settings: Settings, kept: datetime, read: str
) -> None:
    clock = Clock(kept)
    owner = Visitor(app(shop=FakeShop(clock), kinds=kinds, clock=clock, settings=settings))
    page = text_of(owner.post("/note", {"text": "belt squeals"}))
    assert f"{read}, owner" in page


@pytest.mark.usefixtures("ghent")
def test_a_record_read_again_is_the_same_moment_on_the_wall() -> None:
    shop = FakeShop()
    kept = shop.add(Note(text="rust on the X ways"), by="me", device="")
    said = datetime(2026, 11, 26, 0, 30, tzinfo=UTC)
    other = shop.add(Note(text="belt"), by="me", device="", observed_at=said)
    assert kept.noted_at.utcoffset() == timedelta(hours=1)
    assert (other.observed_at, other.observed_at.date()) == (said, date(2026, 11, 26))
    assert other.observed_at.hour == 1
    row = next(row for row in shop.rows() if row.id == other.id)
    assert row.observed_at == "2026-11-26T00:30:00.000000+00:00"  # what is kept is as it was said


@pytest.mark.usefixtures("ghent")
def test_what_a_telephone_said_with_its_offset_stays_as_it_was_said() -> None:
    shop = FakeShop()
    said = datetime.fromisoformat("2026-11-26T00:30:00+05:30")
    kept = shop.add(Note(text="belt"), by="me", device="", observed_at=said)
    assert kept.observed_at.isoformat() == "2026-11-26T00:30:00+05:30"


@pytest.mark.usefixtures("ghent")
@pytest.mark.parametrize("year", [1, 9999])
def test_a_claim_at_an_end_of_the_calendar_is_read_as_it_stands(year: int) -> None:
    said = datetime(year, 1 if year == 1 else 12, 1 if year == 1 else 31, 23, 59, tzinfo=UTC)
    kept = FakeShop().add(Note(text="belt"), by="me", device="", observed_at=said)
    assert kept.observed_at == said
