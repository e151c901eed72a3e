"""What it cost at the keyboard: from the shop, from plain files, as JSON, CSV and XLSX."""

from __future__ import annotations

import csv
import json
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.formatter import THIN
from retrue.cases.settle.cost_json import HEADINGS
from retrue.phases import settle, worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.settling import Posting

HOME = Path(__file__).resolve().parents[2]
EXAMPLE = HOME / "examples" / "ghent-school-lot.toml"
FEW = ("--worlds", "200")
LINES = """posted_on,sort,what,amount,machine,bucket,line
2026-11-02,bought,the mill,"3000,00",mill,price,
2026-11-20,paid,rewinding,"1240,00",mill,outside,F15:local
"""


@pytest.fixture
def lot(shop: FakeShop) -> str:
    made = [Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    fact = Posting(
        sort="paid", posted_on="2026-11-20", what="rigger", amount=Decimal(900), lot=view.id,
        machine=view.machines[0][0], bucket="removal", line="E11",
    )  # fmt: skip
    settle.post(shop, fact, on=date(2026, 11, 25), by="owner")
    return "school"


@pytest.fixture
def book(tmp_path: Path) -> str:
    path = tmp_path / "book.csv"
    path.write_text(LINES)
    return str(path)


def test_the_answer_stands_first_then_next(call, lot):
    door = call("settle", "cost", *FEW)
    assert door.code == 0, door.err
    lines = door.out.replace(THIN, " ").splitlines()
    assert lines[0].startswith("School stands at € 900 and 0 h; expected €")
    assert any(line.startswith("Next: ") for line in lines[:8])
    assert "An estimate for planning." in door.out
    assert max(map(len, lines)) <= 100


def test_of_one_machine(call, lot):
    told = call("settle", "cost", lot, "--machine", "mill", *FEW).out.replace(THIN, " ")
    assert told.startswith("The mill stands at € 900")
    assert call("settle", "cost", lot, "--machine", "mil").code == 2


def test_json_holds_what_the_manual_says_it_holds(call, lot):
    told = json.loads(call("settle", "cost", "--json", *FEW).out)
    manual = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
    part = manual.split("### settle.cost.1\n", 1)[1].split("\n### ", 1)[0]
    named = set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE))
    assert set(told) == named
    assert told["schema"] == "settle.cost.1"
    assert told["restored"] == 900.0
    assert told["machines"][0]["machine_name"] == "mill"
    assert told["why"]["stop"]


def test_the_same_twice_is_the_same(call, lot):
    first = call("settle", "cost", "--json", *FEW).out
    assert call("settle", "cost", "--json", *FEW).out == first


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_it_is_written_as_a_table(call, lot, tmp_path, ending):
    path = tmp_path / f"cost.{ending}"
    assert call("settle", "cost", "--write", str(path), *FEW).code == 0
    if ending == "csv":
        rows = list(csv.reader(path.read_text().splitlines()))
        assert tuple(rows[0]) == HEADINGS
        assert any(row[3] == "removal" and row[10] == "900.0" for row in rows)
        assert {row[1] for row in rows[1:]} == {"bucket", "sum", "line"}
        assert {row[2] for row in rows[1:] if row[5] == "own hours"} == {"h"}
        assert {row[2] for row in rows[1:] if row[5] != "own hours"} == {"EUR"}
    else:
        assert path.read_bytes().startswith(b"PK")


def test_another_ending_is_refused(call, lot, tmp_path):
    door = call("settle", "cost", "--write", str(tmp_path / "cost.pdf"), *FEW)
    assert door.code == 2
    assert "neither CSV nor XLSX" in door.err


def test_plain_files_without_a_shop(call, book):
    told = json.loads(call("settle", "cost", str(EXAMPLE), "--book", book, "--json", *FEW).out)
    assert told["restored"] == 4240.0
    mill = next(one for one in told["machines"] if one["machine_name"] == "mill")
    assert mill["landed"] == 3000.0
    paid = next(row for row in mill["lines"] if row["line"] == "F15")
    assert (paid["spent"], paid["bucket"]) == (1240.0, "outside")
    assert told["forecast_from"] == "tables"


def test_lines_without_their_lot_file_are_refused(call, lot, book):
    door = call("settle", "cost", lot, "--book", book)
    assert door.code == 2
    assert "retrue settle cost lot.toml --book book.csv" in door.err


def test_a_row_that_cannot_be_is_named_by_its_line(call, tmp_path):
    path = tmp_path / "book.csv"
    path.write_text(LINES.replace('"1240,00"', "many"))
    door = call("settle", "cost", str(EXAMPLE), "--book", str(path), *FEW)
    assert door.code == 2
    assert "3" in door.err
    assert "amount" in door.err


def test_several_lots_must_be_named(call, shop, lot):
    worth.new_lot(shop, Lot(name="other"), Terms(lot=""), [], by="owner")
    door = call("settle", "cost")
    assert door.code == 2
    assert "2 lots are worked on" in door.err
