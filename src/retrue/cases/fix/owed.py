"""How something that is out stands on a day: the newest promise, whom to ring, what it holds up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.buying_lines import PartState
from retrue.cases.fix.lines import OutState, Owed
from retrue.cases.fix.outs import OutKept
from retrue.records.fixing import Out, Rung
from retrue.records.shop import Record

TO_JUDGE = ("ordered", "sent_out")  # what is looked at before it counts as good
URGENT: dict[OutState, int] = {"late": 1, "ring": 2, "out": 3, "back_not_judged": 4, "ended": 5}


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """What was promised, folded from every call.

    Attributes
    ----------
    on, ring_on : str or None
        ISO dates: the newest promise; the day to ring, where one is still to come or was missed.
    broken : int
        How often the promise moved to a later day.
    """

    on: str | None
    ring_on: str | None
    broken: int = 0


def promise_of(one: OutKept) -> Promise:
    """The newest promise, and how often it moved.

    Parameters
    ----------
    one : OutKept
        Calls in any order: they count by their day.

    Returns
    -------
    Promise
        A call settles the days to ring up to its own, unless nobody answered and no other day
        was said.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="sent_out", what="spindle motor", whom="the winder",
    ...     since_on="2026-11-02", promised_on="2026-11-20", ring_on="2026-11-18")
    >>> said = Rung(lot="l", out="a", rung_on="2026-11-18", promised_on="2026-11-27")
    >>> promise_of(OutKept(first=Record("a", "out", 1, 1, at, at, "me", "", None, out, "", ""),
    ...     out=out, rung=(Record("b", "rung", 1, 2, at, at, "me", "", None, said, "", ""),)))
    Promise(on='2026-11-27', ring_on=None, broken=1)
    """
    promised, ring, broken = one.out.promised_on, one.out.ring_on, 0
    for said in calls_of(one):
        fact = said.fact
        if fact.promised_on:
            broken += promised is not None and fact.promised_on > promised
            promised = fact.promised_on
        if fact.ring_on:
            ring = fact.ring_on
        elif not fact.nobody and ring is not None and ring <= fact.rung_on:
            ring = None
    return Promise(on=promised, ring_on=ring, broken=broken)


def calls_of(one: OutKept) -> tuple[Record[Rung], ...]:
    """The calls by their day; of one day, as they were kept.

    Parameters
    ----------
    one : OutKept

    Returns
    -------
    tuple of Record of Rung

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="asked", what="belt", whom="the dealer", since_on="2026-11-02")
    >>> first = Record("a", "out", 1, 1, at, at, "", "", None, out, "", "")
    >>> calls_of(OutKept(first=first, out=out))
    ()
    """
    return tuple(sorted(one.rung, key=lambda said: (said.fact.rung_on, said.seq)))


def deposit_out(one: OutKept) -> Decimal | None:
    """A deposit that is not back yet.

    Parameters
    ----------
    one : OutKept

    Returns
    -------
    Decimal or None
        In the currency of what is out; None: there is none, or it came back.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="hired", what="hoist", whom="the hire shop",
    ...     since_on="2026-11-02", deposit=Decimal(150))
    >>> deposit_out(OutKept(first=Record("a", "out", 1, 1, at, at, "", "", None, out, "", ""),
    ...     out=out))
    Decimal('150')
    """
    if not one.out.deposit or (one.ended is not None and one.ended.fact.deposit_back):
        return None
    return one.out.deposit


def return_owed(one: OutKept) -> bool:
    """Whether the wrong thing came and nobody said yet how that was settled.

    Parameters
    ----------
    one : OutKept

    Returns
    -------
    bool
        Said with what was paid in the end, 0 where all came back, it is settled.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="ordered", what="belt", whom="the dealer", since_on="2026-11-02")
    >>> return_owed(OutKept(first=Record("a", "out", 1, 1, at, at, "", "", None, out, "", ""),
    ...     out=out))
    False
    """
    return one.ended is not None and one.ended.fact.how == "wrong" and one.ended.fact.paid is None


def state_of(one: OutKept, on: date) -> OutState:
    """How it stands.

    Parameters
    ----------
    one : OutKept
    on : date

    Returns
    -------
    str
        late goes before ring; what came back and was to be judged is not at its end yet.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="ordered", what="belt", whom="the dealer", since_on="2026-11-02",
    ...     promised_on="2026-11-20")
    >>> kept = OutKept(first=Record("a", "out", 1, 1, at, at, "", "", None, out, "", ""), out=out)
    >>> state_of(kept, date(2026, 11, 20)), state_of(kept, date(2026, 11, 21))
    ('out', 'late')
    """
    if one.ended is not None:
        fact = one.ended.fact
        waits = fact.how == "back" and not fact.judged and one.out.sort in TO_JUDGE
        return "back_not_judged" if waits else "ended"
    promise, day = promise_of(one), on.isoformat()
    if promise.on is not None and promise.on < day:
        return "late"
    return "ring" if promise.ring_on is not None and promise.ring_on <= day else "out"


def owed(
    one: OutKept,
    *,
    on: date,
    lot_name: str = "",
    machine_name: str = "",
    holds_up: Sequence[str] = (),
    pressing: bool = False,
) -> Owed:
    """Something that is out, as it stands on a day.

    Parameters
    ----------
    one : OutKept
    on : date
    lot_name, machine_name : str
    holds_up : sequence of str
        Titles of the cards that wait for it.
    pressing : bool
        Whether the date of a machine hangs on one of them.

    Returns
    -------
    Owed

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="ordered", what="belt", whom="the dealer", since_on="2026-11-02",
    ...     promised_on="2026-11-20")
    >>> kept = OutKept(first=Record("a", "out", 1, 1, at, at, "", "", None, out, "", ""), out=out)
    >>> owed(kept, on=date(2026, 11, 26)).days_late
    6
    """
    promise, state = promise_of(one), state_of(one, on)
    late = (on - date.fromisoformat(promise.on)).days if state == "late" and promise.on else 0
    return Owed(
        first=one.first,
        out=one.out,
        lot_name=lot_name,
        machine_name=machine_name,
        state=state,
        promised_on=promise.on,
        ring_on=promise.ring_on,
        days_late=late,
        broken=promise.broken,
        rung=calls_of(one),
        ended=one.ended,
        holds_up=tuple(holds_up),
        pressing=pressing,
        deposit=deposit_out(one),
        return_owed=return_owed(one),
    )


def on_the_list(one: Owed) -> bool:
    """Whether somebody still has to do something about it.

    Parameters
    ----------
    one : Owed

    Returns
    -------
    bool
        What ended with its deposit back, or without one, is done. Where the wrong thing came,
        a return is owed until what was paid is said, or another is out for it.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="asked", what="belt", whom="the dealer", since_on="2026-11-02")
    >>> kept = OutKept(first=Record("a", "out", 1, 1, at, at, "", "", None, out, "", ""), out=out)
    >>> on_the_list(owed(kept, on=date(2026, 11, 26)))
    True
    """
    return one.state != "ended" or one.deposit is not None or one.return_owed


def most_pressing(every: Iterable[Owed]) -> tuple[Owed, ...]:
    """The order of chasing.

    Parameters
    ----------
    every : iterable of Owed

    Returns
    -------
    tuple of Owed
        Late and holding up what a date hangs on; late; to be rung today; the soonest promise; back
        and not judged; ended, with a deposit still out.

    Examples
    --------
    >>> most_pressing([])
    ()
    """

    def urgency(one: Owed) -> tuple[int, int, int, str, int]:
        step = 0 if one.state == "late" and one.pressing else URGENT[one.state]
        return step, -one.days_late, not one.pressing, one.promised_on or "9", one.first.seq

    return tuple(sorted(every, key=urgency))


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOut:
    """What is known of a part from what is or was out for its line.

    Attributes
    ----------
    state : str
        to_buy, asked, ordered, sent_out, here.
    promised_on : str or None
    why : str
        In words, for the card that waits; of work that is open again, why it is.
    out : OutKept or None
        What it follows from.
    """

    state: PartState = "to_buy"
    promised_on: str | None = None
    why: str = ""
    out: OutKept | None = None


def out_state(outs: Iterable[OutKept], *, machine: str | None, line: str) -> PartOut:
    """Where the part of a line is.

    Parameters
    ----------
    outs : iterable of OutKept
        Of the lot.
    machine : str or None
        Id of the machine's first record; what names no machine counts for each. None: of all.
    line : str
        F15:local.

    Returns
    -------
    PartOut
        What was sent out, or others do, is out until it is back and judged; judged bad, come wrong
        or called off, it is to_buy again. Of several the newest counts; one that was only asked
        for counts where nothing else is out or here.

    Examples
    --------
    >>> out_state((), machine="m", line="F15:local").state
    'to_buy'
    """
    mine = [
        one
        for one in outs
        if one.out.line == line and (machine is None or one.out.machine in (machine, None))
    ]
    mine.sort(key=lambda one: (one.out.since_on, one.first.seq))
    asked = [one for one in mine if one.out.sort == "asked" and one.ended is None]
    got = [one for one in mine if one.out.sort != "asked"]
    running = [one for one in got if one.ended is None]
    newest = (running or got)[-1] if got else None
    told = _stands(newest) if newest is not None else PartOut()
    if told.state == "to_buy" and asked:
        promise = promise_of(asked[-1])
        why = say("asked {whom}", whom=asked[-1].out.whom)
        return PartOut(state="asked", promised_on=promise.on, why=why, out=asked[-1])
    return told


def _stands(one: OutKept) -> PartOut:
    out, promise = one.out, promise_of(one)
    if one.ended is None:
        return PartOut(
            state="sent_out" if out.sort == "sent_out" else "ordered",
            promised_on=promise.on,
            why=_where(out, promise.on),
            out=one,
        )
    fact = one.ended.fact
    if fact.how == "called_off":
        return PartOut(why=say("called off at {whom}", whom=out.whom), out=one)
    if fact.how == "wrong" or fact.judged == "bad":
        why = say("{what} from {whom} is not good", what=out.what, whom=out.whom)
        return PartOut(why=why, out=one)
    if one.judged_first and not fact.judged:
        why = say("{what} is back from {whom}: judge it", what=out.what, whom=out.whom)
        return PartOut(state="sent_out", promised_on=promise.on, why=why, out=one)
    return PartOut(state="here", promised_on=promise.on, out=one)


def _where(out: Out, promised_on: str | None) -> str:
    told: dict[str, Any] = {"what": out.what, "whom": out.whom, "day": promised_on}
    if out.sort == "sent_out":
        if promised_on is None:
            return say("{what} is at {whom}", **told)
        return say("{what} is at {whom}, promised for {day}", **told)
    if promised_on is None:
        return say("{what} is awaited from {whom}", **told)
    return say("{what} is awaited from {whom}, promised for {day}", **told)
