"""Who works when, and with what: as it was kept, else assumed and said so."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.fix.kept import FixKept
from retrue.plan.jobs import Hands, Shared
from retrue.records.fixing import Gear, Worker
from retrue.records.fixing_rules import WEEK

MAY = {"anyone": 0, "competent": 1, "electrician": 2}
HOIST, FLOOR = "hoist", "floor_place"
EVENING = 19.5  # hours of the day
LATEST = 23.5
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
ME, HELPER = "me", "somebody to help"


@dataclass(frozen=True, slots=True, kw_only=True)
class Staff:
    """Hands and gear of a plan, and in words what nobody said of them.

    Attributes
    ----------
    hire : frozenset of str
        Gear that is not owned: its days are put together.
    day_costs : float or None
        Of the hoist, in the shop's currency.
    electrician : bool
        Whether one of the hands is licensed.
    helper : str
        Who is taken to come where it is not for one alone, because nobody was named at all.
    """

    hands: tuple[Hands, ...]
    shared: tuple[Shared, ...]
    hire: frozenset[str] = frozenset()
    day_costs: float | None = None
    electrician: bool = False
    helper: str = ""
    fine: tuple[str, ...] = ()


def staff_of(kept: Iterable[FixKept], hours_a_week: float) -> Staff:
    """Hands and gear, as kept or assumed.

    Parameters
    ----------
    kept : iterable of FixKept
        Of one shop.
    hours_a_week : float
        What is assumed where nobody said who works when.

    Returns
    -------
    Staff
    """
    lots = list(kept)
    workers = [one.fact for one in lots[0].workers] if lots else []
    gear = [one.fact for one in lots[0].gear] if lots else []
    return staff(workers, gear, hours_a_week)


def staff(workers: Iterable[Worker], gear: Iterable[Gear], hours_a_week: float) -> Staff:
    """The same from the facts.

    Parameters
    ----------
    workers : iterable of Worker
    gear : iterable of Gear
    hours_a_week : float

    Returns
    -------
    Staff

    Examples
    --------
    >>> alone = staff((), (), 12.0)
    >>> [(one.name, one.helps_only, len(one.evenings)) for one in alone.hands]
    [('me', False, 4)]
    """
    said, things = list(workers), {one.name: one for one in gear}
    fine = []
    hands = tuple(hands_of(one) for one in said)
    if not said:
        hands = (Hands(name=ME, evenings=usual_evenings(hours_a_week)),)
        fine.append(say("Nobody said who works when: {hours} h a week are taken, and somebody who "
                        "comes to help where it is not for one alone.",
                        hours=number(hours_a_week)))  # fmt: skip
    hoist = things.get(HOIST)
    if hoist is None:
        fine.append(say("Nobody said whose the hoist is: one is taken for hire on any day."))
    shared = [_shared(one) for one in things.values() if one.name != HOIST]
    shared.append(_shared(hoist) if hoist else Shared(name=HOIST))
    return Staff(
        hands=hands,
        shared=tuple(shared),
        hire=frozenset({HOIST}) if hoist is None or hoist.have in ("hired", "borrowed")
        else frozenset(),
        day_costs=float(hoist.day_costs) if hoist and hoist.day_costs is not None else None,
        helper="" if said else say(HELPER),
        electrician=any(one.may == MAY["electrician"] for one in hands),
        fine=tuple(fine),
    )  # fmt: skip


def hands_of(worker: Worker) -> Hands:
    """A worker as the plan reads one.

    Parameters
    ----------
    worker : Worker

    Returns
    -------
    Hands

    Examples
    --------
    >>> hands_of(Worker(name="An", evenings=(("mon", "19:30", "22:00"),))).evenings
    ((0, 19.5, 22.0),)
    """
    return Hands(
        name=worker.name,
        evenings=tuple((WEEK.index(d), _hour(a), _hour(b)) for d, a, b in worker.evenings),
        away=tuple((date.fromisoformat(a), date.fromisoformat(b)) for a, b in worker.away),
        also=tuple((date.fromisoformat(d), _hour(a), _hour(b)) for d, a, b in worker.also),
        may=MAY[worker.may],
        helps_only=worker.helps_only,
    )


def usual_evenings(hours_a_week: float) -> tuple[tuple[int, float, float], ...]:
    """Four evenings from Monday on, longer where more hours are worked; then a Saturday.

    Parameters
    ----------
    hours_a_week : float

    Returns
    -------
    tuple of (weekday, begin, end)

    Examples
    --------
    >>> usual_evenings(10.0)[0], usual_evenings(20.0)[-1]
    ((0, 19.5, 22.0), (5, 9.0, 17.0))
    """
    most = 4 * (LATEST - EVENING)
    if hours_a_week <= most:
        end = EVENING + max(hours_a_week, 1.0) / 4
        return tuple((day, EVENING, end) for day in range(4))
    saturday = min(8.0, hours_a_week - 10.0)
    evening = min((hours_a_week - saturday) / 5, 12.0)
    begin = min(EVENING, 22.0 - evening)
    weekdays = tuple((day, begin, begin + evening) for day in range(5))
    return (*weekdays, (5, 9.0, 9.0 + saturday))


def evenings_told(hands: Hands) -> str:
    """When somebody works, in words; days with the same hours together.

    Parameters
    ----------
    hands : Hands

    Returns
    -------
    str

    Examples
    --------
    >>> evenings_told(Hands(name="me", evenings=usual_evenings(20.0)))
    'Monday to Friday 19:30 to 21:54, Saturday 09:00 to 17:00'
    """
    runs: list[tuple[int, int, float, float]] = []
    for day, begins, ends in sorted(hands.evenings):
        if runs and runs[-1][1:] == (day - 1, begins, ends):
            runs[-1] = (runs[-1][0], day, begins, ends)
        else:
            runs.append((day, day, begins, ends))
    return ", ".join(
        say("{days} {begins} to {ends}", begins=_told(begins), ends=_told(ends),
            days=say(DAYS[first]) if first == last
            else say("{first} to {last}", first=say(DAYS[first]), last=say(DAYS[last])))
        for first, last, begins, ends in runs
    )  # fmt: skip


def _told(hour: float) -> str:
    minutes = round(hour * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _shared(one: Gear) -> Shared:
    days = tuple(date.fromisoformat(day) for day in one.days)
    return Shared(name=one.name, count=0 if one.have == "none" else one.count, days=days)


def _hour(text: str) -> float:
    if text == "24:00":
        return 24.0
    at = time.fromisoformat(text)
    return at.hour + at.minute / 60
