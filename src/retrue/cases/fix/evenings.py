"""The evenings of a plan: which hours of which day a card falls on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from retrue.cases.fix.plan_lines import PlanRow
from retrue.cases.fix.wall_clock import on_the_wall
from retrue.plan.jobs import Hands

LEAST_MINUTES = 1.0
MOST_DAYS = 60  # of one card from its beginning to its end
SATURDAY = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Stint:
    """One card on one evening.

    Attributes
    ----------
    number : int
        Which of the evenings of this card, from 1.
    of : int
        On how many evenings it is worked.
    """

    row: PlanRow
    begins: datetime
    ends: datetime
    number: int = 1
    of: int = 1

    @property
    def hours(self) -> float:
        """Hours of this evening."""
        return (self.ends - self.begins).total_seconds() / 3600


def stints(row: PlanRow, hands: Sequence[Hands]) -> tuple[Stint, ...]:
    """A card of the plan evening by evening.

    Parameters
    ----------
    row : PlanRow
    hands : sequence of Hands
        Of the people of this row; without any it is one stint of the hours to expect.

    Returns
    -------
    tuple of Stint
        One at least.

    Notes
    -----
    Where several people work on it an evening begins when the first of them may and ends when the
    last of them must.
    """
    begins, ends = on_the_wall(row.begins), on_the_wall(row.ends)
    if row.pieces:
        return tuple(
            Stint(row=row, begins=on_the_wall(first), ends=on_the_wall(last),
                  number=at, of=len(row.pieces))
            for at, (first, last) in enumerate(row.pieces, 1)
        )  # fmt: skip
    mine = [one for one in hands if one.name in row.people]
    if begins.date() == ends.date():
        return (Stint(row=row, begins=begins, ends=ends),)
    most = begins + timedelta(hours=row.card.expected_hours)
    found = list(_pieces(begins, ends, mine)) or [(begins, min(ends, most))]
    return tuple(
        Stint(row=row, begins=first, ends=last, number=at, of=len(found))
        for at, (first, last) in enumerate(found, 1)
    )


def _pieces(
    begins: datetime, ends: datetime, hands: Sequence[Hands]
) -> Iterator[tuple[datetime, datetime]]:
    days = min((ends.date() - begins.date()).days, MOST_DAYS)
    for at in range(days + 1):
        day = begins.date() + timedelta(days=at)
        windows = [window for one in hands for window in hours_of(one, day)]
        if not windows:
            continue
        midnight = begins.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=at)
        first = max(begins, midnight + timedelta(hours=min(low for low, _ in windows)))
        last = min(ends, midnight + timedelta(hours=max(high for _, high in windows)))
        if last - first >= timedelta(minutes=LEAST_MINUTES):
            yield first, last


def hours_of(hands: Hands, day: date) -> tuple[tuple[float, float], ...]:
    """The hours at which somebody works on a day.

    Parameters
    ----------
    hands : Hands
    day : date

    Returns
    -------
    tuple of (begin, end)
        Hours of the day, as 19.5; none where the day is free or away.

    Examples
    --------
    >>> an = Hands(name="An", evenings=((0, 19.5, 22.0),),
    ...            away=((date(2026, 12, 7), date(2026, 12, 8)),),
    ...            also=((date(2026, 12, 5), 9.0, 12.0),))
    >>> [hours_of(an, date(2026, 12, day)) for day in (1, 5, 7, 14)]
    [(), ((9.0, 12.0),), (), ((19.5, 22.0),)]
    """
    if any(first <= day <= last for first, last in hands.away):
        return ()
    weekly = tuple((low, high) for at, low, high in hands.evenings if at == day.weekday())
    return weekly + tuple((low, high) for on, low, high in hands.also if on == day)


def all_stints(rows: Iterable[PlanRow], hands: Sequence[Hands]) -> tuple[Stint, ...]:
    """Every evening of every card of a plan that is not done.

    Parameters
    ----------
    rows : iterable of PlanRow
    hands : sequence of Hands
        Whose evenings are known; of others they are read off the plan.

    Returns
    -------
    tuple of Stint
        In order of time.
    """
    todo = [row for row in rows if row.card.state != "done"]
    known = {one.name for one in hands}
    seen = hands_seen(row for row in todo if not known & set(row.people))
    found = [one for row in todo for one in stints(row, (*hands, *seen))]
    return tuple(sorted(found, key=lambda one: (one.begins, one.ends)))


def hands_seen(rows: Iterable[PlanRow]) -> tuple[Hands, ...]:
    """Evenings as a plan itself shows them: the weekdays on which something begins or ends.

    Parameters
    ----------
    rows : iterable of PlanRow

    Returns
    -------
    tuple of Hands
        One for everybody named first in a row; from the first hour to the last that is seen on
        any working day, and on any day of a weekend.
    """
    clocks: dict[str, dict[int, list[float]]] = {}
    for row in rows:
        for iso in (row.begins, row.ends):
            at = on_the_wall(iso)
            mine = clocks.setdefault(row.people[0] if row.people else "", {})
            mine.setdefault(at.weekday(), []).append(at.hour + at.minute / 60)
    return tuple(Hands(name=name, evenings=_widest(days)) for name, days in clocks.items())


def _widest(days: Mapping[int, Sequence[float]]) -> tuple[tuple[int, float, float], ...]:
    found = []
    for day in sorted(days):
        alike = [hour for other, hours in days.items() for hour in hours
                 if (other >= SATURDAY) == (day >= SATURDAY)]  # fmt: skip
        if min(alike) < max(alike):
            found.append((day, min(alike), max(alike)))
    return tuple(found)
