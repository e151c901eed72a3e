"""Shares that add up, against apportionments that were printed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.base.currencies import minor_units
from retrue.base.refusals import Unusable
from retrue.books.split import shared_out

# Balinski and Young 2001, Fair Representation: populations of the census of 1790 and Hamilton's
# apportionment of 120 seats, the bill that was vetoed in 1792 (from memory; both add up).
STATES = {
    "Connecticut": (236_841, 8), "Delaware": (55_540, 2), "Georgia": (70_835, 2),
    "Kentucky": (68_705, 2), "Maryland": (278_514, 9), "Massachusetts": (475_327, 16),
    "New Hampshire": (141_822, 5), "New Jersey": (179_570, 6), "New York": (331_589, 11),
    "North Carolina": (353_523, 12), "Pennsylvania": (432_879, 14), "Rhode Island": (68_446, 2),
    "South Carolina": (206_236, 7), "Vermont": (85_533, 3), "Virginia": (630_560, 21),
}  # fmt: skip


def test_hamiltons_apportionment_of_1791() -> None:
    people = [number for number, _ in STATES.values()]
    assert sum(people) == 3_615_920  # as printed
    seats = shared_out(Decimal(120), people, "JPY")  # a currency without cents
    assert [int(one) for one in seats] == [given for _, given in STATES.values()]


def test_the_usual_schoolbook_example() -> None:
    """100,000 votes, ten seats, six lists: 5, 2, 1, 1, 1, 0 (secondary source: an encyclopedia)."""
    votes = [47_000, 16_000, 15_900, 12_000, 6_000, 3_100]
    assert [int(one) for one in shared_out(Decimal(10), votes, "JPY")] == [5, 2, 1, 1, 1, 0]


def test_a_lot_is_split_by_expected_value_not_by_mass() -> None:
    """Common practice, no source. Invented figures of a lot of two: keeper 13 000, surplus 3 500.

    7 730 on the hammer is 6 090.30 and 1 639.70, by hand; by mass (6.5 t, 4.5 t) it would not be.
    """
    hammer = Decimal("7730.00")
    assert shared_out(hammer, [13_000, 3_500], "EUR") == (Decimal("6090.30"), Decimal("1639.70"))
    assert shared_out(hammer, [6500, 4500], "EUR") == (Decimal("4567.73"), Decimal("3162.27"))


def test_no_weight_no_share_and_all_zero_alike() -> None:
    assert shared_out(Decimal("0.03"), [0, 1, 1], "EUR")[0] == 0
    assert shared_out(Decimal("0.02"), [0, 0, 0], "EUR") == (
        Decimal("0.01"), Decimal("0.01"), Decimal("0.00"))  # fmt: skip


@pytest.mark.parametrize(
    ("amount", "weights", "where"),
    [("1.00", [1, -1], "weights"), ("1.00", [], "weights"), ("1.001", [1, 1], "amount"),
     ("1.00", [1, float("nan")], "weights")],
)  # fmt: skip
def test_what_cannot_be_shared_is_named(amount: str, weights: list[float], where: str) -> None:
    with pytest.raises(Unusable) as refused:
        shared_out(Decimal(amount), weights, "EUR")
    assert {one.where for one in refused.value.problems} == {where}


@given(
    units=st.integers(-(10**9), 10**9),
    weights=st.lists(st.floats(0, 1e9), min_size=1, max_size=12),
    code=st.sampled_from(["EUR", "JPY", "KWD"]),
)
@settings(max_examples=50, deadline=None)
def test_shares_add_up_to_the_coin_and_no_share_is_off_by_one(
    units: int, weights: list[float], code: str
) -> None:
    amount = Decimal(units).scaleb(-minor_units(code))
    shares = shared_out(amount, weights, code)
    assert sum(shares) == amount
    assert shared_out(-amount, weights, code) == tuple(-one for one in shares)
    total = sum(map(Decimal, weights))
    for share, weight in zip(shares, weights, strict=True):
        exact = amount * Decimal(weight) / total if total else amount / len(weights)
        assert abs(share - exact) < Decimal(1).scaleb(-minor_units(code))
