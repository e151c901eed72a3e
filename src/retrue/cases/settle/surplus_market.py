"""The market of one machine in one state: what buyers offer, how often, and the line to keep to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from retrue.cases.alternatives import DAYS_A_YEAR, MARKET_LOG_SD
from retrue.cases.fix.scene import Scene
from retrue.cases.plans import DAYS_A_MONTH, SCRAP_PER_KG, SELL_DAYS
from retrue.cases.settle.sale_figures import SaleFigures
from retrue.cases.settle.sale_lines import MonthCost, SellDays
from retrue.cases.sheet import Band
from retrue.choose.offer_line import Line, best_line, days_to_sell, heard
from retrue.choose.offers import Bids, Waiting
from retrue.kinds.library import Three

Floats = NDArray[np.float64]
MARKETS = 400  # of the worlds, for the line: it is the same line in all of them
POINTS = 400  # how finely buyers differ
ROUND = "E32"  # of the tables: the monthly round
BETTER_HALF = 2.0  # every second offer is in the better half
NOT_KNOWING = 0.92  # of what the better half brings, who does not know the market gets (measured)
LEAST_DAYS = 7  # of a listing


class Heard(NamedTuple):
    """Offers that came for it, in the shop's currency, in so many days of being listed."""

    amounts: tuple[float, ...]
    days: float


@dataclass(frozen=True, slots=True, eq=False)
class Market:
    """All that every state shares: how buyers differ, how the market may stand.

    Attributes
    ----------
    bids : Bids
        In a market of level 1.
    realised : float
        What the tables call the realised price, against the median offer.
    own : ndarray, shape (markets,)
        This machine's own luck in the tables' price: here it is which buyer comes.
    weights : ndarray, shape (markets,)
    pick : slice
        Which worlds.
    """

    bids: Bids
    realised: float
    own: Floats
    sell_luck: Floats
    weights: Floats
    pick: slice
    month: MonthCost
    interest: float
    round_hours: float
    log_sd: float

    @property
    def waiting(self) -> Waiting:
        """A day of waiting; its capital is in the discount."""
        cost = (self.month.floor + self.month.round + self.month.hours) / DAYS_A_MONTH
        discount = (1.0 + self.interest) ** (-1.0 / DAYS_A_YEAR)
        return Waiting(chance=0.0, cost=cost, discount=discount)

    def levels(self, price: Floats) -> Floats:
        """The median offer in each market, where the tables speak of the realised price."""
        return np.asarray(price[self.pick] / self.own / self.realised)

    def chances(self, days: Floats | float) -> Floats:
        """Chance of an offer on a day, where the tables speak of days until it is sold."""
        told = np.broadcast_to(np.asarray(days, dtype=np.float64), self.weights.shape)
        return np.asarray(-np.expm1(-BETTER_HALF / told))

    def band(self, values: Floats) -> Band:
        """Good luck, even chance, bad luck, by the weights of the markets."""
        order = np.argsort(values)
        summed = np.cumsum(self.weights[order])
        at = np.minimum(np.searchsorted(summed, (0.1, 0.5, 0.9)), len(values) - 1)
        low, even, high = values[order][at]
        return Band(p10=float(low), p50=float(even), p90=float(high))

    def mean(self, values: Floats) -> float:
        """Mean by the weights of the markets."""
        return float(values @ self.weights)


