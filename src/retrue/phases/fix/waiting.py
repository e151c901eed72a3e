"""What is out: sent, rung up about, back, judged; and the list of it all, to chase."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Literal, Unpack

from retrue.base.refusals import NotYet, Overtaken, Problem
from retrue.base.say import say
from retrue.cases.fix.kept import OutKept, outs_of
from retrue.cases.fix.known_lines import kinds_of, known_lines, line_problems, line_words
from retrue.cases.fix.lines import Due, Owed, Waiting
from retrue.cases.fix.move_days import due_of
from retrue.cases.fix.owed import deposit_out, owed, return_owed
from retrue.cases.fix.plan_days import PlanDays, plan_days
from retrue.cases.fix.plan_json import from_text
from retrue.cases.fix.waiting import Outside, waiting_of
from retrue.cases.spot import find, find_lot, first_id
from retrue.kinds.library import Kind
from retrue.phases.fix.out_amending import put, refuse_fields, sent_before, still_to_come
from retrue.phases.fix.out_finding import every_lot, find_out
from retrue.records.by_lot import ByLot
from retrue.records.facts import Lot, Machine
from retrue.records.fixing import Out, OutEnded, PlanKept, Rung
from retrue.records.hand import Hand
from retrue.records.moving import Arrived, LaidUp, Round
from retrue.records.shop import Record, RecordShop

# What is out, and what a machine is called, and the days of the move.
OUTSIDE = (Lot, Machine, Out, OutEnded, Rung, Arrived, LaidUp, Round)
HELD: ByLot[tuple[Mapping[str, Kind], Outside, tuple[Due, ...]]] = ByLot(OUTSIDE)


def waiting(
    shop: RecordShop,
    *,
    on: date,
    lot: str | None = None,
    kinds: Mapping[str, Kind] | None = None,
) -> Waiting:
    """Waiting for, chase.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    on : date
        Today.
    lot : str or None
        Name or id; None: every lot.
    kinds : mapping of str to Kind or None
        By it a line says in words what it holds up, where the plan that is kept has no card of it.

    Returns
    -------
    Waiting
        The most pressing first, by what the date of that plan hangs on; deposits that are out by
        currency; days of the move.

    Raises
    ------
    Unknown
        No such lot.
    """
    lots = [find_lot(shop, lot)] if lot is not None else list(every_lot(shop))
    planned = days_planned(shop)
    library, names = kinds or {}, dict(lots)

    def made(home: str) -> tuple[Mapping[str, Kind], Outside, tuple[Due, ...]]:
        return library, _outside(shop, home, names[home], library), due_of(shop, home, on)

    told = (on, id(kinds) if kinds else None)
    held = HELD.of(shop, names, told, made)
    return waiting_of(
        [outside for _, outside, _ in held],
        on=on,
        cards=planned.cards,
        hangs=planned.hangs,
        due=[one for _, _, due in held for one in due],
    )


def days_planned(shop: RecordShop) -> PlanDays:
    """The days of the plan that was kept last."""
    kept = shop.current(PlanKept)
    return plan_days(from_text(kept[-1].fact.plan) if kept else None)


def one_out(
    shop: RecordShop, out_id: str, *, on: date, kinds: Mapping[str, Kind] | None = None
) -> Owed:
    """One thing that is or was out, ended or not.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    out_id : str
        Any id of its line, the first signs of it, its line or its words.
    on : date
        Today.
    kinds : mapping of str to Kind or None
        As for :func:`waiting`.

    Returns
    -------
    Owed

    Raises
    ------
    Unknown
        There is none.
    """
    one = find_out(shop, out_id)
    lot = next(pair for pair in every_lot(shop) if pair[0] == one.out.lot)
    outside = _outside(shop, *lot, kinds or {})
    held = line_words(one.out.line, outside.kinds.values()) if one.out.line else ""
    return owed(
        one,
        on=on,
        lot_name=lot[1],
        machine_name=outside.names.get(one.out.machine or "", ""),
        holds_up=[held] if held else [],
    )


def send(
    shop: RecordShop,
    out: Out,
    kinds: Mapping[str, Kind],
    *,
    today: date | None = None,
    **hand: Unpack[Hand],
) -> Record[Out]:
    """Keep that something was sent out, ordered, asked for, borrowed or hired.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    out : Out
        ``lot`` and ``machine`` as name or id.
    kinds : mapping of str to Kind
        The library.
    today : date or None
        Nothing is out since a later day; None: nobody says which day it is.
    **hand : Hand
        Whose hand sent it; sent twice, under one id or word for word, it is kept once.

    Returns
    -------
    Record of Out

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        A field cannot be, or the line is none; each is named.
    """
    fact, known = placed(shop, out, kinds)
    refuse_fields(
        fact,
        *(line_problems(fact.line, known) if fact.line else ()),
        *still_to_come(fact.since_on, today, "since_on"),
    )
    for one in outs_of(shop, fact.lot):
        if one.out == fact and one.ended is None:
            return one.first
    return put(shop, fact, None, hand)


def placed(shop: RecordShop, fact: Any, kinds: Mapping[str, Kind]) -> tuple[Any, tuple[str, ...]]:
    """A fact with the ids of its lot and machine, and the lines that may be named there."""
    home, _ = find_lot(shop, fact.lot)
    if fact.machine is None:
        machines = [one.fact for one in shop.current(Machine, lot=home)]
        return replace(fact, lot=home), known_lines(kinds_of(machines, kinds))
    spot = find(shop, home, fact.machine, kinds)
    mine = [spot.kind] if spot.kind is not None else []
    return replace(fact, lot=home, machine=spot.machine), known_lines(mine)


def ring(
    shop: RecordShop,
    out_id: str,
    rung: Rung,
    *,
    today: date | None = None,
    **hand: Unpack[Hand],
) -> Record[Rung]:
    """Keep what was said on the phone: a new promise, when to ring next, or nobody there.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    out_id : str
        Of what is out.
    rung : Rung
        Its lot and what it is about are filled in here.
    today : date or None
        No call is of a later day; None: nobody says which day it is.
    **hand : Hand
        Who rang.

    Returns
    -------
    Record of Rung

    Raises
    ------
    Unknown
        Nothing of that name is out.
    NotYet
        It is back, with its deposit, and nothing is to be returned: nothing is left to ring about.
    Unusable
        A field cannot be; each is named.
    """
    one = find_out(shop, out_id)
    fact = replace(rung, lot=one.out.lot, out=one.first.id)
    refuse_fields(
        fact,
        *_after(fact.rung_on, one.out.since_on, "rung_on"),
        *still_to_come(fact.rung_on, today, "rung_on"),
    )
    if one.ended is not None and deposit_out(one) is None and not return_owed(one):
        raise NotYet(
            say("{what} is out no more since {day}",
                what=one.out.what, day=one.ended.fact.ended_on),
            remedy=say("Take its return back first, if that was a mistake."),
        )  # fmt: skip
    same = [said for said in one.rung if said.fact == fact]
    return same[-1] if same else put(shop, fact, None, hand)


def back(
    shop: RecordShop,
    out_id: str,
    ended: OutEnded,
    kinds: Mapping[str, Kind],
    *,
    today: date | None = None,
    **hand: Unpack[Hand],
) -> Record[OutEnded]:
    """Keep that it came back, that the wrong thing came, or that it was called off.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    out_id : str
        Of what is out.
    ended : OutEnded
        Its lot and what it is about are filled in here. What was sent out or ordered is judged
        afterwards.
    kinds : mapping of str to Kind
        The library: a refusal says what it was for.
    today : date or None
        Nothing ended on a later day; None: nobody says which day it is.
    **hand : Hand
        Who took it in.

    Returns
    -------
    Record of OutEnded
        Said again in the same words, the kept one; a deposit that came back later, or what was
        paid, is added to it.

    Raises
    ------
    Unknown
        Nothing of that name is out.
    Overtaken
        Somebody kept another end before; nothing is overwritten.
    Unusable
        A field cannot be; each is named.
    """
    one = find_out(shop, out_id)
    fact = replace(ended, lot=one.out.lot, out=one.first.id)
    refuse_fields(
        fact,
        *_after(fact.ended_on, one.out.since_on, "ended_on"),
        *still_to_come(fact.ended_on, today, "ended_on"),
    )
    if one.ended is None:
        return put(shop, fact, None, hand)
    if (sent := sent_before(shop, fact, hand)) is not None:
        return sent
    if fact in (one.ended.fact, replace(one.ended.fact, judged="")):
        return one.ended
    more = _told_later(one.ended.fact, fact)
    if more is not None:
        return put(shop, more, one.ended, hand)
    raise _said_before(one, one.ended, kinds)


def judge(
    shop: RecordShop, out_id: str, good: bool, text: str = "", **hand: Unpack[Hand]
) -> Record[OutEnded]:
    """Keep whether what came back is good; what is bad opens its work again.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    out_id : str
        Of what was out.
    good : bool
    text : str
        What was seen or read.
    **hand : Hand
        Who judged.

    Returns
    -------
    Record of OutEnded
        Judged so already, the kept one.

    Raises
    ------
    NotYet
        It is not back.
    Overtaken
        It was judged otherwise before; nothing is overwritten.
    """
    one = find_out(shop, out_id)
    old = one.ended
    if old is None or old.fact.how != "back":
        raise NotYet(
            say("{what} is not back from {whom}", what=one.out.what, whom=one.out.whom),
            remedy=say("Keep that it is back, then judge it."),
        )
    verdict: Literal["good", "bad"] = "good" if good else "bad"
    if old.fact.judged not in ("", verdict):
        raise _judged_before(one, old)
    if old.fact.judged == verdict and text.strip() in ("", old.fact.text):
        return old
    words = _both(old.fact.text, text)
    return put(shop, replace(old.fact, judged=verdict, text=words), old, hand)


def _told_later(old: OutEnded, fact: OutEnded) -> OutEnded | None:
    """What ended so already, with the deposit or the bill that nobody had told of yet."""
    deposit = fact.deposit_back is not None and not old.deposit_back
    bill = fact.paid is not None and old.paid is None
    if fact.how != old.how or not (deposit or bill):
        return None
    return replace(
        old,
        deposit_back=fact.deposit_back if deposit else old.deposit_back,
        paid=fact.paid if bill else old.paid,
        text=_both(old.text, fact.text),
    )


def _both(one: str, other: str) -> str:
    return "; ".join(map(str, dict.fromkeys(filter(None, (one, other.strip())))))


def _said_before(one: OutKept, old: Record[OutEnded], kinds: Mapping[str, Kind]) -> Overtaken:
    words = {
        "back": say("it is back since {day}, {by} says", day=old.fact.ended_on, by=old.by),
        "wrong": say("the wrong thing came on {day}, {by} says", day=old.fact.ended_on, by=old.by),
        "called_off": say("it was called off on {day} by {by}", day=old.fact.ended_on, by=old.by),
    }
    remedy = say(
        "Nothing was changed. It is for {what}: correct what was kept, or take it back first.",
        what=line_words(one.out.line or one.out.what, kinds.values()),
    )
    return Overtaken(
        say("{what}: {told}", what=one.out.what, told=words[old.fact.how]), remedy=remedy
    )


def _judged_before(one: OutKept, old: Record[OutEnded]) -> Overtaken:
    return Overtaken(
        say("{what} was judged {how} by {by}",
            what=one.out.what, how=say(old.fact.judged), by=old.by),
        remedy=say("Nothing was changed. Correct that judgement, or take it back first."),
    )  # fmt: skip


def _after(day: str, since: str, field: str) -> Iterator[Problem]:
    if day < since:
        what = say("is {day}, before {since}, when it went out", day=day, since=since)
        yield Problem(field, what, say("Look at both dates again."))


def _outside(shop: RecordShop, home: str, name: str, kinds: Mapping[str, Kind]) -> Outside:
    machines = {first_id(shop, one): one.fact for one in shop.current(Machine, lot=home)}
    return Outside(
        lot_name=name,
        outs=outs_of(shop, home),
        names={key: one.name for key, one in machines.items()},
        kinds={key: kinds[one.kind] for key, one in machines.items() if one.kind in kinds},
    )
