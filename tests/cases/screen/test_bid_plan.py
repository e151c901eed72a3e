"""Bids of one sale on lots priced as any lot is: levels, shared luck, needs met once, limits."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from tests.cases.priced import LATHE, MILL, kinds
from tests.cases.screen.listed import cabinet, listed

from retrue.base.refusals import Unusable
from retrue.cases.drawing import Drawer
from retrue.cases.landing import SPARE
from retrue.cases.screen.bid_plan import Ended, Limits, choose_bids
from retrue.cases.screen.bid_table import HEADINGS, bid_json, bid_table
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.others import others_at
from retrue.cases.screen.rank import ranked
from retrue.cases.screen.sale_drawer import sale_drawer
from retrue.cases.screen.score import score
from retrue.cases.screen.short_list import plan_bids, short_list
from retrue.cases.screen.stakes import LEVELS, stake_of
from retrue.cases.screen.widen import view_of
from retrue.choose.commit import came_of

WORLDS, AUCTIONS = 2_000, 10_000
LIMITS = Limits(money=50_000.0, floor_m2=20.0, hours=750.0)


def lots():
    """A mill, a lathe, a lathe by sealed bid."""
    return listed("11", "mill"), listed("12"), listed("14", sale="sealed")


@pytest.fixture(scope="module")
def drawn():
    """Worlds to choose in, and ten thousand that have no say."""
    return tuple(stake_of(one, kinds(), worlds=WORLDS + AUCTIONS) for one in lots())


@pytest.fixture(scope="module")
def stakes(drawn):
    """Every third bid, in the worlds to choose in."""
    return tuple(replace(one, candidate=_thinned(one.candidate), worlds=WORLDS) for one in drawn)


def _thinned(one):
    some = replace(one, bids=one.bids[2::3], wins=one.wins[2::3], pays=one.pays[2::3])
    return some.within(slice(0, WORLDS))


def of_kind(stakes, number):
    return next(one for one in stakes if one.number == number).candidate


# --- one lot as something to bid on --------------------------------------------------------------


def test_bids_stand_on_steps_and_never_above_the_price_not_to_go_above(drawn):
    for stake in drawn:
        bids = stake.candidate.bids
        assert 1 < len(bids) <= LEVELS
        assert bids[-1] <= stake.walk_away
        assert np.all(bids % 10 == 0)
        assert np.all(np.diff(bids) > 0)
        wins = stake.candidate.wins.mean(axis=1)
        assert np.all(np.diff(wins) > 0), "a bid that wins no more often is not worth trying"


def test_what_is_paid_is_the_own_bid_where_it_is_sealed_and_at_most_it_elsewhere(stakes):
    for stake in stakes:
        one = stake.candidate
        most = one.bids[:, None] * stake.k
        assert np.all(one.pays[one.wins] <= np.broadcast_to(most, one.pays.shape)[one.wins] + 1e-9)
        sealed = np.all(one.pays == most)
        assert sealed == (stake.sale == "sealed")


def test_the_screened_price_is_the_ceiling_where_it_is_given():
    stake = stake_of(listed("12"), kinds(), worlds=500, ceiling=2_000.0)
    assert stake.walk_away == 2_000.0
    assert stake.candidate.bids[-1] <= 2_000.0


def test_a_second_lathe_brings_what_it_does_when_the_job_has_one(stakes):
    one = of_kind(stakes, "12")
    assert one.needs == (LATHE,)
    kept, other = one.option_of
    assert one.meets[kept] == 1
    assert one.meets[other] == 0
    assert one.gain[kept].mean() > one.gain[other].mean()
    assert one.hours[kept].mean() > one.hours[other].mean() or kept == other


def test_a_lot_of_two_machines_has_an_option_for_every_need_that_is_met():
    one = stake_of(listed("15", "mill", "lathe"), kinds(), worlds=500).candidate
    assert one.needs == (LATHE, MILL)
    for met, option in enumerate(one.option_of):
        assert not one.meets[option] & met


@pytest.mark.parametrize(
    ("terms", "wins", "pays"),
    [
        ({"sale": "fixed_price", "asking": Decimal(3000)}, 1.0, 3000.0),
        ({"sale": "fixed_price", "asking": Decimal(90000)}, None, None),
    ],
)
def test_a_fixed_price_is_paid_or_left(terms, wins, pays):
    stake = stake_of(listed("12", **terms), kinds(), worlds=500)
    if wins is None:
        assert "above yours" in stake.why
        return
    assert stake.candidate.bids.tolist() == [pays]
    assert stake.candidate.wins.mean() == wins
    assert np.allclose(stake.candidate.pays, pays * stake.k)


def test_nobody_is_outbid_below_where_a_sale_begins_or_a_bid_that_stands():
    begins = listed("12", sale="ascending", asking=Decimal(2500), bid_now=Decimal(2600))
    view = view_of(begins.case, kinds(), sale_drawer(begins.case, 7, 500), stand_in=False)
    price = others_at(view, begins.case).price
    assert price.min() >= 2_610.0


def test_what_is_no_machine_has_no_bid_and_says_why():
    stake = stake_of(cabinet(), kinds())
    assert (stake.candidate, stake.why) == (None, "is no machine")


def test_a_cabinet_that_was_won_is_paid_for_at_the_hammer_and_worth_that(stakes):
    bought = stake_of(cabinet(), kinds(), worlds=WORLDS)
    plan = choose_bids((*stakes, bought), LIMITS, (Ended(number="99", won=True, amount=250.0),))
    (line,) = [line for line in plan.lines if line.won]
    assert (line.money, line.hours) == (250.0, 0.0)
    assert line.gain == pytest.approx(0.0, abs=1e-6)


def test_shop_and_market_have_one_luck_for_all_lots_and_each_machine_its_own():
    one, other = (sale_drawer(listed(number).case, 7, 400) for number in ("12", "14"))
    for machine, quantity in ((SPARE, "pace"), (SPARE, "price level"), (LATHE, "market")):
        assert np.array_equal(one.bits(machine, quantity), other.bits(machine, quantity))
    for machine, quantity in ((SPARE, "highest rival"), ("lathe", "resale")):
        assert not np.array_equal(one.bits(machine, quantity), other.bits(machine, quantity))
    alone = Drawer(7, "12", 400)
    assert np.array_equal(one.bits("lathe", "resale"), alone.bits("lathe", "resale"))
    assert np.array_equal(one.first(100).bits(SPARE, "pace"), one.bits(SPARE, "pace")[:100])


# --- a choice of bids ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def plan(stakes):
    return choose_bids(stakes, LIMITS)


def test_limits_hold_in_ten_thousand_auctions_that_had_no_say(drawn, plan):
    """Three standard errors of a share counted in 10,000 auctions are allowed, no more."""
    assert plan.held >= plan.odds
    assert len(plan.lines) >= 2
    bid = {line.number: line.bid for line in plan.lines}
    unseen = [one.candidate.within(slice(WORLDS, None)) for one in drawn]
    levels = [
        int(np.searchsorted(one.bids, bid[stake.number])) + 1 if stake.number in bid else 0
        for stake, one in zip(drawn, unseen, strict=True)
    ]
    came = came_of(unseen, levels)
    over = (came.money > 50_000) | (came.floor > 20) | (came.hours > 750)
    assert 0 < over.mean() <= 0.1 + 3 * math.sqrt(0.09 / AUCTIONS)


def test_lines_limits_and_whole_agree(stakes, plan):
    assert plan.gain <= plan.at_most
    assert plan.gain > 0
    assert sum(line.gain for line in plan.lines) <= plan.gain + 1e-6, (
        "each bid adds less beside the others than alone"
    )
    money = next(one for one in plan.limits if one.name == "money")
    assert money.expected == pytest.approx(
        sum(line.wins * line.money for line in plan.lines), rel=1e-9
    )
    assert money.expected <= money.likely <= 50_000.0
    assert all(one.expected <= one.likely <= one.if_all for one in plan.limits)
    assert max(one.over for one in plan.limits) <= 1 - plan.held + 1e-9
    told = {line.number for line in plan.lines} | {one.number for one in plan.left_out}
    assert told == {stake.number for stake in stakes}
    assert all(one.why for one in plan.left_out)


def test_what_is_to_be_done_is_said_by_the_sort_of_sale(stakes):
    free = choose_bids(stakes, Limits())
    says = {line.number: line.says for line in free.lines}
    assert says["11"].startswith("bid in steps, stop at €")
    assert says.get("14", "write down €").startswith("write down €")


def test_more_money_never_brings_less(stakes):
    gains = [
        choose_bids(stakes, Limits(money=money)).gain for money in (8_000.0, 20_000.0, 60_000.0)
    ]
    assert gains[0] <= gains[1] * 1.01
    assert gains[1] <= gains[2] * 1.01
    assert gains[0] < gains[2]


def test_what_is_won_is_spent_and_what_is_lost_is_free(stakes):
    before = choose_bids(stakes, LIMITS)
    won = before.lines[0]
    after = choose_bids(stakes, LIMITS, (Ended(number=won.number, won=True, amount=won.pays),))
    assert after.lines[0].won
    assert after.lines[0].number == won.number
    assert after.lines[0].says.startswith("yours, at €")
    assert after.limits[0].expected > before.limits[0].expected
    lost = choose_bids(stakes, LIMITS, (Ended(number=won.number, won=False),))
    assert won.number not in {line.number for line in lost.lines}
    why = {one.number: one.why for one in lost.left_out}
    assert why[won.number] == "it has gone to another"


def test_where_what_is_won_breaks_the_limits_nothing_more_is_bid(stakes):
    plan = choose_bids(stakes, Limits(money=500.0), (Ended(number="12", won=True, amount=4e3),))
    assert not plan.holds
    assert [line.number for line in plan.lines] == ["12"]
    assert plan.why == "with what is won your limits hold too seldom: bid on nothing more"


def test_where_nothing_is_left_to_bid_on_it_says_so_in_the_shop_s_currency():
    gone = (Ended(number="99", won=True, amount=80.0),)
    plan = choose_bids((stake_of(cabinet(), kinds(), worlds=50),), Limits(), gone, currency="EUR")
    assert plan.why == "no lot that is left is worth a bid"
    assert plan.lines[0].says == "yours, at €\u202f80"


@pytest.mark.parametrize(
    ("limits", "ended", "field"),
    [
        (Limits(money=-1.0), (), "money"),
        (Limits(odds=1.0), (), "odds"),
        (Limits(), (Ended(number="77", won=False),), "lost"),
        (Limits(), (Ended(number="12", won=True), Ended(number="12", won=False)), "lost"),
        (Limits(), (Ended(number="12", won=True, amount=math.nan),), "won"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(stakes, limits, ended, field):
    with pytest.raises(Unusable) as refused:
        choose_bids(stakes, limits, ended)
    assert [problem.where for problem in refused.value.problems] == [field]


# --- from a catalogue ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def rows():
    every = (*lots(), cabinet())
    return ranked([score(one, kinds(), seed=7, worlds=200) for one in every])


def test_the_short_list_is_the_best_or_those_asked_for_and_what_has_gone(rows):
    gone = (Ended(number="99", won=False),)
    assert len(short_list(rows, lots=2)) == 2
    assert {row.number for row in short_list(rows, only=("14", "11"))} == {"11", "14"}
    assert {row.number for row in short_list(rows, lots=1, ended=gone)} >= {"99"}
    with pytest.raises(Unusable, match="no lot has the number 5"):
        short_list(rows, only=("5",))


def test_a_catalogue_comes_to_bids_and_bids_to_a_table_and_one_flat_object(rows):
    listing = Listing(name="sale", currencies=("EUR",), columns=(), lots=(*lots(), cabinet()),
                      others=())  # fmt: skip
    heard = []
    plan = plan_bids(
        listing, rows, kinds(), Limits(money=30_000.0), lots=2, worlds=400,
        tell=lambda done, of: heard.append((done, of)),
    )  # fmt: skip
    assert heard[-1] == (2, 2)
    table = bid_table(plan)
    assert table[0] == list(HEADINGS)
    assert len(table) == 1 + len(plan.lines) + len(plan.left_out) + 3 + 1
    told = bid_json(plan)
    assert told["currency"] == "EUR"
    assert told["why"]["limits.1.limit"] == "nobody set one"
    assert told["limits"][1]["limit"] is None
