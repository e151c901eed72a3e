"""A lot of a catalogue: priced as any lot, its gain held against simulated rivals."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, replace
from decimal import Decimal
from functools import cache
from math import e, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import norm, spearmanr
from tests.cases.priced import LATHE, found, kinds, lot
from tests.cases.screen.listed import cabinet, listed

from retrue.cases.bidding import RIVAL_LOG_SD
from retrue.cases.drawing import Drawer
from retrue.cases.plans import SCRAP_PER_KG
from retrue.cases.pricing import price
from retrue.cases.screen.like_drawer import ANY_LOT, like_drawer, place_name
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.parts import Part
from retrue.cases.screen.price_seen import POINTS, going, highest, others_seen
from retrue.cases.screen.score import FLOOR, score, score_part
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.widen import view_of, worse
from retrue.cases.view import View
from retrue.choose.bids import Rivals
from retrue.records.facts import Machine, Need

Floats = NDArray[np.float64]

WORLDS = 2_000


@pytest.fixture(scope="module")
def lathe() -> View:
    """A lathe in drawn worlds; sorts of sale are tried on it."""
    one = listed("14")
    return view_of(one.case, kinds(), like_drawer(one.case, 7, WORLDS), stand_in=False)


@cache
def row(**terms: object) -> ScreenedLot:
    """A lathe sold on these terms; a row is worked out once for all who only read it."""
    return score(listed("14", **terms), kinds(), seed=7, worlds=WORLDS)


def sale(**terms: object) -> SimpleNamespace:
    return SimpleNamespace(terms=lot(machines=("lathe",), **terms).terms)


# --- the price -----------------------------------------------------------------------------------


def alike(one: ListedLot) -> ListedLot:
    """The same lot under the names by which its streams of chance go."""
    case = one.case
    machines = tuple(replace(each, name=place_name(each.kind, 1)) for each in case.machines)
    case = replace(case, lot=replace(case.lot, name=ANY_LOT), machines=machines)
    return replace(one, case=case)


def test_its_price_is_the_one_that_pricing_gives() -> None:
    one = listed("14", "mill", "lathe")
    sheet = price(alike(one).case, kinds(), seed=7, worlds=1_000, questions=False)
    mine = score(one, kinds(), seed=7, worlds=1_000)
    walk = sheet.walk_away
    assert (mine.walk_away, mine.sorry) == (walk.amount, walk.sorry)
    assert mine.walk_away > 0


def test_equal_lines_have_equal_rows_whatever_their_number_and_their_words() -> None:
    """Common random numbers (Law 2015, section 11.2): by number they would differ by chance."""
    one, other = listed("1", "mill", "lathe"), listed("2", "mill", "lathe", line=7)
    names = dict(zip(("mill", "lathe"), ("the big one", "a turning machine"), strict=True))
    machines = tuple(replace(each, name=names[each.name]) for each in other.case.machines)
    other = replace(other, case=replace(other.case, machines=machines))
    whole = score_part(Part(number=0, lots=(one, other), seed=7, worlds=500), kinds()).rows
    own = ("number", "line", "title", "option", "assumed")
    told = [{key: value for key, value in asdict(row).items() if key not in own} for row in whole]
    assert told[0] == told[1]
    assert told[0]["gain"] > 0


def test_the_same_rows_alone_and_together_in_any_order() -> None:
    lots = (listed("1"), cabinet(), listed("2", stand_in=True), listed("3", "mill"))
    whole = score_part(Part(number=0, lots=lots, seed=7, worlds=500), kinds()).rows
    turned = score_part(Part(number=4, lots=lots[::-1], seed=7, worlds=500), kinds()).rows
    assert whole == turned[::-1]
    assert whole[3] == score(lots[3], kinds(), seed=7, worlds=500)
    assert whole[0].gain != whole[2].gain


def test_its_error_is_how_far_seeds_are_apart() -> None:
    """The sampling distribution itself: 16 seeds. A mean's own error would say half of it."""
    rows = [score(listed("14"), kinds(), seed=seed, worlds=400) for seed in range(16)]
    apart = np.std([one.gain for one in rows], ddof=1)
    said = sqrt(np.mean([one.error**2 for one in rows]))
    assert 0.55 < said / apart < 1.9  # chi: 15 and 9 x 16 degrees of freedom, 3 errors
    assert all(len(one.tenths) == 10 for one in rows)