def market_of(scene: Scene) -> Market:
    """The market of a machine, before any offer.

    Parameters
    ----------
    scene : Scene

    Returns
    -------
    Market

    Notes
    -----
    The spread that the tables give the realised price is shared out: the market of a kind stands
    high or low for all its machines, and the rest is which buyer comes. The tables' price and
    days are those of sellers who take the better half of what is offered and do not know how the
    market stands: so offers come twice as often as sales, and the median offer is set so that who
    keeps to the line for a year gets the tables' price on average.
    """
    drawer, prospect = scene.view.stage.drawer, scene.prospect
    log_sd = scene.kind.levels["right"].resale_log_sd
    own_sd = max(0.05, log_sd**2 - MARKET_LOG_SD**2) ** 0.5
    pick = slice(None, None, max(1, drawer.worlds // MARKETS))
    own = drawer.lognormal(prospect.machine.name, "resale", own_sd)[pick]
    bids = _bids(round(own_sd, 9))
    upper = bids.amounts[len(bids.amounts) // 2 :]
    return Market(
        bids=bids,
        realised=float(upper.mean()) * NOT_KNOWING,
        own=own,
        sell_luck=prospect.sell_luck[pick],
        weights=np.full(len(own), 1.0 / len(own)),
        pick=pick,
        month=_month(scene),
        interest=prospect.settled.interest,
        round_hours=_round_hours(scene),
        log_sd=own_sd,
    )


@cache
def _bids(log_sd: float) -> Bids:
    from scipy.special import ndtri

    return Bids(np.exp(log_sd * ndtri((np.arange(POINTS) + 0.5) / POINTS)))


def _round_hours(scene: Scene) -> float:
    line = scene.kind.costs.get(ROUND)
    return 0.0 if line is None else _mean(line.hours)


def _month(scene: Scene) -> MonthCost:
    """What a month costs beside the capital, which hangs on the price."""
    line = scene.kind.costs.get(ROUND)
    month = float(scene.prospect.landing.storage_a_month.mean())
    rounds = 0.0 if line is None else _mean(line.amount)
    return MonthCost(
        floor=max(0.0, month - rounds),
        round=min(month, rounds),
        hours=_round_hours(scene) * scene.rate,
        capital=0.0,
    )


def _mean(three: Three) -> float:
    return (three.low + 4.0 * three.likely + three.high) / 6.0


def sell_days(scene: Scene, figures: SaleFigures, state: str, quicker: float = 0.0) -> Floats:
    """Days to sell in each market: as the tables have them, or as the owner says.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures
    state : str
        as_found, running, proven.
    quicker : float
        Share by which it goes quicker.

    Returns
    -------
    ndarray, shape (worlds,)
    """
    if figures.sell_days is not None:
        own = scene.view.stage.drawer.pert(scene.name, "sale days", figures.sell_days)
        return np.asarray(np.maximum(own, 1.0) * (1.0 - quicker))
    return np.asarray(SELL_DAYS[state] * scene.prospect.sell_luck * (1.0 - quicker))


def listened(market: Market, price: Floats, days: Floats, told: Heard | None) -> Floats:
    """The weights of the markets after the offers that came.

    Parameters
    ----------
    market : Market
    price, days : ndarray, shape (worlds,)
        The tables' price and days, of the state it is listed in.
    told : Heard or None

    Returns
    -------
    ndarray, shape (markets,)
    """
    if told is None or (not told.amounts and told.days <= 0):
        return market.weights
    return heard(
        market.levels(price),
        market.chances(days[market.pick]),
        market.weights,
        told.amounts,
        told.days,
        market.log_sd,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Selling:
    """One state in its market: the line, what comes of it, how long it takes."""

    line: Line
    last: float
    value: float  # on the first day of the listing
    price: Floats  # (markets,), expected
    days: SellDays
    standing_days: float  # expected


def selling_of(market: Market, price: Floats, days: Floats, last: float, until: int) -> Selling:
    """Sell it in one state, from the day it is listed.

    Parameters
    ----------
    market : Market
    price, days : ndarray, shape (worlds,)
        The tables' price and days.
    last : float
        What it goes for when the last day is over, money.
    until : int
        Days from the listing to the last day.

    Returns
    -------
    Selling
    """
    levels, chances = market.levels(price), market.chances(days[market.pick])
    line = best_line(
        market.bids, levels, chances, market.weights, market.waiting, last,
        max(LEAST_DAYS, until), market.log_sd,
    )  # fmt: skip
    followed = line.followed
    p10, p50, p90 = days_to_sell(followed.unsold, market.weights, (0.1, 0.5, 0.9))
    stood = 1.0 + followed.unsold[:, :-1].sum(axis=1)
    return Selling(
        line=line,
        last=last,
        value=market.mean(followed.value),
        price=followed.price,
        days=SellDays(
            p10=p10, p50=p50, p90=p90, unsold=float(market.weights @ followed.unsold[:, -1])
        ),
        standing_days=market.mean(stood),
    )


def last_price(scene: Scene, market: Market, price: Floats, share: Three) -> float:
    """What it goes for to who takes everything at once; never below its scrap.

    Parameters
    ----------
    scene : Scene
    market : Market
    price : ndarray, shape (worlds,)
        The tables' price.
    share : Three
        Of that price.

    Returns
    -------
    float
        Money.
    """
    return max(scrap_of(scene), _mean(share) * market.mean(price[market.pick]))


def scrap_of(scene: Scene) -> float:
    """What its iron brings.

    Parameters
    ----------
    scene : Scene

    Returns
    -------
    float
        Money.
    """
    return (scene.prospect.machine.mass_kg or scene.kind.mass_kg) * SCRAP_PER_KG


def product(shares: Sequence[Floats | float]) -> Floats | float:
    """Shares on top of each other, as a factor: they multiply.

    Parameters
    ----------
    shares : sequence of float or ndarray, shape (worlds,)
        0.1 adds a tenth, -0.1 takes one off.

    Returns
    -------
    float or ndarray, shape (worlds,)

    Examples
    --------
    >>> round(product([0.1, -0.1]), 4)
    0.99
    """
    factor: Floats | float = 1.0
    for share in shares:
        factor = factor * (1.0 + share)
    return factor
