"""The plan as entries of a calendar: evenings of work, hire, whom to ring, what to order, dates."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from retrue.base.formatter import money, odds
from retrue.base.say import say
from retrue.cases.fix.buying_lines import BuyRow
from retrue.cases.fix.cash import monday
from retrue.cases.fix.evenings import Stint, all_stints
from retrue.cases.fix.hire import likely_days
from retrue.cases.fix.lines import Owed
from retrue.cases.fix.plan_lines import HireDay, MachineDates, PlanView
from retrue.cases.fix.visit_lines import not_alone
from retrue.plan.jobs import Hands

SURE = 0.99
REMIND_HOURS = 2.0  # before an evening on which it is not for one alone, or the hoist is needed


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEntry:
    """One line of the calendar: with hours of the day, or a whole day.

    Attributes
    ----------
    key : str
        What it is about: the same through every plan, so that a calendar moves the entry it has.
    ends : datetime or None
        None for a whole day.
    by_the_clock : bool
        Hours of the clock on the wall, summer or winter: so an evening is planned.
    """

    key: str
    title: str
    begins: datetime | date
    ends: datetime | None = None
    text: str = ""
    place: str = ""
    remind_hours: float | None = None
    by_the_clock: bool = False


def calendar_entries(
    view: PlanView,
    *,
    hands: Sequence[Hands] = (),
    owed: Iterable[Owed] = (),
    buying: Iterable[BuyRow] = (),
) -> tuple[CalendarEntry, ...]:
    """Everything of a plan that has a day.

    Parameters
    ----------
    view : PlanView
    hands : sequence of Hands
        Whose evenings a long card is spread over.
    owed : iterable of Owed
        What is out: when to ring, when it is promised.
    buying : iterable of BuyRow
        What is to be ordered by which day.

    Returns
    -------
    tuple of CalendarEntry
        An entry an evening of each card; cards at one place that may not be needed and lie in the
        same hours are one entry.

    Examples
    --------
    >>> from retrue.cases.fix.plan_lines import MachineDates, PlanView
    >>> mill = MachineDates(machine="m", machine_name="mill", early_on="2027-01-18",
    ...     even_on="2027-02-01", promise_on="2027-02-22", expected_on="2027-02-01", late_by=(),
    ...     order_now=(), stop_loss=None, hours_left=60.0, day_worth=12.0)
    >>> view = PlanView(at="2026-11-26T08:00+01:00", lots=("l",), machines=(mill,), rows=(),
    ...     hire=(), refused=(), hands=("An",), proved=True, by_rule=False, gap=0.0, seed=7,
    ...     worlds=500, currency="EUR")
    >>> [(one.key, one.begins.isoformat()) for one in calendar_entries(view)]
    [('promise m', '2027-02-22')]
    """
    return (
        *_work(_read_at_opening(all_stints(view.rows, hands))),
        *(_hire(one, at, view.currency) for at, one in _numbered(likely_days(view.hire))),
        *(entry for one in owed for entry in _out(one)),
        *_orders([row for row in buying if _to_order(row)], view.currency),
        *(entry for one in view.machines for entry in _promise(one)),
    )


def _read_at_opening(every: Sequence[Stint]) -> Iterator[Stint]:
    """What is read before in minutes belongs to the opening on the same evening."""
    reads = {_spot(one): one for one in every if one.row.card.sort == "before"}
    opens = {_spot(one) for one in every if one.row.card.sort == "open"}
    for one in every:
        sort, spot = one.row.card.sort, _spot(one)
        if sort == "before" and spot in opens:
            continue
        if sort == "open" and spot in reads and one.number == one.of:
            one = replace(one, ends=max(one.ends, reads[spot].ends))
        yield one


def _spot(one: Stint) -> tuple[str, str, date]:
    return one.row.card.machine, one.row.card.place, one.ends.date()


def _work(every: Iterable[Stint]) -> Iterator[CalendarEntry]:
    together: dict[tuple[str, str, datetime, datetime], list[Stint]] = {}
    for one in every:
        card = one.row.card
        together.setdefault((card.machine, card.place, one.begins, one.ends), []).append(one)
    for mine in together.values():
        if len(mine) > 1 and all(one.row.card.chance < SURE for one in mine):
            yield _perhaps(mine)
        else:
            yield from map(_card, mine)


def _card(one: Stint) -> CalendarEntry:
    card = one.row.card
    needed = "" if card.chance >= SURE else say("needed: {odds}", odds=odds(card.chance))
    helped = not_alone(card)
    told = [
        ", ".join(one.row.people),
        needed,
        say("hoist") if card.hoist else "",
        say("not alone") if helped else "",
        say("evening {number} of {of}", number=one.number, of=one.of) if one.of > 1 else "",
        say("Cautions stand on its card: read them first. Estimate for planning."),
    ]
    return CalendarEntry(
        key=f"card {card.lot} {card.machine} {card.key} {one.number}",
        title=say("{machine}: {what}", machine=card.machine_name, what=card.title),
        begins=one.begins,
        ends=one.ends,
        by_the_clock=True,
        text="; ".join(map(str, filter(None, told))),
        place=card.place_name,
        remind_hours=REMIND_HOURS if helped else None,
    )


def _perhaps(mine: Sequence[Stint]) -> CalendarEntry:
    first = mine[0]
    card = first.row.card
    place = card.place_name or card.machine_name
    titles = "; ".join(str(one.row.card.title) for one in mine)
    return CalendarEntry(
        key=f"perhaps {card.lot} {card.machine} {min(one.row.card.key for one in mine)} "
        f"{first.number}",
        title=say("{machine}: what may be there, {place}", machine=card.machine_name, place=place),
        begins=first.begins,
        ends=first.ends,
        by_the_clock=True,
        text=say("{people}; up to {count} cards, by what is seen: {titles}",
                 people=", ".join(first.row.people), count=len(mine), titles=titles),
        place=card.place_name,
    )  # fmt: skip


def _numbered(days: Iterable[HireDay]) -> Iterator[tuple[int, HireDay]]:
    """Which day of its thing each is: planned again, it is the same entry on another day."""
    counts: dict[str, int] = {}
    for one in days:
        counts[one.name] = counts.get(one.name, 0) + 1
        yield counts[one.name], one


def _hire(one: HireDay, at: int, currency: str) -> CalendarEntry:
    name = say(one.name.replace("_", " "))
    costs = money(one.costs, currency) if one.costs is not None else ""
    costs = say("{money}, assumed", money=costs) if one.assumed and costs else costs
    return CalendarEntry(
        key=f"hire {one.name} {at}",
        title=say("Here on hire: {what}", what=name),
        begins=date.fromisoformat(one.on),
        text="; ".join(map(str, filter(None, (*one.titles, costs)))),
        remind_hours=24.0,
    )


def _out(one: Owed) -> Iterator[CalendarEntry]:
    if one.ended is not None:
        return
    told = "; ".join(
        map(str, filter(None, (one.out.what, one.machine_name, one.out.reach, *one.holds_up)))
    )
    if one.ring_on is not None:
        yield CalendarEntry(
            key=f"ring {one.first.id}",
            title=say("Ring {whom}: {what}", whom=one.out.whom, what=one.out.what),
            begins=date.fromisoformat(one.ring_on),
            text=told,
        )
    if one.promised_on is not None:
        yield CalendarEntry(
            key=f"promised {one.first.id}",
            title=say("Promised by {whom}: {what}", whom=one.out.whom, what=one.out.what),
            begins=date.fromisoformat(one.promised_on),
            text=told,
        )


def _to_order(row: BuyRow) -> bool:
    return row.order_by_on is not None and row.part.state in ("to_buy", "asked")


def _orders(rows: Sequence[BuyRow], currency: str) -> Iterator[CalendarEntry]:
    """What is surely needed each on its day; what may be is one line a week."""
    weeks: dict[date, list[BuyRow]] = {}
    for row in rows:
        if row.chance >= SURE:
            yield _order(row, currency)
        else:
            on = date.fromisoformat(row.order_by_on or "")
            weeks.setdefault(monday(on), []).append(row)
    for week, mine in sorted(weeks.items()):
        told = [say("{what} ({machine}), {odds}", what=row.part.what, machine=row.machine_name,
                    odds=odds(row.chance)) for row in mine]  # fmt: skip
        yield CalendarEntry(
            key=f"perhaps order {week.isoformat()}",
            title=say("Parts that may be needed: {count}, seen only when it is open",
                      count=len(mine)),
            begins=week,
            text=say("Ordered once it is seen that they are needed, else not: {parts}",
                     parts="; ".join(map(str, told))),
        )  # fmt: skip


def _order(row: BuyRow, currency: str) -> CalendarEntry:
    told = [
        row.machine_name,
        money(row.amount, currency) if row.amount else "",
        "" if row.chance >= SURE else say("needed: {odds}", odds=odds(row.chance)),
        say("needed on {day}", day=row.needed_on) if row.needed_on else "",
    ]
    return CalendarEntry(
        key=f"order {row.lot} {row.machine} {row.part.line}",
        title=say("Last day to order: {what}", what=row.part.what),
        begins=date.fromisoformat(row.order_by_on or ""),
        text="; ".join(map(str, filter(None, told))),
    )


def _promise(one: MachineDates) -> Iterator[CalendarEntry]:
    if one.promise_on is None or one.even_on is None:
        return
    hangs = "; ".join(str(words) for words, _ in one.late_by[:2])
    text = say("As likely as not by {even}; kept in 9 of 10 ways it could go.", even=one.even_on)
    if hangs:
        text = f"{text} " + say("The date hangs on: {what}.", what=hangs)
    yield CalendarEntry(
        key=f"promise {one.machine}",
        title=say("{machine}: first good part, promise", machine=one.machine_name),
        begins=date.fromisoformat(one.promise_on),
        text=text,
    )
