"""What an answer is worth to one who bids against others and keeps to his odds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.cases.drivers import leading
from retrue.cases.screen.price_seen import Sale
from retrue.cases.view import View

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

OPTIONS = 4  # that could carry the price after an answer
LEVELS = 48  # limits tried, from nothing to twice what it is worth on average


@dataclass(frozen=True, slots=True)
class Worth:
    """What an answer is worth, and the standard error of that; money in the lot's currency."""

    worth: float
    error: float


@dataclass(frozen=True, slots=True)
class Limit:
    """An option, the price not to go above by it, and how far that may err beside the others."""

    option: int
    price: float
    error: float


class Bidder:
    """One lot, the sale as it may go, and the limits that could be set."""

    def __init__(self, view: View, sale: Sale) -> None:
        """Work out once what comes of each limit in every world.

        Parameters
        ----------
        view : View
        sale : Sale
            Of the same lot.
        """
        self.settled = view.settled
        self.gains = view.gains[leading(view, OPTIONS)]
        self.order = np.argsort(self.gains, axis=1, kind="stable")
        top = 2.0 * max(view.price.amount, float(self.gains.mean(axis=1).max()) / self.settled.k)
        self.step = max(top, self.settled.step) / LEVELS
        going = [sale.up_to(level * self.step) for level in range(LEVELS + 1)]
        self.wins = np.array([one.wins for one in going])
        self.paid = np.array([one.paid for one in going]) * self.settled.k

    def worth(self, chances: Singles) -> Worth:
        """How much the expected gain of going for it rises when this is answered first.

        After each answer the price not to go above is set anew, by the same rule: it is learnt on
        half of the worlds and judged on the other half, both ways round.

        Parameters
        ----------
        chances : ndarray, shape (answers, worlds)
            Of each answer in every world.

        Returns
        -------
        Worth
            Its error is that of the mean, and of the prices that were learnt.
        """
        worlds = self.gains.shape[1]
        rise, learnt = np.zeros(worlds), 0.0
        for half in (0, 1):
            learn, judge = slice(half, None, 2), slice(1 - half, None, 2)
            rise[judge] -= self._gain(self._limit(np.ones(worlds), learn), judge)[0]
            for chance in chances.astype(np.float64):
                limit = self._limit(chance, learn)
                gain, slope = self._gain(limit, judge)
                rise[judge] += chance[judge] * gain
                learnt += (limit.error * float((chance[judge] * slope).sum()) / worlds) ** 2
        error = math.sqrt(float(rise.var()) / worlds + learnt)
        return Worth(worth=float(rise.mean()), error=error)

    def _gain(self, limit: Limit, worlds: slice) -> tuple[Floats, Floats]:
        """Gain of a limit in every world, and how much more a unit of limit brings."""
        level = min(LEVELS - 1, int(limit.price / self.step))
        part = min(1.0, limit.price / self.step - level)
        gains = self.gains[limit.option, worlds]
        low, high = (
            gains * self.wins[place, worlds] - self.paid[place, worlds]
            for place in (level, level + 1)
        )
        return low + part * (high - low), (high - low) / self.step

    def _limit(self, weights: Floats, learn: slice) -> Limit:
        """The option that carries most under these weights, and its price."""
        kept = np.zeros(len(weights))
        kept[learn] = weights[learn]
        total = float(kept.sum())
        if total <= 0:
            return Limit(0, 0.0, 0.0)
        share = kept / total
        odd = share[learn] - 1.0 / len(share[learn])  # all of it errs together; this does not
        wide = math.sqrt(self.settled.odds * (1.0 - self.settled.odds) * float(odd @ odd))
        rows = [self._price(option, share, wide) for option in range(len(self.gains))]
        return max(rows, key=lambda row: row.price)

    def _price(self, option: int, share: Floats, wide: float) -> Limit:
        """The price of one option; its error against that without an answer, by its ranks."""
        order, k = self.order[option], self.settled.k
        below, chance = share[order].cumsum(), 1.0 - self.settled.odds
        places = below.searchsorted([max(chance - wide, 0.0), chance, min(chance + wide, 1.0)])
        low, even, high = self.gains[option, order[np.minimum(places, len(order) - 1)]]
        price = max(0.0, min(float(self.gains[option] @ share), float(even)) / k)
        return Limit(option, price, float(high - low) / 2.0 / k)


def answers_worth(view: View, sale: Sale, chances: Sequence[Singles]) -> tuple[Worth, ...]:
    """What each of several answers is worth before a lot is bid for.

    Parameters
    ----------
    view : View
    sale : Sale
        Of the same lot.
    chances : sequence of ndarray, shape (answers, worlds)
        One for each question.

    Returns
    -------
    tuple of Worth

    Notes
    -----
    `cases.questions` asks whether an answer would turn buying into walking away at one price. At a
    sale the price is open: after a good answer one may go higher and win more often, after a bad
    one one stops earlier.

    References
    ----------
    Howard 1966, Information Value Theory, IEEE Transactions on Systems Science and Cybernetics
    2(1); Milgrom and Weber 1982, A theory of auctions and competitive bidding, Econometrica 50(5).

    Examples
    --------
    >>> answers_worth(None, None, ())
    ()
    """
    if not chances:
        return ()
    bidder = Bidder(view, sale)
    return tuple(bidder.worth(one) for one in chances)
