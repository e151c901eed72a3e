"""What was taken for every lot of a catalogue, and what is asked of the whole sale."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from tests.cases.priced import kinds
from tests.cases.screen.listed import cabinet, listed

from retrue.cases.screen.listing import ListedLot, Listing, SaidOfSale
from retrue.cases.screen.of_all import asked_of_all, no_work_known, starts_above, taken_for_all


def listing(*lots: ListedLot, asked: tuple[str, ...] = ()) -> Listing:
    sale = tuple(
        SaidOfSale(line=1, text="above", how="ignored", field=one, value="", why="two", asks=True)
        for one in asked
    )
    return Listing(name="sale", currencies=(), columns=(), lots=lots, others=(), sale=sale)


def bare(number: str) -> ListedLot:
    """A lot of which the sale says nothing."""
    one = listed(number)
    return replace(one, case=replace(one.case, terms=replace(one.case.terms, premium=None)))


def test_what_every_lot_says_itself_is_not_asked() -> None:
    one = bare("1")
    terms = replace(one.case.terms, premium=0.16, tax_rate=0.21, removal_days=15.0)
    said = replace(one, case=replace(one.case, terms=terms))
    fields = ("premium", "tax_rate", "removal_days")
    assert asked_of_all(listing(said, asked=fields)) == ()
    assert [told.field for told in asked_of_all(listing(said, bare("2"), asked=fields))] == [
        *fields
    ]
    assert len(asked_of_all(listing(cabinet(), asked=fields))) == 3  # nothing is known of them
    assert len(asked_of_all(listing(said, asked=("currency",)))) == 1


def test_only_what_is_to_be_typed_is_asked() -> None:
    (asked,) = listing(asked=("premium",)).sale
    known = replace(listing(bare("1")), sale=(replace(asked, asks=False),))
    assert asked_of_all(known) == ()


def test_what_was_taken_is_counted_by_lots() -> None:
    taken = {one.field: one for one in taken_for_all(listing(bare("1"), listed("2"), cabinet()),
                                                     kinds())}  # fmt: skip
    assert (taken["buyer's premium"].value, taken["buyer's premium"].lots) == ("16 %", 1)
    assert taken["distance"].lots == 2
    assert taken["others who bid"].value == "3 (judgement)"
    assert not any("work" in field for field in taken)  # its needs are said


def test_no_work_is_known_where_no_machine_has_a_need() -> None:
    one = listed("1")
    none = replace(one, case=replace(one.case, needs=()))
    assert no_work_known(listing(none, cabinet()))
    assert not no_work_known(listing(none, one))
    assert not no_work_known(listing(cabinet()))
    taken = taken_for_all(listing(none), kinds())
    assert any(one.field.startswith("what it must do") for one in taken)


def test_a_start_is_above_the_price_unless_a_seller_may_give_way() -> None:
    assert starts_above(listed("1", bid_now=Decimal(900)), 800.0) == 900.0
    assert starts_above(listed("1", bid_now=Decimal(900)), 900.0) is None
    assert starts_above(listed("1", asking=Decimal(900), sale="offer"), 800.0) is None
    assert starts_above(listed("1", asking=Decimal(900), sale="fixed_price"), 800.0) == 900.0
    assert starts_above(listed("1"), 800.0) is None
