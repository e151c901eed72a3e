"""What was taken for every lot of a catalogue, and what its file says of the whole sale."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from tests.cases.priced import kinds
from tests.cases.screen.listed import cabinet, listed

from retrue.cases.screen.listing import ListedLot, Listing, OtherLine
from retrue.cases.screen.of_all import no_work_known, said_of_all, starts_above, taken_for_all


def listing(*lots: ListedLot, above: str = "") -> Listing:
    others = (OtherLine(line=1, text=above, why="above"),) if above else ()
    return Listing(name="sale", currencies=(), columns=(), lots=lots, others=others)


def bare(number: str) -> ListedLot:
    """A lot of which the sale says nothing."""
    one = listed(number)
    return replace(one, case=replace(one.case, terms=replace(one.case.terms, premium=None)))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Premium 16 %, tax 21 % comes back, removal within 15 days",
         [("premium", 0.16), ("tax", 0.21), ("removal", 15.0)]),
        ("16 % premium, 21 % VAT", [("premium", 0.16), ("tax", 0.21)]),
        ("Opgeld 17,5%. Btw 21%. Afhalen binnen 10 werkdagen",
         [("premium", 0.175), ("tax", 0.21), ("removal", 10.0)]),
        ("Aufgeld: 18 % zzgl. 19 % MwSt", [("premium", 0.18), ("tax", 0.19)]),
        ("Na betaling van 3 % kosten en 17 % opgeld", [("premium", 0.17)]),
        ("Premium tools of 2 makers", []),
        ("Hall 3, 40 % of the space", []),
    ],
)  # fmt: skip
def test_a_line_above_the_heading_is_told_with_its_numbers(
    text: str, told: list[tuple[str, float]]
) -> None:
    """Common practice, no source: as sales write it."""
    found = said_of_all(listing(bare("1"), above=text))
    assert [(one.field, one.value) for one in found] == told


def test_what_was_typed_is_not_told_again() -> None:
    one = bare("1")
    terms = replace(one.case.terms, premium=0.16, tax_reclaimable=True, removal_days=15.0)
    said = replace(one, case=replace(one.case, terms=terms))
    text = "Premium 16 %, tax 21 %, removal within 15 days"
    assert said_of_all(listing(said, above=text)) == ()
    assert len(said_of_all(listing(said, bare("2"), above=text))) == 3


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
