"""Whom a date waits for, with the days on which he comes."""

import pytest

from retrue.cases.fix.hang_words import _person_words
from retrue.plan.jobs import Hands


@pytest.mark.parametrize(
    ("days", "told"),
    [
        ((5,), "waiting for Bea, who comes on Saturdays"),
        ((5, 3), "waiting for Bea, who comes on Thursdays and Saturdays"),
        ((0, 3, 5), "waiting for Bea, who comes on Mondays, Thursdays and Saturdays"),
        ((), "waiting for Bea"),
    ],
)
def test_days_are_joined_as_people_say_them(days, told):
    evenings = tuple((day, 19.0, 22.0) for day in days)
    assert _person_words(Hands(name="Bea", evenings=evenings, helps_only=True)) == told
