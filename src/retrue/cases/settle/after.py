"""After the sale: what is still to come in, what was promised, what was asked, and what is due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.settle.entries import tax_of
from retrue.cases.settle.sale_lines import StopItem
from retrue.records.settling import BuyerAsked, Posting, Promised
from retrue.records.shop import Record

ANSWER_WITHIN_DAYS = 3  # a buyer's question (judgement, no source)
PAY_WITHIN_DAYS = 14  # after a sale, where nothing else was agreed (judgement, no source)
SOON_DAYS = 7  # before its day a promise stands among what is due
OPEN, KEPT, OVERDUE, ANSWERED, PAID = "open", "kept", "overdue", "answered", "paid"


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLine:
    """A promise: open, kept or overdue."""

    id: str  # first id of its line
    record: Record[Promised]
    state: str
    days_late: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionLine:
    """A buyer's question: open, answered, or overdue."""

    id: str
    record: Record[BuyerAsked]
    state: str
    days_late: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldLine:
    """A sale: to whom, for how much, what came in, what is still due."""

    id: str
    record: Record[Posting]
    came: Decimal
    due: Decimal
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """One thing that somebody waits for.

    Attributes
    ----------
    sort : str
        promise, question, money.
    on : str
        ISO date by which; empty: no day was named.
    days_left : int or None
        Below 0: late.
    """

    sort: str
    id: str
    lot: str
    machine: str
    machine_name: str
    words: str
    on: str
    days_left: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterSale:
    """Everything after the sale of one machine.

    Attributes
    ----------
    due : tuple of DueLine
        Those late and those soon first.
    stops : int
        Stop items and guards that are open; a promise then stands with ``cautions`` before it.
    """

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    on: str
    sales: tuple[SoldLine, ...]
    promises: tuple[PromiseLine, ...]
    questions: tuple[QuestionLine, ...]
    due: tuple[DueLine, ...]
    law: str
    currency: str = "EUR"  # the shop's
    stops: int = 0
    cautions: tuple[str, ...] = ()


def open_words(stops: Sequence[StopItem], on: date, *, answer: bool = False) -> tuple[str, ...]:
    """What stands before a promise or an answer, and is kept with it, while something is open.

    Parameters
    ----------
    stops : sequence of StopItem
    on : date
        The day on which they are open.
    answer : bool
        Before an answer to a buyer.

    Returns
    -------
    tuple of str
        Empty where nothing is open.

    Examples
    --------
    >>> stops = [StopItem(id="F102", name="Door interlock", clears="", known=True)]
    >>> open_words(stops, date(2026, 11, 26))[0][:55]
    'A promise proves nothing. Open on 2026-11-26: Door inte'
    >>> open_words(stops, date(2026, 11, 26), answer=True)[0][:25]
    'An answer proves nothing.'
    """
    if not stops:
        return ()
    first = stops[0].name
    open_ones = first if len(stops) == 1 else say(
        "{count} stop items or guards, among them {first}", count=len(stops), first=first
    )  # fmt: skip
    what = say("An answer proves nothing.") if answer else say("A promise proves nothing.")
    told = say(
        "{what} Open on {day}: {open}. That it runs, or that a guard works, is not to be promised.",
        what=what, day=on.isoformat(), open=open_ones,
    )  # fmt: skip
    return (told,)


def law_words() -> str:
    """What stands above every page of this: the law is local.

    Returns
    -------
    str

    Examples
    --------
    >>> "lawyer" in law_words()
    True
    """
    return say(
        "What a buyer may claim goes by local law: goods sold by a trader to a consumer are one "
        "thing, to a trader another. Before you refuse or pay anything: a lawyer first."
    )


def promise_line(id: str, record: Record[Promised], on: date) -> PromiseLine:
    """How a promise stands on a day.

    Parameters
    ----------
    id : str
        First of its line.
    record : Record of Promised
    on : date

    Returns
    -------
    PromiseLine
    """
    fact = record.fact
    if fact.kept_on is not None:
        return PromiseLine(id=id, record=record, state=KEPT)
    late = _late(fact.until_on, on)
    return PromiseLine(id=id, record=record, state=OVERDUE if late else OPEN, days_late=late)


def question_line(id: str, record: Record[BuyerAsked], on: date) -> QuestionLine:
    """How a question stands on a day.

    Parameters
    ----------
    id : str
    record : Record of BuyerAsked
    on : date

    Returns
    -------
    QuestionLine
    """
    fact = record.fact
    if fact.answer.strip():
        return QuestionLine(id=id, record=record, state=ANSWERED)
    late = _late(_answer_by(fact), on)
    return QuestionLine(id=id, record=record, state=OVERDUE if late else OPEN, days_late=late)


