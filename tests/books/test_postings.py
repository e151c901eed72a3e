"""Double entry: whatever happens, every currency sums to nothing, and undone all is even."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.base.currencies import minor_units
from retrue.base.refusals import Unusable
from retrue.books.balance import balances, off_balance
from retrue.books.postings import (
    Deal,
    Leg,
    cost_in_home,
    legs_of,
    refuse_unbalanced,
    reversed_legs,
)
from retrue.books.rates import changed
from retrue.books.split import shared_out
from retrue.books.tax import taxed

CODES = ("EUR", "CHF", "JPY", "KWD")


@st.composite
def deals(draw: st.DrawFn) -> Deal:
    """Anything that can happen, in one of four currencies with 0, 2 and 3 decimals."""
    code = draw(st.sampled_from(CODES))
    amount = Decimal(draw(st.integers(0, 10**8))).scaleb(-minor_units(code))
    rate = Decimal(draw(st.integers(1, 300_000))) / 10_000 if code != "EUR" else Decimal(1)
    sort = draw(st.sampled_from(["bought", "paid", "sold", "received", "returned", "deposit",
                                 "deposit_back", "moved", "exchanged"]))  # fmt: skip
    share = Decimal(draw(st.integers(0, 40))) / 100
    told = taxed(amount, code, rate=share, included=draw(st.booleans()),
                 reclaimable=draw(st.booleans()))  # fmt: skip
    undoes = draw(st.sampled_from(["cost", "sale"]))
    sells = sort in ("sold", "received") or undoes == "sale"
    cost = cost_in_home(told, rate, "EUR")[0]
    if sells:
        cost = changed(told.tax, rate, "EUR") - changed(told.gross, rate, "EUR")
    parts = shared_out(cost, draw(st.lists(st.integers(0, 9), min_size=1, max_size=5)), "EUR")
    shares = tuple((f"{'sales' if sells else 'cost'}:{at}", one) for at, one in enumerate(parts))
    if sort == "moved":
        moved = changed(told.gross, rate, "EUR")
        shares = (("cost:0", moved), ("cost:1", -moved))
    return Deal(
        sort=sort, taxed=told, currency=code, home="EUR", rate=rate, shares=shares,
        money=draw(st.sampled_from(["bank", "cash", "owed"])),
        undoes="sale" if sells else "cost",
        settles=draw(st.sampled_from(["", "deposits"])) if sort == "bought" else "",
        into_amount=Decimal(draw(st.integers(0, 10**6))), into_currency="JPY" if code != "JPY"
        else "EUR",
    )  # fmt: skip


@given(st.lists(deals(), min_size=1, max_size=25))
@settings(max_examples=40, deadline=None)
def test_any_sequence_balances_and_undone_leaves_every_account_even(made: list[Deal]) -> None:
    legs = [leg for deal in made for leg in legs_of(deal)]
    assert off_balance(balances(legs)) == {}
    undone = [leg for deal in made for leg in reversed_legs(legs_of(deal))]
    assert set(balances([*legs, *undone]).values()) <= {Decimal(0)}


@given(deals())
@settings(max_examples=40, deadline=None)
def test_no_leg_is_finer_than_its_coin(deal: Deal) -> None:
    for leg in legs_of(deal):
        assert leg.amount == round(leg.amount, minor_units(leg.currency))


def test_paid_in_francs_by_hand() -> None:
    """121 CHF of which 21 tax at 1.1: 110 EUR spent, 23.10 EUR comes back, 121 CHF left the bank.

    By hand; the exchange account holds both sides (Selinger, multiple currency accounting: memory).
    """
    told = taxed(Decimal("121.00"), "CHF", rate=Decimal("0.21"))
    deal = Deal(sort="bought", taxed=told, currency="CHF", home="EUR", rate=Decimal("1.1"),
                shares=(("cost:mill", Decimal("110.00")),))  # fmt: skip
    assert balances(legs_of(deal)) == {
        ("bank", "CHF"): Decimal("-121.00"),
        ("cost:mill", "EUR"): Decimal("110.00"),
        ("exchange", "CHF"): Decimal("121.00"),
        ("exchange", "EUR"): Decimal("-133.10"),
        ("tax_back", "EUR"): Decimal("23.10"),
    }


def test_legs_that_do_not_balance_are_refused_by_currency_and_account() -> None:
    with pytest.raises(Unusable) as refused:
        refuse_unbalanced(
            [Leg("bank", "EUR", Decimal(-2)), Leg("cost:m", "EUR", Decimal(1))], "the truck"
        )
    assert "the truck does not balance: EUR is off by -1" in refused.value.reason
    assert "cost:m 1 EUR" in refused.value.remedy


def test_shares_that_do_not_add_up_never_become_legs() -> None:
    told = taxed(Decimal("10.00"), "EUR", rate=None)
    with pytest.raises(Unusable):
        legs_of(Deal(sort="bought", taxed=told, currency="EUR", home="EUR", rate=Decimal(1),
                     shares=(("cost:m", Decimal("9.99")),)))  # fmt: skip
