"""What several bids of one sale may take together, and which bids that makes the best."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Unpack

import msgspec

from retrue.base.refusals import Overtaken
from retrue.base.say import english, reader
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.rank import ranked
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.worthy import is_worthy
from retrue.kinds.library import Kind
from retrue.phases.worth.screen_bidders import Came, came_of_lots
from retrue.phases.worth.screen_ids import named, standing
from retrue.phases.worth.screen_state import ScreenState, state_of
from retrue.phases.worth.screen_work import SEED
from retrue.phases.worth.screening import catalogue_id, currency_of, library_of, listing_of
from retrue.records.hand import Hand
from retrue.records.screening import Budget, Catalogue
from retrue.records.sending import same_or_kept
from retrue.records.shop import Record, RecordShop

if TYPE_CHECKING:
    from retrue.cases.screen.bid_plan import BidPlan, Limits
    from retrue.cases.screen.stakes import Stake

SHORT_LIST = 20  # lots that bids are chosen among, where nobody says how many


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
    from retrue.cases.screen.bid_plan import Ended, choose_bids

    seed = state.begun.fact.seed if state.begun else SEED
    rows = {row.number: row for row in state.rows}
    wanted = set(_short_list(state.rows, budget)) | {n for n, end in came.items() if _won(end)}
    lots = [one for one in listing_of(shop, state.id, kinds).lots if one.number in wanted]
    stakes = [_stake(one, rows.get(one.number), kinds, seed) for one in lots]
    priced = {stake.number for stake in stakes if stake.candidate is not None}
    ended = [
        Ended(number=number, won=_won(end), amount=float(end.amount or 0))
        for number, end in sorted(came.items())
        if number in wanted and (number in priced or not _won(end))
    ]
    spent = sum(_spent(shop, state, came, {one.number for one in lots} - priced), Decimal(0))
    return choose_bids(stakes, _limits(budget, spent), ended, seed=seed)


def _stake(
    listed: ListedLot, row: ScreenedLot | None, kinds: Mapping[str, Kind], seed: int
) -> Stake:
    from retrue.cases.screen.stakes import stake_of

    return stake_of(listed, kinds, seed=seed, ceiling=row.walk_away if row else None)


def _short_list(rows: Sequence[ScreenedLot], budget: Budget) -> tuple[str, ...]:
    """The lots that were named; else the best."""
    if budget.only:
        return budget.only
    best = [row.number for row in ranked(rows) if is_worthy(row)]
    return tuple(best[: budget.short_list or SHORT_LIST])


def _limits(budget: Budget, spent: Decimal) -> Limits:
    from retrue.cases.screen.bid_plan import ODDS, Limits

    money = None if budget.money is None else float(max(budget.money - spent, Decimal(0)))
    odds = ODDS if budget.odds is None else budget.odds
    return Limits(money=money, floor_m2=budget.floor_m2, hours=budget.hours, odds=odds)


def _won(end: Came) -> bool:
    return end.result == "won"


def _spent(
    shop: RecordShop, state: ScreenState, came: Mapping[str, Came], unpriced: set[str]
) -> Iterator[Decimal]:
    """What was paid for lots that are no machine, in the shop's currency, at the hammer."""
    fact: Catalogue = state.record.fact
    rates = dict(zip(fact.rate_currencies, fact.rates, strict=True))
    for number in unpriced:
        end = came.get(number)
        if end is not None and _won(end):
            rate = rates.get(currency_of(shop, state.id), Decimal(1))
            yield (end.amount or Decimal(0)) * rate
