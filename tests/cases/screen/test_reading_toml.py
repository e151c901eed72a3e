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
        ("[machine]\ntitle='x'", "must be sections of their own", "line 1"),
        ("[[lot]]\ntitle='x'\n[lot.terms]\npremium=0.2", "must be one value", "line 3"),
        ("[[lot]]\n[[lot.machine]]\ntitle='x'\n[[lot.machine.axis]]\nx=1", "one value", "line 4"),
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


MACHINES = """[catalogue]
name = "hall 4"
premium = 0.15
tax_rate = 0.21
rates = { CHF = 1.1 }

[[lot]]
number = 1
title = "both machines of the training shop"
start = 4500
year = 2001

[[lot.machine]]
title = "bed-type vertical machining centre"
year = 2002
mass_kg = 4200

[[lot.machine]]
title = "slant-bed CNC lathe"
year = 2004
travel = [260, 420]

[[lot]]
number = 2
title = "surface grinder, premium 20 %"
start = 300

[[lot]]
number = 3
machines = [
  { title = "CNC lathe", year = 1999, start = 400 },
  { title = "tool cabinet", start = 50 },
]

[[machine]]
title = "CNC lathe"
start = 900

[[machine]]
lot = 9
title = "knee mill"
start = 400

[[machine]]
lot = 9
title = "surface grinder"
start = 350

[[machine]]
lot = 2
title = "magnetic chuck"
"""


def test_a_lot_may_have_its_machines_as_tables_of_their_own():
    by = {lot.number: lot for lot in read(MACHINES, "sale.toml", rates={}).lots}
    v, lathe = "vertical_machining_centre", "turning_centre"
    assert {number: lot.kinds for number, lot in by.items()} == {
        "1": (v, lathe), "2": ("surface_grinder",), "3": (lathe,), "line 35": (lathe,),
        "9": ("milling_machine", "surface_grinder"),
    }  # fmt: skip
    mill, turning = by["1"].case.machines
    assert (mill.age_years, mill.mass_kg, mill.travel_mm) == (24, 4200, ())
    assert (turning.age_years, turning.mass_kg, turning.travel_mm) == (22, None, (260, 420))
    assert by["1"].case.terms.asking == 4500  # once, for both
    assert by["1"].title == (
        "both machines of the training shop: bed-type vertical machining centre + "
        "slant-bed CNC lathe"
    )
    assert by["2"].case.terms.premium == 0.2  # its other table names no machine
    assert by["9"].case.terms.asking == 750  # each has its own
    assert by["3"].title == "CNC lathe + tool cabinet"
    assert by["3"].case.terms.asking == 450


def test_no_value_of_a_file_vanishes():
    """Oracle: the file as the standard library reads it, value by value."""
    parsed = tomllib.loads(MACHINES)
    tables = [one for key in ("lot", "machine") for one in parsed[key]]
    tables += [one for lot in parsed["lot"] for one in lot.get("machine", [])]
    tables += [one for lot in parsed["lot"] for one in lot.get("machines", [])]
    wanted = [str(value) for one in tables for value in one.values()
              if not isinstance(value, list)]  # fmt: skip
    lots = read(MACHINES, "sale.toml", rates={}).lots
    told = [one.text for lot in lots for one in lot.said]
    for text in wanted:
        assert told.count(text) >= wanted.count(text), text
    assert "260 x 420" in told


def test_what_a_lot_says_of_all_its_machines_is_left_with_the_reason():
    (lot,) = [lot for lot in read(MACHINES, "sale.toml", rates={}).lots if lot.number == "1"]
    (left,) = [one for one in lot.said if one.how == "ignored"]
    assert (left.text, left.why) == ("2001", "its machines stand below it, each by itself")


def test_a_lot_whose_machines_stand_below_names_none_itself():
    """Else the two would be four."""
    text = "[[lot]]\ntitle='mill and CNC lathe'\n[[lot.machine]]\ntitle='VMC'\n"
    (lot,) = read(text, "sale.toml").lots
    assert lot.kinds == ("vertical_machining_centre",)
    sold = read(text.replace("[[lot.", "status='sold'\n[[lot."), "sale.toml").lots[0]
    assert sold.why == "no longer for sale: sold"


def test_what_the_section_of_the_sale_says_is_listed_with_its_line():
    listing = read(MACHINES, "sale.toml", rates={}, premium=0.1)
    assert [(one.line, one.field, one.how, one.value) for one in listing.sale] == [
        (2, "name", "understood", "hall 4"), (3, "premium", "ignored", "0.15"),
        (4, "tax_rate", "understood", "0.21"), (5, "rates", "understood", "CHF 1.1"),
    ]  # fmt: skip
    assert listing.lots[0].case.terms.premium == 0.1
    machines = read("[[machine]]\ntitle = 'VMC'\n", "sale")
    assert machines.lots[0].kinds == ("vertical_machining_centre",)


def test_a_lot_of_which_nothing_is_said_is_told_by_its_line():
    listing = read('[[lot]]\ntitle = "CNC lathe"\n[[lot]]\n[[lot.machine]]\n', "sale.toml")
    assert [lot.title for lot in listing.lots] == ["CNC lathe", "line 3 + line 4"]
    assert listing.lots[1].case is None
