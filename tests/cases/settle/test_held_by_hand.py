"""Money of the years between two days, and of one machine in its market: written out by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import numpy_financial
import pytest
from scipy.integrate import quad
from scipy.stats import norm, poisson

from retrue.cases.alternatives import MARKET_LOG_SD
from retrue.cases.fix.scene import Scene
from retrue.cases.plans import SCRAP_PER_KG, SELL_DAYS
from retrue.cases.settle.sale_figures import SaleFigures
from retrue.cases.settle.sale_lines import MonthCost
from retrue.cases.settle.surplus import State
from retrue.cases.settle.surplus_adds import gain_of, worth_doing
from retrue.cases.settle.surplus_market import (
    Heard,
    Market,
    last_price,
    listened,
    market_of,
    scrap_of,
    sell_days,
)
from retrue.cases.settle.surplus_net import Net, priced, with_capital
from retrue.cases.settle.surplus_proofs import Extra
from retrue.cases.settle.versus_flows import Gap, Side
from retrue.choose.offers import Bids
from retrue.kinds.library import Three

YEAR = 365.25  # days
NONE = np.zeros(1)
NOTHING = Side(NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE)


def made(first: float, until: float, **other: float) -> Side:
    """6 000 and 40 own hours laid out; 20 an hour saved, 500 a year taken; 900 left at the end."""
    side = Side(
        money=NONE + 6_000.0, own_hours=NONE + 40.0, an_hour=NONE + 20.0, a_year=NONE + 500.0,
        days=NONE + first * YEAR, until=NONE + until * YEAR, left=NONE + 900.0,
        sale=NONE, sale_days=NONE,
    )  # fmt: skip
    return replace(side, **{name: NONE + value for name, value in other.items()})


def gap(ours: Side, interest: float = 0.0, horizon: float = 5.0, other: Side = NOTHING) -> Gap:
    return Gap(ours, other, NONE + 100.0, rate=10.0, interest=interest, horizon=horizon)


class TestOneThatIsReadyLateAndEndsEarly:
    """Ready after 0.6 years, at its end after 2.5: by hand, 100 hours a year bring 1 500."""

    ours = made(0.6, 2.5)

    def test_year_by_year(self) -> None:
        """0.4, 1, 0.5 of a year; the 900 stand at the end of the year in which the end lies."""
        wanted = [-6_400.0, 600.0, 1_500.0, 750.0 + 900.0, 0.0, 0.0]
        assert gap(self.ours).payments[:, 0] == pytest.approx(wanted)
        turned = gap(NOTHING, other=self.ours).payments[:, 0]
        assert turned == pytest.approx([-one for one in wanted])

    def test_without_interest_it_is_the_sum(self) -> None:
        """1.9 years: 38 of each hour a year; 900 - 6 400 - 950 without any."""
        told = gap(self.ours)
        assert told.an_hour[0] == pytest.approx(38.0)
        assert told.at_none[0] == pytest.approx(-6_450.0)
        assert told.now[0] == pytest.approx(told.payments.sum())
        assert told.years == pytest.approx(1.9)

    @pytest.mark.parametrize("interest", [0.08, 0.25, -0.02])
    def test_with_interest_it_is_the_integral(self, interest: float) -> None:
        """Present value of a steady flow (Brealey, Myers and Allen, chapter 2), by quadrature."""
        years = quad(lambda time: (1.0 + interest) ** -time, 0.6, 2.5)[0]
        told = gap(self.ours, interest)
        assert told.an_hour[0] == pytest.approx(20.0 * years)
        left = 900.0 * (1.0 + interest) ** -2.5
        assert told.at_none[0] == pytest.approx(-6_400.0 + left - 500.0 * years)
        turned = gap(NOTHING, interest, other=self.ours)
        assert turned.now[0] == pytest.approx(-told.now[0])

    def test_one_that_is_never_ready_saves_nothing_and_takes_nothing(self) -> None:
        late = gap(made(3.0, 2.5), 0.08)
        assert late.an_hour[0] == 0.0
        assert late.payments[:, 0] == pytest.approx([-6_400.0, 0.0, 0.0, 900.0, 0.0, 0.0])


def test_a_sale_stands_at_the_end_of_its_year_with_interest_until_then() -> None:
    """1 000 worth on the first day, sold after 1.2 years: 1 000 x 1.08^2 at the end of two."""
    sold = made(0.0, 0.0, sale=1_000.0, sale_days=1.2 * YEAR, left=0.0)
    told = gap(sold, 0.08, horizon=3.0)
    assert told.payments[:, 0] == pytest.approx([-6_400.0, 0.0, 1_166.4, 0.0])
    assert told.now[0] == pytest.approx(-5_400.0)


@pytest.mark.parametrize(("until", "years"), [(0.4, 3), (4.0, 4), (4.005, 4), (4.3, 5)])
def test_as_many_years_are_looked_at_as_it_worked(until: float, years: int) -> None:
    """At least the three ahead; a day or two after a year's end is of that year."""
    assert gap(made(0.0, until), horizon=3.0).payments.shape == (years + 1, 1)
    assert gap(NOTHING, horizon=3.0, other=made(0.0, until)).payments.shape == (years + 1, 1)


