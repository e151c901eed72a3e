"""Which way money goes: every sort of deal as a bookkeeper writes it. Debits stand above nothing.

Double entry balances just as well with every sign the other way, so each deal is written out here
by hand (Pacioli 1494, Particularis de computis et scripturis: what receives is debtor, what gives
is creditor; from memory).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from retrue.base.refusals import Unusable
from retrue.books.balance import balances, off_balance
from retrue.books.postings import Deal, Leg, legs_of, reversed_legs
from retrue.books.tax import taxed

Booked = dict[tuple[str, str], Decimal]


def booked(sort: str, gross: str, shares: dict[str, str] | None = None, **more: object) -> Booked:
    """The accounts of one deal, tax of 21 % in it where a tax is said."""
    given: dict[str, object] = {"currency": "EUR", "home": "EUR", "rate": Decimal(1)}
    rate = Decimal(str(more.pop("tax", "0")))
    told = taxed(Decimal(gross), str(more.get("currency", "EUR")), rate=rate)
    parts = tuple((account, Decimal(amount)) for account, amount in (shares or {}).items())
    deal = Deal(sort=sort, taxed=told, shares=parts, **(given | more))  # type: ignore[arg-type]  # each test names its own
    legs = legs_of(deal)
    assert off_balance(balances([*legs, *reversed_legs(legs)])) == {}
    return balances(legs)


def eur(**accounts: str) -> Booked:
    return {(name.replace("__", ":"), "EUR"): Decimal(amount) for name, amount in accounts.items()}


def test_what_is_bought_is_borne_and_the_bank_pays_and_what_goes_back_comes_back() -> None:
    """121 with 21 of tax: 100 is borne, 21 is asked back."""
    spent = booked("bought", "121.00", {"cost:mill": "100.00"}, tax="0.21")
    assert spent == eur(cost__mill="100.00", tax_back="21.00", bank="-121.00")
    back = booked("returned", "121.00", {"cost:mill": "100.00"}, tax="0.21", undoes="cost")
    assert back == {at: -amount for at, amount in spent.items()}


def test_what_is_sold_brings_and_its_tax_is_due() -> None:
    """1 210 with 210 of tax; shares of a sale stand below nothing, as they lower what was borne."""
    sold = booked("sold", "1210.00", {"sales:mill": "-1000.00"}, tax="0.21", money="cash")
    assert sold == eur(sales__mill="-1000.00", tax_due="-210.00", cash="1210.00")
    back = booked("returned", "1210.00", {"sales:mill": "-1000.00"}, tax="0.21", money="cash",
                  undoes="sale")  # fmt: skip
    assert back == {at: -amount for at, amount in sold.items()}


def test_a_sale_in_francs_is_changed_once_and_passes_through_the_exchange() -> None:
    """121 CHF at 1.1: 133.10 EUR, of which 23.10 is tax."""
    sold = booked("sold", "121.00", {"sales:mill": "-110.00"}, tax="0.21", currency="CHF",
                  rate=Decimal("1.1"))  # fmt: skip
    assert sold == {
        ("bank", "CHF"): Decimal("121.00"),
        ("exchange", "CHF"): Decimal("-121.00"),
        ("exchange", "EUR"): Decimal("133.10"),
        ("sales:mill", "EUR"): Decimal("-110.00"),
        ("tax_due", "EUR"): Decimal("-23.10"),
    }


def test_a_deposit_is_ours_until_it_comes_back() -> None:
    assert booked("deposit", "500.00") == eur(deposits="500.00", bank="-500.00")
    assert booked("deposit_back", "500.00") == eur(deposits="-500.00", bank="500.00")
    kept = booked("bought", "121.00", {"cost:mill": "100.00"}, tax="0.21", settles="deposits")
    assert kept == eur(cost__mill="100.00", tax_back="21.00", deposits="-121.00")


def test_a_debt_that_is_paid_is_none_any_more() -> None:
    """What we owe is credit until we pay; what is owed us is debit until it comes."""
    assert booked("paid", "80.00", settles="owed") == eur(owed="80.00", bank="-80.00")
    assert booked("received", "80.00", settles="owed_us") == eur(owed_us="-80.00", bank="80.00")


def test_what_a_currency_moved_until_a_debt_was_paid_is_a_cost() -> None:
    """IAS 21, 28 (from memory): 100 CHF owed at 1.05, paid at 1.10: 5 EUR more are borne."""
    paid = booked("paid", "100.00", {"cost:mill": "5.00"}, settles="owed", currency="CHF",
                  rate=Decimal("1.10"))  # fmt: skip
    assert paid == {
        ("bank", "CHF"): Decimal("-100.00"),
        ("cost:mill", "EUR"): Decimal("5.00"),
        ("exchange", "EUR"): Decimal("-5.00"),
        ("owed", "CHF"): Decimal("100.00"),
    }


def test_money_changed_leaves_one_currency_and_comes_in_another() -> None:
    """110 EUR for 100 CHF, into the till, or where the other left."""
    given = {"into_amount": Decimal("100.00"), "into_currency": "CHF"}
    wanted = {
        ("bank", "EUR"): Decimal("-110.00"),
        ("exchange", "CHF"): Decimal("-100.00"),
        ("exchange", "EUR"): Decimal("110.00"),
    }
    till = booked("exchanged", "110.00", into_money="cash", **given)
    assert till == wanted | {("cash", "CHF"): Decimal("100.00")}
    assert booked("exchanged", "110.00", **given) == wanted | {("bank", "CHF"): Decimal("100.00")}


def test_money_drawn_from_the_bank_is_in_the_till() -> None:
    given = {"into_amount": Decimal("50.00"), "into_currency": "EUR"}
    drawn = booked("exchanged", "50.00", into_money="cash", **given)
    assert drawn == eur(bank="-50.00", cash="50.00")
    assert not any(booked("exchanged", "50.00", **given).values())


def test_what_is_moved_is_taken_off_one_and_put_on_another() -> None:
    moved = booked("moved", "30.00", {"cost:mill": "30.00", "cost:lathe": "-30.00"})
    assert moved == eur(cost__mill="30.00", cost__lathe="-30.00")
    francs = booked("bought", "30.00", {"cost:mill": "30.00"}, currency="CHF", rate=None)
    assert francs == {("cost:mill", "CHF"): Decimal(30), ("bank", "CHF"): Decimal(-30)}


def test_a_sort_that_is_none_is_refused() -> None:
    with pytest.raises(Unusable, match="no sort of line"):
        booked("given", "1.00")


def test_what_misses_is_told_with_its_sign() -> None:
    """By definition: what stands in the accounts of a currency, all together."""
    legs = [Leg("bank", "EUR", Decimal(-2)), Leg("cost:m", "EUR", Decimal(1)),
            Leg("bank", "CHF", Decimal(4))]  # fmt: skip
    assert off_balance(balances(legs)) == {"CHF": Decimal(4), "EUR": Decimal(-1)}
