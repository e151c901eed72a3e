"""Who bids on which lot of a catalogue, up to what, and what came of it: one person a lot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal, Unpack

from retrue.base import formatter
from retrue.base.refusals import NotYet, Overtaken, Problem, Unknown
from retrue.base.say import say
from retrue.kinds.library import Kind
from retrue.phases.worth.close import outcome
from retrue.phases.worth.screen_ids import named, standing
from retrue.phases.worth.screen_state import row_of
from retrue.phases.worth.screening import catalogue_id, currency_of, listing_of, lot_of
from retrue.records.facts import Outcome, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.screening import Bidder, RowTaken
from retrue.records.sending import same_or_kept, sent_before
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class Came:
    """What came of a lot of a catalogue.

    Attributes
    ----------
    result : str
        won, lost.
    amount : Decimal or None
        The hammer price at which it went, in the lot's currency.
    """

    result: Literal["won", "lost"]
    amount: Decimal | None


def bidders_of(shop: RecordShop, catalogue: str) -> Mapping[str, Record[Bidder]]:
    """Who bids, by the number of the lot.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Name or id.

    Returns
    -------
    mapping of str to Record of Bidder
    """
    home = catalogue_id(shop, catalogue)
    return {one.fact.number: one for one in shop.current(Bidder, catalogue=home)}


def who_bids(
    shop: RecordShop,
    catalogue: str,
    number: str,
    limit: Decimal | None,
    kinds: Mapping[str, Kind],
    *,
    text: str = "",
    who: str = "",
    **hand: Unpack[Hand],
) -> Record[Bidder]:
    """Say that somebody bids on a lot, so that nobody of the same shop bids against him.

    Parameters
    ----------
    shop : RecordShop
    catalogue, number : str
    limit : Decimal or None
        Hammer price up to which he goes, in the lot's currency; None: he has not said.
    kinds : mapping of str to Kind
    text : str
        Why the limit rises, or is above the price not to go above.
    who : str
        Who bids; empty: whose hand this is.
    **hand : Hand

    Returns
    -------
    Record of Bidder
        Said twice, it is one; another limit takes the place of the first.

    Raises
    ------
    Overtaken
        Somebody else bids on it, who is named; or the lot is over.
    NotYet
        The limit rises, or is above the price not to go above, and nobody says why.
    Unknown
        No such catalogue or lot.
    """
    home = catalogue_id(shop, catalogue)
    listed = lot_of(listing_of(shop, home, kinds), number)
    currency = listed.case.lot.currency if listed.case else currency_of(shop, home)
    fact = Bidder(catalogue=home, number=number, who=who.strip() or hand["by"], limit=limit,
                  currency=currency, text=text.strip())  # fmt: skip
    first, old = standing(shop, Bidder, home, number)
    if old is not None:
        _refuse_other(old, fact)
    _refuse_limit(shop, fact, old.fact if old else None)
    if old is None:
        try:
            return shop.add(fact, **named(hand, first))
        except Overtaken:  # somebody else in the moment between
            old = standing(shop, Bidder, home, number)[1]
    if old is None:
        raise _gone(number)
    _refuse_other(old, fact)
    return same_or_kept(shop, fact, old, without_id(hand))


def give_up_bid(
    shop: RecordShop, catalogue: str, number: str, *, text: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Let a lot go, so that somebody else may bid on it.

    Parameters
    ----------
    shop : RecordShop
    catalogue, number : str
    text : str
        Why; needed where somebody else bids on it.
    **hand : Hand

    Returns
    -------
    Record of Withdrawn

    Raises
    ------
    Unknown
        Nobody bids on it.
    NotYet
        Somebody else bids on it, and nobody says why it is taken from him; or it is over.
    """
    gone = Withdrawn(of_kind=Bidder.KIND, reason=text.strip())
    if (sent := sent_before(shop, gone, hand)) is not None:
        return sent
    old = bidders_of(shop, catalogue).get(number)
    if old is None:
        raise Unknown(
            say("nobody bids on lot {number}", number=number),
            remedy=say("Open the list again; perhaps it was given up already."),
        )
    if old.fact.result:
        raise NotYet(
            say("lot {number} is over", number=number),
            remedy=say("If that was wrong, take the result back among what was kept."),
        )
    if old.fact.who != hand["by"] and not text.strip():
        raise NotYet(
            say("{who} bids on lot {number}", who=old.fact.who, number=number),
            remedy=say("Ask him first; then say why it is taken from him."),
            problems=(Problem("text", say("is empty"), say("Say why.")),),
        )
    return shop.add(gone, replaces=old.id, **hand)