HALF = 0.5  # monthly rounds, hours
PICK = slice(None, None, 2)


@pytest.fixture(scope="module")
def market() -> Market:
    """Four markets of eight worlds; every second offer lies above the median of 1."""
    return Market(
        bids=Bids(np.exp(0.3 * norm.ppf((np.arange(40) + 0.5) / 40))),
        realised=1.25,
        own=np.array([0.8, 1.0, 1.0, 1.25]),
        sell_luck=np.ones(4),
        weights=np.array([0.1, 0.2, 0.3, 0.4]),
        pick=PICK,
        month=MonthCost(floor=60.0, round=20.0, hours=HALF * 15.0, capital=0.0),
        interest=0.08,
        round_hours=HALF,
        log_sd=0.3,
    )


def test_a_day_of_waiting_costs_its_part_of_a_month_and_of_a_year(market: Market) -> None:
    """87.50 a month of 30.44 days; a year of such days is a year's interest, by definition."""
    assert market.waiting.cost == pytest.approx(87.5 / 30.44)
    assert market.waiting.discount**YEAR == pytest.approx(1 / 1.08)
    assert market.waiting.chance == 0.0


def test_twelve_months_of_capital_are_a_years_interest_on_interest(market: Market) -> None:
    """By the effective monthly rate: 10 000 at 8 % a year is 64.34 a month, by the library."""
    month = with_capital(market, 10_000.0).month
    assert numpy_financial.fv(month.capital / 10_000.0, 12, 0.0, -1.0) == pytest.approx(1.08)
    assert month.capital == pytest.approx(64.34, abs=0.005)
    assert (month.floor, month.round, month.hours) == (60.0, 20.0, 7.5)
    assert with_capital(market, -5.0).month.capital == 0.0


def test_a_median_offer_is_the_tables_price_without_the_luck_and_what_is_realised(
    market: Market,
) -> None:
    """By hand: of 10 000, 8 000 over 1.25; the worlds that are looked at are every second one."""
    price = np.array([10_000.0, 1.0] * 4)
    assert market.levels(price).tolist() == [10_000.0, 8_000.0, 8_000.0, 6_400.0]


def test_offers_come_as_a_poisson_process_twice_as_often_as_sales(market: Market) -> None:
    """Chance of at least one on a day: 1 - exp(-2 / days) (Feller 1968, volume I, VI.5)."""
    days = np.array([1.0, 30.0, 90.0, 400.0])
    assert market.chances(days) == pytest.approx(poisson.sf(0, 2.0 / days))


def test_quantiles_and_means_are_weighted(market: Market) -> None:
    """By hand, the cheapest first: 10 (0.2), 20 (to 0.3), 30 (to 0.7), 40 (to 1)."""
    values = np.array([20.0, 10.0, 40.0, 30.0])
    told = market.band(values)
    assert (told.p10, told.p50, told.p90) == (10.0, 30.0, 40.0)
    assert market.mean(values) == pytest.approx(28.0)
    told = market.band(np.array([30.0, 40.0, 20.0, 10.0]))  # 10 (0.4), 20 (to 0.7), 30 (to 0.8)
    assert (told.p10, told.p50, told.p90) == (10.0, 20.0, 40.0)


