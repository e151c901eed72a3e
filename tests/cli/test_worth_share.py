"""Several people at one sale, at the keyboard: kept once, screened, bid for by one, taken once."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Door, keys_of_others
from tests.phases.worth.sale import NAME, buying, table

from retrue.cli import worth_screen, worth_screen_source
from retrue.phases import worth


def told(door: Door) -> Any:
    assert door.code == 0, door.err
    return json.loads(door.out)


@pytest.fixture
def sale(tmp_path: Path) -> Path:
    path = tmp_path / "sale.csv"
    path.write_bytes(table(30))
    return path


@pytest.fixture
def kept(call, shop, sale) -> Any:
    buying(shop)
    return told(call("worth", "catalogue", sale, "--name", NAME, "--premium", "0.16", "--json"))


def test_a_catalogue_is_kept_and_listed(call, shop, kept, sale):
    assert set(kept) == keys_of_others()["worth catalogue"]
    (one,) = kept["catalogues"]
    assert (one["name"], one["lots"], one["closes_at"]) == (NAME, 0, None)
    assert worth.find_catalogue(shop, NAME).fact.premium == 0.16
    assert call("worth", "catalogue").out == "school sale: not screened yet\n"
    again = call("worth", "catalogue", sale, "--premium", "0.2")
    assert (again.code, "by owner" in again.err) == (2, True)
    assert call("worth", "catalogue", sale, "--needs", sale).code == 2


def test_a_kept_catalogue_is_screened_as_a_file_is(call, shop, kept, sale, monkeypatch):
    monkeypatch.setattr(worth_screen_source, "_is_there", lambda place: True)
    monkeypatch.setattr(worth_screen, "best_asked", lambda rows, *_, **__: rows)
    lots = ("--worlds", "100", "--processes", "1", "--best", "1", "--json")
    of_shop = told(call("worth", "screen", NAME, *lots))
    of_file = told(call("worth", "screen", sale, "--premium", "0.16", *lots))
    assert of_shop["lots"] == of_file["lots"]
    assert [one.fact.who for one in worth.state_of(shop, NAME).every_share] == ["owner", "owner"]
    share = told(call("worth", "share", NAME, "--json"))
    assert set(share) == keys_of_others()["worth share"]
    assert (share["lots"], share["parts"], share["done"]) == (30, 2, 2)
    assert "owner has done 30 lots" in call("worth", "share", NAME).out
    told(call("worth", "screen", NAME, "--premium", "0.3", *lots))  # corrected, and done anew
    assert worth.find_catalogue(shop, NAME).fact.premium == 0.3
    other = call("worth", "screen", NAME, "--seed", "8", *lots)
    assert (other.code, "from something else" in other.err) == (2, True)
    assert call("worth", "share", NAME, "--stop").out.splitlines()[1].startswith("Stopped")
    assert not told(call("worth", "share", NAME, "--go-on", "--json"))["stopped"]


def test_one_bids_another_is_told_and_what_came_of_it_is_kept(call, shop, kept):
    first = told(call("worth", "bidder", NAME, "1", "--limit", "300", "--json"))
    assert set(first) == keys_of_others()["worth bidder"]
    assert (first["who"], first["limit"], first["result"]) == ("owner", 300.0, None)
    other = call("worth", "bidder", NAME, "1", "--for", "Bo")
    assert (other.code, "owner bids on lot 1" in other.err) == (2, True)
    assert call("worth", "bidder", NAME, "1", "--limit", "400").code == 3
    assert call("worth", "bidder", NAME, "1", "--give-up", "--lost").code == 2
    assert call("worth", "bidder", NAME, "1", "--give-up").out == "Lot 1: nobody bids\n"
    assert "Bo bids" in call("worth", "bidder", NAME, "1", "--for", "Bo").out
    won = call("worth", "bidder", NAME, "1", "--won", "280").out
    assert won == "Lot 1: yours, at €\u202f280\n"
    assert call("worth", "bidder", NAME, "2", "--lost").out == "Lot 2: it went to another\n"


def test_a_lot_is_taken_and_priced_by_its_name(call, shop, kept):
    first = told(call("worth", "take", NAME, "1", "--json"))
    assert set(first) == keys_of_others()["worth take"]
    assert first["lot"] == "school sale 1"
    assert told(call("worth", "take", NAME, "1", "--json")) == first
    assert call("worth", "take", NAME, "9").code == 2
    priced = told(call("worth", "price", first["lot"], "--worlds", "100", "--json"))
    assert priced["lot"] == first["lot"]


def test_bids_at_a_kept_catalogue_go_on_from_what_was_kept(call, shop, kept):
    few = ("--worlds", "200", "--processes", "1", "--json")
    first = told(call("worth", "bids", NAME, "--money", "30000", "--hours", "900", *few))
    assert first["catalogue"] == NAME
    budget = worth.budget_of(shop, NAME).fact
    assert (budget.money, budget.hours) == (Decimal(30000), 900.0)
    assert budget.floor_m2 is None
    call("worth", "bidder", NAME, "1", "--won", "300")
    second = told(call("worth", "bids", NAME, "--lost", "2", *few))
    assert [one["number"] for one in second["lines"] if one["won"]] == ["1"]
    assert [one["limit"] for one in second["limits"]] == [30000.0, None, 900.0]
    assert worth.came_of_lots(shop, NAME)["2"].result == "lost"
