"""An evening's quarter hours shared out: by hand, and by the rule of largest remainders."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from retrue.cases.settle.evening_rules import RULES
from retrue.cases.settle.evening_shares import Owner, Slice, filled, hours_of, quarters, shares_of

AT = datetime(2026, 11, 25, 20, tzinfo=UTC)
MILL: Owner = ("a", "mill", "")
LATHE: Owner = ("a", "lathe", "")


@pytest.mark.parametrize(
    ("weights", "count", "parts"),
    [
        ([47, 16, 15.8, 12, 6.1, 3.1], 10, [5, 2, 1, 1, 1, 0]),
        # Hare quota 1000 / 5 = 200: 2.6, 1.9, 0.5 leave two seats to 0.9 and 0.6
        ([520, 380, 100], 5, [3, 2, 0]),
        ([1, 1, 1], 4, [2, 1, 1]),  # of remainders alike the first
        ([1, 0, 3], 4, [1, 0, 3]),
        ([0, 0, 0], 4, [4, 0, 0]),  # nobody has any: the first has it all
        ([0.0], 3, [3]),
    ],
)
def test_largest_remainders_by_hand(weights: list[float], count: int, parts: list[int]) -> None:
    """Hare quota and largest remainders, by definition."""
    assert quarters(weights, count) == parts


@pytest.mark.parametrize(
    ("minutes", "hours"),
    [(0.0, 0.25), (22.4, 0.25), (22.5, 0.5), (37.4, 0.5), (37.5, 0.75), (60.0, 1.0)],
)
def test_hours_are_told_to_the_nearest_quarter_a_half_upwards(minutes: float, hours: float) -> None:
    assert hours_of(timedelta(minutes=minutes), RULES) == hours


def test_time_of_one_owner_is_added_up_and_the_longest_stands_first() -> None:
    """40, 50 and 30 minutes: 50 of 120 are 3.3 of eight quarters, 70 are 4.7."""

    def stretch(begins: float, ends: float, owner: Owner) -> Slice:
        minute = timedelta(minutes=1)
        return Slice(AT + begins * minute, AT + ends * minute, owner)

    slices = [stretch(0, 40, MILL), stretch(40, 90, LATHE), stretch(90, 120, MILL)]
    assert shares_of(slices, 2.0, RULES) == [(MILL, 1.25), (LATHE, 0.75)]
    short = [stretch(0, 2, LATHE), stretch(2, 60, MILL)]
    assert shares_of(short, 1.0, RULES) == [(MILL, 1.0)]  # nobody with nothing


def test_what_names_no_machine_goes_with_the_next_and_after_the_last_with_the_one_before() -> None:
    none: Owner = (None, None, "")
    told = filled([none, ("a", "mill", ""), ("a", "lathe", "J05"), ("a", "mill", "J07"), none])
    assert told == [("a", "mill", "J07"), ("a", "mill", "J07"), ("a", "lathe", "J05"),
                    ("a", "mill", "J07"), ("a", "mill", "J07")]  # fmt: skip
    assert filled([none, none]) == [none, none]