def test_quantiles_of_even_weights_are_those_of_the_library(market: Market) -> None:
    """Of 101 in any order: numpy's tenth, half, nine tenths."""
    values = np.random.default_rng(3).permutation(101).astype(float)
    told = replace(market, weights=np.full(101, 1 / 101)).band(values)
    assert (told.p10, told.p50, told.p90) == tuple(np.percentile(values, (10, 50, 90)))


def test_a_market_and_who_comes_to_it_scatter_together_as_the_tables_do() -> None:
    """Variances of independent logarithms add up: 0.5 squared is the market's and the buyers'.

    Mean of the better half of a lognormal of median 1: 2 exp(s2 / 2) N(s) (Johnson, Kotz and
    Balakrishnan 1994, Continuous Univariate Distributions 1, chapter 14).
    """
    luck = np.arange(1_200.0)
    drawer = SimpleNamespace(worlds=1_200, lognormal=lambda name, item, sd: sd * (1.0 + luck))
    monthly = SimpleNamespace(amount=Three(10.0, 20.0, 60.0), hours=Three(0.2, 0.5, 2.0))
    prospect = SimpleNamespace(
        machine=SimpleNamespace(name="mill"), sell_luck=luck,
        settled=SimpleNamespace(interest=0.08),
        landing=SimpleNamespace(storage_a_month=np.array([80.0, 100.0])),
    )  # fmt: skip
    kind = SimpleNamespace(
        levels={"right": SimpleNamespace(resale_log_sd=0.5)}, costs={"E32": monthly}
    )
    scene: Scene = SimpleNamespace(  # type: ignore[assignment]  # stands for a scene
        view=SimpleNamespace(stage=SimpleNamespace(drawer=drawer)), prospect=prospect, kind=kind,
        rate=15.0,
    )  # fmt: skip
    made = market_of(scene)
    assert made.log_sd**2 + MARKET_LOG_SD**2 == pytest.approx(0.25)
    assert made.own == pytest.approx(made.log_sd * (1.0 + luck[::3]))
    assert made.sell_luck.tolist() == luck[::3].tolist()
    assert made.weights == pytest.approx(np.full(400, 1 / 400))
    better = 2.0 * np.exp(made.log_sd**2 / 2) * norm.cdf(made.log_sd)
    assert made.realised == pytest.approx(0.92 * better, rel=1e-3)
    assert np.median(made.bids.amounts) == pytest.approx(1.0, abs=1e-3)
    assert made.round_hours == pytest.approx(0.7)  # (0.2 + 4 x 0.5 + 2) / 6
    month = made.month
    assert (month.floor, month.round, month.hours) == pytest.approx((65.0, 25.0, 10.5))
    kind.levels["right"].resale_log_sd = MARKET_LOG_SD
    assert market_of(scene).log_sd ** 2 == pytest.approx(0.05)


def a_scene(mass_kg: float | None = 1_000.0) -> Scene:
    """A lathe that costs 60 a month to keep, 200 and 6 hours to sell."""
    prospect = SimpleNamespace(
        landing=SimpleNamespace(selling=200.0, selling_hours=np.array([4.0, 8.0] * 4)),
        settled=SimpleNamespace(interest=0.08, rate=15.0, rate_full=45.0),
        wait=np.full(8, 30.44), months=lambda days: 60.0 * days / 30.44,
        machine=SimpleNamespace(mass_kg=mass_kg),
    )  # fmt: skip
    kind = SimpleNamespace(mass_kg=4_000.0)
    return SimpleNamespace(  # type: ignore[return-value]  # stands for a scene
        prospect=prospect, kind=kind, rate=15.0
    )


FIGURES: SaleFigures = SimpleNamespace(  # type: ignore[assignment]  # stands for the owner's
    share=lambda item: Three(0.3, 0.5, 0.6)
)


def test_who_takes_all_at_once_pays_his_share_and_never_less_than_scrap(market: Market) -> None:
    """PERT mean of 0.3, 0.5, 0.6: 2.9 / 6 (Malcolm et al. 1959), of a price of 6 000: 2 900."""
    price = np.full(8, 6_000.0)
    share = FIGURES.share("dealer_share")
    assert last_price(a_scene(), market, price, share) == pytest.approx(2_900.0)
    iron = 1_000.0 * SCRAP_PER_KG
    assert last_price(a_scene(), market, price / 1e3, share) == pytest.approx(iron)
    assert scrap_of(a_scene(mass_kg=None)) == pytest.approx(4 * iron)


