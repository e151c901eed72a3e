"""One week as it goes on paper: evening by evening, what is here by then, whom to ring, hire."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import prod

from retrue.base.say import say
from retrue.cases.fix.buying_lines import BuyRow
from retrue.cases.fix.cash import monday
from retrue.cases.fix.evenings import Stint, all_stints
from retrue.cases.fix.hire import likely_days
from retrue.cases.fix.lines import Owed
from retrue.cases.fix.plan_lines import HireDay, MachineDates, PlanView
from retrue.cases.fix.visit_lines import not_alone
from retrue.kinds.library import Kind
from retrue.plan.jobs import Hands

SURE = 0.99
MOST_HANGS = 2
ALWAYS, SECOND_PERSON, LIFTING = "X01", "X32", "X20"


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningCard:
    """A card on one evening, or all that may be there at one place.

    Attributes
    ----------
    perhaps : int
        Of how many cards it is made that may not be needed; 0: it is one card.
    number, of : int
        Which evening of this card, and of how many.
    """

    key: str
    title: str
    machine: str
    place: str
    begins: datetime
    ends: datetime
    people: tuple[str, ...]
    chance: float = 1.0
    perhaps: int = 0
    number: int = 1
    of: int = 1
    hoist: bool = False
    alone: bool = True

    @property
    def hours(self) -> float:
        """Hours of this evening."""
        return (self.ends - self.begins).total_seconds() / 3600


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """One day of work."""

    on: date
    begins: datetime
    ends: datetime
    people: tuple[str, ...]
    cards: tuple[EveningCard, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HereBy:
    """What must be here by a day: promised by somebody, or needed by a card."""

    on: str
    what: str
    machine: str
    whom: str = ""  # who promised it; empty: nobody has it in hand
    late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RingRow:
    """Whom to ring, on which day, about what."""

    on: str
    whom: str
    reach: str
    what: str
    promised_on: str | None
    days_late: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """What is to be ordered in this week."""

    on: str
    what: str
    machine: str
    amount: float
    chance: float
    late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekMachine:
    """When one machine makes its first good part, and what that hangs on."""

    name: str
    even_on: str | None
    promise_on: str | None
    hangs: tuple[str, ...]
    was_on: str = ""  # promised before, where that broke or comes sooner
    why: str = ""  # there is no date to promise


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekLines:
    """One week.

    Attributes
    ----------
    week_on : date
        Its Monday.
    planned_at : str
        Moment from which it was planned, ISO.
    stale : bool
        Something was kept since that would change the plan.
    """

    week_on: date
    planned_at: str
    stale: bool
    cautions: tuple[tuple[str, str], ...]
    machines: tuple[WeekMachine, ...]
    evenings: tuple[Evening, ...]
    here_by: tuple[HereBy, ...] = ()
    ring: tuple[RingRow, ...] = ()
    order: tuple[OrderRow, ...] = ()
    hire: tuple[HireDay, ...] = ()
    currency: str = "EUR"


def week_of(
    view: PlanView,
    day: date,
    kinds: Mapping[str, Kind],
    *,
    on: date | None = None,
    hands: Sequence[Hands] = (),
    owed: Iterable[Owed] = (),
    buying: Iterable[BuyRow] = (),
) -> WeekLines:
    """The week in which a day lies.

    Parameters
    ----------
    view : PlanView
    day : date
    kinds : mapping of str to Kind
        For the cautions.
    on : date or None
        Today: what is late by then stands in this week and the next, not in those to come.
    hands : sequence of Hands
        Whose evenings a long card is spread over.
    owed : iterable of Owed
        What is out, as it stands on the day this is made.
    buying : iterable of BuyRow

    Returns
    -------
    WeekLines
        What is late stands on the first day it can be done: the Monday of the week.

    Examples
    --------
    >>> from retrue.cases.fix.plan_lines import MachineDates, PlanView
    >>> mill = MachineDates(machine="m", machine_name="mill", early_on="2027-01-18",
    ...     even_on="2027-02-01", promise_on="2027-02-22", expected_on="2027-02-01", late_by=(),
    ...     order_now=(), stop_loss=None, hours_left=60.0, day_worth=12.0)
    >>> view = PlanView(at="2026-11-26T08:00+01:00", lots=("l",), machines=(mill,), rows=(),
    ...     hire=(), refused=(), hands=("An",), proved=True, by_rule=False, gap=0.0, seed=7,
    ...     worlds=500, currency="EUR")
    >>> lines = week_of(view, date(2026, 12, 3), {})
    >>> lines.week_on.isoformat(), lines.machines[0].promise_on, lines.evenings
    ('2026-11-30', '2027-02-22', ())
    """
    first = monday(day)
    last = first + timedelta(days=6)
    here = [one for one in all_stints(view.rows, hands) if first <= one.begins.date() <= last]
    out, rows = list(owed), list(buying)
    since = date.min if on is None or first <= on + timedelta(days=7) else first
    return WeekLines(
        week_on=first,
        planned_at=view.at,
        stale=view.stale,
        cautions=_cautions(here, kinds),
        machines=tuple(_machine(one, view) for one in view.machines),
        evenings=tuple(_evenings(here)),
        here_by=tuple(sorted(_here_by(out, rows, since, first, last), key=lambda one: one.on)),
        ring=tuple(
            sorted(_ring(out, since, first, last), key=lambda one: (one.on, -one.days_late))
        ),
        order=tuple(_order(rows, since, first, last)),
        hire=tuple(
            one for one in likely_days(view.hire) if first.isoformat() <= one.on <= last.isoformat()
        ),
        currency=view.currency,
    )


def _cautions(here: Sequence[Stint], kinds: Mapping[str, Kind]) -> tuple[tuple[str, str], ...]:
    """What holds for the whole week; each card has its own on its sheet."""
    cards = [one.row.card for one in here]
    named = {ALWAYS}
    named |= {SECOND_PERSON} if any(not_alone(one) for one in cards) else set()
    named |= {LIFTING} if any(one.hoist for one in cards) else set()
    every = {id: one for kind in kinds.values() for id, one in kind.cautions.items()}
    return tuple((one.text, one.defers_to) for id, one in every.items() if id in named)


def _machine(one: MachineDates, view: PlanView) -> WeekMachine:
    was = {each.machine_name: each.was_on for each in view.broke}
    return WeekMachine(
        name=one.machine_name,
        even_on=one.even_on,
        promise_on=one.promise_on,
        hangs=tuple(words for words, _ in one.late_by[:MOST_HANGS]),
        was_on=was.get(one.machine_name, ""),
        why=one.why,
    )


def _evenings(here: Sequence[Stint]) -> Iterator[Evening]:
    days: dict[date, list[Stint]] = {}
    for one in here:
        days.setdefault(one.begins.date(), []).append(one)
    for on, mine in days.items():
        yield Evening(
            on=on,
            begins=min(one.begins for one in mine),
            ends=max(one.ends for one in mine),
            people=tuple(dict.fromkeys(name for one in mine for name in one.row.people)),
            cards=evening_cards(mine),
        )


def evening_cards(stints: Sequence[Stint]) -> tuple[EveningCard, ...]:
    """The cards of one evening; those that may not be needed at one place are one line.

    Parameters
    ----------
    stints : sequence of Stint
        In order of time.

    Returns
    -------
    tuple of EveningCard
    """
    together: dict[tuple[str, str, datetime, datetime], list[Stint]] = {}
    for one in stints:
        card = one.row.card
        together.setdefault((card.machine, card.place, one.begins, one.ends), []).append(one)
    return tuple(
        made
        for mine in together.values()
        for made in ([_perhaps(mine)] if _unsure(mine) else [_one(each) for each in mine])
    )


def _unsure(mine: Sequence[Stint]) -> bool:
    return len(mine) > 1 and all(one.row.card.chance < SURE for one in mine)


def _perhaps(mine: Sequence[Stint]) -> EveningCard:
    first = mine[0]
    card = first.row.card
    place = card.place_name or card.machine_name
    return EveningCard(
        key=f"perhaps:{card.place}",
        title=say("What may be there: {place}", place=place),
        machine=card.machine_name,
        place=card.place_name,
        begins=first.begins,
        ends=first.ends,
        people=first.row.people,
        perhaps=len(mine),
        number=first.number,
        of=first.of,
        hoist=any(one.row.card.hoist for one in mine),
        alone=not any(not_alone(one.row.card) for one in mine),
    )


def _one(stint: Stint) -> EveningCard:
    card = stint.row.card
    return EveningCard(
        key=card.key,
        title=card.title,
        machine=card.machine_name,
        place=card.place_name,
        begins=stint.begins,
        ends=stint.ends,
        people=stint.row.people,
        chance=card.chance,
        number=stint.number,
        of=stint.of,
        hoist=card.hoist,
        alone=not not_alone(card),
    )


def _here_by(
    owed: Sequence[Owed], rows: Sequence[BuyRow], since: date, first: date, last: date
) -> Iterator[HereBy]:
    begins, ends = first.isoformat(), last.isoformat()
    for one in owed:
        promised = one.promised_on
        if one.ended is None and promised and since.isoformat() <= promised <= ends:
            yield HereBy(
                on=max(promised, begins),
                what=one.out.what,
                machine=one.machine_name,
                whom=one.out.whom,
                late=one.days_late > 0,
            )
    for row in rows:
        asked = row.part.state in ("to_buy", "asked", "no_vendor") and row.chance >= SURE
        if asked and row.needed_on and begins <= row.needed_on <= ends:
            yield HereBy(on=row.needed_on, what=row.part.what, machine=row.machine_name)


def _ring(owed: Sequence[Owed], since: date, first: date, last: date) -> Iterator[RingRow]:
    for one in owed:
        late = one.state == "late" and since < first
        due = one.ring_on is not None and since.isoformat() <= one.ring_on <= last.isoformat()
        if one.ended is None and (late or due):
            yield RingRow(
                on=max(one.ring_on or "", first.isoformat()) if due else first.isoformat(),
                whom=one.out.whom,
                reach=one.out.reach,
                what=one.out.what,
                promised_on=one.promised_on,
                days_late=one.days_late,
            )


def _order(rows: Sequence[BuyRow], since: date, first: date, last: date) -> Iterator[OrderRow]:
    due = [
        row for row in rows
        if row.part.state in ("to_buy", "asked") and row.order_by_on
        and since.isoformat() <= row.order_by_on <= last.isoformat()
    ]  # fmt: skip
    perhaps = [row for row in due if row.chance < SURE]
    for row in sorted(due, key=lambda row: row.order_by_on or ""):
        if row in perhaps:
            continue
        yield OrderRow(
            on=max(row.order_by_on or "", first.isoformat()),
            what=row.part.what,
            machine=row.machine_name,
            amount=row.amount,
            chance=row.chance,
            late=row.late,
        )
    if perhaps:
        yield OrderRow(
            on=max(min(row.order_by_on or "" for row in perhaps), first.isoformat()),
            what=say("parts that may be needed, once their place is open: {count}",
                     count=len(perhaps)),
            machine=", ".join(dict.fromkeys(row.machine_name for row in perhaps)),
            amount=sum(row.amount for row in perhaps),
            chance=1.0 - prod(1.0 - row.chance for row in perhaps),
        )  # fmt: skip
