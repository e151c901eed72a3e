"""The day's rate: typed, kept near the day, or missing."""

from __future__ import annotations

from decimal import Decimal

import pytest

from retrue.books.rates import Rates, changed

KEPT = [
    ("CHF", "2026-11-10", Decimal("1.05")),
    ("CHF", "2026-11-20", Decimal("1.06")),
    ("CHF", "2026-11-20", Decimal("1.07")),
    ("USD", "2026-11-20", Decimal("0.92")),
]


@pytest.mark.parametrize(
    ("day", "rate"),
    [
        ("2026-11-09", None),  # none is kept yet
        ("2026-11-10", "1.05"),
        ("2026-11-17", "1.05"),  # a week old
        ("2026-11-18", None),  # older than a week
        ("2026-11-20", "1.07"),  # the last that was kept of that day
        ("2026-11-27", "1.07"),
        ("2026-11-28", None),
    ],
)
def test_the_newest_on_or_before_the_day_that_is_not_too_old(day: str, rate: str | None) -> None:
    found = Rates("EUR", KEPT).on("CHF", day)
    assert (None if found is None else found.rate) == (None if rate is None else Decimal(rate))


def test_how_old_it_may_be_can_be_said() -> None:
    found = Rates("EUR", KEPT, most_days_old=60).on("CHF", "2026-12-24")
    assert found is not None
    assert (found.day, found.rate) == ("2026-11-20", Decimal("1.07"))


def test_one_that_is_typed_stands_before_every_other() -> None:
    found = Rates("EUR", KEPT).on("CHF", "2026-11-20", typed=Decimal("1.1"), typed_on="2026-11-19")
    assert found is not None
    assert (found.rate, found.day, found.typed) == (Decimal("1.1"), "2026-11-19", True)


def test_the_shops_own_is_worth_one_and_the_rest_is_missing() -> None:
    rates = Rates("EUR", KEPT)
    own = rates.on("EUR", "1999-01-04")
    assert own is not None
    assert own.rate == 1
    assert rates.on("NOK", "2026-11-20") is None


def test_euro_of_1999() -> None:
    """Council Regulation (EC) 2866/98: 1 EUR = 40.3399 BEF, 1.95583 DEM, six significant figures.

    By article 5 of Regulation 1103/97 amounts are rounded to the cent: 1 000 DEM were 511.29 EUR.
    """
    assert changed(Decimal(1000), 1 / Decimal("1.95583"), "EUR") == Decimal("511.29")
