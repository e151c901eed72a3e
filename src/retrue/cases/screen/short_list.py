"""From a screened catalogue to bids: the lots that are looked at closely, and the bids on them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.screen.bid_plan import BidPlan, Ended, Limits, choose_bids
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.stakes import WORLDS, stake_of
from retrue.cases.screen.worthy import is_worthy
from retrue.kinds.library import Kind

LOTS = 20


def short_list(
    rows: Sequence[ScreenedLot],
    *,
    lots: int = LOTS,
    only: Sequence[str] = (),
    ended: Sequence[Ended] = (),
) -> tuple[ScreenedLot, ...]:
    """The lots that bids are chosen from.

    Parameters
    ----------
    rows : sequence of ScreenedLot
        Best first.
    lots : int
        How many of those worth a bid.
    only : sequence of str
        Numbers; none: the best.
    ended : sequence of Ended
        What has gone is always among them.

    Returns
    -------
    tuple of ScreenedLot
        In the order of ``rows``.

    Raises
    ------
    Unusable
        A number that no lot has.

    Examples
    --------
    >>> short_list(())
    ()
    """
    gone = {one.number for one in ended}
    _known(rows, only, ended)
    wanted = [row for row in rows if is_worthy(row) and row.number not in gone]
    if only:
        wanted = [row for row in rows if row.number in set(only) - gone]
    kept = {row.number for row in wanted[: len(wanted) if only else lots]} | gone
    return tuple(row for row in rows if row.number in kept)


def plan_bids(
    listing: Listing,
    rows: Sequence[ScreenedLot],
    kinds: Mapping[str, Kind],
    limits: Limits,
    *,
    ended: Sequence[Ended] = (),
    lots: int = LOTS,
    only: Sequence[str] = (),
    seed: int = 7,
    worlds: int = WORLDS,
    tell: Callable[[int, int], None] = lambda done, of: None,
) -> BidPlan:
    """Choose bids from a screened catalogue.

    Parameters
    ----------
    listing : Listing
    rows : sequence of ScreenedLot
        Best first, of the same listing.
    kinds : mapping of kind id to Kind
    limits : Limits
    ended, lots, only
        As in `short_list`.
    seed, worlds : int
        Of the sum; half of the worlds are chosen on, half are held against it.
    tell : callable
        Is told how many lots are drawn, and of how many.

    Returns
    -------
    BidPlan

    Raises
    ------
    Unusable
        As in `short_list` and `choose_bids`.
    """
    listed = {lot.number: lot for lot in listing.lots}
    few = short_list(rows, lots=lots, only=only, ended=ended)
    stakes = []
    for done, row in enumerate(few):
        tell(done, len(few))
        lot, most = listed[row.number], row.walk_away
        stakes.append(stake_of(lot, kinds, seed=seed, worlds=worlds, ceiling=most))
    tell(len(few), len(few))
    money = next((lot.case.shop.currency for lot in listing.lots if lot.case is not None), "")
    return choose_bids(stakes, limits, ended, seed=seed, currency=money)


def _known(rows: Sequence[ScreenedLot], only: Sequence[str], ended: Sequence[Ended]) -> None:
    numbers = {row.number for row in rows}
    asked = [("only", number) for number in only]
    asked += [("won" if one.won else "lost", one.number) for one in ended]
    remedy = say("Write its number as the catalogue does.")
    wrong = [
        Problem(field, say("no lot has the number {number}", number=number), remedy)
        for field, number in asked
        if number not in numbers
    ]
    if wrong:
        raise Unusable(wrong[0].what, remedy=remedy, problems=tuple(wrong))
