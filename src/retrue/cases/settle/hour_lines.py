"""Own hours as they are told: rows, open questions, clocks that run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from retrue.cases.settle.evening import Evening

HowKnown = Literal["told", "card", "clock"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursRow:
    """Hours that count.

    Attributes
    ----------
    id : str
        Of the record it comes from.
    worked_on : str
        ISO date.
    lot : str or None
        Id of its first record; None: the shop as a whole.
    machine : str
        Key: id of its first record; empty: the whole lot, or the shop.
    hours : float
    worker : str
        Whose hours.
    how : str
        told: answered or typed; card: kept with a card, an act or a cleaning; clock: by start and
        stop.
    line : str
        The card, where it is known.
    answer : str
        Of told: yes, less, more, typed; else empty.
    begin, end : str
        HH:MM where they are known; an end that is not after its begin is the next day's.
    evening : str
        Key of the evening that was answered.
    """

    id: str
    worked_on: str
    lot: str | None
    machine: str
    machine_name: str
    hours: float
    worker: str
    how: HowKnown
    line: str = ""
    answer: str = ""
    begin: str = ""
    end: str = ""
    evening: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningClock:
    """A clock that was started and not stopped.

    Attributes
    ----------
    since : datetime
    hours : float
        Until the moment it is looked at.
    too_long : bool
        It ran longer than a clock may without an answer: nothing of it counts.
    last_trace : str
        HH:MM of the end of what was kept since, where anything was: a stop to offer.
    stop_at : str
        The same as a moment, ISO with its offset.
    stopped_at : str
        A stop that came too late to be believed, ISO; empty: none came.
    """

    id: str
    since: datetime
    hours: float
    lot: str | None
    machine: str
    machine_name: str
    worker: str
    line: str
    too_long: bool
    last_trace: str = ""
    stop_at: str = ""
    stopped_at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """Own hours of a machine as they were expected, beside those worked.

    Attributes
    ----------
    low, even, high : float or None
        When the price was frozen: one in ten below, as likely as not, one in ten above; None: no
        price was frozen.
    frozen_on : str
        ISO date of that; empty where there is none.
    end_low, end_even, end_high : float or None
        In the end, as it looks today: worked and still to come, as on the page of what it cost.
    planned : float or None
        Still to do, as the newest plan that is kept had it on its day; None: there is none.
    planned_on : str
        ISO date of that plan.
    """

    machine: str
    machine_name: str
    worked: float
    low: float | None = None
    even: float | None = None
    high: float | None = None
    frozen_on: str = ""
    end_low: float | None = None
    end_even: float | None = None
    end_high: float | None = None
    planned: float | None = None
    planned_on: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursView:
    """Own hours of a shop.

    Attributes
    ----------
    on : str
        ISO date it is looked at.
    guesses : tuple of Evening
        Open questions, the newest first.
    rows : tuple of HoursRow
        What counts, the newest first; no hour stands in it twice.
    by_machine : mapping of str to float
        By key; "" is what belongs to no machine.
    by_week : tuple of (str, float)
        Monday (ISO) and hours, the newest first.
    by_worker : tuple of (str, float)
    clocks : tuple of RunningClock
        Those that run, and those that ran too long.
    expected : tuple of Expected
        Of machines whose price was frozen, or that are planned.
    not_asked : int
        Times at which something was kept, too short or too long to guess from.
    rules : tuple of str
        How it is guessed and counted, in sentences.
    note : str
        The rule that no hour counts twice.
    """

    on: str
    guesses: tuple[Evening, ...]
    rows: tuple[HoursRow, ...]
    by_machine: Mapping[str, float]
    note: str
    by_week: tuple[tuple[str, float], ...] = ()
    by_worker: tuple[tuple[str, float], ...] = ()
    clocks: tuple[RunningClock, ...] = ()
    expected: tuple[Expected, ...] = ()
    not_asked: int = 0
    rules: tuple[str, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
