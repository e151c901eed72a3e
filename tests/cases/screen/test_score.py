"""A lot of a catalogue: priced as any lot, its gain held against simulated rivals."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from math import e, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.stats import norm
from tests.cases.priced import LATHE, found, kinds, lot
from tests.cases.screen.listed import cabinet, listed

from retrue.cases.drawing import Drawer
from retrue.cases.pricing import price
from retrue.cases.screen.asking import ask_first, best_asked
from retrue.cases.screen.parts import Part
from retrue.cases.screen.price_seen import POINTS, going, highest
from retrue.cases.screen.rank import ranked
from retrue.cases.screen.score import score, score_part
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.widen import view_of, worse
from retrue.cases.view import View
from retrue.choose.bids import Rivals
from retrue.records.facts import Machine, Need

WORLDS = 2_000


@pytest.fixture(scope="module")
def lathe() -> View:
    """A lathe in drawn worlds; sorts of sale are tried on it."""
    one = listed("14")
    return view_of(one.case, kinds(), Drawer(7, "14", WORLDS), stand_in=False)


def row(**terms: object) -> ScreenedLot:
    return score(listed("14", **terms), kinds(), seed=7, worlds=WORLDS)


def sale(**terms: object) -> SimpleNamespace:
    return SimpleNamespace(terms=lot(machines=("lathe",), **terms).terms)


# --- the price -----------------------------------------------------------------------------------


def test_its_price_is_the_one_that_pricing_gives() -> None:
    one = listed("14", "mill", "lathe")
    sheet = price(one.case, kinds(), seed=7, worlds=WORLDS, questions=False)
    mine = score(one, kinds(), seed=7, worlds=WORLDS)
    walk = sheet.walk_away
    assert (mine.walk_away, mine.option, mine.sorry) == (walk.amount, walk.option, walk.sorry)
    assert mine.walk_away > 0


def test_the_same_rows_alone_and_together_in_any_order() -> None:
    lots = (listed("1"), cabinet(), listed("2", stand_in=True), listed("3", "mill"))
    whole = score_part(Part(number=0, lots=lots, seed=7, worlds=500), kinds()).rows
    turned = score_part(Part(number=4, lots=lots[::-1], seed=7, worlds=500), kinds()).rows
    assert whole == turned[::-1]
    assert whole[3] == score(lots[3], kinds(), seed=7, worlds=500)
    assert whole[0].gain != whole[2].gain


def test_another_seed_is_another_row_within_its_error() -> None:
    one, other = (score(listed("14"), kinds(), seed=seed, worlds=WORLDS) for seed in (7, 8))
    assert one.gain != other.gain
    assert abs(one.gain - other.gain) < 5 * sqrt(one.error**2 + other.error**2)


# --- what going for it brings --------------------------------------------------------------------


def test_ascending_is_what_simulated_auctions_bring(lathe: View) -> None:
    """Every rival's estimate drawn one by one; the last left pays a step above the next."""
    case = sale(rivals=3)
    tries, chance = going(lathe, case), np.random.default_rng(5)
    worth = np.maximum(lathe.gains[lathe.best] / lathe.settled.k, lathe.settled.step)
    most, step = lathe.price.amount, lathe.settled.step
    seen = 0.75 * worth[:, None, None] * np.exp(0.45 * chance.standard_normal((WORLDS, 400, 3)))
    paid = seen.max(axis=2) + step
    won = paid <= most
    assert tries.wins.mean() == pytest.approx(won.mean(), abs=0.01)
    assert tries.paid.mean() == pytest.approx((paid * won).mean(), rel=0.03)
    gain = (lathe.gains[lathe.best][:, None] * won - lathe.settled.k * paid * won).mean()
    mine = (lathe.gains[lathe.best] * tries.wins - lathe.settled.k * tries.paid).mean()
    assert mine == pytest.approx(gain, rel=0.05)


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


def test_a_bid_that_stands_and_more_rivals_leave_less() -> None:
    free, standing, many = row(), row(bid_now=Decimal(4000)), row(rivals=9)
    assert free.walk_away == standing.walk_away == many.walk_away
    assert free.gain > standing.gain
    assert free.gain > many.gain > 0
    assert free.wins > many.wins
    assert standing.pays > 4000
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
    told = " ".join(row().assumed)
    assert "none known" in told
    assert "price of a comparable new one" in told
    assert "your supply" not in told


# --- the order -----------------------------------------------------------------------------------


def made(number: str, **said: object) -> ScreenedLot:
    return replace(score(cabinet(number), kinds(), seed=7, worlds=500), why="", **said)


def test_the_best_stand_first_and_those_without_a_price_last() -> None:
    good = {"walk_away": 5e3, "gain": 1e3}
    rows = (
        made("none", line=1),
        made("nothing, doubtful", walk_away=0.0, sorry=0.6, line=2),
        made("nothing", walk_away=0.0, sorry=0.3, line=3),
        made("lost", walk_away=5e3, gain=0.0, line=4),
        made("slow", **good, gain_per_risk=0.4, gain_per_hour=5.0, line=5),
        made("quick", **good, gain_per_risk=0.3, gain_per_hour=9.0, line=6),
        made("no hours", **good, gain_per_risk=0.2, gain_per_hour=None, line=7),
    )
    rest = ["lost", "nothing", "nothing, doubtful", "none"]
    assert [one.number for one in ranked(rows)] == ["slow", "quick", "no hours", *rest]
    by_hour = [one.number for one in ranked(rows[::-1], "hour")]
    assert by_hour == ["no hours", "quick", "slow", *rest]


# --- what to ask ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def asked() -> Mapping[str, float]:
    one = listed("14")
    return {each.text: each.worth for each in ask_first(one, kinds(), seed=7, worlds=4_000)}


def test_what_to_ask_is_worth_what_pricing_says(asked: Mapping[str, float]) -> None:
    sheet = price(listed("14").case, kinds(), seed=7, worlds=4_000)
    afar = [one for one in sheet.questions if one.channel in ("photo", "call") and one.net > 0]
    assert list(asked.items()) == [(one.text, one.net) for one in afar[:5]]
    assert asked


def test_only_the_best_with_a_price_are_asked_about() -> None:
    lots = (listed("14"), listed("15"), cabinet())
    rows = ranked([score(one, kinds(), seed=7, worlds=500) for one in lots])
    told = best_asked(rows, lots, kinds(), best=1, seed=7, worlds=500)
    assert [bool(one.ask) for one in told] == [True, False, False]
    assert [one.number for one in told] == [one.number for one in rows]
    assert replace(told[0], ask=()) == rows[0]
