"""The invented lot lies in the past of whoever walks it, by whole weeks."""

from __future__ import annotations

import tomllib
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from retrue.cli.demo_days import CHAPTERS, LAST, Days, days_on

EXAMPLES = Path(__file__).parents[2] / "examples"
FIRST = date(2026, 11, 26)
EVENING = 18  # o'clock
SATURDAY = 5


@pytest.mark.parametrize("ahead", range(0, 900, 37))
def test_on_whatever_day_it_is_walked_it_ended_within_the_week_before(ahead: int) -> None:
    today = FIRST + timedelta(days=ahead)
    last = days_on(today).day(LAST)
    assert timedelta(days=1) <= today - last <= timedelta(days=7)
    assert last.weekday() == LAST.weekday(), "an evening stays an evening of its weekday"


def test_all_its_days_move_together_and_nothing_else_does() -> None:
    moved = Days(timedelta(weeks=1)).lived(
        b"at = 2027-01-14T18:30:00+01:00\n14/01/2027;deposit;-1.150,00;2027-0114b\nEL-0417 2024-12"
    )
    assert moved.decode().splitlines() == [
        "at = 2027-01-07T18:30:00+01:00",
        "07/01/2027;deposit;-1.150,00;2027-0107b",
        "EL-0417 2024-12",
    ]


def test_each_part_of_it_is_kept_before_it_ends() -> None:
    for chapter in CHAPTERS:
        assert Days(timedelta(0)).when(chapter).date() <= LAST


@pytest.mark.parametrize("name", ["mill", "lathe"])
def test_the_stages_of_first_power_are_begun_in_order_in_an_evening_or_on_a_saturday(
    name: str,
) -> None:
    told = tomllib.loads((EXAMPLES / "wake" / f"{name}.toml").read_text(encoding="utf-8"))
    begun: list[datetime] = [stage["at"] for stage in told["stage"]]
    assert begun == sorted(begun)
    assert all(one.hour >= EVENING or one.weekday() == SATURDAY for one in begun)
