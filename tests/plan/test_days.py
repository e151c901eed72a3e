"""Days on the calendar, by hand."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from retrue.plan.days import days_until_good_part

ONE = np.ones(1)


def days(first: float, rest: float, lead: float, before: float = 0.0, week: float = 14.0) -> float:
    return float(
        days_until_good_part(
            wait_days=10.0,
            hours_before=before,
            first_hours=ONE * first,
            rest_hours=ONE * rest,
            lead_days=ONE * lead,
            run_in_days=2.0,
            hours_a_week=week,
        )[0]
    )


def test_work_and_waiting_run_side_by_side() -> None:
    """14 hours a week are 2 a day: 10 + 20/2 + max(30, 40/2) + 2."""
    assert days(first=20, rest=40, lead=30) == 10 + 10 + 30 + 2
    assert days(first=20, rest=80, lead=30) == 10 + 10 + 40 + 2


def test_the_second_machine_waits_for_the_same_hands() -> None:
    assert days(20, 40, 30, before=50) == days(20, 40, 30) + 25


@given(st.floats(0, 300), st.floats(0, 300), st.floats(0, 90), st.floats(1, 60))
def test_more_of_anything_never_makes_it_earlier(
    first: float, rest: float, lead: float, week: float
) -> None:
    base = days(first, rest, lead, week=week)
    assert days(first + 1, rest, lead, week=week) >= base
    assert days(first, rest + 1, lead, week=week) >= base
    assert days(first, rest, lead + 1, week=week) >= base
    assert days(first, rest, lead, week=week + 1) <= base + 1e-9
