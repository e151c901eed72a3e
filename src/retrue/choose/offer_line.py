"""The line to keep to in a market nobody knows, and what comes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.choose.offers import Bids, Waiting, falling, line_of

Floats = NDArray[np.float64]
SHAPED = 100  # markets on which a shape is looked for, of more
NEWS = 80  # offers tried, between what it goes for and the highest
SHAPES = (
    (1.0, 0.0),  # first: it wins a tie
    *((height, tilt) for tilt in (0.0, 0.75, 1.5) for height in (0.8, 1.0, 1.25, 1.5)),
)


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """What comes of it where a line is kept to, in each way the market may be.

    Attributes
    ----------
    value : ndarray, shape (markets,)
        What comes in less what waiting costs, as worth now; money.
    unsold : ndarray, shape (markets, days)
        Chance that it stands there still at the end of each day.
    price : ndarray, shape (markets,)
        Expected price, what it goes for on the last day with it; money, as paid then.
    """

    value: Floats
    unsold: Floats
    price: Floats


def follow(
    line: Floats, bids: Bids, levels: Floats, chances: Floats, waiting: Waiting, last: float
) -> Followed:
    """Keep to a line, whatever the market turns out to be.

    Parameters
    ----------
    line : ndarray, shape (days,)
        What is taken on each day, money.
    bids : Bids
        Offers in a market of level 1.
    levels, chances : ndarray, shape (markets,)
        The level of each market, and the chance of an offer on a day in it.
    waiting : Waiting
        Its chance is not read.
    last : float
        What it goes for when the last day is over, money.

    Returns
    -------
    Followed

    References
    ----------
    By definition: the sum over the days on which it may be sold.

    Examples
    --------
    >>> bids = Bids([0.0, 1.0])
    >>> one, waiting = np.ones(1), Waiting(chance=1.0)
    >>> kept = follow(np.array([1.0, 1.0]), bids, one, one, waiting, 0.0)
    >>> kept.unsold.tolist(), kept.value.tolist()
    ([[0.5, 0.25]], [0.75])
    """
    days = len(line)
    reached, amounts = bids.above(line[None, :] / levels[:, None])
    sells = chances[:, None] * reached
    brings = (chances * levels)[:, None] * amounts
    unsold: Floats = np.cumprod(1.0 - sells, axis=1, dtype=np.float64)
    there = _begins(unsold)
    later = waiting.discount ** np.arange(1, days + 1)
    left = unsold[:, -1] if days else np.ones(len(levels))
    came = there * brings
    paid = there * (waiting.cost * later / waiting.discount)
    value = (came * later - paid).sum(axis=1) + left * last * waiting.discount**days
    return Followed(value=value, unsold=unsold, price=came.sum(axis=1) + left * last)


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """What to take on each day in a market nobody knows, and what comes of it.

    Attributes
    ----------
    take : ndarray, shape (days,)
        The lowest offer to take that comes on that day, money: what it says of the market is
        counted in.
    worth : ndarray, shape (days,)
        What waiting on is worth at the end of that day, money, where nothing came.
    followed : Followed
    """

    take: Floats
    worth: Floats
    followed: Followed


def best_line(
    bids: Bids,
    levels: Floats,
    chances: Floats,
    weights: Floats,
    waiting: Waiting,
    last: float,
    days: int,
    log_sd: float = 0.0,
    shapes: Sequence[tuple[float, float]] = SHAPES,
) -> Line:
    """One falling line for a market nobody knows.

    Parameters
    ----------
    bids : Bids
        Offers in a market of level 1: how much buyers differ.
    levels, chances, weights : ndarray, shape (markets,)
        Level, chance of an offer on a day, and weight of each market; weights sum to one.
    waiting : Waiting
        Its chance is not read.
    last : float
        What it goes for when the last day is over, money.
    days : int
    log_sd : float
        How much buyers of one market differ, in logarithms; 0: an offer says nothing of the
        market.
    shapes : sequence of (height, tilt)
        The line of the average market, as far as it is above ``last``, times the height, and
        times the share of the days left to the power of the tilt.

    Returns
    -------
    Line

    Notes
    -----
    Of several shapes of a falling line that one is found which does best on average over all
    markets. What to take on a day is then what waiting on by it is worth, given that nothing was
    taken before and that this very offer came: days without a good offer say that the market is
    low, a high offer says that it is high. It reads only what is known today, the weights; no
    drawn level and no drawn chance. In one known market it is the optimum of backward induction.
    Where buyers of one market differ little, an offer tells nearly all of it: a low one may then be
    worth taking, a middling one not, and a high one again. One line cannot say that: of the lowest
    and the highest place where they cross, and of the line that hears no news, that one is kept to
    which does best on average.

    References
    ----------
    As :func:`falling`; that a rule is judged over all states of which one cannot know which is so:
    Raiffa and Schlaifer 1961, Applied Statistical Decision Theory. Offers from a distribution
    that is learnt: Rothschild 1974, Searching for the Lowest Price When the Distribution of
    Prices Is Unknown, Journal of Political Economy 82(4) (from memory).

    Examples
    --------
    >>> one = np.ones(1)
    >>> bids = Bids((np.arange(1000) + 0.5) / 1000)
    >>> best_line(bids, one, one, one, Waiting(chance=1.0), 0.0, 3).take.round(3).tolist()
    [0.625, 0.5, 0.0]
    """
    level = float(levels @ weights)
    middle = Bids(bids.amounts * level)
    typical = Waiting(chance=float(chances @ weights), cost=waiting.cost, discount=waiting.discount)
    base = line_of(falling(middle, typical, last, days))
    left = np.arange(days, 0, -1) / max(1, days)
    best, most = base, -np.inf
    some = slice(None, None, max(1, len(levels) // SHAPED))
    for height, tilt in shapes:
        tried = last + (base - last) * height * left**tilt
        kept = follow(tried, bids, levels[some], chances[some], waiting, last)
        value = float(kept.value @ weights[some])
        if value > most:
            best, most = tried, value
    on = waiting_on(best, bids, levels, chances, waiting, last)
    there = weights[:, None] * on.unsold
    worth = np.maximum(_means(there, on.worth, last), last)
    lines = [worth]
    if log_sd > 0.0 and len(levels) > 1:
        top = float(middle.amounts[-1])
        comes = weights[:, None] * _begins(on.unsold) * chances[:, None]
        news = _with_news(comes, on.worth, levels, log_sd, (last, top))
        lines = [*news, worth]
    made = [Line(take, worth, follow(take, bids, levels, chances, waiting, last)) for take in lines]
    return max(made, key=lambda one: float(one.followed.value @ weights))


@dataclass(frozen=True, slots=True, eq=False)
class On:
    """Waiting on by a line.

    Attributes
    ----------
    worth : ndarray, shape (markets, days)
        At the end of each day, money.
    unsold : ndarray, shape (markets, days)
        Chance that nothing was taken up to then.
    """

    worth: Floats
    unsold: Floats


def waiting_on(
    line: Floats, bids: Bids, levels: Floats, chances: Floats, waiting: Waiting, last: float
) -> On:
    """What waiting on by a line is worth at the end of each day, in each market.

    Parameters
    ----------
    line : ndarray, shape (days,)
    bids : Bids
        Offers in a market of level 1.
    levels, chances : ndarray, shape (markets,)
    waiting : Waiting
        Its chance is not read.
    last : float
        What it goes for when the last day is over, money.

    Returns
    -------
    On

    References
    ----------
    By definition: what is still to come.

    Examples
    --------
    >>> one = np.ones(1)
    >>> waiting_on(np.array([1.0, 1.0]), Bids([0.0, 1.0]), one, one, Waiting(chance=1.0), 0.2).worth
    array([[0.6, 0.2]])
    """
    reached, amounts = bids.above(line[None, :] / levels[:, None])
    sells = chances[:, None] * reached
    brings = (chances * levels)[:, None] * amounts
    worth = np.empty_like(sells)
    now = np.full(len(levels), last)
    for day in range(len(line) - 1, -1, -1):
        worth[:, day] = now
        now = waiting.discount * (brings[:, day] + (1.0 - sells[:, day]) * now) - waiting.cost
    return On(worth, np.cumprod(1.0 - sells, axis=1, dtype=np.float64))


def _begins(unsold: Floats) -> Floats:
    """Chance that it stands there still as each day begins, of that as each day ends."""
    return np.concatenate([np.ones((len(unsold), 1)), unsold[:, :-1]], axis=1)


def _means(weights: Floats, values: Floats, otherwise: float) -> Floats:
    """Mean over markets of each day; where no market is left, the other value."""
    total = weights.sum(axis=0)
    means = (weights * values).sum(axis=0) / np.where(total > 0.0, total, 1.0)
    return np.asarray(np.where(total > 0.0, means, otherwise))


def _with_news(
    weights: Floats, worth: Floats, levels: Floats, log_sd: float, ends: tuple[float, float]
) -> tuple[Floats, ...]:
    """From which offer on each day it is worth as much as waiting on, once it came.

    Weights count how often offers come in each market. Two lines where there are several such
    offers: the lowest, and that from which on all are.
    """
    low, high = ends
    offers = low + (max(high, low * 1.001) - low) * np.linspace(0.0, 1.0, NEWS) ** 1.5
    far = (np.log(np.maximum(offers, 1e-9))[None, :] - np.log(levels)[:, None]) / log_sd
    says = np.exp(-0.5 * far**2)  # (markets, offers)
    total = weights.T @ says
    means = (weights * worth).T @ says / np.where(total > 1e-300, total, 1.0)
    means = np.where(total > 1e-300, means, low)
    enough = offers[None, :] >= means
    first = np.where(enough.any(axis=1), enough.argmax(axis=1), NEWS - 1)
    every = np.minimum(NEWS - (~enough)[:, ::-1].argmax(axis=1), NEWS - 1)
    every = np.where(enough.all(axis=1), 0, every)
    lines = (_crossed(one, offers, means) for one in (first, every))
    return tuple(lines) if (first != every).any() else (next(lines),)


def _crossed(first: NDArray[np.int64], offers: Floats, means: Floats) -> Floats:
    """Between the last offer that is not enough and the first that is: where they are even."""
    days = np.arange(len(first))
    before = np.maximum(first - 1, 0)
    over, under = offers[first] - means[days, first], means[days, before] - offers[before]
    share = np.where(first > 0, under / np.maximum(over + under, 1e-12), 1.0)
    return np.asarray(offers[before] + (offers[first] - offers[before]) * share)


def days_to_sell(unsold: Floats, weights: Floats, shares: ArrayLike) -> tuple[int | None, ...]:
    """The days by which it is sold in so many of the ways it may turn out.

    Parameters
    ----------
    unsold : ndarray, shape (markets, days)
    weights : ndarray, shape (markets,)
    shares : array_like of float
        0.1, 0.5, 0.9.

    Returns
    -------
    tuple of int or None
        None where not even the last day is late enough.

    Examples
    --------
    >>> days_to_sell(np.array([[0.8, 0.4, 0.2]]), np.ones(1), (0.1, 0.5, 0.9))
    (1, 2, None)
    """
    sold = 1.0 - weights @ unsold
    found = np.searchsorted(sold, np.asarray(shares, dtype=np.float64) - 1e-12)
    return tuple(int(at) + 1 if at < len(sold) else None for at in np.atleast_1d(found))


def heard(
    levels: Floats,
    chances: Floats,
    weights: Floats,
    offers: ArrayLike,
    days: float,
    log_sd: float,
) -> Floats:
    """The weights of the markets, given the offers that came in so many days.

    Parameters
    ----------
    levels, chances, weights : ndarray, shape (markets,)
        Level is the median offer of a market, money.
    offers : array_like of float
        Money, above 0.
    days : float
        Since it is on offer.
    log_sd : float
        How much buyers of one market differ, in logarithms.

    Returns
    -------
    ndarray, shape (markets,)
        They sum to one.

    Notes
    -----
    Lognormal offers about the level of their market, and as many in the days as a Poisson process
    gives.

    References
    ----------
    Bayes' rule; Gelman et al. 2013, Bayesian Data Analysis, section 2.6 (Poisson, from memory).

    Examples
    --------
    >>> two, even = np.array([5000.0, 10_000.0]), np.full(2, 0.5)
    >>> heard(two, np.full(2, 0.02), even, [9000.0], 30, 0.3).round(3).tolist()
    [0.135, 0.865]
    """
    told = np.asarray(offers, dtype=np.float64).ravel()
    rate = np.maximum(chances, 1e-12)
    logs = np.log(np.maximum(weights, 1e-300)) - rate * days + len(told) * np.log(rate)
    for one in told:
        logs = logs - 0.5 * ((np.log(one) - np.log(levels)) / log_sd) ** 2
    weighed = np.exp(logs - logs.max())
    return np.asarray(weighed / weighed.sum())