@pytest.fixture(scope="module")
def ready_in_a_year() -> State:
    return State(
        id="running", sold_as="running", price=np.full(8, 9_000.0), days=np.full(8, 90.0),
        money=np.array([800.0, 1_200.0] * 4), hours=np.array([30.0, 50.0] * 4),
        ready=np.full(8, YEAR), left=np.ones(8),
    )  # fmt: skip


def test_what_is_left_of_a_sale_is_worth_less_by_the_year_until_it_is_ready(
    market: Market, ready_in_a_year: State
) -> None:
    """By hand: the line's value a year later at 8 %, less 1 000, 200 and eleven months of floor.

    Hours: 40 of work, 6 of selling, half an hour of each of those months and while it stands.
    """
    made = priced(a_scene(), market, FIGURES, ready_in_a_year, 700)
    months = made.selling.standing_days / 30.44
    rounds = months * HALF
    floor = 60.0 * (YEAR - 30.44) / 30.44
    sold = (made.selling.value + rounds * 15.0) / 1.08
    assert made.net.money == pytest.approx(sold - 1_000.0 - 200.0 - floor)
    assert made.net.hours == pytest.approx(46.0 + (YEAR / 30.44 - 1.0) * HALF + rounds)
    assert (made.money, made.hours, made.ready_days) == (1_000.0, 40.0, YEAR)
    assert made.in_time
    assert not priced(a_scene(), market, FIGURES, ready_in_a_year, 365).in_time
    assert made.selling.last == pytest.approx(2.9 / 6 * 9_000.0)
    let = priced(a_scene(), market, FIGURES, ready_in_a_year, 700, dump=1_234.0)
    assert let.selling.last == 1_234.0
    more = priced(a_scene(), market, FIGURES, ready_in_a_year, 700, more=Net(-300.0, 7.0))
    assert more.net.money == pytest.approx(made.net.money - 300.0)
    assert more.net.hours == pytest.approx(made.net.hours + 7.0)


def test_a_dearer_and_quicker_one_is_sold_as_one_of_that_price_and_those_days(
    market: Market, ready_in_a_year: State
) -> None:
    """By definition: a tenth more, a fifth of the days less."""
    other = replace(
        ready_in_a_year, price=ready_in_a_year.price * 1.1, days=ready_in_a_year.days * 0.8
    )
    one = priced(a_scene(), market, FIGURES, ready_in_a_year, 500, factor=1.1, quicker=0.2).selling
    two = priced(a_scene(), market, FIGURES, other, 500).selling
    assert one.value == pytest.approx(two.value)
    assert one.days == two.days
    assert one.last == pytest.approx(two.last)


def test_one_that_is_ready_later_is_listed_for_so_much_shorter(
    market: Market, ready_in_a_year: State
) -> None:
    """By definition: ready on day 365 on average, 700 until the last one leave 335 of a listing."""
    apart = replace(ready_in_a_year, ready=np.array([0.5, 1.5] * 4) * YEAR)
    at_once = replace(ready_in_a_year, ready=np.zeros(8))
    late = priced(a_scene(), market, FIGURES, apart, 700)
    soon = priced(a_scene(), market, FIGURES, at_once, 335)
    assert late.ready_days == YEAR
    assert late.selling.value == pytest.approx(soon.selling.value)
    assert late.selling.days == soon.selling.days
    assert late.selling.value < priced(a_scene(), market, FIGURES, at_once, 700).selling.value
    spent = soon.net.money - late.net.money
    sold = soon.selling.value + soon.selling.standing_days / 30.44 * HALF * 15.0
    today = (1.08**-0.5 + 1.08**-1.5) / 2
    assert spent == pytest.approx(sold * (1 - today) + 60.0 * (YEAR - 30.44) / 30.44)


def test_what_one_sum_is_ahead_of_another() -> None:
    """By hand."""
    ahead = Net(1_000.0, 30.0).less(Net(400.0, 10.0))
    assert (ahead.money, ahead.hours, ahead.at(15.0)) == (600.0, 20.0, 300.0)


