"""Two people at one catalogue at the same moment, each with a shop of his own on one database.

Held against: one run that is alone, in memory.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import partial
from typing import Any

from tests.cases.priced import kinds
from tests.fakes.shop import FakeShop
from tests.phases.worth.sale import NAME, WORLDS, Counting, buying, keep, said, table

from retrue.base.refusals import Overtaken
from retrue.phases import worth
from retrue.records.chain import verify_chain
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.screening import Bidder, Catalogue, PartScreened, Screening, Share
from retrue.store.shop import open_shop

LOTS = 100  # four parts
PATIENCE_S = 300.0  # of a machine that is slow and busy
PEOPLE = ("An", "Bo")
Deed = Callable[[Any, str], Any]


def clock() -> datetime:
    """When the shops of these tests are opened, by their clocks."""
    return datetime(2026, 11, 25, 20, 0, tzinfo=UTC)


class Both(Counting):
    """Nobody is done with his first part before both are at one."""

    def __init__(self, met: threading.Barrier) -> None:
        super().__init__()
        self.met = met

    def run(self, work: Any, parts: Any, kinds: Any) -> Any:
        for done in super().run(work, parts, kinds):
            if len(self.worked) == 1:
                self.met.wait(PATIENCE_S)
            yield done


def together(shops: dict[str, Any], deed: Deed) -> dict[str, Any]:
    """Let everybody do it at the same moment; what came of it, or the refusal."""
    start, came = threading.Barrier(len(shops)), {}

    def one(who: str) -> None:
        start.wait(PATIENCE_S)
        try:
            came[who] = deed(shops[who], who)
        except Overtaken as refusal:
            came[who] = refusal

    threads = [threading.Thread(target=one, args=(who,)) for who in shops]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(PATIENCE_S)
    assert set(came) == set(shops)
    return came


def test_two_people_screen_one_catalogue_and_nobody_does_anything_twice(place, opens):
    shops = {who: opens(place) for who in PEOPLE}
    alone = FakeShop()
    for one in (shops["An"], alone):
        buying(one)
    kept = together(shops, lambda shop, who: keep(shop, LOTS, by=who))
    keep(alone, LOTS)
    assert len({one.id for one in kept.values()}) == 1
    met = threading.Barrier(len(PEOPLE))
    spreads = {who: Both(met) for who in PEOPLE}

    def screens(shop: Any, who: str) -> int:
        return worth.run_parts(shop, NAME, kinds(), spreads[who], worker=who, clock=clock,
                               worlds=WORLDS, by=who)  # fmt: skip

    did = together(shops, screens)
    worth.run_parts(alone, NAME, kinds(), Counting(), worker="x", clock=clock, worlds=WORLDS,
                    by="An")  # fmt: skip
    assert all(did[who] > 0 for who in PEOPLE), did
    assert sorted(spreads["An"].worked + spreads["Bo"].worked) == list(range(4))
    shop = shops["Bo"]
    counts = [len(shop.current(kind)) for kind in (Catalogue, Screening, PartScreened, Share)]
    assert counts == [1, 1, 4, 4]
    assert {one.fact.state for one in shop.current(Share)} == {"done"}
    here, there = worth.state_of(shop, NAME), worth.state_of(alone, NAME)
    assert here.rows == there.rows
    assert here.begun.fact.key == there.begun.fact.key
    assert verify_chain(shop) == []


def bids(number: str, shop: Any, who: str) -> Any:
    return worth.who_bids(shop, NAME, number, Decimal(100), kinds(), by=who)


def test_two_people_at_one_lot_one_bids_one_takes_it_over_one_makes_a_lot_of_it(place, opens):
    shops = {who: opens(place) for who in PEOPLE}
    keep(shops["An"])
    begun = worth.begin_screening(shops["An"], NAME, kinds(), worlds=WORLDS, by="Ce").fact

    for number in ("1", "2", "3"):
        claims = together(shops, partial(bids, number))
        (refusal,) = [one for one in claims.values() if isinstance(one, Overtaken)]
        (winner,) = [who for who, one in claims.items() if one is not refusal]
        assert refusal.reason == f"{winner} bids on lot {number}"
    assert len(shops["An"].current(Bidder)) == 3

    worth.take_part(shops["An"], begun, 0, worker="gone", now=clock(), by="Ce")
    late = clock() + timedelta(hours=1)
    for shop in shops.values():
        shop._clock = lambda: late
    over = together(shops, lambda shop, who: worth.take_part(
        shop, begun, 0, worker=who, now=late, by=who))  # fmt: skip
    assert sum(isinstance(one, Overtaken) for one in over.values()) == 1
    (share,) = shops["Bo"].current(Share)
    assert not isinstance(over[share.fact.who], Overtaken)

    lots = together(shops, lambda shop, who: worth.take_lot(shop, NAME, "1", kinds(), by=who))
    assert len(set(lots.values())) == 1
    assert [len(shops["An"].current(kind)) for kind in (Lot, Terms, Machine)] == [1, 1, 1]
    same = together(shops, lambda shop, who: worth.take_lot(shop, NAME, "2", kinds(), by="An"))
    assert len(set(same.values())) == 1  # one person, on two devices
    assert [len(shops["An"].current(kind)) for kind in (Lot, Terms, Machine)] == [2, 2, 2]
    assert verify_chain(shops["Bo"]) == []


def test_a_catalogue_that_another_has_kept_is_read_without_his_files(place, opens, tmp_path):
    keep(opens(place), 30)
    elsewhere = open_shop(place, clock=clock, files=tmp_path / "another computer")
    try:
        assert len(worth.listing_of(elsewhere, NAME, kinds()).lots) == 30
        fact = worth.find_catalogue(elsewhere, NAME).fact
        assert worth.catalogue_content(elsewhere, fact) == table(30)
        assert fact.premium == said().premium
    finally:
        elsewhere.close()
