"""What a schedule is made of: tasks, hands, calendars, things shared, and the plan itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
QUARTERS_AN_HOUR = 4  # working time is counted in quarter-hours


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """One person: at which hours he or she works, and at what.

    Attributes
    ----------
    name : str
    evenings : tuple of (weekday, begin, end)
        0 is Monday; hours of the day as 19.5.
    away : tuple of (first, last)
        Days without work, both included.
    also : tuple of (day, begin, end)
        Hours beside the weekly ones.
    may : int
        0 anyone's work, 1 what is left to the competent, 2 to a licensed electrician.
    helps_only : bool
        A second pair of hands, never alone at the machine.
    """

    name: str
    evenings: tuple[tuple[int, float, float], ...]
    away: tuple[tuple[date, date], ...] = ()
    also: tuple[tuple[date, float, float], ...] = ()
    may: int = 1
    helps_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """Something of which there are only so many: a hoist, floor places, a hired lift.

    Attributes
    ----------
    name : str
    count : int
    days : tuple of date
        Days on which it is there; empty: every day.
    """

    name: str
    count: int = 1
    days: tuple[date, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """A task comes after another, and so many calendar days later.

    Attributes
    ----------
    task : str
    days : float
        Between the end of the one and the start of the other: drying, an outside repair, a part
        that can only be ordered when the machine stands open.
    part : str
        What is waited for, where it is a part or a service: F15:local; empty: it dries.
    """

    task: str
    days: float = 0.0
    part: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to do.

    Attributes
    ----------
    key : str
        Unique in the whole schedule.
    machine : str
        Whose first good part it serves; empty: of none.
    hours : float
        Expected working time, of one person or of all who are needed at once.
    people : int
        Hands needed at once; 0: it goes on by itself, round the clock.
    may : int
        What one of them must be allowed to do, as Hands.may.
    unbroken : bool
        Begun and ended on one evening.
    least_hours : float
        Not begun where less than that is left of an evening, nor less than it takes; where no
        evening is that long, at the beginning of the longest. 0: whenever somebody is there.
    needs : tuple of (name, count)
        Of what is shared, while the task lasts.
    holds : str
        Key of a later task: what ``holding`` names is kept from here until that one ends.
    holding : tuple of (name, count)
    after : tuple of After
    not_before : float
        Calendar days from the start of the plan: a part that is on its way.
    part : str
        What ``not_before`` waits for.
    good_part : bool
        The machine's first good part needs it.
    done : bool
        Nothing is left of it; it frees what comes after.
    """

    key: str
    machine: str
    hours: float
    people: int = 1
    may: int = 0
    unbroken: bool = False
    least_hours: float = 0.0
    needs: tuple[tuple[str, int], ...] = ()
    holds: str = ""
    holding: tuple[tuple[str, int], ...] = ()
    after: tuple[After, ...] = ()
    not_before: float = 0.0
    part: str = ""
    good_part: bool = True
    done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """What is to be planned: all of it together.

    Attributes
    ----------
    start : datetime
        From when on, by the shop's own clock.
    tasks : tuple of Task
    hands : tuple of Hands
        One to three.
    shared : tuple of Shared
    day_worth : mapping of machine to float
        What a day earlier is worth, in the shop's currency.
    run_in_days : mapping of machine to float
        Calendar days between its last task and the first good part.
    """

    start: datetime
    tasks: tuple[Task, ...]
    hands: tuple[Hands, ...]
    shared: tuple[Shared, ...] = ()
    day_worth: Mapping[str, float] = field(default_factory=dict)
    run_in_days: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A task in the plan: by whom, from when to when if all goes as expected.

    Attributes
    ----------
    pieces : tuple of (begin, end)
        When it is worked at, where other work may lie between; empty: whenever its people are
        there from its beginning to its end.
    """

    key: str
    people: tuple[str, ...]
    begins: datetime
    ends: datetime
    pieces: tuple[tuple[datetime, datetime], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A task that cannot be planned: why, and what helps; all others are planned."""

    key: str
    why: str  # code: circular, nobody, no_evening, no_day, waits_for_left_out, no_end
    about: Mapping[str, str] = field(default_factory=dict)  # what its sentence names


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A plan: who does what in which order; the same input gives the same order.

    Attributes
    ----------
    placed : tuple of Placed
        In the order of their beginning.
    left_out : tuple of LeftOut
    proved : bool
        No order is better, by the expected figures.
    by_rule : bool
        By the plain priority rule, for want of the solver or of time.
    gap : float
        How far a better one could still be away, share of its cost; 0 if proved.
    by_clock : bool
        The search was cut off by the clock, not by its measured work: on a quicker machine the
        same input may give another plan.
    priority : tuple of str
        Keys of tasks, the most pressing first, where whoever is there takes the next he can do;
        empty: everybody keeps to the order.
    """

    placed: tuple[Placed, ...]
    left_out: tuple[LeftOut, ...] = ()
    proved: bool = False
    by_rule: bool = False
    gap: float = 0.0
    priority: tuple[str, ...] = ()
    by_clock: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Draws:
    """What the tasks took in every world; what is not named takes what was expected.

    Attributes
    ----------
    hours : mapping of task to ndarray, shape (worlds,)
        Working hours; 0 where it is not needed.
    days : mapping of (task, task before it) to ndarray, shape (worlds,)
        Calendar days between the two; 0 where nothing is waited for.
    not_before : mapping of task to ndarray, shape (worlds,)
        Calendar days from the start of the plan.
    run_in_days : mapping of machine to ndarray, shape (worlds,)
    """

    worlds: int
    hours: Mapping[str, Floats] = field(default_factory=dict)
    days: Mapping[tuple[str, str], Floats] = field(default_factory=dict)
    not_before: Mapping[str, Floats] = field(default_factory=dict)
    run_in_days: Mapping[str, Floats] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Promise:
    """When one machine makes its first good part, over all worlds.

    Attributes
    ----------
    days : ndarray, shape (worlds,)
        Calendar days from the start of the plan.
    expected, even, nine_of_ten : datetime
        By the expected figures alone; half of the worlds are done by then; nine in ten.
    late_by : tuple of (task or part, share)
        What the date hangs on: in which share of the worlds it lies on the longest way, largest
        first.
    of_time : bool
        The shares are of the machine's time until then.
    """

    machine: str
    days: Floats
    expected: datetime
    even: datetime
    nine_of_ten: datetime
    late_by: tuple[tuple[str, float], ...] = ()
    of_time: bool = False
