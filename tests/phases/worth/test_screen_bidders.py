"""Who bids on which lot: one person, up to a limit that does not rise unseen; then what came of it.

Held against: the lot as the catalogue reads it; the bids chosen of the same rows without a shop.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest
from tests.cases.priced import kinds
from tests.fakes.shop import FakeShop
from tests.phases.worth.sale import NAME, WORLDS, Counting, buying, keep

from retrue.base.refusals import NotYet, Overtaken, Refusal, Unknown, Unusable
from retrue.cases.screen import short_list
from retrue.cases.screen.bid_plan import BidPlan, Ended, Limits, choose_bids
from retrue.cases.screen.rank import ranked
from retrue.phases import diary, worth
from retrue.records.facts import Lot, Machine, Outcome, Terms
from retrue.records.screening import Bidder, Budget, RowTaken

NOW = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def screened() -> FakeShop:
    made = FakeShop(lambda: NOW)
    buying(made)
    keep(made)
    worth.run_parts(made, NAME, kinds(), Counting(), worker="one", clock=lambda: NOW,
                    worlds=WORLDS, by="An")  # fmt: skip
    return made


@pytest.fixture
def shop(screened: FakeShop) -> FakeShop:
    """A shop of its own with the same records."""
    mine = FakeShop(lambda: NOW)
    for name in ("_rows", "_by_id", "_newer", "_files", "_remembered"):
        setattr(mine, name, getattr(screened, name).copy())
    return mine


def bids(shop: Any, by: str, limit: int | None = None, number: str = "1", **more: Any) -> Any:
    money = None if limit is None else Decimal(limit)
    return worth.who_bids(shop, NAME, number, money, kinds(), by=by, **more)


def refused(deed: Callable[[], object], kind: type[Refusal]) -> Refusal:
    with pytest.raises(kind) as told:
        deed()
    return told.value


def test_a_lot_that_was_won_is_not_lost_without_a_word(shop: FakeShop):
    """Its money would be free for other bids; sent twice it is still once."""
    bids(shop, "An", 100)
    worth.bid_ended(shop, NAME, "1", "won", Decimal(90), by="An", id="1" * 32)
    told = refused(lambda: worth.bid_ended(shop, NAME, "1", "lost", by="An"), NotYet)
    assert "told as won" in told.reason
    assert [one.where for one in told.problems] == ["text"]
    assert worth.came_of_lots(shop, NAME)["1"].result == "won"
    worth.bid_ended(shop, NAME, "1", "won", Decimal(95), by="An")  # what it went for may be typed
    worth.bid_ended(shop, NAME, "1", "lost", text="that was lot 7", by="An")
    assert worth.came_of_lots(shop, NAME)["1"].result == "lost"
    refused(lambda: worth.bid_ended(shop, NAME, "1", "won", Decimal(90), by="An"), NotYet)


def test_of_a_lot_in_my_lots_as_well(shop: FakeShop):
    worth.take_lot(shop, NAME, "1", kinds(), by="An")
    worth.bid_ended(shop, NAME, "1", "lost", by="An")
    refused(lambda: worth.bid_ended(shop, NAME, "1", "won", Decimal(90), by="An"), NotYet)
    worth.bid_ended(shop, NAME, "1", "won", Decimal(90), text="misheard", by="An")
    assert worth.came_of_lots(shop, NAME)["1"].result == "won"


def test_a_number_is_not_taken_for_a_slip_of_the_pen(shop: FakeShop):
    told = refused(lambda: bids(shop, "An", number="99"), Unknown)
    assert "mean" not in told.remedy


def test_the_second_person_is_told_who_the_first_is(shop: FakeShop):
    first = bids(shop, "An", 300)
    assert bids(shop, "An", 300) == first
    assert refused(lambda: bids(shop, "Bo", 400), Overtaken).reason == "An bids on lot 1"
    lower = bids(shop, "An", 250)
    assert lower.replaces == first.id
    assert {number: one.fact.limit for number, one in worth.bidders_of(shop, NAME).items()} == {
        "1": Decimal(250)
    }
    assert bids(shop, "Bo", 200, who="Ce", number="2").fact.who == "Ce"
    refused(lambda: bids(shop, "Bo", number="2"), Overtaken)
    refused(lambda: bids(shop, "Bo", number="77"), Unknown)


def test_a_limit_rises_only_with_a_reason(shop: FakeShop):
    price = worth.row_of(shop, NAME, "1").walk_away
    above = int(price) + 10
    told = refused(lambda: bids(shop, "An", above), NotYet)
    assert [one.where for one in told.problems] == ["text"]
    bids(shop, "An", 300)
    refused(lambda: bids(shop, "An", 310), NotYet)
    assert bids(shop, "An", 310, text="a spare chuck goes with it").fact.limit == 310
    assert bids(shop, "An").fact.limit is None


def test_a_lot_is_given_up_by_who_has_it_or_with_a_reason(shop: FakeShop):
    bids(shop, "An", 300)
    told = refused(lambda: worth.give_up_bid(shop, NAME, "1", by="Bo"), NotYet)
    assert told.reason == "An bids on lot 1"
    worth.give_up_bid(shop, NAME, "1", by="An")
    assert bids(shop, "Bo", 320).fact.who == "Bo"
    worth.give_up_bid(shop, NAME, "1", text="he is ill", by="An")
    refused(lambda: worth.give_up_bid(shop, NAME, "1", by="An"), Unknown)
    assert bids(shop, "An", 300).fact.who == "An"  # the third turn of one lot


def test_a_lot_that_is_over_takes_no_bidder(shop: FakeShop):
    bids(shop, "An", 300)
    refused(lambda: worth.bid_ended(shop, NAME, "1", "won", by="An"), Unusable)
    worth.bid_ended(shop, NAME, "1", "won", Decimal(280), by="Bo")
    stands = worth.bidders_of(shop, NAME)["1"].fact
    assert (stands.who, stands.result, stands.amount) == ("An", "won", Decimal(280))
    assert refused(lambda: bids(shop, "Bo"), Overtaken).reason == "lot 1 is over"
    refused(lambda: worth.give_up_bid(shop, NAME, "1", by="An"), NotYet)
    worth.bid_ended(shop, NAME, "7", "lost", by="Bo")  # nobody bid on it
    assert {number: end.result for number, end in worth.came_of_lots(shop, NAME).items()} == {
        "1": "won", "7": "lost",
    }  # fmt: skip


def test_a_lot_is_taken_once_and_is_what_the_catalogue_says(shop: FakeShop):
    read = worth.lot_of(worth.listing_of(shop, NAME, kinds()), "2").case
    lot = worth.take_lot(shop, NAME, "2", kinds(), by="An")
    assert worth.take_lot(shop, NAME, "2", kinds(), by="Bo") == lot
    assert worth.taken_of(shop, NAME) == {"2": lot}
    assert [len(shop.current(kind)) for kind in (Lot, Terms, Machine, RowTaken)] == [1, 1, 1, 1]
    case = worth.case_of(shop, lot)
    assert case.lot.name == "school sale 2"
    assert replace(case.terms, lot="") == replace(read.terms, lot="")
    assert [replace(one, lot="") for one in case.machines] == [
        replace(one, lot="") for one in read.machines
    ]
    assert read.needs
    assert {*read.needs} <= {*case.needs}
    refused(lambda: worth.take_lot(shop, NAME, "3", kinds(), by="An"), Unusable)


def test_a_name_that_is_taken_is_counted_on(shop: FakeShop):
    shop.add(Lot(name="school sale 1"), by="An")
    lot = worth.take_lot(shop, NAME, "1", kinds(), by="An")
    assert worth.view_lot(shop, lot).name == "school sale 1 (2)"


def test_taken_back_it_can_be_taken_anew_and_brought_back_it_is_found(shop: FakeShop):
    lot = worth.take_lot(shop, NAME, "1", kinds(), by="An")
    diary.take_back(shop, lot, by="An", rooms={})
    assert worth.taken_of(shop, NAME) == {}
    diary.bring_back(shop, shop.history(lot)[-1].id, by="An")
    assert worth.take_lot(shop, NAME, "1", kinds(), by="Bo") == lot
    assert worth.taken_of(shop, NAME) == {"1": lot}
    diary.take_back(shop, shop.history(lot)[-1].id, by="An", rooms={})
    other = worth.take_lot(shop, NAME, "1", kinds(), by="Bo")
    assert other != lot
    assert worth.taken_of(shop, NAME) == {"1": other}


@pytest.mark.parametrize("first", ["taken", "won"])
def test_what_came_of_a_taken_lot_stands_in_my_lots(shop: FakeShop, first: str):
    if first == "won":
        worth.bid_ended(shop, NAME, "1", "won", Decimal(410), by="An")
    lot = worth.take_lot(shop, NAME, "1", kinds(), by="An")
    if first == "taken":
        worth.bid_ended(shop, NAME, "1", "won", Decimal(410), by="An")
        assert shop.current(Bidder) == []
    (came,) = shop.current(Outcome, lot=lot)
    assert (came.fact.result, came.fact.amount) == ("won", Decimal(410))
    worth.outcome(shop, lot, "lost", by="Bo")
    assert worth.came_of_lots(shop, NAME)["1"].result == "lost"


def test_a_catalogue_on_which_somebody_bids_is_not_taken_back(shop: FakeShop):
    bids(shop, "An", 300)
    home = worth.find_catalogue(shop, NAME).id
    refused(lambda: diary.take_back(shop, home, by="Bo", rooms={}), NotYet)
    worth.give_up_bid(shop, NAME, "1", by="An")
    diary.take_back(shop, home, by="Bo", rooms={})
    assert worth.catalogues(shop) == []


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """What bids are chosen of; that they are the best is tested where they are chosen."""
    asked: list[Any] = []

    def choose(*of: Any, **more: Any) -> BidPlan:
        asked.append((*of, more))
        return choose_bids((), of[-1], seed=len(asked))

    monkeypatch.setattr(short_list, "plan_bids", choose)
    return asked


def test_bids_are_chosen_within_the_budget_after_what_was_won(shop: FakeShop, asked):
    assert worth.plan_of(shop, NAME, kinds()) is None
    said = Budget(catalogue="", money=Decimal(30000), hours=900.0, odds=0.8, only=("1", "2"))
    kept = worth.set_budget(shop, NAME, said, by="An")
    assert worth.set_budget(shop, NAME, said, by="An") == kept
    rows = ranked(worth.state_of(shop, NAME).rows)
    listing = worth.listing_of(shop, NAME, kinds())
    limits = Limits(money=30000.0, hours=900.0, odds=0.8)
    plan = worth.plan_of(shop, NAME, kinds())
    assert worth.plan_of(shop, NAME, kinds()) == plan  # remembered
    more: dict[str, Any] = {"ended": [], "lots": 20, "only": ("1", "2"), "seed": 7}
    assert asked == [(listing, rows, kinds(), limits, more)]
    worth.bid_ended(shop, NAME, "1", "won", Decimal(300), by="An")
    worth.bid_ended(shop, NAME, "2", "lost", by="An")
    worth.bid_ended(shop, NAME, "5", "won", Decimal(40), by="Bo")  # a cabinet: money is spent
    assert worth.plan_of(shop, NAME, kinds()) != plan
    more["ended"] = [
        Ended(number="1", won=True, amount=300.0), Ended(number="2", won=False)
    ]  # fmt: skip
    spent = replace(limits, money=30000.0 - 40.0)
    assert asked[1:] == [(listing, rows, kinds(), spent, more)]
    assert worth.budget_of(shop, NAME) == kept
