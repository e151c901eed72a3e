"""What the others do at a sale: where the last of them stops, and what a bid then pays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.cases.case import LotCase
from retrue.cases.landing import SPARE
from retrue.cases.screen.price_seen import others_seen
from retrue.cases.view import View
from retrue.choose.normal import inverse_normal

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Common practice, judgement, no source: on some days a whole hall is keener than on others.
APPETITE_LOG_SD = 0.25


@dataclass(frozen=True, slots=True, eq=False)
class Others:
    """What it would take to have a lot, in every world. Money in the lot's currency.

    Attributes
    ----------
    price : ndarray, shape (worlds,)
        The least hammer price at which it is ours.
    pays_bid : bool
        Whether the bid itself is paid, as in a sealed sale; else that least price.
    """

    price: Floats
    pays_bid: bool

    def meet(self, bid: float) -> tuple[Bools, Floats]:
        """Where a bid wins, and the hammer price it then pays.

        Parameters
        ----------
        bid : float
            The most that is bid, money.

        Returns
        -------
        tuple of two ndarray, shape (worlds,)
            Won or not; hammer price, money, never above the bid.

        Examples
        --------
        >>> won, paid = Others(np.array([490.0, 910.0]), pays_bid=False).meet(800.0)
        >>> won.tolist(), paid.tolist()
        ([True, False], [490.0, 800.0])
        """
        won = self.price <= bid
        return won, np.full(len(won), bid) if self.pays_bid else np.minimum(self.price, bid)


def others_at(view: View, case: LotCase) -> Others:
    """What the others do over one lot, in every world.

    They are those of ``cases.screen.price_seen``. Here a part of what they err by is how keen all
    of them are at this sale: it is the same for all lots, so that several bids win together more
    often than each for itself. The middle of where the highest stops is as there.

    Parameters
    ----------
    view : View
        The lot as valued; its drawer says what is common to the sale.
    case : LotCase
        Its terms: sort of sale, rivals counted, the bid that stands, the price asked.

    Returns
    -------
    Others

    Notes
    -----
    The sorts of sale are as there: an ascending sale costs a step more
    than the last of the others or the bid that stands, never less than where it begins; a sealed
    one costs the own bid; a fixed price is what is asked; of an offer, or where no price is asked,
    the seller is taken as one who gives way at what one rival would pay.

    References
    ----------
    The largest of n: David and Nagaraja 2003, Order Statistics, section 2.1.
    """
    sale, step = case.terms.sale, view.settled.step
    asking = None if case.terms.asking is None else float(case.terms.asking)
    if sale == "fixed_price" and asking is not None:
        return Others(np.full(view.gains.shape[1], asking), pays_bid=False)
    if sale == "sealed":
        return Others(_highest(view, case, others_seen(view, case).count) + step, pays_bid=True)
    if sale == "ascending":
        stands = 0.0 if case.terms.bid_now is None else float(case.terms.bid_now)
        price = np.maximum(_highest(view, case, others_seen(view, case).count), stands) + step
        return Others(np.maximum(price, asking or 0.0), pays_bid=False)
    price = _highest(view, case, 1)
    return Others(price if asking is None else np.minimum(price, asking), pays_bid=False)


def _highest(view: View, case: LotCase, count: int) -> Floats:
    """Where the highest of some rivals stops; what one of them may err is partly common to all.

    As often as not it is above what it would be if none of it were.
    """
    others, drawer = others_seen(view, case), view.stage.drawer
    chance = (drawer.bits(SPARE, "highest rival").astype(np.float64) + 0.5) / 65536
    own = (others.log_sd**2 - APPETITE_LOG_SD**2) ** 0.5
    middle = (others.log_sd - own) * float(inverse_normal(0.5 ** (1.0 / count)))
    luck = np.exp(own * inverse_normal(chance ** (1.0 / count)) + middle)
    appetite = drawer.lognormal(SPARE, "appetite", APPETITE_LOG_SD)
    return np.asarray(others.value * others.share * appetite * luck)
