"""What a lot goes for, and which stands first of equals: small sums written out by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.stats import norm
from tests.cases.priced import kinds
from tests.cases.screen.listed import cabinet, listed

from retrue.base.formatter import money
from retrue.cases.bidding import RIVAL_LOG_SD, RIVAL_SHARE
from retrue.cases.case import LotCase
from retrue.cases.screen.bid_odds import limits_needed, why_left_out
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.of_all import starts_above, taken_for_all
from retrue.cases.screen.price_seen import SEEN, Sale, going, others_seen
from retrue.cases.screen.rank import ranked
from retrue.cases.screen.score import unpriced
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.stakes import Stake
from retrue.cases.view import View
from retrue.choose.commit import Came, Candidate, Limits, each_of, nothing
from retrue.choose.commit_choice import Choice
from retrue.records.facts import Machine, Terms

WORLDS = 4
BRINGS, K = 11_600.0, 1.16  # as found: 10 000 at the hammer
GAINS = np.array([[9_000.0, 12_000.0, 10_000.0, 11_000.0]])


def view(price: float = 8_000.0) -> View:
    """One machine in four worlds, all of it typed."""
    one = SimpleNamespace(
        resale=lambda state: np.full(WORLDS, BRINGS),
        machine=SimpleNamespace(mass_kg=1_000.0),
        kind=SimpleNamespace(mass_kg=3_000.0),
    )
    return SimpleNamespace(  # type: ignore[return-value]  # stands for a view; it asks for no more
        price=SimpleNamespace(amount=price), gains=GAINS, best=0,
        settled=SimpleNamespace(k=K, exchange=1.0, step=100.0),
        chooser=SimpleNamespace(prospects=(one,)),
    )  # fmt: skip


def sale(**terms: object) -> LotCase:
    told = Terms(lot="14", **terms)  # type: ignore[arg-type]  # each test types its own
    return SimpleNamespace(terms=told)  # type: ignore[return-value]  # stands for a case


def rows(**each: float) -> tuple[ScreenedLot, ...]:
    """Lots alike but for their gain, in the order given."""
    plain = replace(unpriced(cabinet(), ""), walk_away=5e3, gain_per_risk=0.5, gain_per_hour=20.0)
    return tuple(
        replace(plain, number=number, line=line, gain=gain)
        for line, (number, gain) in enumerate(each.items(), 2)
    )


def test_of_lots_with_the_same_return_the_one_that_brings_more_stands_first() -> None:
    """By definition: as much for each unit at risk, so the larger sum; then as the file has it."""
    lots = rows(small=500.0, large=2_000.0, again=2_000.0)
    for by in ("risk", "hour"):
        assert [one.number for one in ranked(lots, by)] == ["large", "again", "small"]


def test_a_sale_starts_where_it_is_said_to_start() -> None:
    """Common practice of auctions, no source: below the starting price nothing is sold."""
    start = 9_000.0
    tried = Sale(view(), sale(asking=Decimal(9_000), rivals=1))
    assert not tried.up_to(start - 1.0).wins.any()
    least = tried.up_to(start)
    each = tried.up_to_each(np.array([start, start, start - 1.0, start - 1.0]))
    assert each.wins.tolist() == [least.wins[0], least.wins[1], 0.0, 0.0]
    assert least.wins.all()
    assert least.paid == pytest.approx(start * least.wins)
    free = Sale(view(), sale(rivals=1)).up_to(start)
    assert least.wins == pytest.approx(free.wins)
    assert (least.paid > free.paid).all()


def test_a_sealed_bid_wins_where_every_rival_stops_below_it() -> None:
    """P(all n below b) = F(b)^n of a lognormal (David and Nagaraja 2003, section 2.1)."""
    case, limit = sale(sale="sealed", rivals=3), 7_000.0
    tried, others = Sale(view(), case), others_seen(view(), case)
    came = tried.up_to(limit)
    bid = came.paid / came.wins
    assert np.ptp(bid) == pytest.approx(0.0, abs=1e-6)
    assert 0 < bid[0] < limit
    scatter = RIVAL_LOG_SD * np.sqrt(1 - SEEN**2)
    z = np.log(bid / (RIVAL_SHARE * others.value)) / scatter
    assert came.wins == pytest.approx(norm.cdf(z) ** 3, abs=1e-6)
    half = tried.up_to(limit / 2)
    assert half.paid / half.wins == pytest.approx(bid / 2), "its share of the limit stays"


@pytest.mark.parametrize("sort", ["ascending", "sealed", "offer"])
def test_a_limit_of_its_own_in_each_world_is_that_limit_world_by_world(sort: str) -> None:
    """By definition."""
    tried = Sale(view(), sale(sale=sort, rivals=2))
    limits = np.array([0.0, 8_000.0, 9_000.0, 12_000.0])
    each = tried.up_to_each(limits)
    for at, limit in enumerate(limits):
        alone = tried.up_to(float(limit))
        assert each.wins[at] == pytest.approx(alone.wins[at])
        assert each.paid[at] == pytest.approx(alone.paid[at])
    assert each.wins[0] == each.paid[0] == 0.0
    assert (each.wins[1:] > 0).all()
    below = tried.up_to_each(-limits)
    assert not below.wins.any()
    assert not below.paid.any()


def test_for_nothing_nothing_is_had() -> None:
    came = going(view(price=0.0), sale())
    assert came.wins.tolist() == came.paid.tolist() == [0.0] * WORLDS
    assert Sale(view(), sale(sale="offer", asking=Decimal(1))).up_to(0.0).wins.tolist() == [0.0] * 4


def test_what_is_won_at_the_hammer_is_paid_with_the_premium_in_shop_money() -> None:
    """By hand: 1 000 hammer, premium and tax 1.25 on it, two of the shop's money for one: 2 500.

    Of what is no machine nothing is known but its cost: worth it, so it gains nothing.
    """
    stake = Stake(
        number="7", line=8, title="cabinet", sale="", currency="CHF", shop_currency="EUR",
        exchange=2.0, k=1.25, walk_away=None, why="is no machine", candidate=None, worlds=WORLDS,
    ).won(1_000.0)  # fmt: skip
    assert stake.candidate is not None
    assert stake.candidate.held
    (came,) = each_of((stake.candidate,), (1,))
    assert came.money.tolist() == [2_500.0] * WORLDS
    assert came.gain.tolist() == came.hours.tolist() == came.floor.tolist() == [0.0] * WORLDS


def test_of_limits_that_each_would_do_the_one_that_is_raised_least_is_named() -> None:
    """By hand: one of ten may be broken, two are; a tenth more hours or a fifth more money do."""
    spent, hours, none = np.zeros(10), np.zeros(10), np.zeros(10)
    spent[0], hours[1] = 120.0, 1_100.0
    came = Came(gain=none, money=spent, hours=hours, floor=none)
    bounds = Limits(money=100.0, hours=1_000.0, odds=0.9)
    assert came.breaks(bounds).sum() == 2
    assert limits_needed(came, bounds) == (("hours", 1_100.0),)
    less = Limits(money=100.0, hours=900.0, odds=0.9)
    assert limits_needed(came, less) == (("money", 120.0),)


def test_a_limit_that_is_not_in_the_way_is_not_named() -> None:
    """By hand: of 1 to 10 eight in ten are not above 8; the floor holds as it is."""
    row = np.arange(1.0, 11.0)
    bounds = Limits(money=6.0, hours=5.0, floor=10.0, odds=0.8)
    assert limits_needed(Came(row, row, row, row), bounds) == (("money", 8.0), ("hours", 8.0))


@pytest.mark.parametrize(
    ("takes", "limit", "said"),
    [
        ("money", 500.0, money(1_300.0, "EUR")),
        ("hours", 50.0, "110 own hours"),
        ("floor", 5.0, "8 m²"),
    ],
)
def test_what_would_let_a_lot_in_is_said_in_whole_hundreds_tens_and_metres(
    takes: str, limit: float, said: str
) -> None:
    """It takes 1 210, 101 hours, 7.2 m2: rounded up, for less would not do. Judgement.

    Of three bids the middle one is named: it gains 900 less 210 on average; the lowest wins in half
    of the worlds only, the highest pays more.
    """
    row, turns = np.ones((1, 10)), np.arange(10) % 2
    one = Candidate(
        bids=np.array([200.0, 210.0, 400.0]), wins=np.array([turns > 0, turns >= 0, turns >= 0]),
        pays=np.array([[200.0], [210.0], [400.0]]) * row, gain=row * 800 + 200 * turns,
        money=row * 1_000, hours=row * 101, floor=row[0] * 7.2,
    )  # fmt: skip
    choice = Choice(
        levels=(0,), came=nothing(10), gain=0.0, error=0.0, over=0.0, short=0.0, held=True
    )
    for bids in (slice(0, 3), slice(1, 2), slice(0, 2)):
        some = replace(one, bids=one.bids[bids], wins=one.wins[bids], pays=one.pays[bids])
        told = why_left_out((some,), choice, 0, replace(Limits(), **{takes: limit}), "EUR")
        assert said in told
        assert f"{money(690.0, 'EUR')} more" in told


def test_a_sale_that_begins_and_has_a_bid_starts_at_the_higher_one() -> None:
    """By definition: both must be met."""
    for asking, bid in ((700, 900), (900, 700)):
        one = listed("1", asking=Decimal(asking), bid_now=Decimal(bid))
        assert starts_above(one, 800.0) == 900.0
        assert starts_above(one, 900.0) is None
    assert starts_above(one, 0.0) is None
    assert starts_above(one, None) is None


def test_what_is_taken_is_told_where_one_machine_of_a_lot_says_nothing() -> None:
    """By hand: of two machines one has its new price and its tooling said, the other has not."""
    lot = listed("1", "mill", "lathe")
    mill, lathe = lot.case.machines
    said = replace(mill, new_price=Decimal(90_000), tooling="all")
    both = replace(lathe, new_price=Decimal(80_000), tooling="none")

    def fields(*machines: Machine, **case: object) -> list[str]:
        one = replace(lot, case=replace(lot.case, machines=machines, **case))
        every = Listing(name="sale", currencies=(), columns=(), lots=(one,), others=())
        return [taken.field for taken in taken_for_all(every, kinds())]

    asked = {"price of a comparable new one", "holders, jaws and vices"}
    assert asked <= set(fields(said, replace(lathe, new_price=None, tooling=None)))
    assert not asked & set(fields(said, both))
    assert not any(one.startswith("what else would do") for one in fields(said, both))
    other = tuple(one for one in lot.case.alternatives if one.kind != lathe.kind)
    told = [one for one in fields(said, both, alternatives=other) if one.startswith("what else")]
    assert told == [f"what else would do: {kinds()[lathe.kind].name}"]
