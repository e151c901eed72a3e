"""What several bids of one sale may take together, and which bids that makes the best."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Unpack

import msgspec

from retrue.base.refusals import Overtaken
from retrue.base.say import english, reader
from retrue.cases.screen.rank import ranked
from retrue.kinds.library import Kind
from retrue.phases.worth.screen_bidders import Came, came_of_lots
from retrue.phases.worth.screen_ids import named, standing
from retrue.phases.worth.screen_state import ScreenState, state_of
from retrue.phases.worth.screen_work import SEED
from retrue.phases.worth.screening import catalogue_id, currency_of, library_of, listing_of
from retrue.records.hand import Hand
from retrue.records.screening import Budget
from retrue.records.sending import same_or_kept
from retrue.records.shop import Record, RecordShop

if TYPE_CHECKING:
    from retrue.cases.screen.bid_plan import BidPlan, Limits


def budget_of(shop: RecordShop, catalogue: str) -> Record[Budget] | None:
    """What the bids of a sale may take together; None: nobody has said.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Name or id.

    Returns
    -------
    Record of Budget or None
    """
    return standing(shop, Budget, catalogue_id(shop, catalogue))[1]


def set_budget(
    shop: RecordShop, catalogue: str, said: Budget, **hand: Unpack[Hand]
) -> Record[Budget]:
    """Say what the bids of a sale may take together.

    Parameters
    ----------
    shop : RecordShop
    catalogue : str
        Name or id.
    said : Budget
        Its ``catalogue`` is set here.
    **hand : Hand

    Returns
    -------
    Record of Budget
        It takes the place of what stood; the same again is the one that stands.

    Raises
    ------
    Unusable
        A figure that cannot be.
    Overtaken
        Somebody else said otherwise at the same moment.
    """
    home = catalogue_id(shop, catalogue)
    fact = replace(said, catalogue=home)
    first, old = standing(shop, Budget, home)
    if old is not None:
        return same_or_kept(shop, fact, old, hand)
    try:
        return shop.add(fact, **named(hand, first))
    except Overtaken:  # somebody else said it first
        old = standing(shop, Budget, home)[1]
        if old is None or old.fact != fact:
            raise
        return old


def plan_of(shop: RecordShop, catalogue: str, kinds: Mapping[str, Kind]) -> BidPlan | None:
    """Which bids are the best within the budget, after what was won and lost.

    Parameters
    ----------
    shop : RecordShop
        It is only read; what was chosen is remembered by all it hangs on.
    catalogue : str
        Name or id.
    kinds : mapping of str to Kind

    Returns
    -------
    BidPlan or None
        In the words of who reads. None: nobody has said a budget, or nothing is screened yet.
    """
    # Only bids that are chosen together need what solves them; nothing else shall wait for it.
    from retrue.cases.screen.bid_plan import BidPlan

    budget, state = budget_of(shop, catalogue), state_of(shop, catalogue)
    if budget is None or not state.rows or state.begun is None:
        return None
    came = came_of_lots(shop, state.id)
    key = _key(state, budget.fact, came)
    known = shop.recall(key)
    if known is not None:
        with suppress(msgspec.DecodeError):  # of another version: it is worked out again
            return msgspec.json.decode(known, type=BidPlan)
    plan = _chosen(shop, state, budget.fact, came, library_of(shop, kinds))
    shop.remember(key, msgspec.json.encode(plan, enc_hook=english))
    return plan


def _key(state: ScreenState, budget: Budget, came: Mapping[str, Came]) -> str:
    assert state.begun is not None
    whole = [state.begun.fact.key, state.done, budget, sorted(came.items()), reader()]
    told = msgspec.json.encode(whole, enc_hook=english, order="sorted")
    return "bids " + hashlib.sha256(told).hexdigest()


def _chosen(
    shop: RecordShop,
    state: ScreenState,
    budget: Budget,
    came: Mapping[str, Came],
    kinds: Mapping[str, Kind],
) -> BidPlan:
    from retrue.cases.screen.bid_plan import Ended
    from retrue.cases.screen.short_list import LOTS, plan_bids

    priced = {row.number for row in state.rows if row.walk_away is not None}
    ended = [
        Ended(number=number, won=end.result == "won", amount=float(end.amount or 0))
        for number, end in sorted(came.items())
        if number in priced
    ]
    others = {number: end for number, end in came.items() if number not in priced}
    limits = _limits(budget, _spent(shop, state, others))
    return plan_bids(
        listing_of(shop, state.id, kinds), ranked(state.rows), kinds, limits, ended=ended,
        lots=budget.short_list or LOTS, only=budget.only,
        seed=state.begun.fact.seed if state.begun else SEED,
    )  # fmt: skip


def _limits(budget: Budget, spent: Decimal) -> Limits:
    from retrue.cases.screen.bid_plan import ODDS, Limits

    money = None if budget.money is None else float(max(budget.money - spent, Decimal(0)))
    odds = ODDS if budget.odds is None else budget.odds
    return Limits(money=money, floor_m2=budget.floor_m2, hours=budget.hours, odds=odds)


def _spent(shop: RecordShop, state: ScreenState, came: Mapping[str, Came]) -> Decimal:
    """What was paid for lots that are no machine, in the shop's currency, at the hammer."""
    fact = state.record.fact
    rates = dict(zip(fact.rate_currencies, fact.rates, strict=True))
    rate = rates.get(currency_of(shop, state.id), Decimal(1))
    paid = (end.amount or Decimal(0) for end in came.values() if end.result == "won")
    return sum(paid, Decimal(0)) * rate
