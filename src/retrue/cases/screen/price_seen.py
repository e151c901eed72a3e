"""What a lot may go for, and whether that is below our limit, in every drawn world."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.cases.bidding import RIVAL_LOG_SD, RIVAL_SHARE, RIVALS
from retrue.cases.case import LotCase
from retrue.cases.plans import AS_FOUND, SCRAP_PER_KG, Prospect
from retrue.cases.view import View
from retrue.choose.bids import Rivals, sealed_bid, stops_below
from retrue.choose.normal import inverse_normal

Floats = NDArray[np.float64]

# Judgement, no source: of what tells the others' estimates apart, a quarter is the truth itself,
# which those who stand in front of the machine see and a catalogue does not say.
SEEN = 0.5
POINTS = 25  # equally likely places of the highest rival, the same in every world


@dataclass(frozen=True, slots=True, eq=False)
class Going:
    """Going for a lot up to its limit.

    Attributes
    ----------
    wins : ndarray, shape (worlds,)
        Chance that it is won.
    paid : ndarray, shape (worlds,)
        Hammer price times that chance: what is paid on average, nothing where it is lost; money
        in the lot's currency.
    """

    wins: Floats
    paid: Floats


class Sale:
    """A sale as it may go, to be asked what comes of each limit."""

    def __init__(self, view: View, case: LotCase) -> None:
        """Work out once where the others stop.

        Parameters
        ----------
        view : View
        case : LotCase

        Notes
        -----
        Rivals are those of `others_seen`: winning is news, for they stop early in the poorer
        worlds. Ascending: it is won where the highest rival, or the bid that stands, is at least a
        step below the limit, and costs a step more than he; never less than where it starts.
        Sealed: the bid with the highest mean gain below the price not to go above, which is what
        is paid; its share of that price stays the same. Fixed price: it is bought if the price
        asked is not above the limit. An offer, or a fixed price nobody has said: the seller is
        taken as one who gives way at what one rival would pay, and never above what he asks.
        """
        self.worlds = view.gains.shape[1]
        self._others = others_seen(view, case)
        self._sealed = case.terms.sale == "sealed"
        self._share = _sealed_share(view, self._others) if self._sealed else 1.0
        self._price = np.zeros((1, 1)) if self._sealed else _prices(view, case, self._others)

    def up_to(self, most: float) -> Going:
        """What comes of bidding up to a limit, in the lot's currency at the hammer."""
        if most <= 0:
            return Going(np.zeros(self.worlds), np.zeros(self.worlds))
        if self._sealed:
            return self._of_bid(most * self._share)
        won = self._price <= most
        return self._won(won)

    def up_to_each(self, most: Floats) -> Going:
        """What comes of a limit of its own in every world, shape (worlds,), as in `up_to`."""
        if self._sealed:
            none = most <= 0
            going = self._of_bid(most * self._share)
            return Going(np.where(none, 0.0, going.wins), np.where(none, 0.0, going.paid))
        limit = most[:, None]
        return self._won((self._price <= limit) & (limit > 0))

    def _won(self, won: NDArray[np.bool_]) -> Going:
        wins = won.mean(axis=1)
        paid = np.multiply(won, self._price).mean(axis=1)
        return Going(*(np.broadcast_to(row, self.worlds) for row in (wins, paid)))

    def _of_bid(self, bid: Floats | float) -> Going:
        others = self._others
        wins = stops_below(
            np.maximum(bid, 1e-9) / others.value,
            median=others.share,
            log_sd=others.log_sd,
            count=others.count,
        )
        return Going(wins, wins * bid)


def going(view: View, case: LotCase) -> Going:
    """What comes of bidding up to the walk-away price, by the sort of sale.

    Parameters
    ----------
    view : View
    case : LotCase

    Returns
    -------
    Going

    References
    ----------
    Vickrey 1961, Counterspeculation, auctions, and competitive sealed tenders, Journal of Finance
    16(1); Capen, Clapp and Campbell 1971, Competitive bidding in high-risk situations, Journal of
    Petroleum Technology 23(6).

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.records.facts import Terms
    >>> of = SimpleNamespace
    >>> one = of(resale=lambda state: np.full(3, 5_800.0),
    ...     machine=of(mass_kg=2_000.0), kind=of(mass_kg=3_000.0))
    >>> view = SimpleNamespace(price=SimpleNamespace(amount=6_000.0), gains=np.full((1, 3), 7e3),
    ...     settled=SimpleNamespace(k=1.16, exchange=1.0, step=10.0), best=0,
    ...     chooser=SimpleNamespace(prospects=(one,)))
    >>> terms = Terms(lot="14", sale="fixed_price", asking=4_000)
    >>> going(view, SimpleNamespace(terms=terms)).paid.tolist()
    [4000.0, 4000.0, 4000.0]
    """
    if view.price.amount <= 0:
        worlds = view.gains.shape[1]
        return Going(np.zeros(worlds), np.zeros(worlds))
    return Sale(view, case).up_to(view.price.amount)


