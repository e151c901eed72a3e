"""The book at the keyboard: posted, shown, written, read; rates, closing, taking back."""

from __future__ import annotations

import json

import pytest
from tests.fakes.shop import FakeShop

from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms


@pytest.fixture(autouse=True)
def lot(shop: FakeShop) -> str:
    machines = [Machine(lot="", name=name, kind="vertical_machining_centre")
                for name in ("mill", "lathe")]  # fmt: skip
    worth.new_lot(shop, Lot(name="school"), Terms(lot=""), machines, by="owner")
    return "school"


def told(door) -> dict:
    assert door.code == 0, door.err
    return json.loads(door.out)


def test_a_line_is_put_in_shown_corrected_and_taken_back(call):
    kept = told(call("settle", "post", "bought", "121,00", "belts", "--lot", "school", "--machine",
                     "mill", "--bucket", "parts", "--tax", "0.21", "--json"))  # fmt: skip
    assert (kept["in_shop"], kept["tax_back"], kept["shares"][0]["name"]) == (100.0, 21.0, "mill")
    view = told(call("settle", "book", "--json"))
    assert (view["balanced"], view["by_bucket"], view["currency"]) == (
        True,
        {"parts": 100.0},
        "EUR",
    )
    call("settle", "post", "bought", "242", "belts", "--lot", "school", "--tax", "0.21",
         "--split", "equal", "--correct", kept["kept"][:8])  # fmt: skip
    (line,) = told(call("settle", "book", "school", "--machine", "lathe", "--json"))["lines"]
    assert [one["amount"] for one in line["shares"]] == [100.0, 100.0]
    assert told(call("settle", "take-back", kept["kept"][:8], "--json"))["of"] == "posting"
    assert "Nothing is in the book yet" in call("settle", "book").out


def test_what_stands_where_in_plain_words(call):
    call("settle", "post", "paid", "80", "the truck", "--lot", "school", "--from", "own-pocket")
    told_here = call("settle", "book", "--balance").out
    assert "paid from my own pocket  €\u202f80.00" in told_here
    assert "Every currency sums to nothing" in told_here


def test_another_currency_needs_a_rate(call):
    words = ("settle", "post", "bought", "100", "belts", "--machine", "mill", "--currency", "CHF")
    refused = call(*words)
    assert refused.code == 2
    assert "missing rate: CHF on 2026-11-25" in refused.err
    told(call("settle", "day-rate", "chf", "1,07", "--json"))
    assert told(call(*words, "--json"))["in_shop"] == 107.0
    (rate,) = told(call("settle", "day-rate", "--json"))["rates"]
    assert (rate["currency"], rate["rate"]) == ("CHF", 1.07)
    typed = told(call(*words, "--rate", "1.2", "--rate-on", "2026-11-24",
                      "--beside", "--json"))  # fmt: skip
    assert typed["in_shop"] == 120.0


def test_a_card_is_settled_from_the_bank(call):
    words = ("settle", "post", "exchanged", "200", "card settlement", "--into-place", "card")
    assert told(call(*words, "--json"))["in_shop"] == 0.0
    stands = told(call("settle", "book", "--balance", "--json"))["accounts"]
    assert {one["account"]: one["amount"] for one in stands} == {"bank": -200.0, "card": 200.0}


@pytest.mark.parametrize("amount", ["-5", "-1.250,50"])
def test_an_amount_below_zero_is_named(call, amount):
    refused = call("settle", "post", "bought", amount, "belts", "--machine", "mill")
    assert refused.code == 2
    assert f"amount: is {amount}, below zero" in refused.err
    assert "Leave the minus away" in refused.err
    assert "No such option" in call("settle", "post", "bought", "5", "belts", "--nothing").err


def test_rates_of_a_file(call, tmp_path):
    table = tmp_path / "rates.csv"
    table.write_text("date,currency,rate\n2026-11-20,CHF,1.07\n2026-11-21,USD,0.92\n")
    assert len(told(call("settle", "day-rate", "--read", str(table), "--json"))["kept"]) == 2
    assert told(call("settle", "day-rate", "--read", str(table), "--json"))["kept"] == []


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_written_it_is_a_book_without_a_shop(call, tmp_path, ending):
    call("settle", "post", "bought", "7730", "hammer", "--lot", "school", "--share", "mill",
         "--weight", "3", "--share", "lathe", "--weight", "1")  # fmt: skip
    table = tmp_path / f"book.{ending}"
    assert call("settle", "book", "--write", str(table)).out.endswith(f"{table}\n")
    view = told(call("settle", "book", str(table), "--json"))
    stands = {one["words"]: one["amount"] for one in view["accounts"]}
    assert (stands["spent on mill"], stands["spent on lathe"]) == (5797.5, 1932.5)
    assert stands["went out of the bank"] == -7730.0


def test_the_book_is_closed_and_opened_again(call):
    closed = told(call("settle", "lock", "2026-11-20", "--json"))
    refused = call("settle", "post", "paid", "9", "late", "--on", "2026-11-20")
    assert refused.code == 3
    assert "the book is closed up to 2026-11-20" in refused.err
    assert "Closed up to 2026-11-20" in call("settle", "lock").out
    told(call("settle", "take-back", closed["kept"], "--json"))
    assert call("settle", "lock").out == "The book is open.\n"


def test_a_receipt_is_kept_with_its_line(call, tmp_path, shop):
    paper = tmp_path / "bill.pdf"
    paper.write_bytes(b"%PDF-1.4\n%%EOF\n")
    told(call("settle", "post", "paid", "9", "belts", "--receipt", str(paper), "--json"))
    (line,) = told(call("settle", "book", "--json"))["lines"]
    assert shop.file(line["receipt"]) == paper.read_bytes()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("post", "bought", "--", "-5", "belts"), "amount: is -5"),
        (("post", "stolen", "5", "belts"), "stolen"),
        (("post", "bought", "five", "belts"), "five"),
        (("post", "bought", "5", "belts", "--tax", "21"), "21"),
        (("post", "bought", "5", "belts", "--tax", "nan"), "nan"),
        (("post", "bought", "5", "belts", "--rate-on", "2026-11-20"), "rate"),
        (("post", "moved", "5", "belts", "--machine", "mill"), "from_stock"),
        (("book", "--month", "2026-13"), "no month"),
        (("book", "nowhere.csv"), "nowhere.csv"),
        (("book", "nowhere"), "there is no lot nowhere"),
        (("book", "--write", "book.pdf"), "neither CSV nor XLSX"),
        (("day-rate", "CHF"), "was not said"),
        (("day-rate", "EUR", "1"), "own currency"),
        (("lock", "2027-01-01"), "still to come"),
        (("take-back", "nothing"), "nothing"),
    ],
)
def test_bad_input_is_named(call, words, says):
    refused = call("settle", *words)
    assert refused.code == 2
    assert says in refused.err
