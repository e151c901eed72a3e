"""Own hours put together as they are shown."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from retrue.cases.settle.cost_lines import CostView
from retrue.cases.settle.evening import Guessed
from retrue.cases.settle.evening_clock import Wall
from retrue.cases.settle.evening_rules import RULES
from retrue.cases.settle.evening_shown import note_words, rule_words
from retrue.cases.settle.hour_clock import Stretch
from retrue.cases.settle.hour_lines import Expected, HoursRow, HoursView, RunningClock
from retrue.cases.settle.hours import HoursKept, rows_of, sums, week_of
from retrue.records.fixing import PlanKept
from retrue.records.shop import Record


def view_of(
    kept: HoursKept,
    guessed: Guessed,
    wall: Wall,
    *,
    on: date,
    now: datetime,
    lot: str | None = None,
) -> HoursView:
    """Own hours as they are shown.

    Parameters
    ----------
    kept : HoursKept
    guessed : Guessed
    wall : callable
    on : date
        Nothing after that day counts.
    now : datetime
    lot : str, optional
        Of one lot alone.

    Returns
    -------
    HoursView

    Examples
    --------
    >>> from datetime import UTC
    >>> view = view_of(HoursKept(), Guessed(evenings=()), lambda moment: moment,
    ...                on=date(2026, 11, 26), now=datetime(2026, 11, 26, tzinfo=UTC))
    >>> view.rows, view.by_machine
    ((), {})
    """
    rows = tuple(one for one in rows_of(kept, wall, on=on) if lot in (None, one.lot))
    asked = tuple(
        one for one in guessed.evenings if lot is None or any(s.lot == lot for s in one.shares)
    )
    by_machine = sums(rows)
    return HoursView(
        on=on.isoformat(), guesses=asked, rows=rows, by_machine=by_machine, note=note_words(),
        by_week=_summed((week_of(one.worked_on), one.hours) for one in rows),
        by_worker=_summed((one.worker, one.hours) for one in rows),
        clocks=clocks_of(kept, guessed, now=now),
        not_asked=guessed.not_asked, rules=rule_words(), names=kept.names,
    )  # fmt: skip


def clocks_of(kept: HoursKept, guessed: Guessed, *, now: datetime) -> tuple[RunningClock, ...]:
    """Clocks that run, and those that ran too long to be believed.

    Parameters
    ----------
    kept : HoursKept
    guessed : Guessed
        Its evenings offer a time to stop at.
    now : datetime

    Returns
    -------
    tuple of RunningClock

    Examples
    --------
    >>> from datetime import UTC
    >>> clocks_of(HoursKept(), Guessed(evenings=()), now=datetime(2026, 11, 26, tzinfo=UTC))
    ()
    """
    return tuple(_clock(one, kept, guessed, now) for one in kept.stretches if not one.counts)


def _clock(one: Stretch, kept: HoursKept, guessed: Guessed, now: datetime) -> RunningClock:
    fact, ends = one.start.fact, one.ends
    within = [
        evening
        for evening in guessed.evenings
        if evening.worker == one.worker and evening.begins - RULES.gap <= one.begins < evening.ends
    ]
    stop = max((evening.ends for evening in within), default=None) if one.too_long else None
    return RunningClock(
        id=one.start.id, since=one.begins,
        hours=round(((ends or now) - one.begins) / timedelta(hours=1), 2), lot=fact.lot,
        machine=fact.machine or "", machine_name=kept.names.get(fact.machine or "", fact.text),
        worker=one.worker, line=fact.line, too_long=one.too_long,
        last_trace="" if stop is None else f"{stop:%H:%M}",
        stop_at="" if stop is None else stop.isoformat(timespec="minutes"),
        stopped_at="" if ends is None else ends.isoformat(timespec="minutes"),
    )  # fmt: skip


def _summed(pairs: Iterable[tuple[str, float]]) -> tuple[tuple[str, float], ...]:
    made: dict[str, float] = {}
    for key, hours in pairs:
        made[key] = made.get(key, 0.0) + hours
    return tuple(sorted(made.items(), reverse=True))


def expected_hours(
    costs: Iterable[CostView],
    plans: Iterable[Record[PlanKept]],
    worked: Mapping[str, float],
    here: Collection[str],
) -> tuple[Expected, ...]:
    """Own hours that were expected of each machine, and those still to come.

    Parameters
    ----------
    costs : iterable of CostView
        Of each machine whose price was frozen: the page of what it cost says the same.
    plans : iterable of Record of PlanKept
        Of the newest, what was still to do on its day.
    worked : mapping of key to float
    here : collection of str
        Keys of the machines that are looked at.

    Returns
    -------
    tuple of Expected

    Examples
    --------
    >>> expected_hours((), (), {}, ())
    ()
    """
    made = {one.machine: _expected(one, worked) for one in costs}
    for kept in sorted(plans, key=lambda one: one.seq)[-1:]:
        for row in _machines(kept.fact.plan):
            key, left = str(row.get("machine")), row.get("hours_left")
            if isinstance(left, int | float):
                bare = Expected(machine=key, machine_name=str(row.get("machine_name", "")),
                                worked=worked.get(key, 0.0))  # fmt: skip
                made[key] = replace(made.get(key, bare), planned=round(float(left), 1),
                                    planned_on=kept.fact.at[:10])  # fmt: skip
    return tuple(one for key, one in made.items() if key in here)


def _expected(view: CostView, worked: Mapping[str, float]) -> Expected:
    told, end = view.hours_forecast, view.hours_end
    return Expected(
        machine=view.machine, machine_name=view.machine_name,
        worked=worked.get(view.machine, 0.0), low=told.p10, even=told.p50, high=told.p90,
        frozen_on=view.forecast_on, end_low=end.p10, end_even=end.p50, end_high=end.p90,
    )  # fmt: skip


def _machines(sheet: str) -> Sequence[dict[str, object]]:
    try:
        told = json.loads(sheet)
    except ValueError:
        return ()
    rows = told.get("machines", ()) if isinstance(told, dict) else ()
    return [row for row in rows if isinstance(row, dict)]


def week_rows(view: HoursView) -> tuple[HoursRow, ...]:
    """The rows of the week a view is looked at in.

    Parameters
    ----------
    view : HoursView

    Returns
    -------
    tuple of HoursRow

    Examples
    --------
    >>> week_rows(HoursView(on="2026-11-26", guesses=(), rows=(), by_machine={}, note=""))
    ()
    """
    monday = week_of(view.on)
    return tuple(one for one in view.rows if week_of(one.worked_on) == monday)