def test_days_to_sell_are_the_tables_or_the_owners_and_never_less_than_one() -> None:
    """By hand: a fifth quicker."""
    own = SimpleNamespace(pert=lambda name, item, three: np.array([0.5, 10.0]))
    scene: Scene = SimpleNamespace(  # type: ignore[assignment]  # stands for a scene
        view=SimpleNamespace(stage=SimpleNamespace(drawer=own)), name="mill",
        prospect=SimpleNamespace(sell_luck=np.array([0.5, 2.0])),
    )  # fmt: skip
    none: SaleFigures = SimpleNamespace(sell_days=None)  # type: ignore[assignment]  # the owner's
    said: SaleFigures = SimpleNamespace(  # type: ignore[assignment]  # the owner's
        sell_days=Three(1.0, 5.0, 20.0)
    )
    assert sell_days(scene, said, "running", 0.2) == pytest.approx([0.8, 8.0])
    tables = SELL_DAYS["running"]
    assert sell_days(scene, none, "running", 0.2) == pytest.approx([0.4 * tables, 1.6 * tables])
    assert sell_days(scene, none, "running") == pytest.approx([0.5 * tables, 2.0 * tables])


def test_what_was_heard_counts_by_bayes_and_what_was_not_listed_tells_nothing(
    market: Market,
) -> None:
    """Poisson silence of 30 days, and one lognormal offer: weights by Bayes' rule, written out."""
    price = np.array([10_000.0, 1.0] * 4)
    days = np.array([20.0, 1.0, 60.0, 1.0, 90.0, 1.0, 200.0, 1.0])
    assert listened(market, price, days, None) is market.weights
    assert listened(market, price, days, Heard((), 0.0)) is market.weights
    rate = 1.0 - np.exp(-2.0 / days[::2])
    silent = market.weights * poisson.pmf(0, rate * 30)
    told = listened(market, price, days, Heard((), 30.0))
    assert told == pytest.approx(silent / silent.sum())
    near = norm.pdf(np.log(9_000.0), np.log([10_000.0, 8_000.0, 8_000.0, 6_400.0]), 0.3)
    one = market.weights * poisson.pmf(1, rate * 30) * near
    told = listened(market, price, days, Heard((9_000.0,), 30.0))
    assert told == pytest.approx(one / one.sum())


def extra(id: str, share: float, money: float, **more: float) -> Extra:
    return Extra(id=id, sort="extra", words=id, share=np.full(8, share), money=money,
                 **({"hours": 0.0} | more))  # fmt: skip


def test_what_an_extra_adds_is_its_share_less_its_costs_and_the_days_it_takes(
    market: Market, ready_in_a_year: State
) -> None:
    """By hand: a tenth of the price, 200 and 5 hours off; ten days of floor, a fifth spared."""
    at = priced(a_scene(), market, FIGURES, ready_in_a_year, 500)
    month = with_capital(market, 9_000.0)
    made = gain_of(a_scene(), month, extra("a", 0.1, 200.0, hours=5.0, days=10.0, quicker=0.2), at)
    months = (0.2 * at.selling.standing_days - 10.0) / 30.44
    price = float(at.selling.price @ market.weights)
    assert made.money == pytest.approx(0.1 * price - 200.0 + months * (80.0 + month.month.capital))
    assert made.hours == pytest.approx(5.0 - months * HALF)
    beside = gain_of(a_scene(), month, extra("a", 0.1, 200.0), at, np.full(4, 1.5))
    assert beside.money == pytest.approx(0.15 * price - 200.0)


def test_extras_pay_by_what_they_add_beside_all_others_that_pay(
    market: Market, ready_in_a_year: State
) -> None:
    """By hand: a tenth for twelve hundredths pays only on a price that another has raised by half.

    The two raise it to 165 in 100: what costs 19 hundredths, be it in own hours at 15, pays not.
    """
    at = priced(a_scene(), market, FIGURES, ready_in_a_year, 500)
    hundredth = float(at.selling.price @ market.weights) / 100
    dear = extra("dear", 0.1, 12 * hundredth)
    good, bad = extra("good", 0.5, 10 * hundredth), extra("bad", 0.1, 19 * hundredth)
    slow = extra("slow", 0.1, 0.0, hours=19 * hundredth / 15.0)

    def chosen(*every: Extra) -> list[str]:
        return [one.id for one in worth_doing(a_scene(), market, every, at)]

    assert chosen(dear, bad) == []
    assert chosen(dear, good, bad, slow) == ["dear", "good"]