def test_another_seed_is_another_row_within_its_error() -> None:
    one, other = (score(listed("14"), kinds(), seed=seed, worlds=WORLDS) for seed in (7, 8))
    assert one.gain != other.gain
    assert abs(one.gain - other.gain) < 5 * sqrt(one.error**2 + other.error**2)


# --- what going for it brings --------------------------------------------------------------------


def test_ascending_is_what_simulated_auctions_bring(lathe: View) -> None:
    """Every rival's estimate drawn one by one; the last left pays a step above the next."""
    case = sale(rivals=3)
    tries, chance, others = going(lathe, case), np.random.default_rng(5), others_seen(lathe, case)
    most, step = lathe.price.amount, lathe.settled.step
    errs = np.exp(others.log_sd * chance.standard_normal((WORLDS, 400, 3)))
    paid = (0.75 * others.value[:, None, None] * errs).max(axis=2) + step
    won = paid <= most
    assert tries.wins.mean() == pytest.approx(won.mean(), abs=0.01)
    assert tries.paid.mean() == pytest.approx((paid * won).mean(), rel=0.03)
    gain = (lathe.gains[lathe.best][:, None] * won - lathe.settled.k * paid * won).mean()
    mine = (lathe.gains[lathe.best] * tries.wins - lathe.settled.k * tries.paid).mean()
    assert mine == pytest.approx(gain, rel=0.05)


def test_a_bid_that_stands_above_all_others_is_outbid_by_one_step(lathe: View) -> None:
    """Common practice of auctions in steps, no source: the next bid is one step above."""
    standing = lathe.price.amount - lathe.settled.step
    tries = going(lathe, sale(bid_now=Decimal(str(standing))))
    least = tries.paid[tries.wins > 0] / tries.wins[tries.wins > 0]
    assert least.min() == pytest.approx(standing + lathe.settled.step)
    above = Decimal(str(lathe.price.amount))
    assert not going(lathe, sale(bid_now=above)).wins.any()


def weighing(view: View, resale: Callable[[str], Floats], mass_kg: float) -> SimpleNamespace:
    """The same worlds of a machine of that mass that brings so much as found."""
    body = SimpleNamespace(mass_kg=mass_kg)
    one = SimpleNamespace(resale=resale, machine=body, kind=body)
    return SimpleNamespace(
        settled=view.settled, gains=view.gains, best=view.best,
        chooser=SimpleNamespace(prospects=(one,)),
    )  # fmt: skip


def test_others_see_a_quarter_of_the_truth_and_pay_by_the_market(lathe: View) -> None:
    """In all they scatter as in the sum for one lot; by rank they follow the truth at 0.5."""
    others = others_seen(weighing(lathe, lathe.chooser.prospects[0].resale, 1.0), sale(rivals=4))
    market = lathe.chooser.prospects[0].resale("as_found") / 1.16
    seen = np.log(others.value / market)
    assert sqrt(seen.var() + others.log_sd**2) == pytest.approx(RIVAL_LOG_SD, rel=0.01)
    assert seen.var() / RIVAL_LOG_SD**2 == pytest.approx(0.25, rel=0.02)
    assert spearmanr(seen, lathe.gains[lathe.best]).statistic == pytest.approx(1.0)
    assert np.exp(seen.mean()) == pytest.approx(1.0, abs=0.01)
    assert others.count == 4


@pytest.mark.parametrize("count", [1, 2, 5])
def test_the_highest_of_lognormal_rivals(count: int) -> None:
    """P(all <= b) = F(b)^n (David and Nagaraja 2003, section 2.1).

    Mean of one below b: Johnson, Kotz and Balakrishnan 1994, Continuous Univariate Distributions 1,
    chapter 14 (lognormal, truncated): m exp(s2/2) N((ln(b/m) - s2) / s).
    """
    others = Rivals(np.array([8_000.0]), share=0.75, log_sd=0.45, count=count)
    places = highest(others, count)[0]
    for bid in (4_000.0, 6_000.0, 9_000.0):
        z = np.log(bid / 6_000) / 0.45
        assert (places <= bid).mean() == pytest.approx(norm.cdf(z) ** count, abs=0.51 / POINTS)
    if count == 1:
        below = places * (places <= 9_000)
        exact = 6_000 * np.exp(0.45**2 / 2) * norm.cdf((np.log(1.5) - 0.45**2) / 0.45)
        assert below.mean() == pytest.approx(exact, rel=0.05)