def _prices(view: View, case: LotCase, others: Rivals) -> Floats:
    """The least hammer price at which it is ours, shape (worlds or 1, equally likely places)."""
    terms = case.terms
    asking = None if terms.asking is None else float(terms.asking)
    if terms.sale == "fixed_price" and asking is not None:
        return np.full((1, 1), asking)
    if terms.sale == "ascending":
        standing = 0.0 if terms.bid_now is None else float(terms.bid_now)
        price = np.maximum(highest(others, others.count), standing) + view.settled.step
        return np.maximum(price, asking or 0.0)
    price = highest(others, 1)
    return price if asking is None else np.minimum(price, asking)


def _sealed_share(view: View, others: Rivals) -> float:
    """The sealed bid by the price not to go above."""
    most, settled = view.price.amount, view.settled
    if most <= 0:
        return 1.0
    gain = view.gains[view.best]
    chosen = sealed_bid(gain, others, k=settled.k, step=settled.step, ceiling=most)
    return chosen.bid / most


def others_seen(view: View, case: LotCase) -> Rivals:
    """What the others may be bidding for a lot that nobody has been asked about.

    Nobody knows here what it is worth to them: they pay a share of what such machines bring as
    found. Each errs by himself, and all of them see some of the truth.

    Parameters
    ----------
    view : View
    case : LotCase

    Returns
    -------
    Rivals
        Values in the lot's currency, at the hammer, in the worlds of the view.

    Notes
    -----
    The logarithm of an estimate scatters as in `cases.bidding`. A part of it, ``SEEN`` squared of
    its variance, follows the rank of the world among all by what the lot is worth to us. However
    old it is: a middling rival goes as far as it brings by weight.

    References
    ----------
    Correlated by ranks: Iman and Conover 1982, A distribution-free approach to inducing rank
    correlation among input variables, Communications in Statistics B 11(3).

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.records.facts import Terms
    >>> of = SimpleNamespace
    >>> one = of(resale=lambda state: np.full(3, 5_800.0),
    ...     machine=of(mass_kg=2_000.0), kind=of(mass_kg=3_000.0))
    >>> view = SimpleNamespace(settled=SimpleNamespace(k=1.16, exchange=1.0, step=10.0), best=0,
    ...     gains=np.array([[1.0, 3.0, 2.0]]), chooser=SimpleNamespace(prospects=(one,)))
    >>> others = others_seen(view, SimpleNamespace(terms=Terms(lot="14")))
    >>> others.value.round().tolist(), others.count
    ([4022.0, 6216.0, 5000.0], 3)
    """
    settled = view.settled
    money = settled.k * settled.exchange
    market = sum(one.resale(AS_FOUND) for one in view.chooser.prospects) / money
    least = sum(map(by_weight, view.chooser.prospects)) / money / RIVAL_SHARE
    seen = np.exp(RIVAL_LOG_SD * SEEN * _scores(view.gains[view.best]))
    return Rivals(
        value=np.maximum(market * seen, max(least, settled.step)),
        share=RIVAL_SHARE,
        log_sd=RIVAL_LOG_SD * float(np.sqrt(1.0 - SEEN**2)),
        count=case.terms.rivals or RIVALS,
    )


def by_weight(prospect: Prospect) -> float:
    """What a machine brings as scrap, in the shop's currency.

    Parameters
    ----------
    prospect : Prospect

    Returns
    -------
    float
        By the price of scrap that selling it in parts is counted with.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> of = SimpleNamespace
    >>> round(by_weight(of(machine=of(mass_kg=None), kind=of(mass_kg=4_200.0))))
    840
    """
    return (prospect.machine.mass_kg or prospect.kind.mass_kg) * SCRAP_PER_KG


def _scores(gains: Floats) -> Floats:
    """The standard normal quantile of each world's rank."""
    scores = np.empty(len(gains))
    ranks = (np.arange(len(gains)) + 0.5) / len(gains)
    scores[np.argsort(gains, kind="stable")] = inverse_normal(ranks)
    return scores


def highest(others: Rivals, count: int) -> Floats:
    """Where the highest of some rivals stops.

    Parameters
    ----------
    others : Rivals
    count : int
        How many of them bid.

    Returns
    -------
    ndarray, shape (worlds, points), money
        Equally likely places in each world.

    References
    ----------
    Distribution of the largest of n: David and Nagaraja 2003, Order Statistics, section 2.1.

    Examples
    --------
    >>> one = highest(Rivals(np.array([8_000.0]), share=0.75, log_sd=0.45, count=3), 1)
    >>> round(float(np.median(one)))
    6000
    """
    middles = (np.arange(POINTS) + 0.5) / POINTS
    reach = others.share * np.exp(others.log_sd * inverse_normal(middles ** (1.0 / count)))
    return np.asarray(np.multiply.outer(others.value, reach))
