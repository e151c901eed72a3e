"""After the sale: what was promised and asked, kept and answered; what is due of all machines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Unpack

from retrue.base.refusals import Problem, Unknown
from retrue.base.say import say
from retrue.cases.settle.after import (
    AfterSale,
    DueLine,
    due_lines,
    law_words,
    open_words,
    promise_line,
    question_line,
    sold_line,
)
from retrue.cases.settle.sale_kept import sale_kept
from retrue.cases.settle.sale_lines import StopItem
from retrue.cases.spot import Spot, find, first_id
from retrue.kinds.library import Kind
from retrue.kinds.load import load
from retrue.phases.settle.keeping import day_problems, put, refuse
from retrue.phases.settle.may_sell import open_stops
from retrue.records.facts import Machine
from retrue.records.hand import Hand
from retrue.records.settling import BuyerAsked, Posting, Promised
from retrue.records.shop import Record, RecordShop

At = tuple[str, str]


def after_sale(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], *, on: date
) -> AfterSale:
    """Everything after the sale of one machine.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    on : date
        Today.

    Returns
    -------
    AfterSale

    Raises
    ------
    Unknown
        No such lot or machine.
    """
    spot = find(shop, lot, machine, kinds)
    return _view(shop, spot, on, _open_at(shop, spot))


def _open_at(shop: RecordShop, spot: Spot) -> tuple[StopItem, ...]:
    """What is open of a machine; nothing can be told of a type that is not in the library."""
    return () if spot.kind is None else open_stops(shop, spot, spot.kind)


def _view(shop: RecordShop, spot: Spot, on: date, stops: tuple[StopItem, ...]) -> AfterSale:
    at = {"lot": spot.lot, "machine": spot.machine}
    kept = sale_kept(shop, spot.lot, spot.machine)
    came = [one for _, one in kept.received]
    sales = tuple(
        sold_line(id, one, [r for r in came if r.fact.of == id]) for id, one in kept.sales
    )
    promises = tuple(
        promise_line(first_id(shop, one), one, on) for one in shop.current(Promised, **at)
    )
    asked = tuple(
        question_line(first_id(shop, one), one, on) for one in shop.current(BuyerAsked, **at)
    )
    return AfterSale(
        lot=spot.lot, lot_name=spot.lot_name, machine=spot.machine, machine_name=spot.name,
        on=on.isoformat(), sales=sales, promises=promises, questions=asked,
        due=due_lines(sales, promises, asked, spot.name, on), law=law_words(),
        currency=kept.currency, stops=len(stops), cautions=open_words(stops, on),
    )  # fmt: skip


def due_after_sale(shop: RecordShop, on: date) -> tuple[DueLine, ...]:
    """What buyers of all machines wait for, and what they still owe; the latest first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    on : date
        Today.

    Returns
    -------
    tuple of DueLine
    """
    sold = [one for one in shop.current(Posting, sort="sold", paid_from="owed")
            if one.fact.machine]  # fmt: skip
    came = _by_sale(shop.current(Posting, sort="received")) if sold else {}
    ids = [first_id(shop, one) for one in sold]
    sales = [sold_line(id, one, came.get(id, ())) for id, one in zip(ids, sold, strict=True)]
    promises = [promise_line(first_id(shop, one), one, on) for one in shop.current(Promised)]
    asked = [question_line(first_id(shop, one), one, on) for one in shop.current(BuyerAsked)]
    rows = due_lines(sales, promises, asked, "", on)
    return tuple(replace(row, machine_name=_name(shop, row.machine)) for row in rows)


def _by_sale(received: Iterable[Record[Posting]]) -> dict[str, list[Record[Posting]]]:
    by: dict[str, list[Record[Posting]]] = {}
    for one in received:
        by.setdefault(one.fact.of or "", []).append(one)
    return by


def _name(shop: RecordShop, machine: str) -> str:
    """The name of a machine; of one that was taken back the last it had, and that it was."""
    line = shop.history(machine) if machine else []
    names = [one.fact.name for one in line if isinstance(one.fact, Machine)]
    if not names:
        return ""
    if isinstance(line[-1].fact, Machine):
        return names[-1]
    return say("{name}, taken back", name=names[-1])


def promise(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    promised: Promised,
    *,
    on: date,
    **hand: Unpack[Hand],
) -> Record[Promised]:
    """Keep what was promised with a sale, and until when.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    promised : Promised
        Its lot and machine are not read.
    on : date
        Today.
    **hand : Hand
        Who promised.

    Returns
    -------
    Record of Promised
        With what was open on that day in its text: a promise proves nothing.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        Nothing was promised, to nobody, or on a day to come.
    """
    spot = find(shop, lot, machine, kinds)
    fact = replace(promised, lot=spot.lot, machine=spot.machine)
    refuse((*_missing(fact, "what", "whom"), *day_problems(fact.promised_on, on, "promised_on")))
    told = " ".join((*open_words(_open_at(shop, spot), on), fact.text)).strip()
    return put(shop, replace(fact, text=told), None, hand)


def promise_kept(
    shop: RecordShop,
    wanted: str,
    *,
    on: date,
    kept_on: str = "",
    at: At | None = None,
    **hand: Unpack[Hand],
) -> Record[Promised]:
    """Say that a promise was kept, today or on another day.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    wanted : str
        Any id of its line, or the first signs of one.
    on : date
        Today.
    kept_on : str
        ISO date; empty: today.
    at : (lot, machine) or None
        Ids of the machine that is looked at: a promise of another is refused. None: of any.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of Promised

    Raises
    ------
    Unknown
        No such promise of that machine.
    Unusable
        A day to come.
    """
    record = _one(shop, Promised, wanted, at)
    day = kept_on or on.isoformat()
    refuse(day_problems(day, on, "kept_on"))
    return put(shop, replace(record.fact, kept_on=day), record, hand)


def asked(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    question: BuyerAsked,
    *,
    on: date,
    **hand: Unpack[Hand],
) -> Record[BuyerAsked]:
    """Keep a buyer's question, and its answer where there is one.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    question : BuyerAsked
        Its lot and machine are not read.
    on : date
        Today.
    **hand : Hand
        Who was asked.

    Returns
    -------
    Record of BuyerAsked

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        Nothing was asked, by nobody, or on a day to come.
    """
    spot = find(shop, lot, machine, kinds)
    fact = replace(question, lot=spot.lot, machine=spot.machine)
    refuse((*_missing(fact, "question", "whom"), *day_problems(fact.asked_on, on, "asked_on")))
    told = _dated(fact, on)
    return put(shop, _cautioned(told, _open_at(shop, spot), on), None, hand)


def answered(
    shop: RecordShop,
    wanted: str,
    answer: str,
    *,
    on: date,
    at: At | None = None,
    kinds: Mapping[str, Kind] | None = None,
    **hand: Unpack[Hand],
) -> Record[BuyerAsked]:
    """Keep what was answered, today.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    wanted : str
        Any id of its line, or the first signs of one.
    answer : str
        In words.
    on : date
        Today.
    at : (lot, machine) or None
        Ids of the machine that is looked at: a question of another is refused. None: of any.
    kinds : mapping of kind id to Kind, or None
        By which it is told what is open; None: the library as it is shipped.
    **hand : Hand
        Who answers.

    Returns
    -------
    Record of BuyerAsked
        With what is open on that day in its text: an answer proves nothing.

    Raises
    ------
    Unknown
        No such question of that machine.
    Unusable
        Nothing was answered.
    """
    record = _one(shop, BuyerAsked, wanted, at)
    fact = replace(record.fact, answer=answer.strip(), answered_on=on.isoformat())
    refuse(_missing(fact, "answer"))
    spot = find(shop, fact.lot, fact.machine, load() if kinds is None else kinds)
    return put(shop, _cautioned(fact, _open_at(shop, spot), on), record, hand)


def _cautioned(fact: BuyerAsked, stops: tuple[StopItem, ...], on: date) -> BuyerAsked:
    """An answer with what is open before it; a question that nobody answered has none."""
    if not fact.answer.strip():
        return fact
    return replace(fact, text=" ".join(open_words(stops, on, answer=True)))


def _dated(fact: BuyerAsked, on: date) -> BuyerAsked:
    if fact.answer.strip() and fact.answered_on is None:
        return replace(fact, answered_on=on.isoformat())
    return fact


def _missing(fact: Any, *fields: str) -> tuple[Problem, ...]:
    words = {
        "what": say("Say what was promised."),
        "whom": say("Say whom."),
        "question": say("Say what was asked."),
        "answer": say("Say what was answered."),
    }
    return tuple(
        Problem(field, say("is empty"), words[field])
        for field in fields
        if not getattr(fact, field).strip()
    )


def _one(shop: RecordShop, kind: type[Any], wanted: str, at: At | None) -> Record[Any]:
    """The newest record of a line, by any of its ids or the first signs of one."""
    mine = shop.current(kind) if at is None else shop.current(kind, lot=at[0], machine=at[1])
    for record in reversed(mine):
        line = [one.id for one in shop.history(record.id)]
        if any(id == wanted or (len(wanted) >= 4 and id.startswith(wanted)) for id in line):
            found: Record[Any] = record
            return found
    raise Unknown(
        say("there is no {wanted} among what came after the sale", wanted=wanted),
        remedy=say("Open the list again and choose from it."),
    )