def test_a_fixed_price_is_paid_where_it_is_not_above_ours(lathe: View) -> None:
    most = lathe.price.amount
    below, above = (
        row(sale="fixed_price", asking=Decimal(int(most) // 2)),
        row(sale="fixed_price", asking=Decimal(int(most) * 2)),
    )
    assert (below.wins, below.pays) == (1.0, int(most) // 2)
    assert (above.wins, above.gain, above.at_risk, above.gain_per_hour) == (0, 0, 0, None)
    k = 1.16
    assert below.gain == pytest.approx(lathe.gains[lathe.best].mean() - k * below.pays, rel=1e-9)
    money = lathe.option.money.mean() + k * below.pays
    assert below.at_risk == pytest.approx(money, rel=1e-9)
    assert below.gain_per_risk == pytest.approx(below.gain / below.at_risk)


def test_hours_days_and_floor_are_those_of_the_plan_that_carries_it(lathe: View) -> None:
    """By hand from the plan: one machine, bought for sure, so nothing is weighted away.

    Floor: the mean of a PERT range, (a + 4 m + b) / 6 (Malcolm, Roseboom, Clark and Fazar 1959,
    Operations Research 7(5)). Percentiles: those of numpy.
    """
    sure = row(sale="fixed_price", asking=Decimal(100))
    (outcome,) = lathe.option.outcomes
    shared = lathe.chooser.shared
    assert outcome.plan.works
    hours = outcome.hours + shared.hours + shared.running_hours
    assert sure.hours == pytest.approx(hours.mean())
    wanted = np.percentile(outcome.days, (10, 50, 90))
    assert (sure.days.p10, sure.days.p50, sure.days.p90) == pytest.approx(tuple(wanted), rel=0.01)
    range_ = kinds()[LATHE].costs[FLOOR].amount
    assert sure.floor_m2 == pytest.approx((range_.low + 4 * range_.likely + range_.high) / 6)


def test_a_bid_that_stands_and_more_rivals_leave_less() -> None:
    free, standing, many = row(), row(bid_now=Decimal(1000)), row(rivals=9)
    assert free.walk_away == standing.walk_away == many.walk_away
    assert free.gain > standing.gain > 0
    assert free.gain > many.gain
    assert free.wins > many.wins > 0
    assert standing.pays > free.pays > 0
    assert standing.pays > 1000
    above = row(bid_now=Decimal(10**6))
    assert (above.wins, above.gain) == (0.0, 0.0)


def test_a_sealed_bid_pays_what_it_says_and_never_more_than_the_limit() -> None:
    sealed = row(sale="sealed")
    assert 0 < sealed.pays <= sealed.walk_away
    assert 0 < sealed.wins < 1
    assert sealed.gain > 0


def test_a_seller_gives_way_below_what_he_asks(lathe: View) -> None:
    asked = Decimal(int(lathe.price.amount) // 3)
    told = row(sale="offer", asking=asked)
    assert told.wins == 1.0
    assert told.pays < float(asked)
    assert row(sale="offer").wins < 1.0


def test_money_is_the_shops_and_the_price_the_lots() -> None:
    here = listed("14")
    lot_there = replace(here.case.lot, currency="CHF", rate=Decimal(2))
    there = replace(here, case=replace(here.case, lot=lot_there))
    one, two = (score(each, kinds(), seed=7, worlds=WORLDS) for each in (here, there))
    assert two.currency == "CHF"
    assert two.walk_away == pytest.approx(one.walk_away / 2, abs=10)
    assert two.gain == pytest.approx(one.gain, rel=0.02)
    assert two.at_risk == pytest.approx(one.at_risk, rel=0.02)


# --- what is not known ---------------------------------------------------------------------------


def test_a_stand_in_is_seen_wider() -> None:
    """Half of the worlds with every fault's odds times e, half with the e-th part of them."""
    one = listed("14")
    drawer = Drawer(7, "14", 8_000)
    known, wide = (view_of(one.case, kinds(), drawer, stand_in=said) for said in (False, True))
    half = worse(8_000)
    tables = dict(
        zip(wide.stage.built.network.names[-len(wide.stage.built.network.tables) :],
            wide.stage.built.network.tables, strict=True)
    )  # fmt: skip
    plain = [name for name, table in tables.items() if table.ndim == 0 and 0.1 < float(table) < 0.6]
    assert plain
    for name in plain:
        chance = float(tables[name])
        seen = wide.states[wide.stage.built.network.names.index(name)]
        for which, factor in ((half, e), (~half, 1 / e)):
            odds = factor * chance / (1 - chance)
            wanted = odds / (1 + odds)
            assert seen[which].mean() == pytest.approx(wanted, abs=4 * sqrt(0.25 / 4_000))
    assert wide.gains[wide.best].std() > 1.1 * known.gains[known.best].std()
    assert wide.price.amount < known.price.amount
    told = score(replace(one, stand_in=True), kinds(), seed=7, worlds=500)
    assert "not known here" in told.assumed[0]


def test_older_than_the_tables_is_seen_wider_and_said() -> None:
    """Tables end at 30 years; from there on nothing is known but that others pay scrap."""
    one = listed("14")

    def aged(years: float) -> ListedLot:
        machine = replace(one.case.machines[0], age_years=years)
        return replace(one, case=replace(one.case, machines=(machine,)))

    views = [
        view_of(aged(years).case, kinds(), Drawer(7, "14", WORLDS), stand_in=False)
        for years in (30, 31)
    ]
    spread = [view.gains[view.best].std() for view in views]
    assert spread[1] > 1.1 * spread[0]
    assert views[1].price.amount < views[0].price.amount
    told = score(aged(31), kinds(), seed=7, worlds=200).assumed[0]
    assert "31 years old" in told
    assert "ends at 30" in told
    assert not any(
        "30 years" in text for text in score(aged(30), kinds(), seed=7, worlds=200).assumed
    )


def test_others_pay_what_it_brings_by_weight_however_old_it_is(lathe: View) -> None:
    view = weighing(lathe, lambda state: np.full(WORLDS, 1.0), 5_800.0)
    others = others_seen(view, sale())
    assert others.share * others.value.min() * 1.16 == pytest.approx(5_800 * SCRAP_PER_KG)


def test_worse_worlds_are_half_of_any_half() -> None:
    half = worse(4_000)
    assert half[::2].mean() == half[1::2].mean() == half[:2_000].mean() == 0.5


def test_what_has_no_price_says_why() -> None:
    assert score(cabinet(), kinds(), seed=7, worlds=500).why == "is no machine"
    one = listed("14")
    big = replace(one.case, needs=(Need(name="shafts", kind=LATHE, travel_mm=(900, 3000)),))
    small = replace(big, machines=(replace(big.machines[0], travel_mm=(300, 500)),))
    none = score(replace(one, case=small), kinds(), seed=7, worlds=500)
    assert (none.walk_away, none.gain) == (None, 0.0)
    assert "fits" in none.why
    odd = replace(one.case, machines=(Machine(lot="14", name="saw", kind="bandsaw"),))
    assert "kind" in score(replace(one, case=odd), kinds(), seed=7, worlds=500).why


def test_what_contradicts_itself_stops_no_part() -> None:
    one = listed("14")
    fault = next(iter(kinds()[LATHE].faults))
    both = (
        found("a", "lathe", fault=fault, answer="present", channel="apart"),
        found("b", "lathe", fault=fault, answer="absent", channel="apart"),
    )
    wrong = replace(one, case=replace(one.case, findings=both))
    rows = score_part(Part(number=0, lots=(wrong, one), seed=7, worlds=500), kinds()).rows
    assert rows[1].walk_away is not None


def test_only_what_the_lot_leaves_open_is_told_of_it() -> None:
    assert row().assumed == ("asking price or bid",)
    one = listed("14", asking=Decimal(900))
    machine = replace(one.case.machines[0], age_years=None)
    ageless = replace(one, case=replace(one.case, machines=(machine,)))
    assert score(ageless, kinds(), seed=7, worlds=200).assumed == ("age of lathe",)
