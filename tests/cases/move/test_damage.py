"""Days to tell a carrier of damage.

References
----------
Convention on the Contract for the International Carriage of Goods by Road (CMR), Geneva, 19 May
1956, article 30 (1) and (4): seven days, Sundays and public holidays excepted, the day of delivery
not included; article 32 (1): one year. From memory.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.cases.move.damage import claim_by, damage_dates, last_day
from retrue.records.moving import Arrived

DAYS = st.dates(date(2000, 1, 1), date(2100, 1, 1))


def came(**more) -> Arrived:
    told = {"lot": "L", "machine": "M", "delivered_on": "2026-11-26", "damage": "hidden"}
    return Arrived(**(told | more))


@pytest.mark.parametrize(
    ("delivered", "holidays", "last"),
    [
        # Thursday; one Sunday between
        (date(2026, 11, 26), (), date(2026, 12, 4)),
        # Saturday; the Sunday after it is not counted, nor the next
        (date(2026, 11, 28), (), date(2026, 12, 7)),
        # a Sunday itself
        (date(2026, 11, 29), (), date(2026, 12, 7)),
        # Wednesday before Christmas and New Year in Belgium: Friday 25, Sunday 27, Friday 1
        (date(2026, 12, 23), (date(2026, 12, 25), date(2027, 1, 1)), date(2027, 1, 2)),
        # a holiday that is a Sunday counts once
        (date(2026, 11, 26), (date(2026, 11, 29),), date(2026, 12, 4)),
    ],
)
def test_hidden_damage_has_seven_days_without_sundays_and_holidays(delivered, holidays, last):
    assert last_day(delivered, visible=False, holidays=holidays) == last


def test_visible_damage_is_told_at_delivery():
    assert last_day(date(2026, 11, 29), visible=True) == date(2026, 11, 29)


@given(DAYS, st.integers(1, 40), st.sets(DAYS, max_size=5))
def test_just_so_many_days_count_and_the_last_is_one_of_them(delivered, days, holidays):
    last = last_day(delivered, visible=False, days=days, holidays=holidays)
    between = [delivered + timedelta(days=n) for n in range(1, (last - delivered).days + 1)]
    counted = [one for one in between if one.weekday() != 6 and one not in holidays]
    assert len(counted) == days
    assert counted[-1] == last


@pytest.mark.parametrize("days", [0, -3, 400])
def test_no_days_and_more_than_a_year_are_refused(days):
    with pytest.raises(Unusable, match="cannot be counted"):
        last_day(date(2026, 11, 26), visible=False, days=days)


@pytest.mark.parametrize(
    ("delivered", "ends"),
    [
        (date(2026, 11, 26), date(2027, 11, 26)),
        (date(2028, 2, 29), date(2029, 2, 28)),
        (date(2027, 2, 28), date(2028, 2, 28)),
    ],
)
def test_an_action_has_one_year(delivered, ends):
    assert claim_by(delivered) == ends


def test_local_law_stands_first_and_the_earlier_day_counts():
    made = damage_dates(came(local_days=3))
    assert made.local_by == date(2026, 11, 29)
    assert made.write_by == date(2026, 11, 29)
    assert made.cmr_by == date(2026, 12, 4)
    assert "go first" in made.text[0]
    assert "3 days" in made.text[1]
    assert "article 30" in made.text[2]
    assert "article 32" in made.text[3]


def test_a_longer_local_time_does_not_put_it_off():
    assert damage_dates(came(local_days=30)).write_by == date(2026, 12, 4)


@pytest.mark.parametrize("damage", ["hidden", "none", "not_looked"])
def test_what_nobody_saw_at_delivery_has_the_days_of_hidden_damage(damage):
    assert damage_dates(came(damage=damage)).write_by == date(2026, 12, 4)


def test_visible_damage_says_it_belongs_on_the_waybill():
    made = damage_dates(came(damage="visible", local_days=5))
    assert made.write_by == date(2026, 11, 26)
    assert "on the waybill itself" in " ".join(made.text)


@pytest.mark.parametrize("wrong", ["", "yesterday", "26.11.2026"])
def test_a_day_of_delivery_that_is_no_date_is_refused_by_its_field(wrong):
    with pytest.raises(Unusable) as refused:
        damage_dates(came(delivered_on=wrong))
    assert refused.value.problems[0].where == "delivered_on"
