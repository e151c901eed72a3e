"""How to bid: what to write down or stop at for this sort of sale, and one line of warning."""

from __future__ import annotations

import numpy as np

from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.sheet import BidRow
from retrue.cases.view import View
from retrue.choose.bids import Rivals, pivot_price, sealed_bid
from retrue.choose.walkaway import down_to_step

# Common practice, judgement, no source: rivals see much of what we see.
RIVALS = 3
RIVAL_SHARE = 0.75  # of what the lot is worth to us, a dealer would pay
RIVAL_LOG_SD = 0.45
OPENING_SHARE = 0.6  # of the most to pay, as a first offer


def bid_row(view: View | None, case: LotCase, amount: float | None) -> BidRow:
    """What to do at this sale, never above the walk-away price.

    Parameters
    ----------
    view : View or None
        None where no price was made.
    case : LotCase
    amount : float or None
        The price not to go above, in the lot's currency.

    Returns
    -------
    BidRow

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=())
    >>> bid_row(None, case, None).says
    'do not bid'
    """
    sale = case.terms.sale
    if view is None or not amount:
        return BidRow(sale=sale, bid=None, opening=None, says=say("do not bid"), warning="")
    if sale == "fixed_price":
        return _fixed(view, case, amount)
    if sale == "offer":
        opening = down_to_step(amount * OPENING_SHARE, view.settled.step)
        words = say(
            "open at {opening}, go up to {most} and no further",
            opening=money(opening, case.lot.currency),
            most=money(amount, case.lot.currency),
        )
        return BidRow(sale=sale, bid=amount, opening=opening, says=words, warning="")
    if sale == "sealed":
        return _sealed(view, case, amount)
    words = say("bid in steps, stop at {most}", most=money(amount, case.lot.currency))
    return BidRow(sale=sale, bid=amount, opening=None, says=words, warning=_warning(view, case))


def _fixed(view: View, case: LotCase, amount: float) -> BidRow:
    asking = view.settled.asking
    if asking is None:
        words = say(
            "ask the price; pay it only if it is not above {most}",
            most=money(amount, case.lot.currency),
        )
        return BidRow(sale="fixed_price", bid=None, opening=None, says=words, warning="")
    buys = asking <= amount
    words = (
        say("the price asked is not above yours: buy, after what must be cleared first")
        if buys
        else say("the price asked is above yours: do not buy")
    )
    return BidRow(
        sale="fixed_price", bid=asking if buys else None, opening=None, says=words, warning=""
    )


def rivals(view: View, case: LotCase) -> Rivals:
    """What others may be bidding: a share of what it is worth to us, each with his own error.

    Parameters
    ----------
    view : View
    case : LotCase

    Returns
    -------
    Rivals
        Values in the lot's currency, at the hammer, in the worlds of the view.
    """
    worth = np.maximum(view.gains[view.best] / view.settled.k, view.settled.step)
    return Rivals(
        value=worth, share=RIVAL_SHARE, log_sd=RIVAL_LOG_SD, count=case.terms.rivals or RIVALS
    )


def _sealed(view: View, case: LotCase, amount: float) -> BidRow:
    settled = view.settled
    chosen = sealed_bid(
        view.gains[view.best], rivals(view, case), k=settled.k, step=settled.step, ceiling=amount
    )
    words = say(
        "write down {bid}; it wins {odds} times in ten, if others see what we think they see",
        bid=money(chosen.bid, case.lot.currency),
        odds=round(10 * chosen.wins),
    )
    return BidRow(
        sale="sealed", bid=chosen.bid, opening=None, says=words, warning=_warning(view, case)
    )


def _warning(view: View, case: LotCase) -> str:
    """The last bidder left asks what the others saw."""
    settled = view.settled
    pivot = pivot_price(
        view.gains[view.best],
        rivals(view, case),
        k=settled.k,
        step=settled.step,
        ceiling=view.price.amount,
    )
    if pivot >= view.price.amount:
        return say("If you are the last one bidding, ask why.")
    return say(
        "If you are the last one bidding, ask why: if the others stopped because of what they saw, "
        "do not go above {pivot}.",
        pivot=money(pivot, case.lot.currency),
    )
