"""The end of looking: cost lines of one's own, the frozen number, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Literal, Unpack

from retrue.base import formatter
from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.known import line_doubts
from retrue.cases.sheet import PriceSheet
from retrue.cases.sheet_json import to_json
from retrue.kinds.library import Kind
from retrue.phases.worth.lots import view_lot
from retrue.phases.worth.pricing import SEED, WORLDS, price
from retrue.records.facts import CostLine, Frozen, Outcome
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

DANGERS = 3


def overtype(
    shop: RecordShop,
    lot: str,
    line: str,
    amount: Decimal,
    reason: str,
    kinds: Mapping[str, Kind],
    *,
    machine: str | None = None,
    hours: float | None = None,
    days: float | None = None,
    **hand: Unpack[Hand],
) -> Record[CostLine]:
    """Put your own figure in place of a cost line, with the reason ("I know a winder").

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    line : str
        A cost (E11), a way of putting right (F15:local), or a job (J24).
    amount : Decimal
        In the shop's currency.
    reason : str
        Refused without one.
    kinds : mapping of str to Kind
        The library.
    machine : str or None
        None: the whole lot.
    hours, days : float or None
        Own hours and waiting days, if they are known too.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of CostLine
        A second figure for the same line takes the place of the first.

    Raises
    ------
    Unusable
        No reason, a negative figure, or no such line.
    """
    view = view_lot(shop, lot)
    key = view.machine_id(machine) if machine else None
    fact = CostLine(
        lot=view.id,
        machine=key,
        line=line,
        amount=amount,
        hours=hours,
        days=days,
        reason=reason.strip(),
    )
    mine = [kinds[record.fact.kind] for at, record in view.machines if key in (None, at)]
    _refuse([Problem(d.field, d.what, d.remedy) for d in line_doubts(fact, mine)])
    old = shop.current(CostLine, lot=view.id, machine=key, line=line)
    if old and old[-1].fact == fact:
        return old[-1]
    return shop.add(fact, replaces=old[-1].id if old else None, **hand)


def freeze(
    shop: RecordShop,
    lot: str,
    kinds: Mapping[str, Kind],
    *,
    reason: str = "",
    seed: int = SEED,
    worlds: int = WORLDS,
    **hand: Unpack[Hand],
) -> Record[Frozen]:
    """Fix the number before the bidding; it never rises without a typed reason.

    Parameters
    ----------
    shop : RecordShop
        Where the lot is kept.
    lot : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    reason : str
        Why it may rise.
    seed, worlds : int
        Printed on the sheet.
    **hand : Hand
        Who freezes it.

    Returns
    -------
    Record of Frozen
        Three numbers (hammer, all in, chance of being sorry), three dangers, the whole sheet.
        Frozen again with nothing changed, the one that stands.

    Raises
    ------
    NotYet
        It would rise and no reason was typed; or there is no price to freeze.
    """
    view = view_lot(shop, lot)
    fact = frozen_number(view.id, price(shop, view.id, kinds, seed=seed, worlds=worlds), reason)
    stands = frozen(shop, view.id)
    if stands is None:
        return shop.add(fact, **hand)
    if stands.fact.sheet == fact.sheet:
        return stands
    if fact.hammer > stands.fact.hammer and not fact.reason:
        currency = view.record.fact.currency
        raise NotYet(
            say(
                "the frozen number would rise from {old} to {new}",
                old=formatter.money(stands.fact.hammer, currency),
                new=formatter.money(fact.hammer, currency),
            ),
            remedy=say("Type the reason; the number that stands is kept beside it."),
        )
    return shop.add(fact, replaces=stands.id, **hand)


def frozen(shop: RecordShop, lot: str) -> Record[Frozen] | None:
    """The number that stands, or None."""
    kept = shop.current(Frozen, lot=view_lot(shop, lot).id)
    return kept[-1] if kept else None


def outcome(
    shop: RecordShop,
    lot: str,
    result: Literal["won", "lost", "walked"],
    *,
    amount: Decimal | None = None,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[Outcome]:
    """Keep what came of it: won at, lost at, or walked away.

    Parameters
    ----------
    shop : RecordShop
        Where the lot is kept.
    lot : str
        Name or id.
    result : str
        won, lost, walked.
    amount : Decimal or None
        The hammer price at which it went; needed for won.
    text : str
        One sentence, if there is one.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of Outcome
        A second word takes the place of the first.

    Raises
    ------
    Unusable
        Won, and no amount.
    """
    view = view_lot(shop, lot)
    if result == "won" and amount is None:
        what = say("is missing: at what hammer price was it won?")
        _refuse([Problem("amount", what, say("Type the hammer price."))])
    fact = Outcome(lot=view.id, result=result, amount=amount, text=text.strip())
    old = shop.current(Outcome, lot=view.id)
    if old and old[-1].fact == fact:
        return old[-1]
    return shop.add(fact, replaces=old[-1].id if old else None, **hand)


def dangers(sheet: PriceSheet, count: int = DANGERS) -> tuple[str, ...]:
    """The faults that carry the most money in the number, in words.

    Parameters
    ----------
    sheet : PriceSheet
        As priced.
    count : int
        How many.

    Returns
    -------
    tuple of str
        Machine, fault, odds, and what it costs on average where it is there.
    """
    suspects = [(machine.name, one) for machine in sheet.machines for one in machine.suspects]
    suspects.sort(key=lambda pair: (-pair[1].now * pair[1].money, pair[0], pair[1].fault))
    return tuple(
        say(
            "{machine}: {fault}, {odds}, {money} if it is so",
            machine=machine,
            fault=one.name,
            odds=formatter.odds(one.now),
            money=formatter.money(one.money, sheet.currency),
        )
        for machine, one in suspects[:count]
    )


def frozen_number(lot: str, sheet: PriceSheet, reason: str = "") -> Frozen:
    """The number to freeze, of a finished sheet; NotYet where there is no price.

    Parameters
    ----------
    lot : str
        Its id, or its name.
    sheet : PriceSheet
        As priced.
    reason : str
        Why it may rise.

    Returns
    -------
    Frozen
        Three numbers, three dangers, the whole sheet.
    """
    walk = sheet.walk_away
    if walk.amount is None or walk.all_in is None:
        raise NotYet(
            say("there is no price to freeze: {why}", why=walk.why),
            remedy=say("Settle that first; all that was seen is kept."),
        )
    return Frozen(
        lot=lot,
        hammer=_cents(walk.amount),
        all_in=_cents(walk.all_in),
        sorry=walk.sorry,
        dangers=dangers(sheet),
        seed=sheet.seed,
        worlds=sheet.worlds,
        kind_hash=sheet.kind_hash,
        version=sheet.version,
        sheet=to_json(sheet),
        reason=reason.strip(),
    )


def _cents(amount: float) -> Decimal:
    return Decimal(repr(amount)).quantize(Decimal("0.01"))


def _refuse(problems: list[Problem]) -> None:
    if problems:
        raise Unusable(
            say("this cannot be kept: {what}", what=problems[0].what),
            remedy=say("Mend what is named; nothing else was lost."),
            problems=tuple(problems),
        )