def bid_ended(
    shop: RecordShop,
    catalogue: str,
    number: str,
    result: Literal["won", "lost"],
    amount: Decimal | None = None,
    *,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[Bidder] | Record[Outcome]:
    """Say what came of a lot: of one that was taken into my lots it is kept there.

    Parameters
    ----------
    shop : RecordShop
    catalogue, number : str
    result : str
        won, lost.
    amount : Decimal or None
        The hammer price at which it went; needed for won.
    text : str
    **hand : Hand

    Returns
    -------
    Record of Bidder or Outcome
        A second word takes the place of the first.

    Raises
    ------
    Unusable
        Won, and no amount.
    NotYet
        It was told otherwise before, and nobody says why.
    """
    home = catalogue_id(shop, catalogue)
    _refuse_turned(shop, home, number, result, text, hand)
    taken = shop.current(RowTaken, catalogue=home, number=number)
    if taken:
        return outcome(shop, taken[-1].fact.lot, result, amount=amount, text=text, **hand)
    first, old = standing(shop, Bidder, home, number)
    if old is None:
        row = row_of(shop, home, number)
        fact = Bidder(catalogue=home, number=number, who=hand["by"], result=result, amount=amount,
                      currency=row.currency if row and row.currency else currency_of(shop, home),
                      text=text.strip())  # fmt: skip
        return shop.add(fact, **named(hand, first))
    fact = replace(old.fact, result=result, amount=amount, text=text.strip() or old.fact.text)
    return same_or_kept(shop, fact, old, hand)


def came_of_lots(shop: RecordShop, catalogue: str) -> Mapping[str, Came]:
    """What came of the lots of a catalogue, by number; those not told of are left out.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Name or id.

    Returns
    -------
    mapping of str to Came
        Of a lot in my lots what is kept there; walked away from is lost.
    """
    home = catalogue_id(shop, catalogue)
    came: dict[str, Came] = {}
    for one in shop.current(Bidder, catalogue=home):
        if one.fact.result:
            came[one.fact.number] = Came(one.fact.result, one.fact.amount)
    lots = {one.fact.lot: one.fact.number for one in shop.current(RowTaken, catalogue=home)}
    for end in shop.current(Outcome) if lots else ():
        if end.fact.lot in lots:
            result: Literal["won", "lost"] = "won" if end.fact.result == "won" else "lost"
            came[lots[end.fact.lot]] = Came(result, end.fact.amount)
    return came


def _refuse_turned(
    shop: RecordShop, home: str, number: str, result: str, text: str, hand: Hand
) -> None:
    """Refuse a lost lot that becomes a won one, or back, without a word; not what comes twice."""
    was = came_of_lots(shop, home).get(number)
    if was is None or was.result == result or text.strip() or _is_known(shop, hand):
        return
    told = {"won": say("won"), "lost": say("lost")}
    raise NotYet(
        say("lot {number} was told as {was}", number=number, was=told[was.result]),
        remedy=say("Say why it is otherwise; at the keyboard with --why."),
        problems=(Problem("text", say("is empty"), say("Say why.")),),
    )


def _is_known(shop: RecordShop, hand: Hand) -> bool:
    """Whether this very sending was kept already."""
    if "id" not in hand:
        return False
    try:
        return bool(shop.history(hand["id"]))
    except Unknown:
        return False


def _refuse_limit(shop: RecordShop, fact: Bidder, before: Bidder | None) -> None:
    """Refuse a limit that rises, or goes above the price, without a word."""
    if fact.limit is None or fact.text:
        return
    bound = before.limit if before and before.who == fact.who else None
    if bound is None:
        row = row_of(shop, fact.catalogue, fact.number)
        price = row.walk_away if row else None
        bound = None if price is None else Decimal(repr(price))
    if bound is not None and fact.limit > bound:
        raise NotYet(
            say("the limit would be {new}, above {old}",
                new=formatter.money(fact.limit, fact.currency),
                old=formatter.money(bound, fact.currency)),
            remedy=say("Type the reason; what stands is kept beside it."),
            problems=(Problem("text", say("is empty"), say("Say why.")),),
        )  # fmt: skip


def _refuse_other(old: Record[Bidder], fact: Bidder) -> None:
    if old.fact.result:
        raise Overtaken(
            say("lot {number} is over", number=fact.number),
            remedy=say("Open the list again: it says what came of it."),
        )
    if old.fact.who != fact.who:
        raise Overtaken(
            say("{who} bids on lot {number}", who=old.fact.who, number=fact.number),
            remedy=say("Leave it to him, or let him give it up first."),
        )


def _gone(number: str) -> Overtaken:
    return Overtaken(
        say("somebody else spoke of lot {number} at the same moment", number=number),
        remedy=say("Open the list again, and say it once more."),
    )
