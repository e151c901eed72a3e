"""One state priced: the line in its market, and what is left when all is paid."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.cases.alternatives import later
from retrue.cases.fix.scene import Scene
from retrue.cases.plans import DAYS_A_MONTH
from retrue.cases.settle.sale_figures import SaleFigures
from retrue.cases.settle.sale_lines import ByHour
from retrue.cases.settle.surplus import State
from retrue.cases.settle.surplus_market import Market, Selling, last_price, selling_of

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Net:
    """A sum with its own hours apart: at an hour worth nothing, and the hours.

    Attributes
    ----------
    money : float
        Everything but own hours.
    hours : float
    """

    money: float
    hours: float

    def at(self, rate: float) -> float:
        """With the hours at a rate."""
        return self.money - self.hours * rate

    def less(self, other: Net) -> Net:
        """What it is ahead of another."""
        return Net(self.money - other.money, self.hours - other.hours)


def by_hour(net: Net, scene: Scene) -> ByHour:
    """A sum at the three values of an own hour.

    Parameters
    ----------
    net : Net
    scene : Scene

    Returns
    -------
    ByHour

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> settled = SimpleNamespace(rate=15.0, rate_full=45.0)
    >>> scene = SimpleNamespace(prospect=SimpleNamespace(settled=settled))
    >>> by_hour(Net(money=1000.0, hours=10.0), scene)
    ByHour(zero=1000.0, alternative=850.0, full=550.0)
    """
    settled = scene.prospect.settled
    return ByHour(
        zero=net.at(0.0), alternative=net.at(settled.rate), full=net.at(settled.rate_full)
    )


@dataclass(frozen=True, slots=True, eq=False)
class Priced:
    """A state in its market."""

    state: State
    selling: Selling
    net: Net
    money: float  # to have it there, without the sale
    hours: float
    ready_days: float
    in_time: bool


def priced(
    scene: Scene,
    market: Market,
    figures: SaleFigures,
    state: State,
    until: int,
    *,
    dump: float | None = None,
    factor: Floats | float = 1.0,
    quicker: float = 0.0,
    more: Net | None = None,
) -> Priced:
    """Sell a state, with what else is done to it.

    Parameters
    ----------
    scene : Scene
    market : Market
    figures : SaleFigures
    state : State
    until : int
        Days from today to the day on which it goes for what it brings.
    dump : float or None
        What the owner lets it go for; None: as a dealer pays.
    factor : float or ndarray, shape (worlds,)
        On its price, for all that is done beside.
    quicker : float
        Share by which it goes quicker.
    more : Net or None
        What that costs: its money is below 0.

    Returns
    -------
    Priced
    """
    ready = float(state.ready.mean())
    price, days = state.price * factor, state.days * (1.0 - quicker)
    last = last_price(scene, market, price, figures.share("dealer_share"))
    if dump is not None:
        last = dump
    selling = selling_of(market, price, days, last, until - round(ready))
    land, settled = scene.prospect.landing, scene.prospect.settled
    rounds = market.round_hours / DAYS_A_MONTH
    standing = selling.standing_days * rounds
    here = np.maximum(state.ready - scene.prospect.wait, 0.0)  # no floor, no round before it came
    floor = scene.prospect.months(here)
    today = float(later(state.ready, settled.interest).mean())
    out = float((state.money + land.selling + floor).mean())
    hours = float((state.hours + land.selling_hours + here * rounds).mean())
    # the line has the hours of its rounds at what they earn elsewhere: they are told as hours
    net = Net(
        money=(selling.value + standing * settled.rate) * today - out,
        hours=hours + standing,
    )
    if more is not None:
        net = Net(net.money + more.money, net.hours + more.hours)
    return Priced(
        state=state,
        selling=selling,
        net=net,
        money=float(state.money.mean()),
        hours=float(state.hours.mean()),
        ready_days=ready,
        in_time=ready < until,
    )


def with_capital(market: Market, value: float) -> Market:
    """The same market with what a month of the capital in it costs.

    Parameters
    ----------
    market : Market
    value : float
        What is tied up, money.

    Returns
    -------
    Market
    """
    share = (1.0 + market.interest) ** (1.0 / 12.0) - 1.0
    return replace(market, month=replace(market.month, capital=max(0.0, value) * share))
