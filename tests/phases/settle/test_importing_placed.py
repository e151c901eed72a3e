"""A bank file or a parts list: where a row goes, with what tax, and what the owner says.

The files are invented, of a two-person workshop in Ghent. What must come out is by hand.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from tests.phases.settle.banked import BANK, ON, keep, posted, read, states, table, workshop

from retrue.base.refusals import Unknown, Unusable
from retrue.phases import settle
from retrue.records.facts import Machine
from retrue.records.settling import ForSale, Offered, Posting
from retrue.records.shop import RecordShop

SHOPS = ("in memory",)  # the rules of add_all are tested on every shop in tests/store


@pytest.fixture
def lot(shop: RecordShop) -> str:
    return workshop(shop)


def test_earlier_lines_of_a_counterparty_say_where_it_goes(shop, lot, kinds):
    for day in (1, 5):
        posted(shop, posted_on=f"2026-11-{day:02d}", amount=Decimal(day), bucket="outside")
    told = read(shop, table("2026-11-25,-75.00,EUR,De Wikkelaar BV,lagers"), kinds)
    (row,) = told.rows
    assert row.fact.bucket == "outside"
    assert "earlier lines" in row.guessed[0]


def test_tax_is_said_row_by_row_and_remembered_of_the_counterparty(shop, lot, kinds):
    """By hand: of 121 with 21 % in it, 21 comes back and 100 is a cost; unsaid, all 121 is."""
    rows = ("2026-11-03,-121.00,EUR,Lagerwinkel,lagers", "2026-11-04,-60.50,EUR,Oliehandel,olie")
    told = read(shop, table(*rows), kinds)
    assert any("tells no tax" in text for text in told.understood)
    first, second = keep(shop, told, taxes={2: Decimal("0.21")})
    assert (first.tax_rate, first.tax_in, second.tax_rate) == (Decimal("0.21"), True, None)
    costs = {line.whom: line.in_shop for line in settle.book(shop, on=ON).lines}
    assert costs == {"Lagerwinkel": Decimal("100.00"), "Oliehandel": Decimal("60.50")}
    more = read(shop, table(*rows, "2026-11-10,-242.00,EUR,Lagerwinkel,meer"), kinds)
    (row,) = (one for one in more.rows if one.state == "new")
    assert row.fact.tax_rate == Decimal("0.21")
    assert any("21 % tax in it, as the line of 2026-11-03" in one for one in row.guessed)
    (fact,) = keep(shop, more, taxes={4: None})
    assert fact.tax_rate is None


def test_tax_that_is_no_share_or_of_a_deposit_is_not_kept(shop, lot, kinds):
    told = read(shop, table("2026-11-03,-121.00,EUR,Lagerwinkel,lagers"), kinds)
    with pytest.raises(Unusable) as refused:
        keep(shop, told, taxes={2: Decimal(21)})
    assert refused.value.problems[0].where == "line 2"
    (fact,) = keep(shop, told, taxes={2: Decimal("0.21")}, sorts={2: "deposit"})
    assert (fact.sort, fact.tax_rate) == ("deposit", None)


def test_what_no_word_tells_is_not_yet_placed_and_not_blocked(shop, lot, kinds):
    (fact,) = keep(shop, read(shop, table("2026-11-25,-75.00,EUR,Zygmunt,qqq"), kinds))
    assert (fact.bucket, fact.machine, fact.lot) == ("", None, None)
    assert settle.book(shop, on=ON).unplaced == 1


def test_a_deposit_and_what_was_paid_come_back_and_a_taken_offer_is_a_sale(shop, lot, kinds):
    gear = posted(shop, sort="deposit", amount=Decimal(150), whom="Verhuur Noord")
    coil = posted(shop, amount=Decimal("80.00"))
    mill = shop.current(Machine)[0].id
    shop.add(
        Offered(lot=lot, machine=mill, whom="a school", offered_on="2026-11-20",
                amount=Decimal(4200), answer="taken"), by="owner",
    )  # fmt: skip
    listed = ForSale(lot=lot, machine=mill, sold_as="parts", ask=Decimal(4200))
    shop.add(listed, by="owner")
    told = read(shop, table(
        "2026-11-24,150.00,EUR,Verhuur Noord,waarborg",
        "2026-11-24,80.00,EUR,De Wikkelaar,terug",
        "2026-11-24,4200.00,EUR,technical school,machine",
        "2026-11-24,-1.00,EUR,x,y",
    ), kinds)  # fmt: skip
    back, returned, sold, _ = keep(shop, told)
    assert (back.sort, back.of) == ("deposit_back", gear)
    assert (returned.sort, returned.of) == ("returned", coil)
    assert (sold.sort, sold.machine, sold.lot) == ("sold", mill, lot)
    assert settle.book(shop, on=ON).balanced


def test_the_owner_says_otherwise_row_by_row(shop, lot, kinds):
    told = read(shop, BANK, kinds)
    lathe = shop.current(Machine)[1].id
    made = keep(
        shop, told, deeds={6: "leave"}, buckets={3: "tooling"}, sorts={9: "sold"},
        belongs={3: (None, "slant lathe"), 4: ("school", None)},
    )  # fmt: skip
    assert [(one.sort, one.bucket, one.lot, one.machine) for one in made] == [
        ("paid", "tooling", lot, lathe),
        ("paid", "consumables", lot, None),
        ("sold", "", None, None),
    ]


@pytest.mark.parametrize(
    ("said", "refusal"),
    [
        ({"deeds": {99: "add"}}, Unknown),
        ({"deeds": {10: "add"}}, Unusable),
        ({"deeds": {3: "take"}}, Unusable),
        ({"buckets": {3: "nowhere"}}, Unusable),
        ({"belongs": {3: (None, "planer")}}, Unusable),
        ({"sorts": {3: "returned"}}, Unusable),
    ],
)
def test_a_choice_that_cannot_be_keeps_nothing(shop, lot, kinds, said, refusal):
    told = read(shop, BANK, kinds)
    with pytest.raises(refusal):
        keep(shop, told, **said)
    assert shop.current(Posting) == []


PARTS = """\
what;quantity;unit price;total excl. tax;tax;machine;supplier
spindle bearings;2;306,25;612,50;21 %;bed mill;Lagerwinkel
way oil;20;4,10;;21 %;;Oliehandel
drive belt;1;;38,00;6 %;slant lathe;Lagerwinkel
nothing at all;;;;;;
belt for the planer;1;10,00;10,00;21 %;planer;Lagerwinkel
Total;;;745,00;;;
"""


def test_a_list_of_parts_is_bought_with_its_tax_and_machines(shop, lot, kinds):
    told = read(shop, PARTS, kinds)
    assert told.kind == "parts"
    assert states(told) == {2: "new", 3: "new", 4: "new", 5: "skipped", 6: "refused", 7: "skipped"}
    assert str(told.problems[0]).startswith("line 6: there is no machine planer")
    bearings, oil, belt = keep(shop, told, good_rows=True)
    mill, lathe = (one.id for one in shop.current(Machine))
    assert (bearings.sort, bearings.amount, bearings.tax_rate, bearings.tax_in, bearings.machine,
            bearings.units) == ("bought", Decimal("612.50"), Decimal("0.21"), False, mill,
                                2.0)  # fmt: skip
    assert (oil.amount, oil.bucket) == (Decimal("82.00"), "consumables")
    assert (belt.machine, belt.bucket, belt.tax_rate) == (lathe, "parts", Decimal("0.06"))
    assert states(read(shop, PARTS, kinds))[2] == "there"


def test_a_list_without_days_is_not_new_the_day_after(shop, lot, kinds):
    keep(shop, read(shop, PARTS, kinds), good_rows=True)
    later = ON + timedelta(days=1)
    told = settle.read_import(shop, PARTS.encode(), "parts.csv", kinds, on=later)
    assert (told.count("there"), told.count("new")) == (3, 0)


def test_the_bank_row_of_a_part_on_a_list_is_probably_it(shop, lot, kinds):
    keep(shop, read(shop, PARTS.replace(" excl. tax", ""), kinds), good_rows=True)
    told = read(shop, table("2026-11-25,-612.50,EUR,Lagerwinkel,lagers"), kinds)
    assert told.rows[0].state == "probable"


def test_all_of_a_file_for_one_machine(shop, lot, kinds):
    told = read(shop, BANK, kinds, machine="slant lathe")
    lathe = shop.current(Machine)[1].id
    assert {row.fact.machine for row in told.rows if row.fact} == {lathe}
    with pytest.raises(Unknown):
        read(shop, BANK, kinds, machine="planer")
