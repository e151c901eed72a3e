"""A catalogue as TOML says the same as a table, and what is wrong is named with its line.

Oracle: TOML 1.0.0 as the standard library reads it (tomllib passes the test suite of the format).
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest
from tests.cases.screen.catalogues import read, rows, said

from retrue.base.refusals import Unreadable, Unusable

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
TOML = """# an invented sale
[catalogue]
name = "hall 3"
premium = 0.18
currency = "CHF"
sale = "sealed"
distance_km = 40
rates = { CHF = 1.1 }

[[lot]]
number = 7
title = "CNC lathe"
year = 1999
asking = 12_500
mass_kg = 3_800.250
travel = [260, 420]

[[lot]]
title = "cabinet"
remarks = '''two
lines'''
"""


def test_it_says_the_same_as_a_table():
    listing = read(TOML, "sale.toml", rates={})
    lots = tomllib.loads(TOML)["lot"]
    one, other = listing.lots
    assert (listing.name, one.number, other.number) == ("hall 3", "7", "line 18")
    assert one.case.terms.asking == lots[0]["asking"]
    assert one.case.machines[0].mass_kg == lots[0]["mass_kg"]
    assert one.case.machines[0].travel_mm == tuple(lots[0]["travel"])
    assert one.case.machines[0].age_years == 2026 - lots[0]["year"]
    assert (one.case.terms.premium, one.case.terms.sale) == (0.18, "sealed")
    assert (one.case.lot.currency, one.case.lot.rate) == ("CHF", Decimal("1.1"))
    assert "two lines" in {told.text for told in other.said}


def test_what_the_owner_says_stands_before_the_file():
    one = read(TOML, "sale.toml", premium=0.2, currency="EUR", sale="ascending").lots[0]
    assert (one.case.terms.premium, one.case.terms.sale) == (0.2, "ascending")
    assert one.case.lot.currency == "EUR"


def test_it_is_known_by_how_it_begins():
    assert read(TOML, "sale", rates={}).lots[0].kinds == ("turning_centre",)


@pytest.mark.parametrize(
    ("text", "why", "line"),
    [
        ("[catalogue]\npremium = 18\n[[lot]]\ntitle='x'", "outside 0 to 1", "line 2"),
        ("[catalogue]\npremum = 0.18\n[[lot]]\ntitle='x'", "there is no key premum", "line 2"),
        ("[catalogue]\ncurrency = 'ERU'\n[[lot]]\ntitle='x'", "ERU is no currency", "line 2"),
        ("[catalogue]\nrates = {CHF = 'a'}\n[[lot]]\ntitle='x'", "must be a number", "line 2"),
        ("[lots]\nx = 1\n[[lot]]\ntitle='x'", "there is no section lots", "line 1"),
        ("[[lot]]\ntitle='x'\nmore = { a = 1 }", "must be one value", "line 3"),
        ("[lot]\ntitle='x'", "must be sections of their own", "line 1"),
    ],
)
def test_what_is_wrong_is_named_with_its_line(text, why, line):
    with pytest.raises(Unusable) as refused:
        read(text, "sale.toml")
    (problem,) = refused.value.problems
    assert why in problem.what
    assert line in problem.where


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[catalogue]\nname = 'x'\n",
        "[[lot]]\ntitle = 'a'\ntitle = 'b'\n",  # TOML 1.0.0: a key stands once
        "[[lot]]\ntitle = a\n",
        b"[[lot]]\ntitle = '\xff'\n",
    ],
)
def test_what_is_no_catalogue_in_toml_is_refused(text):
    with pytest.raises(Unreadable, match=r"sale\.toml"):
        read(text, "sale.toml")


def test_the_example_of_the_sale_reads_whole():
    content = (EXAMPLES / "ghent-school-catalogue.csv").read_bytes()
    listing = read(content, "ghent-school-catalogue.csv")
    assert [lot.number for lot in listing.lots] == [str(number) for number in range(1, 25)]
    priced = {lot.number: lot.kinds for lot in listing.lots if lot.case is not None}
    assert set(priced) == {"3", "4", "5", "7", "11", "12", "17", "24"}
    mill, lathe = listing.lots[2:4]
    assert list(mill.case.machines[0].travel_mm) == [760, 420, 500]
    assert list(lathe.case.machines[0].travel_mm) == [260, 420]
    assert said(lathe, "bar_mm").value == "51"
    assert [one.line for one in listing.others] == [1, 2, 3]
    assert {lot.number for lot in listing.lots if lot.stand_in} == {"11", "24"}


def test_a_table_made_of_a_spreadsheet_may_stand_under_any_name():
    text = rows("Lot;What", "1;VMC", "#merged R2C1:R3C1")
    (lot,) = read(text, "sale.xlsx").lots
    assert [one.text for one in lot.said] == ["1", "VMC"]


@pytest.mark.parametrize("value", ["nan", "-inf"])
def test_a_number_without_bounds_is_named_as_one(value):
    with pytest.raises(Unusable) as refused:
        read(f"[[lot]]\nnumber = 1\ntitle = 'CNC lathe'\nyear = {value}\n", "sale.toml")
    (problem,) = refused.value.problems
    assert problem.what == "must be a finite number"
    assert problem.where == "line 4, year"
