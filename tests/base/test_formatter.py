"""Numbers, money, odds and dates are formatted once, and read without doubt."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base import formatter, units

THIN = "\u202f"


@pytest.mark.parametrize(
    ("value", "digits", "shown"),
    [
        (0, 0, "0"),
        (999, 0, "999"),
        (1000, 0, f"1{THIN}000"),
        (1234567.891, 2, f"1{THIN}234{THIN}567.89"),
        (-0.4, 0, "0"),
        (-0.6, 0, "\u22121"),
        (Decimal("2.675"), 2, "2.68"),
        (0.125, 2, "0.12"),
        (1e-7, 3, "0.000"),
    ],
)
def test_a_number_is_shown(value: float | Decimal, digits: int, shown: str):
    assert formatter.number(value, digits) == shown


def test_a_sign_is_shown_where_it_is_asked_for_and_zero_has_none():
    shown = [formatter.number(value, signed=True) for value in (3, -3, 0, -0.2)]
    assert shown == ["+3", "\u22123", "0", "0"]


@given(st.decimals(min_value=-(10**12), max_value=10**12, places=3))
def test_what_we_print_we_can_read_back(value: Decimal):
    assert units.number(formatter.number(value, 3), field="x") == value


def test_no_number_breaks_over_a_line():
    shown = formatter.money(-1234567.5, "EUR", 2)
    assert shown == f"\u2212{THIN}€{THIN}1{THIN}234{THIN}567.50"
    assert " " not in shown


@pytest.mark.parametrize(("code", "sign"), [("EUR", "€"), ("GBP", "£"), ("PLN", "PLN")])
def test_a_currency_without_a_sign_is_shown_by_its_code(code: str, sign: str):
    assert formatter.money(5, code) == f"{sign}{THIN}5"


@given(st.floats(min_value=0.01, max_value=0.99))
def test_odds_are_within_two_points_or_a_fifth_of_the_share(share: float):
    top, bottom = formatter.odds(share).removeprefix("about ").split(" in ")
    assert abs(int(top) / int(bottom) - share) <= 0.03


def test_odds_at_the_ends_claim_no_certainty():
    assert formatter.odds(0) == "less than 1 in 100"
    assert formatter.odds(1) == "more than 99 in 100"


def test_a_date_means_the_same_in_every_country():
    assert formatter.day(date(2026, 2, 3)) == "2026-02-03"
    assert formatter.minute(datetime(2026, 2, 3, 4, 5, tzinfo=UTC)) == "2026-02-03 04:05"
    assert formatter.span(0.02, 0.05, 2) == "from 0.02 to 0.05"