def sold_line(id: str, record: Record[Posting], received: Iterable[Record[Posting]]) -> SoldLine:
    """How much of a sale came in.

    Parameters
    ----------
    id : str
    record : Record of Posting
        Sold.
    received : iterable of Record of Posting
        Of this sale.

    Returns
    -------
    SoldLine
        What came in another currency than the sale's is counted there where it was paid; here
        only what came in its own.
    """
    fact = record.fact
    whole = tax_of(fact).gross
    came = sum(
        (one.fact.amount for one in received if one.fact.currency == fact.currency), Decimal(0)
    )
    if fact.paid_from != "owed":
        came = whole
    due = max(Decimal(0), whole - came)
    return SoldLine(id=id, record=record, came=came, due=due, state=OPEN if due else PAID)


def due_lines(
    sales: Iterable[SoldLine],
    promises: Iterable[PromiseLine],
    questions: Iterable[QuestionLine],
    name: str,
    on: date,
) -> tuple[DueLine, ...]:
    """What is open, the latest first; what has no day comes last.

    Parameters
    ----------
    sales, promises, questions : iterables
        Of one machine.
    name : str
        The machine's.
    on : date

    Returns
    -------
    tuple of DueLine
    """
    rows = [*_money(sales, name, on), *_promises(promises, name, on), *_asked(questions, name, on)]
    return in_order(rows)


def in_order(rows: Iterable[DueLine]) -> tuple[DueLine, ...]:
    """The latest first; what has no day last.

    Parameters
    ----------
    rows : iterable of DueLine

    Returns
    -------
    tuple of DueLine

    Examples
    --------
    >>> in_order([])
    ()
    """
    return tuple(sorted(rows, key=lambda row: (row.days_left is None, row.days_left or 0, row.id)))


def _money(sales: Iterable[SoldLine], name: str, on: date) -> Iterator[DueLine]:
    for one in sales:
        if one.due:
            fact = one.record.fact
            by = (date.fromisoformat(fact.posted_on) + timedelta(PAY_WITHIN_DAYS)).isoformat()
            words = say("{whom} still owes {due}", whom=fact.whom or say("the buyer"),
                        due=money(one.due, fact.currency, 2))  # fmt: skip
            at = (fact.lot or "", fact.machine or "", name)
            yield _due("money", one.id, at, words, by, on)


def _promises(promises: Iterable[PromiseLine], name: str, on: date) -> Iterator[DueLine]:
    for one in promises:
        if one.state != KEPT:
            fact = one.record.fact
            words = promise_words(fact)
            at = (fact.lot, fact.machine, name)
            yield _due("promise", one.id, at, words, fact.until_on or "", on)


def promise_words(fact: Promised) -> str:
    """A promise in words; one that was made while something was open says that it proves nothing.

    Parameters
    ----------
    fact : Promised

    Returns
    -------
    str

    Examples
    --------
    >>> promise_words(Promised(lot="1", machine="2", what="it runs", whom="a school",
    ...                        promised_on="2026-11-26", text="Open on 2026-11-26: 2"))
    'Promised to a school, not proved: “it runs”'
    """
    if fact.text:
        return say("Promised to {whom}, not proved: “{what}”", whom=fact.whom, what=fact.what)
    return say("Promised to {whom}: {what}", whom=fact.whom, what=fact.what)


def _asked(questions: Iterable[QuestionLine], name: str, on: date) -> Iterator[DueLine]:
    for one in questions:
        if one.state != ANSWERED:
            fact, by = one.record.fact, _answer_by(one.record.fact)
            words = say("{whom} asked: {question}", whom=fact.whom, question=fact.question)
            yield _due("question", one.id, (fact.lot, fact.machine, name), words, by, on)


def _due(sort: str, id: str, at: tuple[str, str, str], words: str, by: str, on: date) -> DueLine:
    lot, machine, name = at
    left = (date.fromisoformat(by) - on).days if by else None
    return DueLine(sort=sort, id=id, lot=lot, machine=machine, machine_name=name, words=words,
                   on=by, days_left=left)  # fmt: skip


def _answer_by(fact: BuyerAsked) -> str:
    return (date.fromisoformat(fact.asked_on) + timedelta(ANSWER_WITHIN_DAYS)).isoformat()


def _late(by: str | None, on: date) -> int:
    return max(0, (on - date.fromisoformat(by)).days) if by else 0
