"""How to bid, once the most to pay is known: one bid, an opening, and what the last rival tells.

Nothing here ever raises a bid above the walk-away price: that is the ceiling of every sort of sale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.choose.blocks import relative_weights
from retrue.choose.normal import normal_chance
from retrue.choose.walkaway import down_to_step

Floats = NDArray[np.float64]

_MOST_BIDS = 400  # bids tried between one step and the ceiling
_GROUPS = 500  # worlds with nearly the same value to a rival are treated as one


@dataclass(frozen=True, slots=True)
class OneBid:
    """The bid to write down where there is one bid only. Money, and the chance that it wins."""

    bid: float
    wins: float
    mean_gain: float  # gain times the chance of getting it


@dataclass(frozen=True, slots=True, eq=False)
class Rivals:
    """What the others are thought to do.

    Attributes
    ----------
    value : ndarray, shape (worlds,), money
        What the lot would be worth to a rival who knew the truth, above 0.
    share : float
        The share of it that he is ready to pay.
    log_sd : float
        Scatter (natural logarithm) of each rival's own estimate around it.
    count : int
        How many rivals bid.
    """

    value: Floats
    share: float
    log_sd: float
    count: int

    def __post_init__(self) -> None:
        """Refuse rivals that cannot be."""
        if (
            not (self.value > 0).all()
            or not self.share > 0
            or not self.log_sd > 0
            or self.count < 1
        ):
            raise Unusable(
                "rivals need values, a share and a scatter above 0, and at least one of them",
                remedy="Give a share such as 0.75, a scatter such as 0.45 and how many bid.",
            )


def one_bid(
    gain: ArrayLike,
    bids: ArrayLike,
    wins: ArrayLike,
    *,
    k: float,
    ceiling: float = math.inf,
    weights: ArrayLike | None = None,
) -> OneBid:
    """The bid with the highest mean gain, where the highest sealed bid wins and pays what it says.

    Parameters
    ----------
    gain : array_like of float, shape (worlds,), money
        Value of the option at price 0 less that of the best alternative.
    bids : array_like of float, shape (bids,), money
        Hammer prices to try, rising.
    wins : array_like of float, shape (bids,) or (bids, worlds)
        Chance that each bid wins, the same in every world or one for each.
    k : float
        Money paid per unit of hammer.
    ceiling : float
        No bid above it is looked at, money.
    weights : array_like of float, shape (worlds,), optional
        Equal when left out.

    Returns
    -------
    OneBid
        All zero where no bid gains anything.

    Raises
    ------
    Unusable
        Weights that cannot be.

    References
    ----------
    Vickrey 1961, Counterspeculation, auctions, and competitive sealed tenders, Journal of Finance
    16(1): against bids uniform up to (n - 1)/n the best answer to a value v is v (n - 1)/n.

    Examples
    --------
    >>> bids = [10.0 * i for i in range(1, 101)]
    >>> found = one_bid([800.0], bids, [bid / 1000 for bid in bids], k=1.0)
    >>> found.bid, found.mean_gain
    (400.0, 160.0)
    """
    tried = np.asarray(bids, dtype=np.float64)
    tried = tried[tried <= ceiling]
    values = np.asarray(gain, dtype=np.float64)
    share = relative_weights(weights, values.size) / values.size
    chance = np.asarray(wins, dtype=np.float64)[: len(tried)]
    chance = chance[:, None] if chance.ndim == 1 else chance
    winning = (chance * share).sum(axis=1) if chance.shape[1] > 1 else chance[:, 0]
    mean = ((values - k * tried[:, None]) * chance * share).sum(axis=1)
    if not len(tried) or mean.max() <= 0:
        return OneBid(0.0, 0.0, 0.0)
    place = int(mean.argmax())
    return OneBid(float(tried[place]), float(winning[place]), float(mean[place]))


def sealed_bid(gain: ArrayLike, rivals: Rivals, *, k: float, step: float, ceiling: float) -> OneBid:
    """The sealed bid against rivals whose estimates follow the truth as ours does.

    Winning is news: the worlds in which every rival stops below our bid are the poorer ones. Each
    world's chance of winning is therefore its own.

    Parameters
    ----------
    gain : array_like of float, shape (worlds,), money
        Value of the option at price 0 less that of the best alternative.
    rivals : Rivals
        Values in the same worlds.
    k : float
        Money paid per unit of hammer.
    step, ceiling : float
        Bid step, and the walk-away hammer price, money.

    Returns
    -------
    OneBid
        Never above the ceiling.

    Raises
    ------
    Unusable
        As in `one_bid`.

    References
    ----------
    Capen, Clapp and Campbell 1971, Competitive bidding in high-risk situations, Journal of
    Petroleum Technology 23(6).

    Examples
    --------
    >>> import numpy as np
    >>> truth = np.array([4_000.0, 6_000.0, 9_000.0, 12_000.0])
    >>> rivals = Rivals(truth, share=0.75, log_sd=0.3, count=2)
    >>> sealed_bid(truth, rivals, k=1.0, step=10, ceiling=6_000.0).bid
    3480.0
    """
    bids = bid_steps(ceiling, step)
    if not len(bids):
        return OneBid(0.0, 0.0, 0.0)
    alike, share, mean = _groups(gain, rivals)
    wins = stops_below(
        bids[:, None] / alike.value, median=alike.share, log_sd=alike.log_sd, count=alike.count
    )
    return one_bid(mean, bids, wins, k=k, ceiling=ceiling, weights=share)


def last_bidder_weights(rivals: Rivals, price: float) -> Floats:
    """Weights of the worlds, knowing that the last rival's estimate stopped him at this price.

    Parameters
    ----------
    rivals : Rivals
        Values in each world.
    price : float
        The price at which the last of them stopped, money.

    Returns
    -------
    numpy.ndarray, shape (worlds,)
        Density of the highest of the rivals' estimates, scaled to a largest weight of 1.

    References
    ----------
    Milgrom and Weber 1982, A theory of auctions and competitive bidding, Econometrica 50(5);
    density of the largest of n: David and Nagaraja 2003, Order Statistics, section 2.1.

    Examples
    --------
    >>> import numpy as np
    >>> rivals = Rivals(np.array([5_000.0, 10_000.0]), share=1.0, log_sd=0.5, count=1)
    >>> last_bidder_weights(rivals, 10_000.0).round(3).tolist()
    [0.383, 1.0]
    """
    z = (math.log(price / rivals.share) - np.log(rivals.value)) / rivals.log_sd
    # as logarithms relative to the largest, so that a far-off price still weighs something
    weight = -0.5 * z * z + np.log(np.maximum(normal_chance(z), 1e-300)) * (rivals.count - 1)
    return np.asarray(np.exp(weight - weight.max()))


def pivot_price(gain: ArrayLike, rivals: Rivals, *, k: float, step: float, ceiling: float) -> float:
    """The price above which the last rival's stopping there would be bad news enough to be sorry.

    The highest bid ``b`` up to the ceiling at which the mean gain, knowing that the last rival
    stopped at ``b``, still covers it. Very sensitive to what rivals are thought to know: a warning
    line, not the price.

    Parameters
    ----------
    gain : array_like of float, shape (worlds,), money
        Value of the option at price 0 less that of the best alternative.
    rivals : Rivals
        Values in the same worlds.
    k : float
        Money paid per unit of hammer.
    step, ceiling : float
        Bid step, and the walk-away hammer price, money.

    Returns
    -------
    float
        Hammer price on a bid step, money; 0 where no bid holds.

    Raises
    ------
    Unusable
        Gains that do not belong to the rivals' worlds.

    References
    ----------
    Milgrom and Weber 1982, A theory of auctions and competitive bidding, Econometrica 50(5).

    Examples
    --------
    >>> import numpy as np
    >>> truth = np.array([4_000.0, 6_000.0, 9_000.0, 12_000.0])
    >>> rivals = Rivals(truth, share=1.0, log_sd=0.3, count=3)
    >>> pivot_price(truth, rivals, k=1.0, step=10, ceiling=7_000.0)
    4020.0
    """
    bids = bid_steps(ceiling, step)
    alike, share, mean = _groups(gain, rivals)
    for bid in bids[::-1]:  # the highest that holds: what is below it need not be tried
        weight = last_bidder_weights(alike, float(bid)) * share
        if (weight * (mean - k * bid)).sum() >= 0:
            return float(bid)
    return 0.0


def bid_steps(ceiling: float, step: float) -> Floats:
    """Bids to try, from one step up to the ceiling.

    Parameters
    ----------
    ceiling, step : float
        Money; the step is above 0.

    Returns
    -------
    numpy.ndarray, shape (bids,)
        Whole steps, rising, at most four hundred of them, the last at or just below the ceiling.

    References
    ----------
    Common practice of auctions: bids go up in fixed steps.

    Examples
    --------
    >>> bid_steps(35.0, 10.0).tolist()
    [10.0, 20.0, 30.0]
    """
    top = round(down_to_step(max(ceiling, 0.0), step) / step)
    stride = max(1, -(-top // _MOST_BIDS))
    return np.arange(top, 0, -stride, dtype=np.float64)[::-1] * step


def stops_below(price: ArrayLike, *, median: float, log_sd: float, count: int = 1) -> Floats:
    """Chance that nobody goes beyond a price: rivals stop, or a seller says yes.

    Parameters
    ----------
    price : array_like of float, money
        Above 0.
    median : float
        Price at which one of them stops as often as not, money.
    log_sd : float
        Scatter (natural logarithm) around it.
    count : int
        How many there are, independent of each other.

    Returns
    -------
    numpy.ndarray
        Same shape as ``price``, between 0 and 1.

    References
    ----------
    Distribution of the largest of n: David and Nagaraja 2003, Order Statistics, section 2.1.

    Examples
    --------
    >>> stops_below([5_000.0, 8_000.0], median=5_000.0, log_sd=0.45, count=2).round(3).tolist()
    [0.25, 0.726]
    """
    z = np.log(np.asarray(price, dtype=np.float64) / median) / log_sd
    return np.asarray(normal_chance(z) ** count)


def _groups(gain: ArrayLike, rivals: Rivals) -> tuple[Rivals, Floats, Floats]:
    """Worlds of nearly the same value to a rival as one: with their share and their mean gain."""
    values = np.asarray(gain, dtype=np.float64)
    if values.shape != rivals.value.shape:
        raise Unusable(
            f"gains cover {values.size} worlds and the rivals {rivals.value.size}",
            remedy="Draw both on the same worlds.",
        )
    order = np.argsort(rivals.value, kind="stable")
    starts = np.unique(np.arange(_GROUPS) * values.size // _GROUPS)
    size: Floats = np.diff(np.append(starts, values.size)).astype(np.float64)
    level = np.add.reduceat(np.log(rivals.value[order]), starts) / size
    mean: Floats = np.add.reduceat(values[order], starts) / size
    return replace(rivals, value=np.exp(level)), size / values.size, mean
