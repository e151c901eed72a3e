"""Guessed and was at the keyboard; closed machines given away and taken in."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.cases.priced import lot as priced_lot
from tests.closed import ON, opened
from tests.fakes.shop import FakeShop
from tests.library import load

from retrue.cases.lot_text import write_lot
from retrue.phases import settle
from retrue.records.settling import CaseClosed, LedgerTaken

Call = Callable[..., Any]
BOOK = """posted_on,sort,what,amount,currency,machine,bucket,line
2026-11-20,paid,removal,1900,EUR,mill,removal,E11
"""


@pytest.fixture
def lot(shop: FakeShop) -> str:
    return opened(shop)[1]


def test_the_table_is_told_and_kept_when_it_is_closed(call: Call, shop: FakeShop, lot: str):
    told = call("settle", "close", lot).out
    assert "it is not closed" in told
    assert "Next time, if it is closed so:" in told
    assert shop.current(CaseClosed) == []
    told = call("settle", "close", lot, "--as", "sold", "--changes", "ask twice").out
    assert "closed on" in told
    assert "ask twice" in told
    (kept,) = shop.current(CaseClosed)
    assert kept.id in told


def test_the_same_for_programs(call: Call, lot: str):
    told = json.loads(call("settle", "close", lot, "--json").out)
    assert told["schema"] == "settle.close.1"
    assert told["closed_on"] is None
    assert {"closed_on", "kept"} <= told["why"].keys()
    assert {row["sort"] for row in told["rows"]} >= {"fault", "money", "hours", "days", "bucket"}
    told = json.loads(call("settle", "close", lot, "--as", "sold", "--json").out)
    assert told["closed_on"] is not None
    assert told["end"] == "sold"


def test_of_a_file_nothing_is_kept(call: Call, tmp_path: Path):
    file, book = tmp_path / "lot.toml", tmp_path / "book.csv"
    file.write_text(write_lot(priced_lot(machines=("mill",))), encoding="utf-8")
    book.write_text(BOOK, encoding="utf-8")
    told = json.loads(call("settle", "close", str(file), "--book", str(book), "--json").out)
    (paid,) = [row for row in told["rows"] if row["line"] == "E11"]
    assert (paid["was"], paid["stands"]) == (1900.0, "above")
    refused = call("settle", "close", str(file), "--as", "sold")
    assert refused.code == 2
    assert "a file keeps nothing" in refused.err


def test_what_would_leave_is_shown_whatever_is_written(call: Call, lot: str, tmp_path: Path):
    refused = call("settle", "share")
    assert refused.code == 3
    assert "no machine is closed yet" in refused.err
    call("settle", "close", lot, "--as", "sold")
    to = tmp_path / "out.json"
    shown = call("settle", "share", "--to", str(to)).out
    assert shown == to.read_text(encoding="utf-8") + f"{to}\n"
    less = call("settle", "share", "--without", "fault").out
    assert '"fault"' in shown
    assert '"fault"' not in less


def test_a_file_of_others_is_looked_into_then_kept_once(call: Call, shop: FakeShop, tmp_path: Path):
    other, lot, machine = opened()
    settle.close(other, lot, machine, "sold", load(), on=ON, by="they")
    file = tmp_path / "theirs.json"
    file.write_text(settle.share(other), encoding="utf-8")
    told = call("settle", "share", "--take", str(file)).out
    assert "New here: 1. Known: 0." in told
    assert "Nothing is kept yet." in told
    assert shop.current(LedgerTaken) == []
    told = json.loads(call("settle", "share", "--take", str(file), "--keep", "--json").out)
    assert (told["known"], len(told["cases"])) == (0, 1)
    assert told["kept"] == shop.current(LedgerTaken)[0].id
    again = json.loads(call("settle", "share", "--take", str(file), "--keep", "--json").out)
    assert (again["known"], again["cases"], again["kept"]) == (1, [], None)
    refused = call("settle", "share", "--keep")
    assert refused.code == 2
    assert "Name the file with --take." in refused.err
