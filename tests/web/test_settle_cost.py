"""What it cost on its pages: the answer first, next, the picture, the tables, files to save."""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from decimal import Decimal

import pytest
from tests.web.bare import bare_lot
from tests.web.visitor import Visitor, text_of

from retrue.phases import settle
from retrue.records.settling import HoursTold, Posting
from retrue.records.shop import RecordShop

ON = date(2026, 11, 25)


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def mill(shop: RecordShop) -> str:
    """The path of the mill; 4,210.50 is paid for it, 85 of it nobody placed, 2.5 h worked."""
    path = bare_lot(shop)[0]
    where = {"lot": path.split("/")[2], "machine": path.split("/")[4]}
    for amount, bucket, what in (
        ("4125.50", "price", "the mill"),
        ("85", "", "gloves and oil dry"),
    ):
        fact = Posting(sort="bought", posted_on="2026-11-20", what=what, amount=Decimal(amount),
                       bucket=bucket, **where)  # fmt: skip
        settle.post(shop, fact, on=ON, by="owner")
    shop.add(HoursTold(worked_on="2026-11-20", hours=2.5, **where), by="owner")
    return path


def test_the_answer_stands_first_then_next_then_the_picture_then_the_table(
    owner: Visitor, mill: str
) -> None:
    page = owner.get(f"{mill}/settle/cost")
    assert page.status_code == 200
    assert "The Bed mill stands at € 4 210 and 2 h; expected €" in text_of(page)
    places = [page.text.index(f'id="{name}"') for name in ("answer", "next", "picture", "buckets",
                                                           "lines")]  # fmt: skip
    assert places == sorted(places)
    assert "No number was frozen" in text_of(page)


def test_what_has_nothing_in_the_book_is_folded_and_not_lost(owner: Visitor, mill: str) -> None:
    page = owner.get(f"{mill}/settle/cost").text
    part = page[page.index('id="buckets"') : page.index('id="hours"')]
    shown, fold, folded = part.partition("<details><summary>Nothing in the book yet for")
    assert fold
    assert "4\u202f126" in shown  # what was paid for the mill, rounded
    assert "All until the first good part" in shown
    assert not re.search(r'data-label="spent">(?!<span class="num">€\u202f0<)', folded)
    count = int(folded.split()[0])
    assert folded.count('data-label="spent"') == count > 5
    assert "<details><summary>Line by line</summary>" in page


def test_each_picture_has_a_drawing_for_the_phone(owner: Visitor, mill: str) -> None:
    text = owner.get(f"{mill}/settle/cost").text
    for name in ("cost-phone", "cost-wide", "curve-phone", "curve-wide"):
        assert text.count(f'class="picture {name}"') == 1


def test_what_is_not_placed_is_the_next_thing_to_do(owner: Visitor, mill: str) -> None:
    page = owner.get(f"{mill}/settle/cost")
    assert "Say where the money of one line went" in text_of(page)
    lot, machine = mill.split("/")[2], mill.split("/")[4]
    link = f"/settle/book?for={lot}%7C{machine}&amp;bucket=none"
    assert link in page.text
    assert "gloves and oil dry" in text_of(owner.get(link.replace("&amp;", "&")))


def test_the_lot_has_every_machine_and_says_whether_to_go_on_with_each(
    owner: Visitor, mill: str
) -> None:
    lot = mill.split("/")[2]
    page = owner.get(f"/lots/{lot}/settle/cost")
    assert "Lot 14 stands at € 4 210 and 2 h" in text_of(page)
    assert f"{mill}/settle/cost" in page.text
    assert text_of(page).count("Whether to go on:") == 2


def test_hours_nobody_told_are_said_to_be_assumed(owner: Visitor, shop: RecordShop) -> None:
    lathe = bare_lot(shop)[1]
    page = owner.get(f"{lathe}/settle/cost")
    assert page.status_code == 200
    assert "Nobody told any own hours" in text_of(page)


def test_rows_and_lines_are_given_out_as_tables(owner: Visitor, mill: str) -> None:
    told = owner.get(f"{mill}/settle/cost.csv")
    rows = list(csv.DictReader(io.StringIO(told.text)))
    price = next(row for row in rows if row["bucket"] == "price" and not row["line"])
    assert Decimal(price["spent"]) == Decimal("4125.5")
    assert owner.get(f"{mill}/settle/cost.xlsx").content.startswith(b"PK")
    lot = mill.split("/")[2]
    assert owner.get(f"/lots/{lot}/settle/cost.csv").status_code == 200


def test_a_machine_nobody_kept_is_named(owner: Visitor, mill: str) -> None:
    lot = mill.split("/")[2]
    assert owner.get(f"/lots/{lot}/machines/none/settle/cost").status_code == 404
    assert owner.get("/lots/none/settle/cost").status_code == 404
